"""Bits rot in a store: what is damaged is named, what holds is kept, and what other sites hold comes back."""

from __future__ import annotations

import sqlite3
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import LocalError, begin_log, check_store, mend_store
from sync.store import database
from tests.sync.camps import KINDS, Site, carry, circle, meet, new_stick, share_one_set, state_of
from tests.sync.current import Power, Wired
from tests.sync.media import Pulled
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Mended

MENDING_AT_LEAST = 30  # calls of SQLite, so that the trial cannot grow empty unseen
SPOILING = {
    "a body": "UPDATE statements SET body = x'7b7d' WHERE id = ?",
    "a salt": "UPDATE statements SET salt = zeroblob(16) WHERE id = ?",
    "a header that reads": "UPDATE statements SET header = replace(header, 'garden', 'gardin') WHERE id = ?",
    "a header that does not": "UPDATE statements SET header = x'00ff' WHERE id = ?",
    "a signature": "UPDATE statements SET signature = zeroblob(64) WHERE id = ?",
    "a signature of another type": "UPDATE statements SET signature = 7 WHERE id = ?",
    "an author": "UPDATE statements SET author = zeroblob(32) WHERE id = ?",
    "a depth": "UPDATE statements SET depth = 9 WHERE id = ?",
}


def spoil(site: Site, sql: str, name: str) -> None:
    """Let the disk change a row."""
    site.store.close()
    with sqlite3.connect(site.file) as connection:
        assert connection.execute(sql, (bytes.fromhex(name),)).rowcount == 1
    connection.close()


def mend(site: Site) -> Mended:
    """What the owner of a site does."""
    mended = mend_store(site.file, KINDS)
    site.reopen()
    begin_log(site.store, site.key.public, random=site.chance.randbytes)
    return mended


@pytest.mark.parametrize("what", SPOILING)
def test_what_is_damaged_is_named_and_comes_back_from_who_holds_it(
    what: str, sites: dict[str, Site], stick: Path
) -> None:
    edition = sites["T"].edition("how deep")
    sites["T"].edition("and another", after=[edition.id])
    meet(stick, *sites.values())
    spoil(sites["T"], SPOILING[what], edition.id)
    sites["T"].reopen()
    assert check_store(sites["T"].store) != ()
    sites["T"].store.close()
    mended = mend(sites["T"])
    assert mended.bare + mended.lost == ([] if what in {"an author", "a depth"} else [edition.id])
    assert check_store(sites["T"].store) == ()
    carry(stick, *sites.values())
    assert share_one_set(*sites.values())
    held = sites["T"].store.get(edition.id)
    assert held is not None
    assert held.body == {"text": "how deep"}
    assert check_store(sites["T"].store) == ()
    assert check_carrier(stick) == []


def test_what_nobody_else_holds_is_listed_as_lost_and_everything_beside_it_is_kept(
    sites: dict[str, Site], stick: Path
) -> None:
    meet(stick, *sites.values())
    lost = sites["T"].edition("lost")
    kept = sites["T"].edition("kept")
    sites["T"].exchange(new_stick(stick.parent, "never carried"))
    spoil(sites["T"], SPOILING["a header that does not"], lost.id)
    sites["T"].reopen()
    with pytest.raises(LocalError, match="cannot be read") as caught:
        list(sites["T"].store.statements())
    assert "mend" in caught.value.hint
    sites["T"].store.close()
    mended = mend(sites["T"])
    assert (mended.lost, len(mended.bundles)) == ([lost.id], 1)
    meet(stick, *sites.values())
    assert (state_of(sites["C"], kept.id), state_of(sites["C"], lost.id)) == ("accepted", None)


