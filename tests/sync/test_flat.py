"""An exchange takes memory for what is new, not for what is held: bytes a statement, by Python's own account of them.

SQLite's memory is not in it: a cache of fixed size, whatever the file holds.
"""

from __future__ import annotations

import gc
import tracemalloc
from typing import TYPE_CHECKING

from sync import FolderCarrier, Store, exchange
from sync.exchange.sealing import seal
from sync.statement import author_statement
from tests.sync.camps import KINDS, Site, circle, meet, new_stick

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from sync import Statement

FEW, MANY = 1_500, 4_500
IN_A_BUNDLE = 250
BYTES_EACH = 16  # a million then take 16 MiB; an id as Python keeps it takes 113 bytes, a statement 2,000


def reports(site: Site, count: int, previous: str | None) -> list[Statement]:
    said: list[Statement] = []
    for number in range(count):
        previous = said[-1].id if said else previous
        said.append(
            author_statement(
                key=site.trainer, network_id=site.store.network.id, kind="garden/report", body={"n": number},
                after=[previous] if previous and number % 4 == 0 else [], previous=previous,
                salt=site.chance.randbytes(16),
            )
        )  # fmt: skip
    return said


def keep(site: Site, count: int) -> None:
    """Say so many reports more, sealed in the log that the site writes in, so many in a bundle."""
    log = site.store.papers.own_logs(site.key.public)[-1]
    for start in range(0, count, IN_A_BUNDLE):
        said = reports(site, min(IN_A_BUNDLE, count - start), site.store.last_of(site.trainer.public))
        with site.store.transaction():
            site.store.add(said, sealed=False)
        seal(site.store, key=site.key, log=log)


def peak_bytes(do: Callable[[], object]) -> int:
    gc.collect()
    tracemalloc.start()
    try:
        do()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def opened_and_exchanged(site: Site, stick: Path) -> Callable[[], None]:
    """As a command does it: the store is opened, the whole judged, and what is new taken in and left."""

    def do() -> None:
        store = Store.open(site.file, KINDS)
        report = exchange(
            store, FolderCarrier(stick), site_key=site.key, random=site.chance.randbytes, state_lines=lambda: ()
        )
        assert report.accepted.number == 1
        store.close()

    return do


def test_an_exchange_takes_no_more_memory_where_more_is_held(tmp_path: Path) -> None:
    sites, stick = circle(tmp_path, "CT"), new_stick(tmp_path)
    meet(stick, *sites.values())
    peaks = []
    for held in (FEW, MANY):
        keep(sites["C"], held - sites["C"].store.count())
        meet(stick, *sites.values())
        sites["C"].edition()
        sites["C"].exchange(stick)
        sites["T"].store.close()
        peaks.append(peak_bytes(opened_and_exchanged(sites["T"], stick)))
        sites["T"].store = Store.open(sites["T"].file, KINDS)
    assert (peaks[1] - peaks[0]) / (MANY - FEW) < BYTES_EACH, peaks
