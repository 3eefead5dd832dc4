"""Bits rot in a store: what is damaged is named, what holds is kept, and what other sites hold comes back."""

from __future__ import annotations

import errno
import os
import sqlite3
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import LocalError, Store, ask_to_join, begin_log, check_store, mend_store, prepare_mended, take_mended
from sync.store import database
from tests.sync.camps import KINDS, Site, carry, circle, meet, new_stick, share_one_set, state_of
from tests.sync.current import Power, Wired
from tests.sync.media import Pulled
from tests.sync.scene import key_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Joining, Mended

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
    "a kind": "UPDATE statements SET kind = 'garden/gossip' WHERE id = ?",
    "a kind that is no text": "UPDATE statements SET kind = CAST(x'ff' AS TEXT) WHERE id = ?",
}


LISTED_WRONGLY = {"an author", "a depth", "a kind", "a kind that is no text"}  # what the header says still holds
SPOILED_PAPERS = (
    "x'00'",
    "7",
    "CAST(file AS TEXT)",
    "CAST(x'ff' AS TEXT)",
)  # one bit of a row's head makes a text of its bytes


def spoil(site: Site, sql: str, name: str) -> None:
    """Let the disk change a row."""
    change(site, sql, bytes.fromhex(name))


def change(site: Site, sql: str, *values: bytes | str) -> None:
    """Let the disk change one row of any table."""
    site.store.close()
    with sqlite3.connect(site.file) as connection:
        assert connection.execute(sql, values).rowcount == 1
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
    assert mended.bare + mended.lost == ([] if what in LISTED_WRONGLY else [edition.id])
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


def said_here(site: Site) -> tuple[object, ...]:
    """The set, and all papers."""
    papers = site.store.papers
    return site.store.set_hash(), papers.receipts(), papers.joinings(), papers.own_logs(site.key.public)


def test_mending_what_is_sound_changes_nothing_that_is_said(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].edition()
    meet(stick, *sites.values())
    site = sites["C"]
    hear_wish(site, "V")
    site.exchange(stick)
    before = said_here(site)
    bundles = {(each.id, each.absent) for each in site.store.bundles.listed()}
    site.store.close()
    mended = mend_store(site.file, KINDS)
    site.reopen()
    assert (mended.lost, mended.bare, mended.bundles) == ([], [], [])
    assert said_here(site) == before
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


@pytest.mark.parametrize("spoiled", SPOILED_PAPERS)
def test_spoiled_papers_are_passed_over_and_all_others_are_kept(
    spoiled: str, sites: dict[str, Site], stick: Path
) -> None:
    meet(stick, *sites.values())
    site, other = sites["C"], bytes.fromhex(sites["T"].key.public)
    strangers = [hear_wish(site, letter) for letter in "VX"]
    begin_log(site.store, site.key.public, random=site.chance.randbytes)
    spoiled_log, log = site.store.papers.own_logs(site.key.public)
    receipts = site.store.receipts()
    change(site, f"UPDATE receipts SET file = {spoiled} WHERE site = ?", other)  # noqa: S608 - words of ours
    stranger = bytes.fromhex(strangers[0].site.key)
    change(site, f"UPDATE joinings SET file = {spoiled} WHERE site = ?", stranger)  # noqa: S608
    change(site, "UPDATE own_logs SET log = x'00' WHERE log = ?", spoiled_log)
    mend_store(site.file, KINDS)
    site.reopen()
    kept = tuple(one for one in receipts if one.site != other.hex())
    assert len(kept) < len(receipts)
    assert said_here(site)[1:] == (kept, (strangers[1],), (log,))


def hear_wish(site: Site, letter: str) -> Joining:
    """Keep the wish of a stranger to join."""
    wish = ask_to_join(key=key_of(letter), letter=letter, name="somewhere", network_id=site.store.network.id)
    assert site.store.papers.keep_joining(wish)
    return wish


def test_what_is_lost_or_kept_without_its_body_is_listed_in_the_order_of_names(sites: dict[str, Site]) -> None:
    site = sites["T"]
    lost, bare = ([site.edition(f"{what} {number}").id for number in range(6)] for what in ("lost", "bare"))
    for what, names in (("a header that does not", lost), ("a body", bare)):
        assert names != sorted(names)
        for name in names:
            spoil(site, SPOILING[what], name)
    mended = mend(site)
    assert (mended.lost, mended.bare) == (sorted(lost), sorted(bare))


def test_bundles_that_do_not_hold_are_listed_in_the_order_of_names(sites: dict[str, Site], stick: Path) -> None:
    for number in range(6):
        sites["T"].edition(str(number))
        sites["T"].exchange(stick)
    names = [each.id for each in sites["T"].store.bundles.each()]
    assert names != sorted(names)
    for name in names:
        spoil(sites["T"], "UPDATE bundles SET signature = zeroblob(64) WHERE id = ?", name)
    assert mend(sites["T"]).bundles == sorted(names)


