"""What an exchange costs where nothing is new, or a little, by how much is held; and how soon the urgent is known."""

from __future__ import annotations

import time
from base64 import b64encode
from typing import TYPE_CHECKING

from sync.exchange.layout import survey
from sync.limits import BUNDLE_PACKED_BYTES_MAX
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.history import Speakers, keep_and_seal, visit
from tests.bench.measure import middle_of
from tests.sync.camps import Site, Watched, circle, files_of, meet, new_stick

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

REPEATS = 5
A_FEW = 10  # statements that are new
BACKLOG_BODY_BYTES = 60_000  # random letters, so that one statement fills a bundle as sites seal them


def measure(place: Path, size: Size) -> Iterator[Figure]:
    """Measure both."""
    yield from _by_what_is_held(place / "held", size)
    yield _urgent(place / "urgent", size)


def _by_what_is_held(place: Path, size: Size) -> Iterator[Figure]:
    sites = circle(place / "sites", "CT")
    stick = new_stick(place)
    speakers = Speakers(sites["C"])
    meet(stick, *sites.values())
    for held in size.held:
        keep_and_seal(sites["C"], speakers.say(held - sites["C"].store.count()))
        for site in sites.values():
            visit(site, stick)
            visit(site, stick)  # the receipts of both are there
        yield _nothing_new(sites["C"], stick, held)
        yield _a_few_new(sites, speakers, stick, held)
    for site in sites.values():
        site.store.close()


def _nothing_new(site: Site, stick: Path, held: int) -> Figure:
    sites_folder = f"{site.store.network.folder}/"
    before = files_of(stick)
    watched = Watched(stick)
    visit(site, watched)
    if files_of(stick) != before:
        raise AssertionError("an exchange with nothing new has written")
    floor = middle_of(lambda: survey(watched, sites_folder, site.store.scratch), repeats=REPEATS)
    ours = middle_of(lambda: visit(site, stick), repeats=REPEATS)
    return Figure(
        f"an exchange with nothing new, {number(held)} held",
        f"{seconds(floor)}: listing the {len(before)} files",
        f"{seconds(ours)}, {len(watched.read_names)} files read, {len(watched.written_names)} written",
        times(ours, floor),
    )


def _a_few_new(sites: dict[str, Site], speakers: Speakers, stick: Path, held: int) -> Figure:
    """At the site that they come to."""
    sites_folder = f"{sites['T'].store.network.folder}/"
    times_s: list[float] = []
    for _ in range(REPEATS):
        keep_and_seal(sites["C"], speakers.say(A_FEW))
        visit(sites["C"], stick)
        times_s.append(middle_of(lambda: visit(sites["T"], stick), repeats=1))
    floor = middle_of(lambda: survey(Watched(stick), sites_folder, sites["T"].store.scratch), repeats=REPEATS)
    ours = sorted(times_s)[REPEATS // 2]
    what = f"an exchange that brings {A_FEW}, {number(held)} held"
    return Figure(what, f"{seconds(floor)}: listing the files", seconds(ours), times(ours, floor))


def _urgent(place: Path, size: Size) -> Figure:
    """By the clock on the wall, from opening the stick until the recall is in the store and judged."""
    sites = circle(place / "sites", "CT")
    stick = new_stick(place)
    meet(stick, *sites.values())
    backlog = _leave_backlog(sites["C"], stick, size.backlog_bytes)
    recall = sites["C"].say("garden/recall", {"text": "pour it away"})
    visit(sites["C"], stick)
    known: list[float] = []

    def watch(what: str, _done: int, _of: int) -> None:
        if what == "taking in text" and not known and sites["T"].store.verdict(recall.id) is not None:
            known.append(time.perf_counter())

    started = time.perf_counter()
    visit(sites["T"], stick, progress=watch)
    whole = time.perf_counter() - started
    for site in sites.values():
        site.store.close()
    what = f"something urgent known, {number(backlog)} bytes of backlog on the stick"
    least = f"{seconds(whole)}: the whole exchange"
    return Figure(what, least, seconds(known[0] - started), times(known[0] - started, whole))


def _leave_backlog(site: Site, stick: Path, limit_bytes: int) -> int:
    """Seal and leave bundles of random text until there are so many bytes; how many there are."""
    written = 0
    while written < limit_bytes:
        room = min(limit_bytes - written, 4 * BUNDLE_PACKED_BYTES_MAX)
        for _ in range(-(-room // BACKLOG_BODY_BYTES)):
            text = b64encode(site.chance.randbytes(BACKLOG_BODY_BYTES * 3 // 4)).decode()
            site.edition(text)
        visit(site, stick)
        written = sum(path.stat().st_size for path in stick.rglob("*.bundle"))
    return written
