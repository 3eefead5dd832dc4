"""How fast bundles are taken in, against parsing, hashing, verifying and inserting alone."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from sync import Store
from sync.bundle import parse_bundle
from sync.intake import Intake
from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.history import Speakers, keep_and_seal, visit
from tests.bench.least import read_least
from tests.bench.measure import take_turns
from tests.sync.camps import KINDS, Site, circle, new_stick

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def measure(place: Path, size: Size) -> Iterator[Figure]:
    """Take one history in, in several ways."""
    site = circle(place / "sites", "C")["C"]
    bundles = keep_and_seal(site, Speakers(site).say(size.statements))
    bench = _Bench(place, site, [bundle.to_bytes() for bundle in bundles])
    yield from bench.on_one_thread(size)
    yield bench.on_two_threads(size)
    yield bench.whole_exchange(size)
    site.store.close()


class _Bench:
    def __init__(self, place: Path, site: Site, files: list[bytes]) -> None:
        self._place = place
        self._site = site
        self._files = files
        self._stores = 0

    def on_one_thread(self, size: Size) -> Iterator[Figure]:
        floor, ours, read = take_turns(self._least, self._take, self._read, repeats=size.repeats)
        what = f"take in {number(size.statements)} statements in {len(self._files)} bundles, one thread"
        least = f"{seconds(floor)}: unpack, parse, hash, verify, insert"
        yield Figure(what, least, seconds(ours), f"{floor / ours:.2f} of its rate")
        yield Figure("of that, reading the bundles", f"{seconds(floor)}: as above", seconds(read), times(read, floor))

    def on_two_threads(self, size: Size) -> Figure:
        """By the clock on the wall: threads help only where a second core is free."""
        clock = time.perf_counter
        floor, one, two = take_turns(
            self._least, self._take, lambda: self._take(threads=2), repeats=size.repeats + 2, clock=clock
        )
        said = f"{floor / two:.2f} of its rate, {one / two:.2f} times one thread's"
        return Figure(
            "the same, two threads verifying, by the clock on the wall",
            f"{seconds(floor)}: one thread",
            seconds(two),
            said,
        )

    def whole_exchange(self, size: Size) -> Figure:
        """From a stick into a new site: listing, judging, the receipt and leaving as well."""
        stick = new_stick(self._place)
        visit(self._site, stick)
        floor, ours = take_turns(self._least, lambda: self._exchange(stick), repeats=1)
        least = f"{seconds(floor)}: as above"
        what = f"a whole exchange that brings {number(size.statements)}"
        return Figure(what, least, seconds(ours), f"{floor / ours:.2f} of its rate")

    def _new(self) -> Path:
        self._stores += 1
        folder = self._place / f"store {self._stores}"
        folder.mkdir()
        return folder / "store.sqlite"

    def _least(self) -> Iterator[None]:
        return read_least(self._files, self._site.store.network, self._new())

    def _take(self, *, threads: int = 1) -> Iterator[None]:
        store = Store.create(self._new(), self._site.store.network, KINDS)
        intake = Intake(store, threads=threads)
        for file in self._files:
            intake.take(parse_bundle(file))
            yield
        intake.commit()
        store.close()

    def _read(self) -> Iterator[None]:
        for file in self._files:
            parse_bundle(file)
            yield

    def _exchange(self, stick: Path) -> Iterator[None]:
        store = Store.create(self._new(), self._site.store.network, KINDS)
        visit(self._site, stick, store=store)
        store.close()
        yield
