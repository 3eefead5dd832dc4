"""Which entry an edition belongs to, and what it was made from.

Not the editions themselves. Its one rule: a total function of the known parents; a parent that has not arrived stands
for an entry of its own name, so that a recall of it reaches what was made from it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping


class Kinship:
    """The families of editions."""

    def __init__(self, editions: Mapping[str, tuple[tuple[str, ...], bool]]) -> None:
        """Sort editions into entries.

        Args:
            editions: by id: the parents, and whether the edition says that it begins an adaptation.
        """
        self._editions = editions
        self._entry: dict[str, str] = {}
        for edition in editions:
            self._sort(edition)
        self._origins: dict[str, set[str]] = {}
        for edition, (parents, _) in editions.items():
            origins = {self.entry_of(parent) for parent in parents} - {self.entry_of(edition)}
            self._origins.setdefault(self.entry_of(edition), set()).update(origins)

    def _sort(self, edition: str) -> None:
        """Find the entry of an edition after those of its parents, without recursion: histories may be long."""
        waiting, entered = [edition], set[str]()
        while waiting:
            here = waiting[-1]
            parents, adaptation = self._editions.get(here, ((), True))
            open_parents = [one for one in parents if one not in self._entry]
            if here in self._entry:
                waiting.pop()
            elif open_parents and here not in entered:
                entered.add(here)
                waiting.extend(open_parents)
            else:
                self._entry[waiting.pop()] = self._joined(here, parents, adaptation=adaptation)

    def _joined(self, edition: str, parents: tuple[str, ...], *, adaptation: bool) -> str:
        entries = {self._entry.get(parent, parent) for parent in parents}
        return entries.pop() if len(entries) == 1 and not adaptation else edition

    def entry_of(self, edition: str) -> str:
        """The id of the entry that an edition belongs to: that of its first edition."""
        return self._entry.get(edition, edition)

    def reached(self, edition: str, targets: Iterable[str]) -> bool:
        """True where one of these editions or entries is of the edition's entry, or of one it was made from."""
        wanted = {self.entry_of(target) for target in targets}
        open_entries, seen = [self.entry_of(edition)], {self.entry_of(edition)}
        while open_entries:
            entry = open_entries.pop()
            if entry in wanted:
                return True
            new = self._origins.get(entry, set()) - seen
            seen |= new
            open_entries.extend(new)
        return False

    def follows(self, edition: str, targets: Collection[str]) -> bool:
        """True where an edition is one of these, or follows one of them at any remove."""
        pending, seen = [edition] if targets else [], {edition}
        while pending:
            one = pending.pop()
            if one in targets:
                return True
            new = set(self._editions.get(one, ((), True))[0]) - seen
            seen |= new
            pending.extend(new)
        return False
