"""Who is known to hold what, by the receipts that came here.

Not a promise: a receipt may be old, lost or a lie, so this tells people and steers nothing. One rule: what is not known
to be held elsewhere counts as held here alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.store.spilling import SpillingSet

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, MutableSet

    from sync.receipt import Receipt
    from sync.statement import Lane
    from sync.store.store import Store


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a statement lies: the log, lane and number of a bundle."""

    log: str
    lane: Lane
    number: int


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a site says that it holds a log: the numbers up to which nothing is missing there, 0 for none."""

    site: str
    log: str
    urgent: int
    text: int

    def covers(self, place: Place) -> bool:
        """Whether a bundle at this place is among what the site says that it holds."""
        return self.log == place.log and place.number <= (self.urgent if place.lane == "urgent" else self.text)


def reaches(store: Store, *, own_site: str) -> Iterator[Reach]:
    """What the other sites said last: of each the receipts of the logs that no later log of theirs follows.

    A site that was put back from an older copy may have lost what it once held, so its older receipts count no more.
    """
    return reached_by(store.papers.each_receipt, own_site=own_site, followed=SpillingSet(store.scratch))


def reached_by(
    receipts: Callable[[], Iterable[Receipt]], *, own_site: str, followed: MutableSet[str]
) -> Iterator[Reach]:
    """The same from the newest receipts of each site and log, wherever they were found.

    Args:
        receipts: Gives them, twice.
        own_site: The key of the site whose own do not count.
        followed: Empty; where to remember which logs a later one follows.
    """
    for receipt in receipts():
        for log in receipt.follows:
            followed.add(receipt.site + log)
        del receipt  # one may take 40 MiB
    for receipt in receipts():
        if receipt.site != own_site and receipt.site + receipt.log not in followed:
            for log in sorted(receipt.held):
                yield Reach(receipt.site, log, *receipt.held[log])
        del receipt


def disagreeing(store: Store, *, own_site: str) -> tuple[str, ...]:
    """The keys of sites that said of the very same set, by the same fold, that it comes to another state.

    That must never happen: one of both is damaged, or two versions of the software differ where they must not.
    """
    mine = {(one.set, one.fold): one.state for one in store.papers.each_receipt() if one.site == own_site}
    differing = {
        one.site for one in store.papers.each_receipt() if mine.get((one.set, one.fold), one.state) != one.state
    }
    return tuple(sorted(differing - {own_site}))


def places(store: Store, names: Iterable[str] | None = None) -> Mapping[str, tuple[Place, ...]]:
    """Where statements lie, by id; nowhere yet where they were said here since the last exchange.

    Args:
        store: Ours.
        names: Ids of held statements; None for all that are held.
    """
    return {name: tuple(Place(*place) for place in found) for name, found in store.bundles.places(names).items()}
