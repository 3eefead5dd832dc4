"""A fault at every call of one exchange: of the carrier and of the database, once and for ever, and the power going.

After each: nothing acknowledged is lost, nothing invalid accepted, and the next exchange succeeds without a person
repairing files. The method is that of SQLite's own tests ("How SQLite Is Tested", section 3). Here some of the calls
are tried; with ``FAULTS=all`` in the environment every one, in every manner.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sqlite3
from itertools import count
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import CarrierError, FolderCarrier, LocalError, Store
from sync.store import database
from tests.sync.camps import KINDS, circle
from tests.sync.current import Wired, wire
from tests.sync.media import Faulty, Gone, Pulled
from tests.sync.trials import acknowledged_at, each_time, require_all_well
from tests.sync.unsettled import MANNERS, Manner, Unsettled

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.sync.camps import Site

ALL = os.environ.get("FAULTS") == "all"
CALLS_AT_LEAST = 80  # system calls of the exchange that is tried, so that the trial cannot grow empty unseen
SQL_AT_LEAST = 150  # calls of SQLite, likewise
OPENING_AT_LEAST = 5  # calls of SQLite when a store is opened


def some(every: int) -> int:
    """Every so manieth call, or every one."""
    return 1 if ALL else every


# the carrier


@pytest.mark.parametrize("forever", [False, True])
def test_a_fault_at_any_call_is_told_loses_nothing_and_the_next_exchange_succeeds(
    place: Path, *, forever: bool
) -> None:
    for number, sites, stick in each_time(place, every=some(8 if forever else 3)):
        acknowledged = acknowledged_at(sites)
        calls = Faulty()
        carrier = FolderCarrier(stick, calls=calls)
        calls._fail = lambda at, _call, n=number: errno.EIO if at == n or (forever and at > n) else None  # type: ignore[misc]
        with contextlib.suppress(CarrierError):  # the stick itself could not be listed, which says it all
            report = sites["T"].exchange(carrier)
            if calls.number < number:
                break
            told = [*(refusal.reason for refusal in report.refused), *report.notes]
            assert any("Input/output error" in sentence for sentence in told)
        require_all_well(sites, stick, acknowledged)
    assert number > CALLS_AT_LEAST


@pytest.mark.parametrize("manner", MANNERS if ALL else ["any"])
def test_after_a_power_cut_at_any_call_and_whatever_of_the_unsynced_is_found_nothing_is_lost(
    place: Path, manner: Manner
) -> None:
    """Writes out of order, torn, with a stale tail, entries without data, renames that did half: the FAT model."""
    for number, sites, stick in each_time(place, every=some(3)):
        acknowledged = acknowledged_at(sites)
        calls = Unsettled(sites["T"].power(number, database=False).tick)
        try:
            sites["T"].exchange(FolderCarrier(stick, calls=calls))
            break
        except Pulled:
            calls.crash(Random(number), manner)
            sites["T"].come_back()
        require_all_well(sites, stick, acknowledged)
    assert number > CALLS_AT_LEAST


@pytest.mark.parametrize("manner", MANNERS if ALL else ["torn"])
def test_after_a_stick_is_pulled_at_any_call_the_same_holds(place: Path, manner: Manner) -> None:
    for number, sites, stick in each_time(place, every=some(8)):
        acknowledged = acknowledged_at(sites)
        gone = Gone(number)
        calls = Unsettled(gone.tick)
        with contextlib.suppress(CarrierError):
            sites["T"].exchange(FolderCarrier(stick, calls=calls))
        if not gone.is_gone:
            break
        calls.crash(Random(number), manner)
        require_all_well(sites, stick, acknowledged)
    assert number > CALLS_AT_LEAST


# the store


@pytest.mark.parametrize("words", ["disk I/O error", "database or disk is full"])
@pytest.mark.parametrize("forever", [False, True])
def test_a_fault_at_any_call_of_the_database_is_one_sentence_and_the_next_exchange_succeeds(
    place: Path, words: str, *, forever: bool
) -> None:
    for number, sites, stick in each_time(place, every=some(31)):
        acknowledged = acknowledged_at(sites)
        if _fails(sites["T"], stick, number, words, forever=forever):
            require_all_well(sites, stick, acknowledged)
        else:
            break
    assert number > SQL_AT_LEAST


def _fails(site: Site, stick: Path, number: int, words: str, *, forever: bool) -> bool:
    """Exchange while the database fails; the site goes on with the store as it is in memory."""
    calls = 0
    connection = site.store._database._connection

    def tick(_sql: str) -> None:
        nonlocal calls
        calls += 1
        if calls == number or (forever and calls > number):
            raise sqlite3.OperationalError(words)

    wire(site.store, tick)
    try:
        site.exchange(stick)
    except LocalError as error:
        return bool(error.hint) and "\n" not in error.message
    else:
        return calls >= number  # nothing was left to do where a failure came late
    finally:
        site.store._database._connection = connection


def test_after_a_power_cut_at_any_call_of_the_database_nothing_is_lost(place: Path) -> None:
    for number, sites, stick in each_time(place, every=some(17)):
        acknowledged = acknowledged_at(sites)
        sites["T"].power(number)
        try:
            sites["T"].exchange(stick)
            break
        except Pulled:
            sites["T"].come_back()
        require_all_well(sites, stick, acknowledged)
    assert number > SQL_AT_LEAST


@pytest.mark.parametrize("step", ["open", "create"])
def test_a_fault_at_any_call_of_opening_or_beginning_a_store_leaves_it_whole(
    step: str, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = circle(place, "C")["C"]
    network, before, new = site.store.network, site.store.set_hash(), place / "new.sqlite"
    site.store.close()
    connect = database._connect
    for number in count(1):
        ticks = count(1)

        def tick(_sql: str, ticks: Iterator[int] = ticks, number: int = number) -> None:
            if next(ticks) == number:
                raise sqlite3.OperationalError("disk I/O error")

        monkeypatch.setattr(database, "_connect", lambda *parts, tick=tick: Wired(connect(*parts), tick))
        try:
            store = Store.open(site.file, KINDS) if step == "open" else Store.create(new, network, KINDS)
        except LocalError as error:
            failed = bool(error.hint) and "\n" not in error.message
        else:
            store.close()
            failed = False
        monkeypatch.setattr(database, "_connect", connect)
        if not failed:
            break
        site.reopen()
        assert site.store.set_hash() == before
        site.store.close()
        if new.exists():  # it was whole, and could not be opened this once
            Store.open(new, KINDS).close()
            new.unlink()
    assert number > OPENING_AT_LEAST
