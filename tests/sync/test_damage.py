"""What has rotted in a store is told before anything is changed: what it was, and who is known to hold it."""

from __future__ import annotations

import sqlite3
from hashlib import sha256
from typing import TYPE_CHECKING

import pytest

from sync import LocalError, RemoteError, check_store, look_for_damage, prepare_mended, take_mended
from sync.intake import Intake, damage, mending
from tests.sync.camps import KINDS, Site, carry, meet, new_stick, share_one_set
from tests.sync.test_intake import said
from tests.sync.test_mending import LISTED_WRONGLY, SPOILED_PAPERS, SPOILING, beside, change, mend, spoil

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Damage

GARBLED = "UPDATE statements SET body = x'ff' WHERE id = ?"
NAMED = [what for what in SPOILING if what not in LISTED_WRONGLY]  # those cost nothing: all is derived from the header


def look(site: Site) -> Damage:
    return look_for_damage(site.file, KINDS, own_site=site.key.public)


def digest(site: Site) -> str:
    return sha256(site.file.read_bytes()).hexdigest()


@pytest.mark.parametrize("what", NAMED)
def test_damage_is_named_with_the_sites_that_hold_it_and_nothing_is_changed(
    what: str, sites: dict[str, Site], stick: Path
) -> None:
    edition = sites["T"].edition("how deep")
    meet(stick, *sites.values())
    carry(stick, sites["T"])  # the receipts of the others have come back
    spoil(sites["T"], SPOILING[what], edition.id)
    before = digest(sites["T"])
    found = look(sites["T"])
    assert [(one.id, one.body_only) for one in found.statements] == [(edition.id, what in {"a body", "a salt"})]
    assert found.statements[0].kind == edition.kind
    others = {site.key.public for letter, site in sites.items() if letter != "T"}
    assert set(found.statements[0].holders) == others
    assert {found.names[one] for one in others} == {letter for letter in sites if letter != "T"}
    assert len(found.bundles) == (0 if what in {"a body", "a salt"} else 1)
    assert digest(sites["T"]) == before


