"""Words and photos that their author or a steward takes back: gone at every site that the word of it reaches, for good.

On real stores, sticks, views and indexes; the bytes themselves are looked for. Old sticks, stripped copies and words that
come before what they take back are among them.
"""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import PhotoIn
from tests.journeys.test_photo_stays_home import bytes_below
from tests.orrendal import practice
from tests.photos.pictures import TELLTALE, photo
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from fieldbook.ledger import Ledger
    from fieldbook.site import Site
    from tests.orrendal import Circle

NAMED = "Zebraherb"  # as somebody's name would stand in a text that should never have left
WORD = NAMED.lower().encode()  # the index keeps folded words


def written(circle: Circle) -> str:
    """An edition that names somebody, with a photo of them."""
    entry = practice(f"{NAMED} in rows", photos=[{"name": "row", "alt": {"en": "A row"}, "people": "agreed"}])
    picture = PhotoIn("row", TELLTALE["jpg"](photo()), "agreed", "row.jpg")
    return circle.write("S1", entry, photos=[picture])


def names_it(folders: Iterable[Path]) -> list[str]:
    return [folder.name for folder in folders if WORD in bytes_below(folder).lower()]


def photo_files(site: Site, edition: str) -> list[str]:
    said = _ledger(site).said(edition)
    assert said is not None
    return list(said.attachments)


def _ledger(site: Site) -> Ledger:
    return site.need_ledger()


def everywhere(circle: Circle) -> list[Path]:
    return [*(circle.place(letter) for letter in "CTLS"), circle.stick]


def test_words_that_their_author_takes_back_are_erased_at_every_site_and_on_the_stick(circle: Circle) -> None:
    edition = written(circle)
    circle.carry("SCTLS")
    files = photo_files(circle["C"], edition)
    assert circle["C"].search(NAMED, reader=circle.signer("C1"))
    assert len(names_it(everywhere(circle))) == 5
    circle["S"].take_back(edition, signer=circle.signer("S1"))
    circle.carry("SCTL")
    assert names_it(everywhere(circle)) == []
    for letter in "CTLS":
        assert circle[letter].search(NAMED) == ()
        assert [circle[letter].attachment(file) for file in files] == [None, None]
        assert not any((circle.place(letter) / "attachments" / file[:2] / file).exists() for file in files)
    assert not any(path.name in files for path in circle.stick.rglob("attachments/*/*"))
    assert len(circle.states()) == 1  # every signature still verifies, and all show the same
    assert not check_carrier(circle.stick)
    for reader in (None, circle.signer("C1")):
        with pytest.raises(FieldbookError, match="S1 took back the words of this edition"):
            circle["C"].page(edition, reader=reader)


def test_an_old_stick_cannot_bring_it_back_and_is_cleaned_by_the_next_site(circle: Circle) -> None:
    edition = written(circle)
    circle.carry("SC")
    old = circle.new_stick("old")
    shutil.copytree(circle.stick, old, dirs_exist_ok=True)
    circle["S"].take_back(edition, signer=circle.signer("S1"))
    circle.carry("SC")
    for _ in range(2):
        circle.carry("CT", old)
    assert names_it([old, circle.place("C"), circle.place("T")]) == []


def test_a_site_that_got_the_old_stick_first_erases_it_when_the_word_arrives(circle: Circle) -> None:
    edition = written(circle)
    circle.carry("S")
    circle["S"].take_back(edition, signer=circle.signer("S1"))
    late = circle.new_stick("late")
    circle.carry("S", late)
    circle.carry("T")
    assert names_it([circle.place("T")]) == [circle.place("T").name]
    circle.carry("T", late)
    assert names_it([circle.place("T")]) == []


def test_a_stripped_copy_is_not_taken_for_something_that_was_taken_back(circle: Circle) -> None:
    from tests.sync.camps import bundles_of, strip

    edition = written(circle)
    circle.carry("S")
    whole = circle.new_stick("whole")
    shutil.copytree(circle.stick, whole, dirs_exist_ok=True)
    for path in bundles_of(circle.stick, "text"):
        strip(path, *range(100), honest=True)
    circle.carry("T")
    assert not _ledger(circle["T"]).is_taken_back(edition)
    circle.carry("T", whole)
    assert circle["T"].page(edition, reader=circle.signer("T1")).title == {"en": f"{NAMED} in rows"}


def test_one_photo_goes_and_the_words_stay(circle: Circle) -> None:
    edition = written(circle)
    circle.carry("SC")
    files = photo_files(circle["S"], edition)
    assert circle["S"].photos_to_take_back(edition) == ("row",)
    circle["S"].take_back_photo(edition, "row", signer=circle.signer("S1"))
    circle.carry("SC")
    for letter in "SC":
        assert [circle[letter].attachment(file) for file in files] == [None, None]
        assert circle[letter].page(edition, reader=circle.signer(f"{letter}1")).title == {"en": f"{NAMED} in rows"}
    assert circle["S"].photos_to_take_back(edition) == ()


def test_a_steward_may_take_back_what_another_wrote_and_others_may_not(circle: Circle) -> None:
    edition = written(circle)
    circle.carry("STC")
    with pytest.raises(FieldbookError, match="T1 may not take back edition"):
        circle["T"].take_back(edition, signer=circle.signer("T1"))
    circle["C"].take_back(edition, signer=circle.signer("C1"))
    circle.carry("CTSTS")  # a steward's word acts after the exchange that brought it, so each site visits twice
    assert names_it([circle.place("T"), circle.place("S"), circle.stick]) == []
    with pytest.raises(FieldbookError, match="was taken back already"):
        circle["C"].take_back(edition, signer=circle.signer("C1"))
