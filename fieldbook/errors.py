"""The one family of errors of this package, and what people are told though nothing is wrong.

What it is: the root that every error of `fieldbook` descends from, so that a command or a page can turn any of them
into one sentence and a hint. What it is not: a place for the errors of single packages, which live beside their rules.

Its one rule: `message` says what is wrong and where, in one sentence without capital or full stop; `hint` says what
to do next.
"""


class FieldbookError(Exception):
    """Something was asked or given that cannot be done as it stands.

    Attributes:
        message: What is wrong and where; one sentence, lower-case start, no full stop.
        hint: What to do next; empty where nothing useful can be said.
    """

    def __init__(self, message: str, *, hint: str = "") -> None:
        """Keep both parts, so that a page can say each in its own place."""
        super().__init__(message)
        self.message = message
        self.hint = hint


class Notice(str):
    """What people are told though nothing went wrong: one whole sentence or a few, in English.

    Pages say it in the reader's language, too, where the catalogue of sentences holds it.
    """

    __slots__ = ()

    def __init__(self, words: str) -> None:
        """Keep the words as they are."""
        super().__init__()
        del words
