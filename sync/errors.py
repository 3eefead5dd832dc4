"""The one family of errors of ``sync``.

Not a place for messages: those stand where they are raised. One rule: a caller can always tell whether
we erred (`LocalError`) or whoever wrote the bytes did (`RemoteError`).
"""

from __future__ import annotations


class SyncError(Exception):
    """Something in the exchange went wrong.

    Attributes:
        message: What happened and where, as one sentence without a capital or a full stop.
        hint: What to do next; empty when there is nothing to do.
    """

    def __init__(self, message: str, *, hint: str = "") -> None:
        """Keep the parts, so that a page can say them in any language."""
        super().__init__(message)
        self.message = message
        self.hint = hint


class LocalError(SyncError):
    """We erred: this site asked for something that it may not do, or its own folder is unsound."""


class DamagedError(LocalError):
    """What this site itself keeps has rotted on its disk: mending keeps the rest."""

    def __init__(
        self, message: str, *, hint: str = "mend the store; the next exchanges bring back what other sites hold"
    ) -> None:
        """Say what to do."""
        super().__init__(message, hint=hint)


_ANOTHER_COPY = "take another copy: this one is damaged, or was not written by this software"


class RemoteError(SyncError):
    """They erred: bytes from elsewhere are damaged, forged, or not in the form agreed."""

    def __init__(self, message: str, *, hint: str = _ANOTHER_COPY) -> None:
        """Say what to do even where the bytes are judged far from whoever holds the file."""
        super().__init__(message, hint=hint)


class UnknownVersionError(RemoteError):
    """A document of a newer version: it cannot be judged here, so it must be left where it lies.

    Attributes:
        version: The ``v`` that the document states.
    """

    def __init__(self, document: str, version: int) -> None:
        """Name the document and its version."""
        super().__init__(
            f"the {document} is of version {version}, which this software does not know",
            hint="leave the file where it is, and bring this site's software up to date",
        )
        self.version = version


class TooManyValuesError(RemoteError):
    """A document that would take too much of the memory to be taken apart: it is left where it lies, unread.

    Attributes:
        most: How many single values are read.
    """

    def __init__(self, document: str, most: int) -> None:
        """Name the document and the limit."""
        super().__init__(
            f"the {document} holds more than the {most} single values that are read here",
            hint="leave the file where it is; it does no harm, and an exchange can do without it",
        )
        self.most = most
