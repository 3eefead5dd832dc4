"""An exchange takes memory for neither what is held nor what lies on the stick: bytes each, by Python's own account.

SQLite's memory is not in it: caches of fixed size, whatever the files hold.
"""

from __future__ import annotations

import gc
import tracemalloc
from functools import partial
from typing import TYPE_CHECKING

import pytest

from sync import FolderCarrier, Store, carrier, exchange, heard, receipt
from sync.charter import redactions, voices
from sync.exchange import checking, copies
from sync.exchange.sealing import begin_log, seal
from sync.statement import author_statement
from sync.store import bundles, ids, scratch, spilling, statements
from tests.sync import floods, steward_floods
from tests.sync.camps import KINDS, Site, carry, circle, folder_of, meet, new_stick
from tests.sync.hostile import leave_log, make_files
from tests.sync.scene import key_of
from tests.thorough import tried

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from sync import Statement

FEW, MANY = 1_500, 4_500
FEW_BUNDLES, MANY_BUNDLES = 300, 1_500
BYTES_EACH_SEALED = 96  # Python keeps up to 2,000 tuples of a length that nobody uses, to use them again
KEPT = 32
PAGES = (
    (scratch, "PAGE_ROWS"), (copies, "PAGE_ROWS"), (statements, "PAGE_ROWS"), (bundles, "PAGE_ROWS"), (ids, "PAGE_IDS"),
    (statements, "PAGE_IDS"), (checking, "ASKED_AT_ONCE"), (receipt, "_IDS_AT_ONCE"),
    (carrier, "KNOWN_MAX"), (redactions, "_REMEMBERED"), (voices, "_REMEMBERED"),
)  # fmt: skip
IN_A_BUNDLE = 250
SAID_BY_ONE = 300, 1_200
LONG_BYTES, LONG_ONES = 100_000, 60
BYTES_EACH_BUNDLE = 32  # from some 1,500 bundles on nothing grows any more; a path of one takes 150
BYTES_EACH_JUDGED = (
    48  # few are tried, so what Python keeps for the next ones counts; one that is listed takes over 150
)
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


def keep(site: Site, count: int, *, each: int = IN_A_BUNDLE) -> None:
    """Say so many reports more, sealed in the log that the site writes in, so many in a bundle."""
    log = site.store.papers.own_logs(site.key.public)[-1]
    for start in range(0, count, each):
        said = reports(site, min(each, count - start), site.store.last_of(site.trainer.public))
        with site.store.transaction():
            site.store.add(said, sealed=False)
        seal(site.store, key=site.key, log=log)


def peak_bytes(do: Callable[[], object]) -> int:
    gc.collect()
    # Python keeps some thousand tuples that were let go for the next ones: those are no memory that a statement takes
    del [[tuple(range(length)) for _ in range(2_000)] for length in range(1, 21)][:]
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


def judged(file: Path) -> Callable[[], None]:
    """As every command does it: the store is opened and the whole judged; then somebody's name is asked for."""

    def do() -> None:
        store = Store.open(file, KINDS)
        assert store.charter.name_of(key_of("C1").public)[:2] == "C1"
        assert sum(map(len, store.charter.spelled()))
        store.close()

    return do


