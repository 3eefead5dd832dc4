"""Exchanges over media that are full, failing, read-only, lying or pulled out.

The common outcome: nothing acknowledged is lost, nothing invalid accepted, the next exchange succeeds without a person
repairing files, and one plain line says what happened.
"""

from __future__ import annotations

import errno
from typing import TYPE_CHECKING, NoReturn

from sync import FolderCarrier
from tests.sync.camps import (
    Site,
    Unreadable,
    bundles_of,
    carry,
    circle,
    folder_of,
    meet,
    new_stick,
    state_of,
    three_unseen,
)
from tests.sync.media import Faulty, Forgetful, Small, Uncached
from tests.sync.scene import key_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path


def faulty(stick: Path, call: str, code: int) -> FolderCarrier:
    return FolderCarrier(stick, calls=Faulty(fail=lambda _number, called: code if called == call else None))


def test_a_read_only_stick_is_taken_in_and_the_leaving_is_reported(sites: dict[str, Site], stick: Path) -> None:
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    own = sites["T"].edition()
    calls = Faulty()
    carrier = FolderCarrier(stick, calls=calls)
    calls._fail = lambda _number, call: errno.EROFS if call in {"write", "remove", "make_folder", "rename"} else None
    report = sites["T"].exchange(carrier)
    assert state_of(sites["T"], edition.id) == "accepted"
    assert (report.left, report.refused) == (0, ())
    assert report.not_left > 0
    assert "does not allow" in report.notes[0]
    carry(stick, sites["T"], sites["C"])
    assert state_of(sites["C"], own.id) == "accepted"


def test_a_damaged_copy_on_a_read_only_stick_is_reported_and_stays(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].exchange(stick)
    path = bundles_of(stick, "text")[0]
    path.write_bytes(b"damaged")
    report = sites["T"].exchange(faulty(stick, "remove", errno.EROFS))
    assert len(report.refused) == 1
    assert any("could not be removed" in note for note in report.notes)
    assert path.read_bytes() == b"damaged"


def test_on_a_full_stick_the_urgent_comes_first_and_the_rest_when_there_is_room(place: Path, stick: Path) -> None:
    site = circle(place, "C")["C"]
    recall = site.say("garden/recall", {"why": "it stings"})
    edition = site.edition(site.chance.randbytes(20_000).hex())
    photo = site.store.attachments.put(site.chance.randbytes(5_000))
    site.edition("with a photo", attachments=[photo])
    report = site.exchange(FolderCarrier(stick, calls=Small(6_000)))
    assert [path.parent.name for path in bundles_of(stick)] == ["urgent"]
    assert (folder_of(stick) / "receipts").is_dir()
    assert report.not_left == 2
    assert report.notes == (
        f"there is no room on the carrier for {_of_text(site)}; free some space on it, or bring a larger one",
        "2 files could not be written on the carrier; they are written when there is room",
    )
    assert not list(stick.rglob("*.part"))
    assert check_carrier(stick) == []
    other = circle(place / "other", "C")["C"]
    other.exchange(stick)
    assert (state_of(other, recall.id), state_of(other, edition.id)) == ("accepted", None)
    assert site.exchange(stick).not_left == 0
    other.exchange(stick)
    assert state_of(other, edition.id) == "accepted"
    assert other.store.attachments.has(photo)


def _of_text(site: Site) -> str:
    (held,) = [held for held in site.store.bundles.listed() if held.lane == "text"]
    return f"{site.store.network.folder}/{held.path}"


def test_room_for_any_number_of_bytes_leaves_whole_files_and_nothing_else(place: Path) -> None:
    site = circle(place, "C")["C"]
    site.edition(attachments=[site.store.attachments.put(b"a drawing")])
    for room_bytes in range(0, 2000, 200):
        stick = new_stick(place, f"stick-{room_bytes}")
        report = site.exchange(FolderCarrier(stick, calls=Small(room_bytes)))
        written = [path for path in stick.rglob("*") if path.is_file()]
        assert report.left == len(written)
        assert (report.not_left > 0) is (report.left < 4)
        if written:
            assert check_carrier(stick) == []


