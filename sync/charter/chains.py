"""Who said what after what: for each author the chains of ``previous``, as far as they are here.

Not the order of entries (that is ``after``). One rule: a chain goes on only through statements of the same
author that are here; what lies behind a gap is not reached until the gap is filled. A chain may fork (two
devices, a restored site), so the statements of one author are a forest, and a cut names several ends.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from sync.charter.held import Joined, Link
    from sync.charter.room import Row
    from sync.statement import Statement

_ID_HEX = 64


class Chains:
    """The chains of all authors over one set of statements."""

    def __init__(self, held: Joined) -> None:
        """Nothing is looked up until an author is asked about."""
        self._held = held
        self._room = held.room()
        self._orders: dict[str, Row] = {}

    def good(self, author: str, cuts: Sequence[Iterable[str]]) -> AbstractSet[str]:
        """What is reached by ``previous`` under every one of the cuts, each given by its ends.

        Each statement gathers the numbers of the cuts that reach it from its successors; a small set is
        always poured into the larger one, so that even 100,000 cuts of one chain take a moment.
        """
        reaching: dict[str, set[int]] = {}
        for number, ends in enumerate(cuts):
            for end in ends:
                reaching.setdefault(end, set()).add(number)
        good = self._room.names()
        for identity, previous in self._from_the_last(author):
            numbers = reaching.pop(identity, None)
            if numbers is None:
                continue
            if len(numbers) == len(cuts):
                good.add(identity)
            if previous is not None:
                reaching[previous] = _poured(numbers, reaching.get(previous))
        return good

    def gaps(self, author: str, cuts: Iterable[Iterable[str]]) -> frozenset[str]:
        """The ids that would extend what any of the cuts reaches, if they came: missing ends and missing links."""
        ends = frozenset[str]().union(*cuts)
        reached = self.good(author, [ends])
        missing = (
            previous
            for identity, previous in self._from_the_last(author)
            if previous is not None and not self._held.has(previous) and identity in reached
        )
        return frozenset(missing).union(each for each in ends if not self._held.has(each))

    def _from_the_last(self, author: str) -> Iterator[Link]:
        """Each statement of the author before the one it follows, with that one's id."""
        if author not in self._orders:
            row = self._room.row()
            for identity, previous in self._held.chain_of(author):
                row.append(identity + (previous or ""))
            self._orders[author] = row
        for text in reversed(self._orders[author]):
            yield text[:_ID_HEX], text[_ID_HEX:] or None


def last_statements(statements: Iterable[Statement], author: str) -> tuple[str, ...]:
    """The ends of an author's chains: what a cut or a new version names to keep all that is here now."""
    own = {statement.id: statement.previous for statement in statements if statement.author == author}
    return tuple(sorted(own.keys() - set(own.values())))


def _poured(numbers: set[int], into: set[int] | None) -> set[int]:
    if into is None:
        return numbers
    small, large = sorted((numbers, into), key=len)
    large |= small
    return large