def test_a_damaged_bundle_costs_no_statement(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    edition = sites["T"].edition()
    sites["T"].exchange(new_stick(stick.parent, "never carried"))
    bundle = next(iter(sites["T"].store.bundles.holding_any([edition.id])))
    spoil(sites["T"], "UPDATE bundles SET signature = zeroblob(64) WHERE id = ?", bundle)
    assert mend(sites["T"]).bundles == [bundle]
    meet(stick, *sites.values())
    assert state_of(sites["C"], edition.id) == "accepted"


@pytest.mark.parametrize("seed", range(6))
def test_whatever_bytes_of_the_file_rot_the_site_goes_on_and_ends_with_what_the_others_hold(
    seed: int, place: Path
) -> None:
    chance = Random(seed)
    sites = circle(place, "CTL")
    for number in range(40):
        sites["CTL"[number % 3]].edition(chance.randbytes(150).hex())
    stick = new_stick(place)
    meet(stick, *sites.values())
    whole = set(sites["C"].store.ids())
    sites["T"].store.close()
    data = bytearray(sites["T"].file.read_bytes())
    for _ in range(chance.choice((1, 20, 200))):
        at = chance.randrange(
            8192, len(data)
        )  # beyond the first pages: a store without its tables or its network is another case
        data[at] ^= 1 << chance.randrange(8)
    start = 4096 * chance.randrange(2, len(data) // 4096)
    data[start : start + 4096] = bytes(4096)
    sites["T"].file.write_bytes(data)
    mended = mend(sites["T"])
    assert mended.kept > 0
    assert check_store(sites["T"].store) == ()
    meet(stick, *sites.values())
    assert (set(sites["T"].store.ids()), sites["T"].store.shelf.without_body()) == (whole, frozenset())


def test_a_store_whose_network_file_is_gone_is_left_as_it_is(site_file: Path) -> None:
    with sqlite3.connect(site_file) as connection:
        connection.execute("UPDATE network SET file = x'00'")
    connection.close()
    before = site_file.read_bytes()
    with pytest.raises(LocalError, match="cannot be mended"):
        mend_store(site_file, KINDS)
    assert site_file.read_bytes() == before
    site_file.write_bytes(b"no database at all")
    with pytest.raises(LocalError, match="nothing can be read"):
        mend_store(site_file, KINDS)


@pytest.fixture
def site_file(sites: dict[str, Site]) -> Path:
    sites["C"].store.close()
    return sites["C"].file


def test_mending_what_is_sound_changes_nothing_that_is_said(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].edition()
    meet(stick, *sites.values())
    site = sites["C"]
    before = site.store.set_hash(), site.store.receipts(), site.store.papers.own_logs(site.key.public)
    bundles = {(each.id, each.absent) for each in site.store.bundles.listed()}
    site.store.close()
    mended = mend_store(site.file, KINDS)
    site.reopen()
    assert (mended.lost, mended.bare, mended.bundles) == ([], [], [])
    assert (site.store.set_hash(), site.store.receipts(), site.store.papers.own_logs(site.key.public)) == before
    assert {(each.id, each.absent) for each in site.store.bundles.listed()} == bundles
    assert site.exchange(stick).left == 0
    assert site.file.with_name("store.sqlite.damaged").exists()


def test_a_power_cut_at_any_call_of_a_mending_leaves_the_old_file_and_the_next_mending_succeeds(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edition = sites["T"].edition()
    meet(stick, *sites.values())
    before = sites["T"].store.set_hash()
    spoil(sites["T"], SPOILING["a body"], edition.id)
    connect = database._connect
    for at in range(1, 10_000, 7):
        power = Power(at, lambda: None)
        monkeypatch.setattr(database, "_connect", lambda *parts, power=power: Wired(connect(*parts), power.tick))
        try:
            mend_store(sites["T"].file, KINDS)
        except Pulled:
            monkeypatch.setattr(database, "_connect", connect)
            sites["T"].reopen()
            assert sites["T"].store.set_hash() == before, "a damaged body is still there as it was"
            sites["T"].store.close()
        else:
            break
    assert at > MENDING_AT_LEAST
    monkeypatch.setattr(database, "_connect", connect)
    sites["T"].reopen()
    assert sites["T"].store.lacking() == {edition.id}
    assert check_store(sites["T"].store) == ()
