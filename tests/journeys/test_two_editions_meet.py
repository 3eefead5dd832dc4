"""Trap a: two editions of one entry, written apart, meet at a third site. Nobody's words are lost or mixed by themselves."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from fieldbook.errors import FieldbookError
from fieldbook.practices import differences, read_entry
from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.site import PhotoIn
from tests.orrendal import practice
from tests.photos.pictures import saved
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


def together(*editions: str) -> str:
    return "/together?" + "&".join(f"edition={edition}" for edition in editions)


def test_a_trainer_chooses_place_by_place_and_a_reviewer_sees_what_was_taken_from_whom(
    met: tuple[Circle, str, str, str],
) -> None:
    circle, first, corrected, arabic = met
    visitor = visitor_of(circle, "L").sit("L1")
    visitor.get(f"/entry/{corrected}/beside/{arabic}")
    assert "Bring both together" in visitor.words()
    visitor.get(together(corrected, arabic))
    words = visitor.words()
    assert "Choose: 3 places" in words  # the ratio with the dung that it was tried with, the French name, the water
    assert "Somebody's health hangs on this, so a person decides." in words
    assert "Proposed: 1 place" in words  # the Arabic name
    assert '<bdi lang="ar">العربية</bdi>' in visitor.page
    visitor.post(together(corrected, arabic), {})
    assert (visitor.status, "Places that still need your choice: 3." in visitor.words()) == (422, True)
    chosen = dict(re.findall(r'name="(choice[.]\d+)" value="(one|other)"', visitor.page))
    asked = dict.fromkeys(chosen, "one")
    visitor.post(together(corrected, arabic), asked | {"choice.0": "one"})
    assert "Kept here as draft-1" in visitor.words()
    site = circle["L"]
    draft = site.notebook.draft("draft-1")
    assert draft.parents == (corrected, arabic)
    assert site.view.folded(first)["editions"][-1]["newest"]  # nothing was said yet
    merged = site.offer("draft-1", signer=circle.signer("L1")).edition
    assert merged is not None
    assert site.entry_value(merged).document["ratios"] == CORRECTED["ratios"]
    visitor.sit("L2").get(f"/review/{merged}")
    words = visitor.words()
    assert "What was brought together" in words
    assert "As edition 2 by C1 says" in words or "As edition 3 by C1 says" in words
    circle.carry("LCTSLCTS")
    assert len(circle.states()) == 1
    assert circle["T"].page(first, edition=merged, reader=circle.signer("T1")).others == ()


def test_the_merged_edition_has_both_languages_and_says_which_must_be_read_again(
    met: tuple[Circle, str, str, str],
) -> None:
    circle, _, corrected, arabic = met
    site, trainer = circle["L"], circle.signer("L1")
    laid = site.merging.lay([corrected, arabic], reader=trainer)
    names = [choice.field for choice in laid.merge.choices]
    sides = {n: "one" for n, choice in enumerate(laid.merge.choices) if choice.proposed is None}
    draft = site.merging.keep(laid, sides, signer=trainer).draft  # type: ignore[arg-type]
    assert draft is not None
    document = site.notebook.draft(draft).document
    assert set(names) == {"title.fr", "title.ar", "ratios[0]", "water_kind"}
    assert document["title"] == FRENCH["title"] | ARABIC["title"]
    assert document["unread"] == ["ar"]


def test_three_at_once_the_same_twice_and_editions_of_two_entries_are_refused(
    met: tuple[Circle, str, str, str],
) -> None:
    circle, first, corrected, arabic = met
    site, trainer = circle["L"], circle.signer("L1")
    third = circle.write("L1", FRENCH, after=[first])
    elsewhere = circle.write("L1", practice("Onions"))
    for named, words in (
        ([corrected, arabic, third], "two editions are brought together at a time, and 3 were named"),
        ([corrected, corrected], "two editions are brought together at a time, and 1 were named"),
        ([], "and 0 were named"),
        ([corrected, elsewhere], "of different practice entries"),
        ([corrected, first], "a newer edition follows"),
    ):
        with pytest.raises(FieldbookError, match=words) as refusal:
            site.merging.lay(named, reader=trainer)
        assert refusal.value.hint
    visitor = visitor_of(circle, "L").sit("L1")
    visitor.get(together(corrected, arabic, third))
    assert (visitor.status, "3 were named" in visitor.words()) == (404, True)


def test_an_edition_withdrawn_while_somebody_chose_is_not_brought_together(met: tuple[Circle, str, str, str]) -> None:
    circle, _, corrected, arabic = met
    visitor = visitor_of(circle, "L").sit("L1")
    visitor.get(together(corrected, arabic))
    circle.recall("L2", corrected)
    visitor.post(together(corrected, arabic), {"choice.0": "one", "choice.1": "one", "choice.2": "one"})
    assert (visitor.status, "is withdrawn" in visitor.words()) == (422, True)
    assert circle["L"].notebook.drafts() == ()


def test_choices_that_contradict_each_other_are_told_and_keep_nothing(circle: Circle) -> None:
    site, trainer = circle["L"], circle.signer("L1")
    base = circle.write("L1", practice("Onions"))
    groups = [group for group in FACT_GROUPS if group != "wick"]
    wick = circle.write(
        "L1", practice("Onions", facts={"none": groups, "cautions": [], "wick": {"rise_cm": 10}}), after=[base]
    )
    plain = circle.write("L1", practice("Onions in rows"), after=[base])
    laid = site.merging.lay([wick, plain], reader=trainer)
    sides = {n: "other" if choice.field == "facts.none" else "one" for n, choice in enumerate(laid.merge.choices)}
    with pytest.raises(FieldbookError, match="says that there is no wick, yet describes it"):
        site.merging.keep(laid, sides, signer=trainer)  # type: ignore[arg-type]
    assert site.notebook.drafts() == ()


def test_until_a_person_decides_the_longer_wait_is_shown_beside_the_checked_edition(circle: Circle) -> None:
    wait = {"before": "harvest", "days_min": 90, "after": "dung", "source": "common practice"}
    first = circle.write("C1", practice("Dung for maize", waiting=[wait]))
    circle.approve("C3", first)
    longer = circle.write("C1", practice("Dung for maize", waiting=[wait | {"days_min": 120}]), after=[first])
    visitor = visitor_of(circle, "C")
    visitor.get(f"/entry/{first}")
    assert "Wait 120 days before picking. Edition 2 by C1 says so" in visitor.words()
    page = circle["C"].page(first)
    assert page.line.edition == first
    assert [one.days for one in page.longer_waits] == [120]
    assert any("says 120 days before harvest" in said for said in page.sentences())
    circle["C"].send_back(longer, signer=circle.signer("C3"), reason="Ninety is enough for maize.")
    assert circle["C"].page(first).longer_waits == ()


def test_photos_that_differ_are_chosen_by_sight_and_reach_the_draft(circle: Circle) -> None:
    def taken(grey: int) -> PhotoIn:
        return PhotoIn("bed", saved(Image.new("RGB", (64, 48), (grey, grey, grey)), "PNG"), "none", "bed.png")

    bed = practice("Onions", photos=[{"name": "bed", "alt": {"en": "A bed."}}])
    base = circle.write("L1", bed, photos=[taken(40)])
    dark, light = (circle.write("L1", bed, photos=[taken(grey)], after=[base]) for grey in (80, 200))
    visitor = visitor_of(circle, "L").sit("L1")
    thumbs = [circle["L"].entry_value(one).document["photos"][0]["thumb"] for one in (dark, light)]
    for path in (f"/entry/{dark}/beside/{light}", together(dark, light)):
        visitor.get(path)
        assert all(thumb in visitor.page for thumb in thumbs)
        assert not any(thumb in visitor.words() for thumb in thumbs)
    visitor.post(together(dark, light), {"choice.0": "other"})
    draft = circle["L"].notebook.draft("draft-1")
    assert draft.document["photos"][0]["thumb"] == thumbs[1]
    assert circle["L"].offer("draft-1", signer=circle.signer("L1")).edition is not None


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
