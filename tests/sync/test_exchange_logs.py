"""Receipts, and sites that were restored or cloned: nothing is lost and no number is used for two things knowingly."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from sync.bundle import seal_bundle
from sync.exchange.papers import renew_receipt
from sync.receipt import write_receipt
from tests.sync.camps import (
    Site,
    bundles_of,
    carry,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    state_of,
    strip,
    three_unseen,
)
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

# receipts


def _own_receipts(site: Site) -> list[tuple[str, int]]:
    return [(each.log, each.counter) for each in site.store.receipts() if each.site == site.key.public]


def test_a_receipt_is_written_only_when_it_says_something_new_and_older_ones_go(
    sites: dict[str, Site], stick: Path
) -> None:
    sites["C"].exchange(stick)
    ((log, counter),) = _own_receipts(sites["C"])
    sites["C"].exchange(stick)
    assert _own_receipts(sites["C"]) == [(log, counter)]
    sites["C"].edition()
    sites["C"].exchange(stick)
    assert _own_receipts(sites["C"]) == [(log, counter + 1)]
    (file,) = (folder_of(stick) / "receipts").iterdir()
    assert f"{counter + 1:08d}" in file.name


def test_a_receipt_says_up_to_which_number_nothing_is_missing(sites: dict[str, Site], stick: Path) -> None:
    _, path = three_unseen(sites, stick)
    sites["C"].edition("one more")
    sites["C"].exchange(stick)
    strip(path, 0, honest=True)
    sites["T"].exchange(stick)
    log = path.parent.parent.name
    number = int(path.name.partition("-")[0])
    (mine,) = [each for each in sites["T"].store.receipts() if each.site == sites["T"].key.public]
    assert mine.held[log] == (1, number - 1)
    sites["C"].exchange(stick)
    sites["T"].exchange(stick)
    (mine,) = [each for each in sites["T"].store.receipts() if each.site == sites["T"].key.public]
    assert mine.held[log] == (1, number + 1)


def test_an_exchange_can_do_without_a_receipt(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sync.receipt.RECEIPT_BYTES_MAX", 300)
    edition = sites["C"].edition()
    report = sites["C"].exchange(stick)
    assert report.notes[0].startswith("no receipt was written")
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"


def test_an_exchange_can_do_without_a_receipt_where_more_logs_were_begun_than_one_names(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    meet(stick, *sites.values())
    monkeypatch.setattr(sys.modules[renew_receipt.__module__], "_LOGS_MAX", 2)
    sites["C"].edition()
    said = "no receipt was written, which does no harm: a receipt of ours names at most 2 logs"
    assert sites["C"].exchange(stick).notes == (said,)


def test_equal_sets_and_states_have_equal_hashes_in_their_receipts(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    carry(stick, *sites.values())
    newest = [each for each in sites["C"].store.receipts() if each.log in {log for log, _ in _own_logs(sites)}]
    assert len(newest) == 3
    assert len({(each.set, each.state) for each in newest}) == 1


def _own_logs(sites: dict[str, Site]) -> list[tuple[str, int]]:
    return [one for site in sites.values() for one in _own_receipts(site)]


def test_a_damaged_receipt_is_removed_and_a_lying_one_does_no_harm(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    (log,) = sites["C"].store.papers.own_logs(sites["C"].key.public)
    lie = write_receipt(
        key=sites["L"].key,
        network_id=sites["L"].store.network.id,
        log=log,
        counter=99_999_999,
        held={log: (99_999_999, 99_999_999)},
        follows=(),
        fold=1,
        set_digest="0" * 64,
        state_digest="0" * 64,
    )
    (folder_of(stick) / lie.path).write_bytes(lie.to_bytes())
    spoiled = next((folder_of(stick) / "receipts").glob(f"{sites['T'].key.public[:26]}*"))
    spoiled.write_bytes(spoiled.read_bytes()[:-9])
    edition = sites["C"].edition()
    report = sites["C"].exchange(stick)
    assert sites["C"].store.papers.own_logs(sites["C"].key.public) == (log,)
    assert report.notes == ()
    assert not spoiled.exists() or report.refused == ()
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"
    carry(stick, *sites.values())
    assert check_carrier(stick) == []


# restored and cloned sites


def _numbers(stick: Path) -> list[tuple[str, ...]]:
    return [(*path.parts[-4:-1], path.name[:8]) for path in bundles_of(stick)]


def test_a_restored_site_begins_a_new_log_before_it_writes_and_takes_its_words_back(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    site = sites["T"]
    site.back_up(place / "backup")
    lost = site.edition("said after the copy was made")
    site.exchange(stick)
    (log,) = site.store.papers.own_logs(site.key.public)
    site.restore(place / "backup")
    said = site.edition("said after the copy was put back")
    report = site.exchange(stick)
    assert "under a new log" in report.notes[0]
    assert state_of(site, lost.id) == "accepted"
    logs = site.store.papers.own_logs(site.key.public)
    assert logs[0] == log
    assert len(logs) == 2
    newest = [each for each in site.store.receipts() if each.log == logs[1]]
    assert newest[0].follows == (log,)
    assert len(set(_numbers(stick))) == len(_numbers(stick))
    meet(stick, *sites.values())
    assert all(state_of(other, each.id) == "accepted" for other in sites.values() for each in (lost, said))
    assert site.exchange(stick).notes == ()


def test_a_restored_site_is_told_by_its_own_later_bundle_alone(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    site = sites["T"]
    site.back_up(place / "backup")
    site.edition()
    site.exchange(stick)
    site.restore(place / "backup")
    for path in (folder_of(stick) / "receipts").iterdir():
        path.unlink()
    site.exchange(stick)
    assert len(site.store.papers.own_logs(site.key.public)) == 2


def test_a_restored_site_is_told_by_its_own_later_receipt_alone(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    site = sites["T"]
    site.back_up(place / "backup")
    sites["C"].edition()
    carry(stick, sites["C"], site)
    site.restore(place / "backup")
    site.exchange(stick)
    assert len(site.store.papers.own_logs(site.key.public)) == 2


def test_a_restored_site_that_missed_nothing_keeps_its_log(sites: dict[str, Site], stick: Path, place: Path) -> None:
    meet(stick, *sites.values())
    sites["T"].back_up(place / "backup")
    sites["T"].restore(place / "backup")
    assert sites["T"].exchange(stick).notes == ()
    assert len(sites["T"].store.papers.own_logs(sites["T"].key.public)) == 1


def test_a_site_put_back_to_its_first_day_takes_all_its_words_back(sites: dict[str, Site], stick: Path) -> None:
    site = sites["T"]
    edition = site.edition()
    meet(stick, *sites.values())
    (old,) = site.store.papers.own_logs(site.key.public)
    site.store.close()
    for path in site.folder.glob("store.sqlite*"):
        path.unlink()
    site.found(sites["C"].store.network)
    site.exchange(stick)
    assert state_of(site, edition.id) == "accepted"
    assert old not in site.store.papers.own_logs(site.key.public)
    assert share_one_set(*sites.values())


def test_two_live_clones_become_two_logs_of_one_site_and_nothing_is_lost(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    site = sites["T"]
    twin = site.clone(place / "twin")
    said = [site.edition("by the one"), twin.edition("by the other")]
    site.exchange(stick)
    twin.exchange(stick)
    said += [site.edition("again by the one"), twin.edition("again by the other")]
    everyone = [*sites.values(), twin]
    carry(stick, *everyone, rounds=3)
    assert share_one_set(*everyone)
    assert all(state_of(other, each.id) == "accepted" for other in everyone for each in said)
    present = {each.store.papers.own_logs(site.key.public)[-1] for each in (site, twin)}
    assert len(present) == 2
    for each in everyone:
        before = each.exchange(stick)
        assert (before.left, before.notes) == (0, ())


def test_two_clones_seen_only_by_a_third_site_lose_nothing(sites: dict[str, Site], stick: Path, place: Path) -> None:
    meet(stick, *sites.values())
    twin = sites["T"].clone(place / "twin")
    sticks = [new_stick(place, name) for name in ("one", "two")]
    said = [sites["T"].edition("by the one"), twin.edition("by the other")]
    sites["T"].exchange(sticks[0])
    twin.exchange(sticks[1])
    for each in sticks:
        sites["C"].exchange(each)
    assert all(state_of(sites["C"], each.id) == "accepted" for each in said)
    assert len({(held.log, held.number) for held in sites["C"].store.bundles.listed() if held.lane == "text"}) < len(
        [held for held in sites["C"].store.bundles.listed() if held.lane == "text"]
    ), "two bundles with one number"
    carry(stick, *sites.values(), twin, rounds=3)
    assert share_one_set(*sites.values(), twin)


def test_a_forged_bundle_of_our_own_log_begins_no_new_one(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    site = sites["T"]
    (log,) = site.store.papers.own_logs(site.key.public)
    statement = sites["L"].edition()
    forged = seal_bundle(
        key=sites["L"].key,
        network_id=site.store.network.id,
        log=log,
        lane="text",
        number=9,
        previous="0" * 64,
        statements=[statement],
    )
    false = replace(forged, header={**forged.header, "site": site.key.public})
    for bundle in (forged, false):
        path = folder_of(stick) / bundle.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(bundle.to_bytes())
    report = site.exchange(stick)
    assert len(report.refused) == 1
    assert site.store.papers.own_logs(site.key.public) == (log,)
    assert state_of(site, statement.id) == "accepted"
