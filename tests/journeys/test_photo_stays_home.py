"""Trap b: a photo with a place stamp and a child. The stamp goes always; the photo leaves only once somebody answers for it."""

from __future__ import annotations

import gzip
import zlib
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import PhotoIn
from tests.orrendal import practice
from tests.photos.bare_bytes import assert_nothing_but_pixels
from tests.photos.pictures import SECRET, TELLTALE, photo

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle


def with_photo(**fields: object) -> dict[str, object]:
    return practice("Fish drum", photos=[{"name": "drum", "alt": {"en": "A drum"}, **fields}])


def telltale(people: str = "", kind: str = "jpg") -> PhotoIn:
    return PhotoIn("drum", TELLTALE[kind](photo()), people, f"S2 at the drum.{kind}")


def bytes_below(folder: Path) -> bytes:
    """Every byte of every file below a folder, bundles unpacked as well."""
    found = []
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            found += [path.name.encode(), data]
            if path.suffix == ".bundle":
                found.append(gzip.decompress(data))
    return b"\0".join(found)


def attachments_on(stick: Path) -> list[Path]:
    return sorted(stick.glob("tried-ground-*/attachments/*/*"))


@pytest.mark.parametrize("kind", sorted(TELLTALE))
def test_the_stamp_is_stripped_from_what_stays_and_from_what_leaves(circle: Circle, kind: str) -> None:
    for people in ("", "agreed"):
        circle.write("S1", with_photo(**({"people": people} if people else {})), photos=[telltale(people, kind)])
    circle.carry("SC")
    assert SECRET not in bytes_below(circle.place("S"))
    assert SECRET not in bytes_below(circle.folder)
    kept = sorted((circle.place("S") / "home_photos").iterdir())
    for path in (*kept, *attachments_on(circle.stick)):
        assert_nothing_but_pixels(path.read_bytes())
    assert len(kept) == len(attachments_on(circle.stick)) == 2


def test_a_photo_that_nobody_answers_for_is_in_no_statement_and_on_no_stick(circle: Circle) -> None:
    site = circle["S"]
    written = site.write(with_photo(), signer=circle.signer("S1"), photos=[telltale()])
    assert written.kept_home == ("drum",)
    assert written.edition is not None
    circle.carry("SCTLS")
    kept = [path.read_bytes() for path in (circle.place("S") / "home_photos").iterdir()]
    names = [path.name.encode() for path in (circle.place("S") / "home_photos").iterdir()]
    assert len(kept) == 2
    outside = [circle.stick, *(circle.place(letter) for letter in "CTL")]
    for folder in outside:
        everything = bytes_below(folder)
        for secret in (*kept, *names):
            assert secret not in everything
    assert site.entry_value(written.edition).document["photos"] == []
    assert {photo.people for photo in site.notebook.home_photos(written.edition)} == {""}


@pytest.mark.parametrize("people", ["none", "covered", "agreed"])
def test_a_photo_that_somebody_answers_for_goes_with_the_edition(circle: Circle, people: str) -> None:
    edition = circle.write("S1", with_photo(people=people), photos=[telltale(people)])
    circle.carry("SC")
    (shown,) = circle["C"].entry_value(edition).document["photos"]
    assert shown["people"] == people
    assert "file" not in shown
    for part, limit_bytes in (("ref", 200_000), ("thumb", 20_000)):
        found = circle["C"].attachment(shown[part])
        assert found is not None
        assert 0 < len(found[0]) <= limit_bytes
        assert found[1] == "image/jpeg"


def test_a_draft_keeps_every_photo_at_home_whoever_is_on_it(circle: Circle) -> None:
    site, signer = circle["S"], circle.signer("S1")
    draft = site.write(with_photo(people="none"), signer=signer, photos=[telltale("none")], draft=True)
    circle.carry("SC")
    assert draft.draft == "draft-1"
    assert attachments_on(circle.stick) == []
    assert circle["C"].view.count() == 0
    offered = site.offer("draft-1", signer=signer)
    assert offered.kept_home == ()
    assert not list((circle.place("S") / "home_photos").iterdir())
    circle.carry("SC")
    assert len(attachments_on(circle.stick)) == 2
    assert site.notebook.drafts() == ()


def test_a_draft_is_offered_by_its_author_alone(circle: Circle) -> None:
    site = circle["C"]
    site.write(practice(), signer=circle.signer("C1"), draft=True)
    with pytest.raises(FieldbookError, match="draft-1 is C1's"):
        site.offer("draft-1", signer=circle.signer("C3"))
    with pytest.raises(FieldbookError, match="no draft called draft-2"):
        site.offer("draft-2", signer=circle.signer("C1"))
    assert len(site.notebook.drafts()) == 1


def test_a_step_that_shows_a_photo_that_stays_home_is_refused_and_leaves_nothing(circle: Circle) -> None:
    document = practice(
        "Fish drum",
        photos=[{"name": "drum", "alt": {}}, {"name": "lid", "alt": {}, "people": "none"}],
        steps=[{"say": {"en": "Look at the drum."}, "picture": "drum"}],
    )
    lid = PhotoIn("lid", telltale().data, "none", "lid.jpg")
    before = tree_of(circle.place("S"))
    with pytest.raises(FieldbookError, match="step 1 shows the photo drum, which stays at this site"):
        circle["S"].write(document, signer=circle.signer("S1"), photos=[telltale(), lid])
    assert tree_of(circle.place("S")) == before


def tree_of(folder: Path) -> set[str]:
    return {str(path) for path in folder.rglob("*") if path.parent.name != "words"}


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no picture",
        b"GIF89a" + bytes(50),
        telltale().data[:2000],
        b"\x89PNG\r\n\x1a\n" + zlib.compress(bytes(999)),
    ],
)
def test_a_broken_photo_is_one_clear_error_and_leaves_nothing(circle: Circle, data: bytes) -> None:
    before = tree_of(circle.place("S"))
    with pytest.raises(FieldbookError) as refusal:
        circle["S"].write(with_photo(people="none"), signer=circle.signer("S1"), photos=[PhotoIn("drum", data, "none")])
    assert refusal.value.hint
    assert "\n" not in refusal.value.message
    assert tree_of(circle.place("S")) == before


def test_a_next_edition_carries_the_photos_of_the_one_before(circle: Circle) -> None:
    first = circle.write("S1", with_photo(people="covered"), photos=[telltale("covered")])
    circle.carry("SC")
    document = dict(circle["C"].entry_value(first).document)
    second = circle.write("C1", document | {"title": {"en": "Fish drum, shaded"}}, after=[first])
    circle.carry("CL")
    before, after = (circle["L"].entry_value(name).document["photos"] for name in (first, second))
    assert before == after
    assert circle["L"].attachment(after[0]["ref"]) is not None