# putting the new file in place


def lowest_free_descriptor(folder: Path) -> int:
    """POSIX, open(): the lowest that is not open; so it rises when anything is left open."""
    with (folder / "store.sqlite").open("rb") as file:
        return file.fileno()


def beside(file: Path) -> list[str]:
    return sorted(path.name.removeprefix(file.name) for path in file.parent.glob(f"{file.name}*"))


def test_a_mending_that_fails_leaves_no_file_open_and_none_beside_the_old_one(site_file: Path) -> None:
    before = lowest_free_descriptor(site_file.parent)
    with sqlite3.connect(site_file) as connection:
        connection.execute("UPDATE network SET file = x'00'")
    connection.close()
    with pytest.raises(LocalError, match="cannot be mended") as caught:
        mend_store(site_file, KINDS)
    assert beside(site_file) == [""]
    assert lowest_free_descriptor(site_file.parent) == before
    assert "backup" in caught.value.hint


def test_a_mending_leaves_no_file_open(sites: dict[str, Site]) -> None:
    sites["T"].store.close()
    before = lowest_free_descriptor(sites["T"].folder)
    mend_store(sites["T"].file, KINDS)
    assert beside(sites["T"].file) == ["", ".damaged"]
    assert lowest_free_descriptor(sites["T"].folder) == before


def left_by_a_power_cut(site: Site) -> bytes:
    """Let the power go while a site is open, so that its last words lie in the log beside the file; that log."""
    files = {path: path.read_bytes() for path in site.folder.glob("store.sqlite*")}
    site.store.close()
    for path, data in files.items():
        path.write_bytes(data)
    return files[site.file.with_name("store.sqlite-wal")]


def test_a_log_of_the_old_file_goes_aside_with_it_and_never_lies_beside_the_new_one(sites: dict[str, Site]) -> None:
    """SQLite would write the frames of a log that it finds there into the new file."""
    site = sites["T"]
    before = said_here(site)
    prepare_mended(site.file, KINDS)
    site.store.papers.note_checks(["a file"], visit=1)  # lies in the log, and is no word of anybody's
    log = left_by_a_power_cut(site)
    assert log
    take_mended(site.file)
    assert beside(site.file) == ["", ".damaged", ".damaged-wal"]
    assert site.file.with_name("store.sqlite.damaged-wal").read_bytes() == log
    site.reopen()
    assert said_here(site) == before
    assert check_store(site.store) == ()


def test_what_stands_aside_is_the_file_before_the_last_mending(sites: dict[str, Site]) -> None:
    site = sites["T"]
    prepare_mended(site.file, KINDS)
    site.store.papers.note_checks(["a file"], visit=1)
    left_by_a_power_cut(site)
    take_mended(site.file)
    site.reopen()
    site.edition("after the first mending")
    before = said_here(site)
    site.store.close()
    mend_store(site.file, KINDS)
    assert beside(site.file) == ["", ".damaged"]
    aside = Store.open(site.file.with_name("store.sqlite.damaged"), KINDS)
    assert aside.set_hash() == before[0]
    aside.close()


def test_where_a_disk_knows_no_second_name_for_a_file_the_old_one_is_copied_aside(
    site_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "as FAT says it")

    before = site_file.read_bytes()
    monkeypatch.setattr(os, "link", refuse)
    mend_store(site_file, KINDS)
    assert site_file.with_name("store.sqlite.damaged").read_bytes() == before


def test_where_the_old_file_cannot_be_put_aside_it_stays_and_the_next_try_succeeds(sites: dict[str, Site]) -> None:
    site = sites["T"]
    before = said_here(site)
    site.store.close()
    old = site.file.read_bytes()
    in_the_way = site.file.with_name("store.sqlite.damaged")
    in_the_way.mkdir()
    with pytest.raises(LocalError, match="cannot be put in place") as caught:
        mend_store(site.file, KINDS)
    assert caught.value.hint == "check the disk"
    assert site.file.read_bytes() == old
    in_the_way.rmdir()
    take_mended(site.file)
    site.reopen()
    assert said_here(site) == before


def test_a_mending_is_over_only_when_the_disk_has_the_new_name(
    site_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else a power cut afterwards would bring the old file back."""
    prepare_mended(site_file, KINDS)
    new = site_file.with_name("store.sqlite.mended").stat().st_ino
    synced: list[tuple[int, int]] = []
    sync_now = os.fsync

    def note(descriptor: int) -> None:
        sync_now(descriptor)
        synced.append((os.fstat(descriptor).st_ino, site_file.stat().st_ino))

    monkeypatch.setattr(os, "fsync", note)
    take_mended(site_file)
    assert synced == [(site_file.parent.stat().st_ino, new)]
