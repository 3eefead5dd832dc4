"""Copies that fail, lack bodies, or hold what was taken back; attachments."""

from __future__ import annotations

import gzip
import os
from typing import TYPE_CHECKING

import pytest

from sync import (
    check_store,
)
from sync.bundle import parse_bundle
from sync.exchange.report import NAMED_MAX
from tests.sync.camps import (
    Site,
    Unreadable,
    bundles_of,
    carry,
    circle,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    state_of,
    strip,
    three_unseen,
)
from tests.sync.charter_scene import network_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

pytestmark = pytest.mark.usefixtures("remembered")

# copies that fail


SPOILS: dict[str, Callable[[bytes], bytes]] = {
    "flipped": lambda data: data[:60] + bytes((data[60] ^ 4,)) + data[61:],
    "cut": lambda data: data[: len(data) // 2],
    "empty": lambda _: b"",
    "zeros": lambda data: bytes(len(data)),
    "longer": lambda data: data + b"\0",
    "twice": lambda data: data + data,
    "bomb": lambda _: gzip.compress(bytes(20_000_000), mtime=0),
    "too large": lambda data: data + bytes(2_000_000),
    "not a bundle": lambda _: gzip.compress(b"[]\n[]\n[]\n[]\n", mtime=0),
}


@pytest.mark.parametrize("spoil", SPOILS)
def test_a_spoiled_copy_is_refused_and_removed_all_else_taken_and_the_next_holder_mends_it(
    sites: dict[str, Site], stick: Path, spoil: str
) -> None:
    meet(stick, *sites.values())
    edition = sites["C"].edition("to be spoiled")
    before = set(bundles_of(stick))
    sites["C"].exchange(stick)
    (path,) = set(bundles_of(stick)) - before
    recall = sites["C"].say("garden/recall", {})
    sites["C"].exchange(stick)
    whole = path.read_bytes()
    path.write_bytes(SPOILS[spoil](whole))
    report = sites["T"].exchange(stick)
    (refusal,) = report.refused
    assert refusal.file == path.relative_to(folder_of(stick)).as_posix()
    assert refusal.reason
    assert not refusal.reason[0].isupper()
    assert not refusal.reason.endswith(".")
    assert not path.exists()
    assert (state_of(sites["T"], edition.id), state_of(sites["T"], recall.id)) == (None, "accepted")
    sites["C"].exchange(stick)
    assert path.read_bytes() == whole
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"
    assert check_carrier(stick) == []


def test_a_bundle_of_another_network_in_our_folder_is_refused(sites: dict[str, Site], stick: Path, place: Path) -> None:
    other = circle(place / "other", "C")["C"]
    other.store.close()
    other.file.unlink()
    other.found(network_of("C1", "C9", threshold=2)).introduce()
    theirs = new_stick(place, "theirs")
    other.exchange(theirs)
    sites["C"].exchange(stick)
    for path in bundles_of(theirs):
        place = folder_of(stick) / path.relative_to(folder_of(theirs))
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(path.read_bytes())
    before = sites["C"].store.set_hash()
    report = sites["C"].exchange(stick)
    assert len(report.refused) == len(bundles_of(theirs))
    assert all("does not hold" in refusal.reason for refusal in report.refused)
    assert sites["C"].store.set_hash() == before


def test_a_document_of_a_newer_version_stays_where_it_is(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    path = bundles_of(stick)[0]
    newer = gzip.compress(b'{"bundle":{"v":2},"signature":""}\nwhatever comes then\n', mtime=0)
    place = path.with_name(f"00000009-{'0' * 26}-0.bundle")
    place.write_bytes(newer)
    for _ in range(2):
        report = sites["T"].exchange(stick)
        assert report.refused == ()
        assert "version 2" in report.waiting_files[0].reason
    assert place.read_bytes() == newer


def test_every_paper_of_a_newer_version_stays_where_it_is(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].store.papers.keep_joining(circle(stick.parent / "more", "CS", granted=False)["S"].wish())
    sites["C"].exchange(stick)
    papers = list(folder_of(stick).rglob("*.json"))
    assert sorted(path.parent.name for path in papers if path.parent != folder_of(stick)) == ["joining", "receipts"]
    for path in papers:
        path.write_bytes(path.read_bytes().replace(b'"v":1', b'"v":2'))
    receipt = next(path for path in papers if path.parent.name == "receipts")
    receipt.rename(receipt.with_name(receipt.name.replace("-00000001-", "-00000009-")))
    before = {path.name: path.read_bytes() for path in folder_of(stick).rglob("*.json")}
    report = sites["T"].exchange(stick)
    assert report.refused == ()
    assert len(report.waiting_files) >= len(papers)
    assert all("version 2" in refusal.reason for refusal in report.waiting_files if refusal.file.endswith(".json"))
    left = {path.name: path.read_bytes() for path in folder_of(stick).rglob("*.json")}
    assert {name: left.get(name) for name in before} == before


def test_papers_that_cannot_be_read_stay_and_are_named(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].store.papers.keep_joining(circle(stick.parent / "more", "CS", granted=False)["S"].wish())
    sites["C"].exchange(stick)
    for part in ("joining/", "receipts/", "attachments/"):
        sites["L"].edition(attachments=[sites["L"].store.attachments.put(part.encode())])
        sites["L"].exchange(stick)
        report = circle(stick.parent / part, "CT")["T"].exchange(Unreadable(stick, part))
        named = [*report.refused, *report.waiting_files]
        assert any(part in refusal.file and "failed at" in refusal.reason for refusal in named), part


def test_a_bundle_under_another_name_is_taken_in_and_written_again_under_its_own(
    sites: dict[str, Site], stick: Path
) -> None:
    meet(stick, *sites.values())
    edition = sites["C"].edition()
    before = set(bundles_of(stick))
    sites["C"].exchange(stick)
    (path,) = set(bundles_of(stick)) - before
    wrong = path.with_name(f"00000077-{'0' * 26}-0.bundle")
    path.rename(wrong)
    report = sites["T"].exchange(stick)
    assert "does not fit" in report.refused[0].reason
    assert state_of(sites["T"], edition.id) == "accepted"
    assert (path.exists(), wrong.exists()) == (True, False)


def test_whatever_lies_in_the_place_of_a_held_bundle_is_replaced_when_it_is_looked_at(place: Path, stick: Path) -> None:
    """Somebody put the bundle of a site that is not granted under a name of ours."""
    sites = circle(place, "CT", granted=False)
    sites["C"].exchange(stick)
    (ours,) = bundles_of(stick)
    whole = ours.read_bytes()
    sites["T"].introduce()
    sites["T"].exchange(stick)
    (theirs,) = set(bundles_of(stick)) - {ours}
    ours.write_bytes(theirs.read_bytes())
    sites["C"].exchange(stick)
    assert ours.read_bytes() == whole
    assert theirs.exists()


def test_more_files_than_can_be_named_are_counted(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    folder = bundles_of(stick)[0].parent
    for number in range(NAMED_MAX + 3):
        (folder / f"{number:08d}-{'0' * 26}-0.bundle").write_bytes(b"junk")
    report = sites["C"].exchange(stick)
    assert len(report.refused) == NAMED_MAX
    assert report.notes == ("3 more files were refused or left alone, and are not named here",)


def test_damage_to_what_everybody_holds_is_found_within_a_few_visits(sites: dict[str, Site], stick: Path) -> None:
    for number in range(8):
        sites["C"].edition(str(number))
        sites["C"].exchange(stick)
    meet(stick, *sites.values())
    path = bundles_of(stick)[3]
    whole = path.read_bytes()
    path.write_bytes(SPOILS["flipped"](whole))
    found = [bool(site.exchange(stick).refused) for _ in range(8) for site in sites.values()]
    assert sum(found) == 1
    assert path.read_bytes() == whole
    assert check_carrier(stick) == []


@pytest.mark.parametrize("make", ["link", "pipe", "folder"])
def test_what_is_no_file_under_the_name_of_one_is_never_opened_and_named(
    sites: dict[str, Site], stick: Path, make: str
) -> None:
    meet(stick, *sites.values())
    path = bundles_of(stick)[0]
    whole = path.read_bytes()
    path.unlink()
    if make == "link":
        (stick / "secret").write_bytes(whole)
        path.symlink_to(stick / "secret")
    elif make == "pipe":
        os.mkfifo(path)
    else:
        path.mkdir()
    report = sites["T"].exchange(stick)
    assert [refusal.file for refusal in report.refused][:1] == [path.relative_to(folder_of(stick)).as_posix()]
    if make != "folder":
        assert path.is_file()
        assert not path.is_symlink()
        assert path.read_bytes() == whole
    assert check_store(sites["T"].store) == ()


def test_foreign_files_and_half_written_ones_are_left_alone_or_cleared(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].exchange(stick)
    foreign = [stick / "holiday.jpg", folder_of(stick) / "notes.txt", bundles_of(stick)[0].parent / "x.bundle"]
    for path in foreign:
        path.write_bytes(b"theirs")
    left = bundles_of(stick)[0]
    part = left.with_name(f"{left.name}.part")
    part.write_bytes(b"half")
    report = sites["T"].exchange(stick)
    assert report.refused == ()
    assert all(path.read_bytes() == b"theirs" for path in foreign)
    assert not part.exists()


def test_a_folder_in_capitals_is_the_same_folder(sites: dict[str, Site], stick: Path) -> None:
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    (folder_of(stick) / "sites").rename(folder_of(stick) / "SITES")
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"
    assert not (folder_of(stick) / "sites").exists()


# bodies that are lacking


@pytest.mark.parametrize("honest", [True, False])
def test_a_stripped_copy_is_lacking_its_bodies_until_any_other_copy_supplies_them(
    sites: dict[str, Site], stick: Path, *, honest: bool
) -> None:
    ids, path = three_unseen(sites, stick)
    strip(path, 0, 2, honest=honest)
    report = sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == {ids[0], ids[2]}
    assert bool(report.refused) is not honest
    assert path.exists() is False
    sites["C"].exchange(stick)
    assert path.exists()
    report = sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == set()
    assert set(report.changed.names) == {ids[0], ids[2]}
    carry(stick, *sites.values())
    assert share_one_set(*sites.values())


def test_copies_that_lack_different_bodies_make_a_whole_one_in_one_visit(sites: dict[str, Site], stick: Path) -> None:
    _, path = three_unseen(sites, stick)
    whole = path.read_bytes()
    strip(path, 0, honest=True)
    path.write_bytes(whole)
    strip(path, 1, 2, honest=True)
    sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == set()
    assert path.read_bytes() == whole


def test_two_copies_that_lack_different_bodies_make_a_whole_one(sites: dict[str, Site], stick: Path) -> None:
    ids, path = three_unseen(sites, stick)
    whole = path.read_bytes()
    bare = strip(path, 0, honest=True)
    sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == {ids[0]}
    bare.unlink()
    path.write_bytes(whole)
    assert strip(path, 2, honest=True) == bare
    sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == set()
    assert path.read_bytes() == whole


def test_a_copy_that_lacks_a_body_held_here_is_replaced_under_the_same_name(
    sites: dict[str, Site], stick: Path
) -> None:
    """T lacks one body, and so does the copy on the stick, but another one: T's own is no worse and no better there."""
    ids, path = three_unseen(sites, stick)
    whole = path.read_bytes()
    bare = strip(path, 0, honest=True)
    sites["T"].exchange(stick)
    bare.unlink()
    path.write_bytes(whole)
    strip(path, 0, 1, honest=True).rename(bare)
    sites["T"].exchange(stick)
    assert sites["T"].store.lacking() == {ids[0]}
    assert [each.body is None for each in parse_bundle(bare.read_bytes()).statements] == [True, False, False]


def test_the_last_copy_of_a_bundle_under_the_name_of_one_that_is_held_is_taken_in(
    sites: dict[str, Site], stick: Path
) -> None:
    """As where a file system has crossed two entries."""
    meet(stick, *sites.values())
    paths = []
    editions = []
    for number in range(2):
        before = set(bundles_of(stick))
        editions.append(sites["T"].edition(str(number)))
        sites["T"].exchange(stick)
        paths += sorted(set(bundles_of(stick)) - before)
        if number == 0:
            sites["C"].exchange(stick)
    first, second = (path.read_bytes() for path in paths)
    paths[0].write_bytes(second)
    paths[1].write_bytes(first)
    for _ in range(6):  # a second look draws by lot
        sites["C"].exchange(stick)
    assert [state_of(sites["C"], each.id) for each in editions] == ["accepted", "accepted"]
    assert check_carrier(stick) == []