def test_what_was_never_carried_is_held_by_nobody_else(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    edition = sites["T"].edition("how deep")
    sites["T"].exchange(new_stick(stick.parent, "never carried"))
    spoil(sites["T"], SPOILING["a signature"], edition.id)
    assert [(one.id, one.holders) for one in look(sites["T"]).statements] == [(edition.id, ())]


def test_a_sound_store_has_no_damage_while_it_is_open_too(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    sites["T"].edition()
    found = look(sites["T"])
    assert (found.statements, found.files, found.bundles) == ([], [], [])
    assert found.sound == sites["T"].store.count()


def test_what_a_damaged_body_answers_says_what_it_was_about(sites: dict[str, Site]) -> None:
    first = sites["T"].edition("how deep")
    second = sites["T"].edition("and how wide", after=[first.id])
    spoil(sites["T"], GARBLED, second.id)
    assert [one.body for one in look(sites["T"]).statements] == [{"text": "how deep"}]


def test_where_nothing_that_a_damaged_body_answers_can_be_read_nobody_guesses_what_it_was_about(
    sites: dict[str, Site],
) -> None:
    lone = said(sites["T"], 1, after=["ab" * 32])  # what it answers is not here
    first = said(sites["T"], 2)
    second = said(sites["T"], 3, after=[first.id])
    for statement in (lone, first, second):
        Intake(sites["T"].store).take_alone(statement)
        spoil(sites["T"], GARBLED, statement.id)
        sites["T"].reopen()
    assert [(one.id, one.body) for one in look(sites["T"]).statements] == [
        (statement.id, None) for statement in (lone, first, second)
    ]


@pytest.mark.parametrize("body", ["x'5b5d'", "7", "'{}'", "x'ff'"])
def test_of_a_body_that_is_no_object_any_more_nothing_is_told(body: str, sites: dict[str, Site]) -> None:
    edition = sites["T"].edition("how deep")
    spoil(sites["T"], f"UPDATE statements SET body = {body} WHERE id = ?", edition.id)  # noqa: S608 - words of ours
    assert [(one.id, one.body_only, one.body) for one in look(sites["T"]).statements] == [(edition.id, True, None)]


def test_a_body_that_was_taken_back_is_no_damage_and_not_missed_after_a_mending(sites: dict[str, Site]) -> None:
    edition = sites["T"].edition("a name that must not stay")
    sites["T"].say("sync/redaction", {}, after=[edition.id])
    assert look(sites["T"]).statements == []
    sites["T"].store.close()
    assert mend(sites["T"]).bare == []


def test_a_row_of_which_neither_name_nor_author_nor_kind_can_be_read_is_told_as_one_of_unknown_name(
    sites: dict[str, Site], stick: Path
) -> None:
    edition = sites["T"].edition("how deep")
    sites["T"].exchange(stick)
    spoil(sites["T"], "UPDATE statements SET header = 7, author = 7, kind = x'ff', id = 7 WHERE id = ?", edition.id)
    found = look(sites["T"])
    assert [(one.id, one.author, one.kind, one.body_only) for one in found.statements] == [("", "", "", False)]
    assert "" not in found.names
    mended = mend(sites["T"])
    assert (mended.lost, len(mended.bundles)) == ([], len(found.bundles)) == ([], 1)
    assert check_store(sites["T"].store) == ()


def test_a_row_that_cannot_be_read_at_all_is_named_by_the_index_of_ids(sites: dict[str, Site], stick: Path) -> None:
    """A page of the table is overwritten; the index of ids lies on another."""
    many = [sites["T"].edition(f"{number} " + "long " * 600) for number in range(8)]
    sites["T"].exchange(stick)
    sites["T"].store.close()
    raw = sites["T"].file.read_bytes()
    place = raw.index(b"5 long")
    page = 4096 * (place // 4096)
    sites["T"].file.write_bytes(raw[:page] + bytes(4096) + raw[page + 4096 :])
    named = {one.id for one in look(sites["T"]).statements}
    assert named
    assert named <= {one.id for one in many}
    mended = mend(sites["T"])
    assert {*mended.lost, *mended.bare} == named
    assert check_store(sites["T"].store) == ()


def test_a_damaged_photo_is_named_and_after_the_mending_wanted_again(sites: dict[str, Site], stick: Path) -> None:
    photo = sites["T"].store.attachments.put(b"a tin")
    edition = sites["T"].edition("with a photo", attachments=[photo])
    meet(stick, *sites.values())
    carry(stick, sites["T"])
    sites["T"].store.close()
    (sites["T"].file.parent / "attachments" / photo[:2] / photo).write_bytes(b"a tim")
    found = look(sites["T"])
    assert [(one.id, one.body, len(one.holders)) for one in found.files] == [(photo, edition.body, len(sites) - 1)]
    assert mend(sites["T"]).files == [photo]
    carry(stick, sites["T"])
    assert sites["T"].store.attachments.get(photo) == b"a tin"


def test_what_a_damaged_photo_shows_is_told_by_any_body_that_names_it_and_can_be_read(sites: dict[str, Site]) -> None:
    photo = sites["T"].store.attachments.put(b"a tin")
    first = sites["T"].edition("spoiled", attachments=[photo])
    second = sites["T"].edition("readable", attachments=[photo])
    sites["T"].store.attachments._path(photo).write_bytes(b"a tim")
    spoil(sites["T"], GARBLED, first.id)
    assert [one.body for one in look(sites["T"]).files] == [second.body]
    spoil(sites["T"], GARBLED, second.id)
    assert [one.body for one in look(sites["T"]).files] == [None]


def test_until_the_new_store_takes_its_place_the_old_one_is_read_and_untouched(
    sites: dict[str, Site], stick: Path
) -> None:
    sites["T"].edition()
    before = sites["T"].store.set_hash()
    mended = prepare_mended(sites["T"].file, KINDS)
    assert sites["T"].store.set_hash() == before
    sites["T"].store.close()
    take_mended(sites["T"].file)
    sites["T"].reopen()
    assert (sites["T"].store.count(), sites["T"].store.set_hash()) == (mended.kept, before)
    assert stick.exists()


def test_both_tell_how_far_they_are_at_every_full_batch(
    sites: dict[str, Site], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(damage, "TOLD_EVERY", 2)
    monkeypatch.setattr(mending, "BUNDLE_STATEMENTS_MAX", 2)
    for number in range(5):
        sites["T"].edition(f"bed {number}")
    told: list[tuple[str, int, int]] = []
    held = sites["T"].store.count()

    def say(what: str, done: int, of: int) -> None:
        told.append((what, done, of))

    look_for_damage(sites["T"].file, KINDS, own_site=sites["T"].key.public, progress=say)
    looked, told = told, []
    assert prepare_mended(sites["T"].file, KINDS, progress=say).kept == held
    assert looked.pop() == ("looking at photos", 0, 0)
    assert looked == told == [("reading statements", done, held) for done in range(2, held + 1, 2)]


def test_of_a_file_that_is_no_store_any_more_nothing_is_told(sites: dict[str, Site]) -> None:
    sites["T"].store.close()
    sites["T"].file.write_bytes(b"\x5a" * 8192)
    with pytest.raises(LocalError, match="nothing can be read"):
        look(sites["T"])


def test_without_its_network_file_nothing_in_a_store_can_be_believed(sites: dict[str, Site]) -> None:
    sites["T"].store.close()
    with sqlite3.connect(sites["T"].file) as connection:
        connection.execute("UPDATE network SET file = x'00'")
    connection.close()
    with pytest.raises(RemoteError) as caught:
        look(sites["T"])
    assert beside(sites["T"].file) == [""], f"given back, though somebody still looks at why: {caught.value}"


@pytest.mark.parametrize("spoiled", SPOILED_PAPERS)
def test_a_spoiled_receipt_tells_of_no_holder_and_all_others_are_believed(
    spoiled: str, sites: dict[str, Site], stick: Path
) -> None:
    edition = sites["T"].edition("how deep")
    meet(stick, *sites.values())
    carry(stick, sites["T"])
    spoil(sites["T"], SPOILING["a signature"], edition.id)
    other = bytes.fromhex(sites["C"].key.public)
    change(sites["T"], f"UPDATE receipts SET file = {spoiled} WHERE site = ?", other)  # noqa: S608 - words of ours
    assert [one.holders for one in look(sites["T"]).statements] == [(sites["L"].key.public,)]


def test_a_bundle_that_lies_in_the_place_of_another_hides_neither(sites: dict[str, Site], stick: Path) -> None:
    for text in ("how deep", "how wide"):
        sites["T"].edition(text)
        meet(stick, *sites.values())
    before = {each.id for each in sites["T"].store.statements()}
    sites["T"].store.close()
    with sqlite3.connect(sites["T"].file) as connection:
        first, last = connection.execute("SELECT MIN(number), MAX(number) FROM bundles").fetchone()
        (name,) = connection.execute("SELECT id FROM bundles WHERE number = ?", (last,)).fetchone()
        for sql in (
            "UPDATE bundles SET (header, signature) = (SELECT header, signature FROM bundles WHERE number = :first) WHERE number = :last",
            "DELETE FROM contents WHERE bundle = :last",
            "INSERT INTO contents SELECT :last, place, statement FROM contents WHERE bundle = :first",
        ):
            connection.execute(sql, {"first": first, "last": last})
    connection.close()
    mended = mend(sites["T"])
    assert (mended.lost, mended.bundles) == ([], [name.hex()])
    assert {each.id for each in sites["T"].store.statements()} == before
    meet(stick, *sites.values())
    assert share_one_set(*sites.values())
