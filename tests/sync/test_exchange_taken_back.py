"""What is taken back, and files: they leave stores and sticks, and return where the taking back is set aside."""

from __future__ import annotations

import gzip
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import (
    attachment_id,
    check_store,
)
from tests.sync.camps import (
    Site,
    bundles_of,
    carry,
    circle,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    strip,
    three_unseen,
)
from tests.sync.charter_scene import network_of
from tests.sync.scene import key_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.usefixtures("remembered")

# what is taken back


def test_copies_that_hold_what_was_taken_back_are_replaced_and_then_removed(
    sites: dict[str, Site], stick: Path
) -> None:
    ids, path = three_unseen(sites, stick)
    meet(stick, *sites.values())
    redaction = sites["C"].say("sync/redaction", {}, after=[ids[1]])
    sites["C"].exchange(stick)
    bare = path.with_name(path.name.replace("-0.bundle", "-1.bundle"))
    assert (path.exists(), bare.exists()) == (False, True)
    report = sites["T"].exchange(stick)
    assert {redaction.id, ids[1]} <= set(report.changed.names)
    held = sites["T"].store.get(ids[1])
    assert held is not None
    assert held.body is None
    carry(stick, *sites.values())
    assert (path.exists(), bare.exists()) == (False, True)
    assert share_one_set(*sites.values())
    assert check_carrier(stick) == []


def test_an_old_stick_does_not_bring_back_what_was_taken_back(sites: dict[str, Site], stick: Path) -> None:
    ids, path = three_unseen(sites, stick)
    old = path.read_bytes()
    meet(stick, *sites.values())
    sites["C"].say("sync/redaction", {}, after=[ids[1]])
    meet(stick, *sites.values())
    path.write_bytes(old)
    report = sites["T"].exchange(stick)
    assert report.changed.number == 0
    assert not path.exists()
    assert sites["T"].store.redacted() == {ids[1]}


def test_a_same_named_copy_that_holds_what_was_taken_back_is_replaced(sites: dict[str, Site], stick: Path) -> None:
    ids, path = three_unseen(sites, stick)
    old = path.read_bytes()
    meet(stick, *sites.values())
    sites["C"].say("sync/redaction", {}, after=[ids[1]])
    meet(stick, *sites.values())
    bare = path.with_name(path.name.replace("-0.bundle", "-1.bundle"))
    mine = bare.read_bytes()
    path.write_bytes(old)
    assert strip(path, 0, honest=True) == bare
    sites["T"].exchange(stick)
    assert bare.read_bytes() == mine


def test_what_an_author_takes_back_acts_within_the_exchange_that_brings_it(sites: dict[str, Site], stick: Path) -> None:
    ids, _ = three_unseen(sites, stick)
    meet(stick, *sites.values())
    sites["C"].say("sync/redaction", {}, after=[ids[1]])
    sites["C"].exchange(stick)
    sites["T"].exchange(stick)
    assert sites["T"].exchange(stick).left == 0


def test_what_a_steward_takes_back_acts_after_the_exchange_that_brings_it(place: Path, stick: Path) -> None:
    """So that a revocation in the same exchange comes in time."""
    sites = circle(place, "CTL")
    meet(stick, *sites.values())
    edition = sites["T"].edition("by T1, taken back by the steward")
    meet(stick, *sites.values())
    sites["C"].say("sync/redaction", {}, after=[edition.id])
    sites["C"].exchange(stick)
    bare = {path.name for path in bundles_of(stick) if path.name.endswith("-1.bundle")}
    assert len(bare) == 1
    report = sites["T"].exchange(stick)
    assert edition.id in report.changed.names
    held = sites["T"].store.get(edition.id)
    assert held is not None
    assert held.body is None
    hashes = [each.set for each in sites["T"].store.receipts() if each.site == sites["T"].key.public]
    assert sites["T"].store.set_hash() not in hashes
    sites["T"].exchange(stick)
    assert bare == {path.name for path in bundles_of(stick) if path.name.endswith("-1.bundle")}
    hashes = [each.set for each in sites["T"].store.receipts() if each.site == sites["T"].key.public]
    assert sites["T"].store.set_hash() in hashes


def _two_stewards(folder: Path) -> dict[str, Site]:
    """C and L, whose trainers are both stewards."""
    sites = {letter: Site(folder / letter, letter, chance=Random(7)) for letter in "CL"}
    for site in sites.values():
        site.found(network_of("C1", "L1", threshold=2))
    sites["C"].grant("L")
    sites["L"].wish()
    for site in sites.values():
        site.introduce()
    return sites