@pytest.mark.parametrize(
    "much",
    tried(
        (floods.has_no_role, floods.takes_back, floods.names_people),
        (
            floods.waits,
            floods.has_no_role,
            floods.is_set_aside,
            floods.is_before_the_cut,
            floods.names_stewards,
            floods.stops_whom_it_may_not,
            floods.takes_back,
            floods.shows_one_file,
            floods.names_people,
            floods.names_one_again,
            floods.lets_sites_in,
        ),
    ),
)
def test_a_judging_takes_no_more_memory_where_one_key_has_said_more(
    much: Callable[[Site, int], Iterator[Statement]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert_flat(much, tmp_path, monkeypatch)


@pytest.mark.parametrize(
    "much",
    tried(
        (steward_floods.stops_keys, steward_floods.states_lists, steward_floods.gives_voices),
        tuple(steward_floods.FLOODS.values()),
    ),
)
def test_a_judging_takes_no_more_memory_for_what_one_steward_says(
    much: steward_floods.Flood, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert_flat(much, tmp_path, monkeypatch)


def assert_flat(much: steward_floods.Flood, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole is judged with few statements of a sort and with many."""
    remember_few(monkeypatch)
    peaks = []
    for count in SAID_BY_ONE:
        site = circle(tmp_path / f"{count}", "CT", stewards=steward_floods.STEWARDS)["C"]
        site.introduce("T1")
        site.store.add(list(much(site, count)), sealed=True)
        site.store.close()
        peaks.append(peak_bytes(judged(site.file)))
    assert (peaks[1] - peaks[0]) / (SAID_BY_ONE[1] - SAID_BY_ONE[0]) < BYTES_EACH_JUDGED, peaks


@pytest.mark.parametrize("kind", ["garden/report", "sync/grant"])
def test_long_statements_are_judged_as_few_at_a_time_as_lie_well_in_memory(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(statements, "PAGE_BYTES", LONG_BYTES)
    monkeypatch.setattr(spilling, "KEPT_BYTES", LONG_BYTES)
    site = circle(tmp_path, "CT")["C"]
    long = {"letter": "X", "name": "x" * LONG_BYTES, "role": "site"}
    said = floods.said_by("C1", site, LONG_ONES, kind, body=lambda number: long | {"key": floods.one_of_many(number)})
    site.store.add(list(said), sealed=True)
    site.store.close()
    assert peak_bytes(judged(site.file)) < LONG_ONES * LONG_BYTES / 2


def test_what_very_many_waited_for_takes_no_more_memory_to_come(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    peaks = []
    for count in SAID_BY_ONE:
        site = circle(tmp_path / f"{count}", "CT")["C"]
        (late,) = floods.said_by("C1", site, 1, "garden/report")
        site.store.add(list(floods.said_by("C1", site, count, "garden/report", after=[late.id])), sealed=True)
        peaks.append(peak_bytes(partial(site.store.add, [late], sealed=True)))
        assert sum(1 for _, depth in site.store.depths() if depth == 1) == count
    assert (peaks[1] - peaks[0]) / (SAID_BY_ONE[1] - SAID_BY_ONE[0]) < BYTES_EACH_JUDGED, peaks


def test_hearing_how_much_is_stopped_takes_no_more_memory_where_more_was_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    peaks = []
    for count in SAID_BY_ONE:
        site = circle(tmp_path / f"{count}", "CT", stewards=steward_floods.STEWARDS)["C"]
        for flood in (steward_floods.beats, steward_floods.stops_keys):
            site.store.add(list(flood(site, count // 2)), sealed=True)
        site.reopen()
        assert site.store.judgement.stops
        peaks.append(peak_bytes(partial(heard_of, site, 64 * (count // 2))))
    assert (peaks[1] - peaks[0]) / (SAID_BY_ONE[1] - SAID_BY_ONE[0]) < BYTES_EACH_JUDGED, peaks


def heard_of(site: Site, away: int) -> None:
    """So many stops that a heartbeat names are not here."""
    (said,) = heard(site.store)
    assert said.lacking == away


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


def remember_few(monkeypatch: pytest.MonkeyPatch) -> None:
    """So many of anything at once, so that what grows with what is there shows at small sizes."""
    monkeypatch.setattr(spilling, "KEPT", KEPT)
    for module, name in PAGES:
        monkeypatch.setattr(module, name, KEPT)
    monkeypatch.setitem(copies._PAGE_COPIES, "text", KEPT)


def peaks_of(sites: dict[str, Site], stick: Path, numbers: tuple[int, int], more: Callable[[int], None]) -> list[int]:
    """What an exchange of T takes at the peak that brings one edition, when there are so many of something."""
    peaks = []
    for number in numbers:
        more(number)
        sites["C"].edition()
        sites["C"].exchange(stick)
        sites["T"].store.close()
        peaks.append(peak_bytes(opened_and_exchanged(sites["T"], stick)))
        sites["T"].store = Store.open(sites["T"].file, KINDS)
    return peaks


def test_an_exchange_takes_no_more_memory_where_more_bundles_are_held(
    place: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    sites = circle(place, "CT")
    meet(stick, *sites.values())

    def hold(number: int) -> None:
        keep(sites["C"], number - sum(1 for _ in sites["C"].store.bundles.listed()), each=1)
        meet(stick, *sites.values())

    peaks = peaks_of(sites, stick, (FEW_BUNDLES, MANY_BUNDLES), hold)
    assert (peaks[1] - peaks[0]) / (MANY_BUNDLES - FEW_BUNDLES) < BYTES_EACH_BUNDLE, peaks


def test_an_exchange_takes_no_more_memory_where_more_files_lie_on_the_stick(
    place: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    sites = circle(place, "CT")
    meet(stick, *sites.values())
    made = 0

    def lie(number: int) -> None:
        nonlocal made
        made = make_files(folder_of(stick), stick, made, number)

    peaks = peaks_of(sites, stick, (MANY, 2 * MANY), lie)  # a report names the first few hundred
    assert (peaks[1] - peaks[0]) / MANY < BYTES_EACH, peaks


def test_an_exchange_takes_no_more_memory_where_more_bodies_are_lacking(
    place: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    sites = circle(place, "CT")
    meet(stick, *sites.values())
    logs = 0

    def lack(number: int) -> None:
        nonlocal logs
        logs += 1
        lacking = len(sites["T"].store.lacking())
        leave_log(folder_of(stick), sites["C"], log=logs, statements=number - lacking, each=2, bare=True)
        carry(stick, sites["T"], sites["C"], rounds=2)
        assert len(sites["T"].store.lacking()) == number

    peaks = peaks_of(sites, stick, (FEW_BUNDLES, MANY_BUNDLES), lack)
    assert (peaks[1] - peaks[0]) / (MANY_BUNDLES - FEW_BUNDLES) < BYTES_EACH_BUNDLE, peaks


def test_sealing_what_was_said_since_takes_no_more_memory_where_it_is_more(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    remember_few(monkeypatch)
    site = circle(place, "C")["C"]
    log = begin_log(site.store, site.key.public, random=site.chance.randbytes)
    peaks = []
    for number in (FEW, MANY):
        for start in range(0, number, IN_A_BUNDLE):
            with site.store.transaction():
                site.store.add(
                    reports(site, min(IN_A_BUNDLE, number - start), site.store.last_of(site.trainer.public)),
                    sealed=False,
                )
        site.reopen()
        peaks.append(peak_bytes(lambda: seal(site.store, key=site.key, log=log)))
    assert (peaks[1] - peaks[0]) / (MANY - FEW) < BYTES_EACH_SEALED, peaks
