"""Folders in which one who may give roles gives very many of them: to as many keys, or to one key again and again.

Not what is wrong with it: all of it counts. One rule: what each scene says came to be is looked up afterwards.
"""

from __future__ import annotations

from hashlib import sha256
from itertools import islice
from typing import TYPE_CHECKING

from sync.bundle import seal_bundle
from sync.limits import HEX_IN_NAMES
from tests.sync import floods
from tests.sync.apart import apart, measured, ready
from tests.sync.camps import new_stick
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from sync import Lane, Statement
    from tests.sync.camps import Site

    Flood = Callable[[Site, int], Iterator[Statement]]

IN_A_BUNDLE = 500
FULL = 1_000_000


def named(place: Path, share: float) -> dict[str, float]:
    """A million people whom one site names."""
    site, count, figures = _taken_in(place, share, floods.names_people, by="T", lane="text")
    charter = site.store.charter
    assert len(charter.people) >= count
    assert charter.name_of(floods.one_of_many(0)).startswith("T1-" if count >= 10_000 else "T1")
    return figures


def named_again(place: Path, share: float) -> dict[str, float]:
    """One person whom a site names a million times, each time otherwise."""
    site, _, figures = _taken_in(place, share, floods.names_one_again, by="T", lane="text")
    assert site.store.charter.people[floods.one_of_many(0)].name == "T1"
    return figures


def let_in(place: Path, share: float) -> dict[str, float]:
    """A million sites that one steward lets in."""
    site, count, figures = _taken_in(place, share, floods.lets_sites_in, by="C", lane="urgent")
    assert len(site.store.charter.sites) >= count
    assert len(site.store.judgement.sites_taken) >= count
    return figures


def let_in_and_speak(place: Path, share: float) -> dict[str, float]:
    """A million sites that one steward lets in, each of which has left a file in the urgent lane."""
    sites, stick, home = ready(place, "CTL")
    count = max(2_000, int(FULL * share))
    apart(lambda: leave(home, sites["C"], floods.lets_sites_in(sites["C"], count), lane="urgent"))
    took = [measured(sites["L"], stick)]
    apart(lambda: _leave_empty(home, count))
    took.append(measured(sites["L"], stick))
    assert not any(any(_lane_of(home, number).iterdir()) for number in range(count)), (
        "each was opened, refused and removed"
    )
    return {
        "sites": count,
        "seconds for what they left": took[1].seconds,
        "MiB above start": max(each.mib for each in took),
    }


def _leave_empty(home: Path, count: int) -> None:
    for number in range(count):
        lane = _lane_of(home, number)
        lane.mkdir(parents=True)
        (lane / f"00000001-{number:026x}-0.bundle").touch()


def _lane_of(home: Path, number: int) -> Path:
    """The urgent lane of one of many sites."""
    return home / "sites" / floods.one_of_many(number)[:HEX_IN_NAMES] / ("0" * 16) / "urgent"


def made_reviewers(place: Path, share: float) -> dict[str, float]:
    """A million reviewers whom one steward makes."""
    site, count, figures = _taken_in(place, share, floods.makes_reviewers, by="C", lane="urgent")
    assert len(site.store.charter.reviewers) == count
    return figures


def _taken_in(place: Path, share: float, flood: Flood, *, by: str, lane: Lane) -> tuple[Site, int, dict[str, float]]:
    """Who took it all in, how many there are, and what that took, with what comes after it."""
    sites, stick, home = ready(place, "CTL")
    count = max(2_000, int(FULL * share))
    apart(lambda: leave(home, sites[by], flood(sites[by], count), lane=lane))
    site = sites["L"]
    took = [measured(site, stick, state_lines=lambda: _charter_line(site))]
    site.edition("one more")
    took.append(measured(site, stick, state_lines=lambda: _charter_line(site)))
    took.append(measured(site, new_stick(place, "empty"), state_lines=lambda: _charter_line(site)))
    return site, count, {
        "statements": count,
        "seconds to take them in": took[0].seconds,
        "seconds for one edition more": took[1].seconds,
        "seconds to leave them": took[2].seconds,
        "MiB above start to take them in": took[0].mib,
        "MiB above start for one edition more": took[1].mib,
        "MiB above start to leave them": took[2].mib,
        "MiB above start": max(each.mib for each in took),
    }  # fmt: skip


def _charter_line(site: Site) -> Iterator[str]:
    digest = sha256()
    for piece in site.store.charter.spelled():
        digest.update(piece)
    yield f"charter {digest.hexdigest()}"


def leave(home: Path, site: Site, said: Iterable[Statement], *, log: int = 15, lane: Lane) -> None:
    """Leave a log of a site on a stick that holds all this."""
    coming, previous, number = iter(said), None, 0
    while some := list(islice(coming, IN_A_BUNDLE)):
        number += 1
        bundle = seal_bundle(
            key=key_of(f"site {site.letter}"), network_id=site.store.network.id, log=f"{log:016x}", lane=lane,
            number=number, previous=previous, statements=some,
        )  # fmt: skip
        previous = bundle.id
        path = home / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())