def test_a_body_returns_when_the_redaction_that_took_it_is_set_aside(place: Path, stick: Path) -> None:
    sites = _two_stewards(place / "two")
    edition = sites["C"].edition("taken back by L1 without need")
    carry(stick, *sites.values(), rounds=2)
    kept = new_stick(place, "kept")
    sites["C"].exchange(kept)
    sites["L"].say("sync/redaction", {}, after=[edition.id])
    held = sites["L"].store.get(edition.id)
    assert held is not None
    assert held.body is None
    sites["C"].say("sync/revocation", {"key": key_of("L1").public, "last": []})
    sites["C"].exchange(kept)
    sites["L"].exchange(kept)
    held = sites["L"].store.get(edition.id)
    assert held is not None
    assert held.body == {"text": "taken back by L1 without need"}
    carry(kept, *sites.values())
    assert share_one_set(*sites.values())


def test_a_redaction_and_the_revocation_of_its_steward_in_one_exchange_erase_nothing(place: Path, stick: Path) -> None:
    sites = _two_stewards(place / "two")
    edition = sites["C"].edition()
    carry(stick, *sites.values(), rounds=2)
    sites["L"].say("sync/redaction", {}, after=[edition.id])
    sites["L"].say("sync/revocation", {"key": key_of("L1").public, "last": []})
    sites["L"].exchange(stick)
    report = sites["C"].exchange(stick)
    assert edition.id not in report.changed.names
    held = sites["C"].store.get(edition.id)
    assert held is not None
    assert held.body is not None


# attachments


def test_attachments_travel_with_proof_and_a_damaged_one_is_written_again(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    photo = sites["C"].store.attachments.put(b"a photo of a bottle wall")
    sites["C"].edition(attachments=[photo])
    sites["C"].exchange(stick)
    path = folder_of(stick) / "attachments" / photo[:2] / photo
    path.write_bytes(b"a photo of a bottle mall")
    report = sites["T"].exchange(stick)
    assert [refusal.file for refusal in report.refused] == [path.relative_to(folder_of(stick)).as_posix()]
    assert not sites["T"].store.attachments.has(photo)
    assert not path.exists()
    sites["C"].exchange(stick)
    sites["T"].exchange(stick)
    assert sites["T"].store.attachments.get(photo) == b"a photo of a bottle wall"


def test_only_files_that_a_statement_names_are_taken_in(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    name = attachment_id(b"a stranger's film")
    path = folder_of(stick) / "attachments" / name[:2] / name
    path.parent.mkdir(parents=True)
    path.write_bytes(b"a stranger's film")
    sites["T"].exchange(stick)
    assert sites["T"].store.attachments.ids() == ()


def test_an_empty_file_is_no_attachment_whoever_names_it(sites: dict[str, Site], stick: Path) -> None:
    empty = attachment_id(b"")
    sites["C"].edition(attachments=[empty])
    sites["C"].exchange(stick)
    path = folder_of(stick) / "attachments" / empty[:2] / empty
    path.parent.mkdir(parents=True)
    path.write_bytes(b"")
    report = sites["T"].exchange(stick)
    assert [refusal.file for refusal in report.refused] == [path.relative_to(folder_of(stick)).as_posix()]
    assert not path.exists()


def test_a_file_that_was_taken_back_is_not_fetched_and_leaves_the_sticks(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    photo = sites["C"].store.attachments.put(b"a face")
    edition = sites["C"].edition(attachments=[photo])
    sites["C"].exchange(stick)
    sites["T"].exchange(stick)
    sites["C"].say("sync/redaction", {}, after=[edition.id], attachments=[photo])
    carry(stick, *sites.values())
    assert all(site.store.attachments.ids() == () for site in sites.values())
    assert not list(stick.rglob(photo))


def test_a_damaged_file_of_our_own_is_mended_from_a_stick(sites: dict[str, Site], stick: Path) -> None:
    photo = sites["C"].store.attachments.put(b"a drawing")
    sites["C"].edition(attachments=[photo])
    meet(stick, *sites.values())
    (sites["C"].folder / "attachments" / photo[:2] / photo).write_bytes(b"a scribble")
    assert check_store(sites["C"].store)
    for _ in range(10):
        sites["C"].exchange(stick)
    assert check_store(sites["C"].store) == ()


def test_hundreds_that_were_taken_back_stay_gone_when_an_old_stick_brings_all_of_them(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    meet(stick, *sites.values())
    said = [sites["C"].edition(f"{number} " * 20) for number in range(200)]
    old = new_stick(place, "old")
    meet(old, *sites.values())
    for first in range(0, len(said), 50):
        sites["C"].say("sync/redaction", {}, after=[one.id for one in said[first : first + 50]])
    carry(stick, *sites.values(), rounds=3)
    gone = frozenset(one.id for one in said)
    for site in sites.values():
        site.exchange(old)
        assert site.store.redacted() == gone
        assert site.store.shelf.without_body() == gone
        assert check_store(site.store) == ()
    assert check_carrier(old) == []
    assert share_one_set(*sites.values())
    assert not any(b"299 299 299" in gzip.decompress(path.read_bytes()) for path in bundles_of(old))
