"""Folders in which one steward of three, whose key somebody else has, says very much; and one full of long receipts.

Not what is made of it. One rule: what each scene says came of it is looked up afterwards, in a process of its own.
"""

from __future__ import annotations

from functools import partial
from itertools import islice
from typing import TYPE_CHECKING

from sync.bundle import seal_bundle
from sync.receipt import write_receipt
from tests.sync import steward_floods
from tests.sync.apart import apart, measured, ready
from tests.sync.camps import circle, folder_of, meet, new_stick

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from sync import Statement
    from sync.charter import Judgement
    from tests.sync.camps import Site

IN_A_BUNDLE = 500
FULL = 1_000_000
LOGS_NAMED = 105_000  # in each receipt: nearly the 4 MiB that one may have
RECEIPTS = 100


def stops(place: Path, share: float) -> dict[str, float]:
    """A million revocations of a million keys."""
    return _taken_in(place, share, steward_floods.stops_keys, lambda judgement: len(judgement.stops))


def stops_of_one(place: Path, share: float) -> dict[str, float]:
    """Half a million words of one key, and as many revocations of it, each with another cut."""
    count = _count(share)
    return _taken_in(
        place, share, steward_floods.stops_one_key,
        lambda judgement: count * (len(judgement.stops) == 1 and len(next(iter(judgement.charter.revoked.values()))) > 1),
    )  # fmt: skip


def liftings(place: Path, share: float) -> dict[str, float]:
    """Half a million revocations, and a voice for the lifting of each."""
    return _taken_in(
        place, share, steward_floods.stops_and_would_allow,
        lambda judgement: sum(len(judgement.tallies[name].said) + 1 for name in judgement.tallies),
    )  # fmt: skip


def lists(place: Path, share: float) -> dict[str, float]:
    """A million lists of stewards that lack a second voice."""
    return _taken_in(place, share, steward_floods.states_lists, lambda judgement: len(judgement.charter.proposed))


def voices(place: Path, share: float) -> dict[str, float]:
    """A million voices for as many reviewers."""
    return _taken_in(place, share, steward_floods.gives_voices, lambda judgement: len(judgement.tallies))


def receipts(place: Path, share: float) -> dict[str, float]:
    """A hundred receipts of one site, each as long as one may be: kept, and read again each time."""
    sites, stick, home = ready(place)
    count = max(4, int(RECEIPTS * share))
    apart(partial(_leave_receipts, home, sites["T"], count))
    took = [measured(sites["C"], stick), measured(sites["C"], stick)]
    kept = apart(lambda: sum(len(one.held) == LOGS_NAMED for one in sites["C"].store.papers.each_receipt()))
    assert kept == count
    return {
        "receipts": count,
        "seconds to take them in": took[0].seconds,
        "seconds with nothing new": took[1].seconds,
        "MiB above start": max(each.mib for each in took),
    }


def _leave_receipts(home: Path, site: Site, count: int) -> None:
    held = {f"{number:016x}": (99_999_999, number) for number in range(LOGS_NAMED)}
    for number in range(count):
        receipt = write_receipt(
            key=site.key, network_id=site.store.network.id, log=f"{number:016x}", counter=1, held=held, follows=(),
            fold=1, set_digest="0" * 64, state_digest="0" * 64,
        )  # fmt: skip
        path = home / receipt.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(receipt.to_bytes())


def _count(share: float) -> int:
    return max(2_000, int(FULL * share))


def _taken_in(
    place: Path, share: float, flood: steward_floods.Flood, counted: Callable[[Judgement], int]
) -> dict[str, float]:
    """What it took to take it all in, to take in one thing more, and to leave all on an empty stick."""
    sites, stick, count = circle(place, "CTL", stewards=steward_floods.STEWARDS), new_stick(place), _count(share)
    meet(stick, *sites.values())
    apart(lambda: _leave(folder_of(stick), sites["C"], flood(sites["C"], count)))
    site = sites["L"]
    took = [measured(site, stick)]
    site.edition("one more")
    took.append(measured(site, stick))
    took.append(measured(site, new_stick(place, "empty")))
    assert apart(lambda: counted(site.store.judgement)) == count
    return {
        "statements": count,
        "seconds to take them in": took[0].seconds,
        "seconds for one edition more": took[1].seconds,
        "seconds to leave them": took[2].seconds,
        "MiB above start": max(each.mib for each in took),
    }


def _leave(home: Path, site: Site, said: Iterable[Statement]) -> None:
    """Leave an urgent log of a site on a stick that holds all this."""
    coming, previous, number = iter(said), None, 0
    while some := list(islice(coming, IN_A_BUNDLE)):
        number += 1
        bundle = seal_bundle(
            key=site.key, network_id=site.store.network.id, log=f"{15:016x}", lane="urgent", number=number,
            previous=previous, statements=some,
        )  # fmt: skip
        previous = bundle.id
        path = home / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())


SCENES: dict[str, Callable[[Path, float], dict[str, float]]] = {
    "stops": stops, "stops of one": stops_of_one, "liftings": liftings, "lists": lists, "voices": voices,
    "receipts": receipts,
}  # fmt: skip
