"""What the ledger gives to the rooms above: plain frozen values, and its one error.

Its one rule: nothing of ``sync`` is in them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Mapping


class LedgerError(FieldbookError):
    """The store or an exchange cannot do what was asked; the message says why."""


@dataclass(frozen=True)
class Join:
    """A site that asked to join: its key, letter and name."""

    key: str
    letter: str
    name: str


@dataclass(frozen=True)
class Said:
    """One statement as the rooms above see it.

    Attributes:
        id: its name.
        kind: for example ``fieldbook/edition``.
        author: the key that signed.
        after: the ids that it answers.
        body: what was said; None where it is lacking or was taken back.
        attachments: ids of its files.
        critical: body fields that a reader must understand.
        time: the claimed time, for people.
        depth: how many statements long the longest chain of answers below it is.
        stands: accepted, waiting (not to be shown), or quarantined (set aside: kept, not believed).
    """

    id: str
    kind: str
    author: str
    after: tuple[str, ...]
    body: Mapping[str, Any] | None
    attachments: tuple[str, ...]
    critical: tuple[str, ...]
    time: str | None
    depth: int
    stands: str


@dataclass(frozen=True)
class Refused:
    """A file that was not taken: which, why, and what to do."""

    file: str
    reason: str
    hint: str


@dataclass(frozen=True)
class ExchangeReport:
    """What an exchange did: counts of statements, files refused or left to wait, files left on the carrier.

    ``not_left`` counts files that found no room or could not be written; ``not_proven`` counts files that were written
    but could not be read back past the memory of this machine.
    """

    accepted: int
    waiting: int
    quarantined: int
    refused: tuple[Refused, ...]
    waiting_files: tuple[Refused, ...]
    left: int
    not_left: int
    not_proven: int
    notes: tuple[str, ...]

    @property
    def safe_to_remove(self) -> bool:
        """True where everything that was due was written, read back and found the same."""
        return self.not_proven == 0 and self.not_left == 0

    def as_document(self) -> dict[str, Any]:
        """The report as JSON; all that waits is counted under ``waiting``, statements and files alike."""
        return {
            **self.__dict__,
            "waiting": self.waiting + len(self.waiting_files),
            "refused": [dict(one.__dict__) for one in self.refused],
            "waiting_files": [dict(one.__dict__) for one in self.waiting_files],
            "notes": list(self.notes),
            "safe_to_remove": self.safe_to_remove,
        }
