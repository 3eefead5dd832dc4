"""Trap a: two editions of one entry, written apart, meet at a third site. Nobody's words are lost or mixed by themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.practices import differences, read_entry
from tests.orrendal import practice
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle

FRENCH = practice(
    {"fr": "Macération de crottes de lapin, 20 L"},
    ratios=[{"a": "rabbit", "b": "water", "by": "volume", "value": 2}],
    water_kind=["clean"],
)
CORRECTED = FRENCH | {"ratios": [{"a": "rabbit", "b": "water", "by": "volume", "value": 3}]}
ARABIC = practice(
    {"ar": "منقوع روث الماعز، 20 لترا"},
    ratios=[{"a": "goat", "b": "water", "by": "volume", "value": 2}],
    water_kind=["salty"],
)


@pytest.fixture
def met(circle: Circle) -> tuple[Circle, str, str, str]:
    """C1 corrects the ratio while T1 writes the next edition in Arabic; both come to L."""
    first = circle.write("C1", FRENCH)
    circle.carry("CT")
    corrected = circle.write("C1", CORRECTED, after=[first])
    arabic = circle.write("T1", ARABIC, after=[first])
    circle.carry("CTL")
    return circle, first, corrected, arabic


def test_both_editions_are_kept_side_by_side_in_one_entry(met: tuple[Circle, str, str, str]) -> None:
    circle, first, corrected, arabic = met
    site, reviewer = circle["L"], circle.signer("L2")
    page = site.page(first, edition=arabic, reader=reviewer)
    assert {line.edition: (line.author, line.newest) for line in page.editions} == {
        first: ("C1", False),
        corrected: ("C1", True),
        arabic: ("T1", True),
    }
    assert [line.edition for line in page.others] == [corrected]
    assert {item.card.edition for item in site.review_queue.items(reviewer)} == {corrected, arabic}


def test_the_later_one_is_marked_as_made_from_the_older_edition(met: tuple[Circle, str, str, str]) -> None:
    circle, first, _, arabic = met
    page = circle["L"].page(first, edition=arabic, reader=circle.signer("L2"))
    assert page.line.parents == (first,)
    assert not next(line for line in page.editions if line.edition == first).newest


def test_every_differing_field_is_shown_with_both_authors(met: tuple[Circle, str, str, str]) -> None:
    circle, _, corrected, arabic = met
    changes = {one.field for one in differences(read_entry(CORRECTED), read_entry(ARABIC))}
    assert {field.partition(".")[0].partition("[")[0] for field in changes} == {"title", "ratios", "water_kind"}
    visitor = visitor_of(circle, "L").sit("L2")
    visitor.get(f"/entry/{corrected}/beside/{arabic}")
    assert visitor.status == 200
    for words in ("by C1", "by T1", "Macération de crottes de lapin", "منقوع روث الماعز", "rabbit", "goat"):
        assert words in visitor.words()


def test_no_field_of_either_is_lost_at_any_site(met: tuple[Circle, str, str, str]) -> None:
    circle, _, corrected, arabic = met
    circle.carry("SCTLSC")
    assert len(circle.states()) == 1
    for letter in "CTLS":
        for edition, document in ((corrected, CORRECTED), (arabic, ARABIC)):
            kept = circle[letter].entry_value(edition).document
            assert {name: kept[name] for name in document} == dict(read_entry(document).document)


def test_a_person_brings_both_together_and_then_one_edition_is_newest(met: tuple[Circle, str, str, str]) -> None:
    circle, first, corrected, arabic = met
    merged = circle.write("L1", FRENCH | {"title": FRENCH["title"] | ARABIC["title"]}, after=[corrected, arabic])
    page = circle["L"].page(first, edition=merged, reader=circle.signer("L2"))
    assert (page.entry, page.others, set(page.line.parents)) == (first, (), {corrected, arabic})


def test_an_approval_of_one_leaves_the_other_waiting_and_readers_follow_the_checked_one(
    met: tuple[Circle, str, str, str],
) -> None:
    circle, first, corrected, arabic = met
    circle.approve("L2", corrected, answers={"GEN-01": "Measured at this site."})
    site = circle["L"]
    assert site.page(first).line.edition == corrected
    assert [item.card.edition for item in site.review_queue.items(circle.signer("L2"))] == [arabic]
