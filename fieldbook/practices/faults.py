"""Faults of a document: what is wrong, where, and what to do.

Not errors: a fault is collected, and all of them are raised together once the whole document is read. Its one rule:
a fault is one plain sentence for the person who wrote the document.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

_MOST_LISTED = 30


@dataclass(frozen=True)
class Fault:
    """One thing wrong with a document.

    Attributes:
        field: where, as a path such as ``steps[0].say.en``; empty for the document itself.
        message: what is wrong, one plain clause.
        hint: what to do about it.
    """

    field: str
    message: str
    hint: str

    def __str__(self) -> str:
        """The fault as one sentence for people."""
        return f"{self.field or 'the document'}: {self.message}; {self.hint}"


@dataclass
class Reading:
    """What is collected while one document is read.

    Attributes:
        strict: an author is writing, so an unknown name is a typing error; on arrival from elsewhere it is kept.
        faults: all faults so far, in the order of the document.
    """

    strict: bool
    faults: list[Fault] = field(default_factory=list)

    def fault(self, at: str, message: str, hint: str) -> None:
        """Note one fault."""
        self.faults.append(Fault(at, message, hint))


def first_of(faults: Sequence[Fault], *, whole: str = "") -> str:
    """The first fault with its place, and how many more there are; `whole` names the document itself."""
    first, more = faults[0], len(faults) - 1
    where = first.field or whole
    if where:
        return f"{where}: {first.message} (and {more} more)" if more else f"{where}: {first.message}"
    return f"{first.message} (and {more} more)" if more else first.message


def shown(value: object) -> str:
    """A value as a fault shows it: short text and numbers as they stand, anything else by what it is."""
    if isinstance(value, str):
        return f"“{value[:40]}”"
    if isinstance(value, dict | list):
        return "a group of names" if isinstance(value, dict) else "a list"
    return "null" if value is None else str(value)[:40].lower()


def listed(codes: Sequence[str]) -> str:
    """A closed list, for a hint."""
    return ", ".join(codes)


def near(word: str, known: Sequence[str]) -> str:
    """The hint for a word that is not in a closed list."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]}?"
    return f"use one of: {listed(known)}" if len(known) <= _MOST_LISTED else "look it up in the schema of the document"