def test_bundles_of_a_revoked_site_come_last_and_those_that_all_hold_after_the_rest(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    carry(stick, *sites.values())
    new = sites["L"].edition("new at L")
    sites["L"].exchange(stick)
    sites["C"].exchange(stick)
    sites["C"].say("sync/revocation", {"key": key_of("site T").public, "last": []})
    fresh = new_stick(place, "fresh")
    sites["C"].exchange(fresh)
    order = sorted(bundles_of(fresh, "text"), key=lambda path: path.stat().st_mtime_ns)
    bundle = next(iter(sites["C"].store.bundles.holding_any([new.id])))
    assert bundle[:26] in order[0].name
    assert key_of("site T").public[:26] in order[-1].as_posix()
    other = circle(place / "other", "S", granted=False)["S"]
    other.exchange(fresh)
    assert other.store.count() == sites["C"].store.count()


def test_where_there_is_no_room_for_what_replaces_it_the_old_copy_stays(sites: dict[str, Site], stick: Path) -> None:
    """The bodies beside the one that was taken back may lie nowhere else."""
    ids, path = three_unseen(sites, stick)
    sites["C"].say("sync/redaction", {}, after=[ids[1]])
    receipts = {each.name for each in (folder_of(stick) / "receipts").iterdir()}
    report = sites["C"].exchange(FolderCarrier(stick, calls=Small(600)))
    assert report.not_left > 0
    assert path.exists()
    assert receipts <= {each.name for each in (folder_of(stick) / "receipts").iterdir()}
    sites["C"].exchange(stick)
    assert not path.exists()


def test_one_file_that_cannot_be_read_stays_and_all_others_are_taken(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    editions = []
    for number in range(3):
        editions.append(sites["C"].edition(str(number)))
        sites["C"].exchange(stick)
    bundle = next(iter(sites["C"].store.bundles.holding_any([editions[1].id])))
    report = sites["T"].exchange(Unreadable(stick, bundle[:26]))
    assert [state_of(sites["T"], each.id) for each in editions] == ["accepted", None, "accepted"]
    assert [bundle[:26] in refusal.file for refusal in report.refused] == [True]
    assert "failed at" in report.refused[0].reason
    sites["T"].exchange(stick)
    assert state_of(sites["T"], editions[1].id) == "accepted"


def test_a_folder_that_cannot_be_listed_is_named_and_all_others_are_taken(sites: dict[str, Site], stick: Path) -> None:
    edition = sites["C"].edition()
    sites["C"].exchange(stick)
    calls = Faulty()
    carrier = FolderCarrier(stick, calls=calls)
    scan = calls.scan
    calls.scan = lambda folder: _denied() if folder.name == "receipts" else scan(folder)  # type: ignore[method-assign]
    report = sites["T"].exchange(carrier)
    assert [refusal.file for refusal in report.refused if "receipts" in refusal.file]
    assert state_of(sites["T"], edition.id) == "accepted"


def _denied() -> NoReturn:
    raise OSError(errno.EIO, "no")


def test_a_stick_smaller_than_it_says_is_never_called_safe(sites: dict[str, Site], stick: Path) -> None:
    sites["C"].edition()
    report = sites["C"].exchange(FolderCarrier(stick, calls=Forgetful()))
    assert report.not_proven == report.left > 0
    assert all("not what was written" in refusal.reason for refusal in report.refused)
    assert bundles_of(stick) == []
    assert sites["C"].exchange(stick).not_proven == 0
    assert check_carrier(stick) == []


def test_where_nothing_can_be_read_back_past_the_cache_all_is_written_and_not_proven(
    sites: dict[str, Site], stick: Path
) -> None:
    report = sites["C"].exchange(FolderCarrier(stick, calls=Uncached()))
    assert report.not_proven == report.left > 0
    assert report.refused == ()
    assert check_carrier(stick) == []
