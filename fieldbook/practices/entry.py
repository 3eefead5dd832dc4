"""A practice entry as a frozen value, read from a document with all its faults at once.

Not an edition: who signed it and what it follows stand in its statement. Its one rule: one door (`read_entry`); an
author's typing error is a fault, while a name that newer software wrote elsewhere is kept as it came.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError
from fieldbook.practices.agreement import disagreements
from fieldbook.practices.codes import KIND_HAS_GROUP
from fieldbook.practices.entry_shape import ENTRY
from fieldbook.practices.facts import Facts, read_facts
from fieldbook.practices.faults import Fault, Reading, first_of
from fieldbook.practices.records import text_maps

if TYPE_CHECKING:
    from collections.abc import Mapping


class EntryError(FieldbookError):
    """An entry that cannot be kept as it stands.

    Attributes:
        faults: every fault, in the order of the document.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Say the first fault, and how many there are."""
        super().__init__(first_of(faults, whole="the entry"), hint=faults[0].hint)
        self.faults = faults


@dataclass(frozen=True)
class Entry:
    """One practice, as one edition says it.

    Attributes:
        document: the body as it is signed: text in NFC, whole numbers as integers, others as decimal strings. It is
            shared, so nobody may change it.
    """

    document: Mapping[str, Any]

    @property
    def kind(self) -> str:
        """The kind of practice, a code."""
        return str(self.document["kind"])

    @property
    def title(self) -> Mapping[str, str]:
        """The title by language."""
        title: Mapping[str, str] = self.document["title"]
        return title

    @property
    def topics(self) -> tuple[str, ...]:
        """What the entry answers, by code."""
        return tuple(self.document.get("topics", ()))

    @cached_property
    def facts(self) -> Facts:
        """What the safety rules read."""
        return read_facts(self.document.get("facts"), cannot_lack=KIND_HAS_GROUP.get(self.kind))

    @cached_property
    def languages(self) -> tuple[str, ...]:
        """The languages it is written in, those of the title first."""
        found = dict.fromkeys(self.title)
        for _, words in text_maps(ENTRY, self.document):
            found |= dict.fromkeys(words)
        return tuple(found)

    @property
    def unread(self) -> frozenset[str]:
        """The languages that no second speaker has read."""
        return frozenset(self.document.get("unread", ()))

    def rows(self, name: str) -> tuple[Mapping[str, Any], ...]:
        """The items of a field that is a list of records, such as ``steps`` or ``waiting``."""
        return tuple(self.document.get(name, ()))


def read_entry(document: object, *, strict: bool = True) -> Entry:
    """Read an entry.

    Args:
        document: the parsed JSON of an entry.
        strict: an author writes it here. False for what arrived from elsewhere: names and codes that are not known
            are kept, since newer software may have written them.

    Raises:
        EntryError: it has faults; all of them are in it.
    """
    reading = Reading(strict=strict)
    kept = ENTRY.read(document, "", reading)
    if strict and not reading.faults:
        reading.faults.extend(disagreements(kept))
    if reading.faults:
        raise EntryError(tuple(reading.faults))
    return Entry(kept)
