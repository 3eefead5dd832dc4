"""What judging takes of memory and time where one key has said very much, in a process of its own.

The floor is as many reports against which nothing is to be said. What that process does is what a command does first:
open the store, and judge the whole.
"""

from __future__ import annotations

import gc
import time
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from sync import Store
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.memory import peak_mib
from tests.sync import floods, steward_floods
from tests.sync.apart import apart
from tests.sync.camps import KINDS, circle

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync import Statement
    from tests.sync.camps import Site

    Flood = Callable[[Site, int], Iterator[Statement]]

SITTING = 2_000  # statements put in at a time
FLOODS: dict[str, Flood] = {
    "that wait for what is not here": floods.waits,
    "by a key with no role": floods.has_no_role,
    "set aside": floods.is_set_aside,
    "before the cut of a stopped key": floods.is_before_the_cut,
    "lists that no steward has said": floods.names_stewards,
    "revocations by no steward": floods.stops_whom_it_may_not,
    "half of them taking back the other half": floods.takes_back,
    "with one file that two take back": floods.shows_one_file,
    "naming people": floods.names_people,
}


def measure(place: Path, size: Size) -> Iterator[Figure]:
    """Measure each flood beside its floor."""
    count = size.held[-1]
    least_mib, least_s = _judged(place / "floor", floods.reports, count)
    for what, flood in (FLOODS | steward_floods.FLOODS).items():
        mib, took_s = _judged(place / flood.__name__, flood, count)
        floor = f"{least_mib:.1f} MiB above start: as many reports"
        named = f"judging {number(count)} {what}"
        yield Figure(f"{named}: memory", floor, f"{mib:.1f} MiB", times(mib, least_mib))
        yield Figure(f"{named}: time of the processor", seconds(least_s), seconds(took_s), times(took_s, least_s))


def _judged(place: Path, flood: Flood, count: int) -> tuple[float, float]:
    """Memory above start [MiB] and time of the processor [s]."""
    file = Path(apart(lambda: _filled(place, flood, count)))
    mib, took_s = apart(lambda: _opened(file))
    file.unlink()
    return mib, took_s


def _filled(place: Path, flood: Flood, count: int) -> str:
    """The store of a site that holds a flood."""
    site = circle(place, "CT", stewards=steward_floods.STEWARDS)["C"]
    site.introduce("T1")
    coming = flood(site, count)
    while part := list(islice(coming, SITTING)):
        site.store.add(part, sealed=True)
        site.reopen()
    site.store.close()
    return str(site.file)


def _opened(file: Path) -> tuple[float, float]:
    gc.collect()
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before, start = peak_mib(), time.process_time()
    store = Store.open(file, KINDS)
    assert store.judgement.charter.sites
    took = peak_mib() - before, time.process_time() - start
    store.close()
    return took
