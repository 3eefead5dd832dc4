"""The verdicts of a store's statements that are not the plain accepted one, in memory or, where they are many, outside.

Not the judging. One rule: what a judging came to stays as it was when a later one comes to something else; of that only
the difference is written.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.charter.verdict import ACCEPTED, Changed, Marks, in_order, packed, unpacked
from sync.store import spilling
from sync.store.spilling import SpillingLists, SpillingMap, SpillingRow, SpillingSet, SpillingSets

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sync.charter.verdict import Verdict
    from sync.store.scratch import Scratch


class _SpillingVerdicts(SpillingMap["Verdict"]):
    """Verdicts by id, of which as many lie in memory as miss so many statements."""

    def __init__(self, scratch: Scratch) -> None:
        super().__init__(scratch, packed=packed, unpacked=unpacked)
        self._missing = 0

    def __setitem__(self, name: str, verdict: Verdict) -> None:
        self._missing += len(verdict.missing)
        super().__setitem__(name, verdict)
        if self._missing > spilling.KEPT:
            self._spill()

    def _spill(self) -> None:
        super()._spill()
        self._missing = 0


class SpillingRoom:
    """Room for a judging: memory at first, and then a scratch file."""

    def __init__(self, scratch: Scratch) -> None:
        """Take it from there."""
        self._scratch = scratch

    def verdicts(self) -> SpillingMap[Verdict]:
        """Verdicts by id."""
        return _SpillingVerdicts(self._scratch)

    def texts(self) -> SpillingMap[bytes]:
        """Bytes by id."""
        return SpillingMap(self._scratch, packed=bytes, unpacked=bytes)

    def names(self) -> SpillingSet:
        """A set of ids."""
        return SpillingSet(self._scratch)

    def lists(self) -> SpillingLists:
        """Lists of ids by id."""
        return SpillingLists(self._scratch)

    def sets(self) -> SpillingSets:
        """Sets of ids by id."""
        return SpillingSets(self._scratch)

    def row(self) -> SpillingRow:
        """A row of texts."""
        return SpillingRow(self._scratch)


def kept(scratch: Scratch, others: Mapping[str, Verdict]) -> Mapping[str, Verdict]:
    """The same verdicts so that further ones can stand on them without all being copied.

    Args:
        scratch: Where they lie if they are many.
        others: What a judging gave; the earlier ones that it stands on are not changed.
    """
    if not isinstance(others, Changed):
        return others
    before, since = others.before, others.since
    if not since:
        return before
    if isinstance(before, _Versions):
        return before.with_more(since)
    if len(before) + len(since) <= spilling.KEPT:
        return {name: verdict for name in in_order(before, since) if (verdict := others.get(name)) is not None}
    return _Versions(before, _History(scratch)).with_more(since)


class _History:
    """What became of verdicts, by id and by the number of the judging that changed it."""

    def __init__(self, scratch: Scratch) -> None:
        self.scratch = scratch
        self.table = scratch.table("(id BLOB, number INTEGER, value BLOB, PRIMARY KEY (id, number))", owner=self)
        self.last = 0


class _Versions(Marks):
    """Verdicts as they stood after one of several judgings."""

    def __init__(self, before: Mapping[str, Verdict], history: _History, number: int = 0) -> None:
        """As they stood after so many of those of a history.

        Args:
            before: As they were before the first.
            history: What has changed since.
            number: How many of its judgings count.
        """
        self._before = before
        self._history = history
        self._number = number

    def with_more(self, since: Mapping[str, Verdict]) -> _Versions:
        """What comes after these."""
        if self._number != self._history.last:  # something else came after these already
            return _Versions(self, _History(self._history.scratch)).with_more(since)
        number = self._number + 1
        rows = ((bytes.fromhex(name), number, packed(verdict)) for name, verdict in since.items())
        self._history.scratch.run_many(f"INSERT INTO {self._history.table} VALUES (?, ?, ?)", rows)  # noqa: S608
        self._history.last = number
        return _Versions(self._before, self._history, number)

    def __getitem__(self, name: str) -> Verdict:
        """The verdict that is listed."""
        row = self._history.scratch.row(
            f"SELECT value FROM {self._history.table} WHERE id = ? AND number <= ? ORDER BY number DESC LIMIT 1",  # noqa: S608
            (bytes.fromhex(name), self._number),
        )
        if row is None:
            return self._before[name]
        verdict = unpacked(row[0])
        if verdict is ACCEPTED:
            raise KeyError(name)
        return verdict

    def __iter__(self) -> Iterator[str]:
        """The ids in order."""
        return (name for name in in_order(self._before, self._changed(0)) if name in self)

    def __len__(self) -> int:
        """How many are listed."""
        return sum(1 for _ in self)

    def changed_since(self, before: Mapping[str, Verdict], /) -> Iterator[str] | None:
        """The ids, in order, whose verdict may have changed since; None where these did not come from those."""
        if before is self._before:
            return self._changed(0)
        place = before.place() if isinstance(before, _Versions) else None
        return self._changed(place[1]) if place is not None and place[0] is self._history else None

    def place(self) -> tuple[_History, int]:
        """The history, and how many of its judgings count here."""
        return self._history, self._number

    def _changed(self, after: int) -> Iterator[str]:
        question = (
            f"SELECT DISTINCT id FROM {self._history.table} WHERE id > ? AND number > {after:d}"  # noqa: S608
            f" AND number <= {self._number:d} ORDER BY id LIMIT ?"
        )
        return (name.hex() for (name,) in self._history.scratch.pages(question, last=(b"",)))
