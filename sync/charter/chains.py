"""Who said what after what: for each author the chains of ``previous``, as far as they are here.

Not the order of entries (that is ``after``). One rule: a chain goes on only through statements of the same
author that are here; what lies behind a gap is not reached until the gap is filled. A chain may fork (two
devices, a restored site), so the statements of one author are a forest, and a cut names several ends.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Container, Iterable, Iterator, MutableSet
    from collections.abc import Set as AbstractSet

    from sync.charter.held import Joined, Link
    from sync.charter.room import Room
    from sync.statement import Statement

_ID_HEX = 64


class Chains:
    """The chains of all authors over one set of statements."""

    def __init__(self, held: Joined) -> None:
        """Nothing is looked up until an author is asked about."""
        self._held = held
        self._room = held.room()
        self._author: str | None = None
        self._order = self._room.row()

    def good(self, author: str, cuts: Iterable[Iterable[str]]) -> AbstractSet[str]:
        """What is reached by ``previous`` under every one of the cuts, each given by its ends.

        The first cut is walked through from the last statement on; each further one only takes something away from
        what is left, so that even 100,000 cuts of one chain take a moment.

        Args:
            author: Whose statements.
            cuts: One at least; walked through once.
        """
        coming = iter(cuts)
        good = self._reached(author, next(coming))
        left = None
        for ends in coming:
            left = left or _Left(self._room, good, self._from_the_last(author))
            left.keep(ends)
            if left.is_empty():
                break
        return good

    def gaps(self, author: str, ends: Collection[str]) -> Iterator[str]:
        """The ids that would extend what is reached from these ends, if they came: missing ends and missing links."""
        yield from (each for each in ends if not self._held.has(each))
        reached = self._reached(author, ends)
        for identity, previous in self._from_the_last(author):
            if previous is not None and identity in reached and not self._held.has(previous):
                yield previous

    def ends(self, author: str, among: Container[str] | None = None) -> Iterator[str]:
        """What nothing of the same author follows, of all that is here or of some that nothing outside them follows."""
        followed = self._room.names()
        for identity, previous in self._from_the_last(author):
            if among is None or identity in among:
                if identity not in followed:
                    yield identity
                followed.discard(identity)
                if previous is not None:
                    followed.add(previous)

    def _reached(self, author: str, ends: Iterable[str]) -> MutableSet[str]:
        """What is reached from any of these ends."""
        reached, awaited = self._room.names(), self._room.names()
        for each in ends:
            awaited.add(each)
        for identity, previous in self._from_the_last(author):
            if identity in awaited:
                awaited.discard(identity)
                reached.add(identity)
                if previous is not None:
                    awaited.add(previous)
        return reached

    def _from_the_last(self, author: str) -> Iterator[Link]:
        """Each statement of the author before the one it follows, with that one's id."""
        if author != self._author:
            self._author, self._order = author, self._room.row()
            for identity, previous in self._held.chain_of(author):
                self._order.append(identity + (previous or ""))
        return ((text[:_ID_HEX], text[_ID_HEX:] or None) for text in reversed(self._order))


class _Left:
    """What several cuts of one author's chains all reach: it has no more ends, and forks no more often, than a cut."""

    def __init__(self, room: Room, good: MutableSet[str], links: Iterable[Link]) -> None:
        """As the first cut leaves it.

        Args:
            room: Where to remember what follows what.
            good: What the first cut reaches; what the others do not reach is taken out.
            links: All statements of the author, each before the one that it follows.
        """
        self._good = good
        self._previous = room.texts()
        self._ends: set[str] = set()
        self._forks: dict[str, int] = {}  # where several good ones follow: how many
        followed = room.names()
        for identity, previous in links:
            if previous is not None:
                self._previous[identity] = bytes.fromhex(previous)
            if identity not in good:
                continue
            if identity not in followed:
                self._ends.add(identity)
            followed.discard(identity)
            if previous is not None:
                if previous in followed:
                    self._forks[previous] = self._forks.get(previous, 1) + 1
                followed.add(previous)

    def is_empty(self) -> bool:
        """Whether nothing is left."""
        return not self._ends

    def keep(self, ends: Iterable[str]) -> None:
        """Take out what is not reached from any of these."""
        kept = {found for found in map(self._nearest, ends) if found is not None}
        going = self._ends - kept
        self._ends &= kept
        for end in going:
            self._take_out(end, kept)

    def _take_out(self, end: str, kept: AbstractSet[str]) -> None:
        """Take out an end, and what it follows back to whatever is kept or followed by others."""
        while True:
            self._good.discard(end)
            before = self._before(end)
            if before is None or before not in self._good:
                return
            others = self._forks.pop(before, 1) - 1
            if others:
                if others > 1:
                    self._forks[before] = others
                return
            if before in kept:
                self._ends.add(before)
                return
            end = before

    def _nearest(self, identity: str) -> str | None:
        """The last of what is left that a statement follows, at whatever distance, or itself.

        On the way what lies between is halved, so that the next who asks has less of a way.
        """
        at: str | None = identity
        while at is not None and at not in self._good:
            before = self._before(at)
            if before is None or before in self._good:
                return before
            further = self._before(before)
            if further is not None:
                self._previous[at] = bytes.fromhex(further)
            at = further
        return at

    def _before(self, identity: str) -> str | None:
        previous = self._previous.get(identity)
        return None if previous is None else previous.hex()


def last_statements(statements: Iterable[Statement], author: str) -> tuple[str, ...]:
    """The ends of an author's chains: what a cut or a new version names to keep all that is here now."""
    own = {statement.id: statement.previous for statement in statements if statement.author == author}
    return tuple(sorted(own.keys() - set(own.values())))
