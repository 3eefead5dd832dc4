"""One practice entry as a reader sees it: amounts, days, cautions, who approved it, and what is withdrawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.web.caution_words import STANDING_LINE, TEXTS
from fieldbook.web.listed import standing_sentence
from tests.orrendal import practice
from tests.starters import entry_of
from tests.web.gardens import Visitor, copy_of, entry_with, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle

ARABIC = {
    "kind": "growing",
    "title": {"ar": "سبانخ في كيس، 20 L ماء"},
    "summary": {"ar": "نسقيها بنسبة 1:10 حسب الجدول C-14."},
    "steps": [
        {"say": {"ar": "املأ الكيس بالتربة."}, "day_offset": 0},
        {"say": {"ar": "اسق كل صباح."}, "day_offset": 1},
    ],
}


@pytest.fixture
def steep(planted: Circle, visitor: Visitor) -> Visitor:
    visitor.get(f"/entry/{entry_with(planted, 'Rabbit-dung')}?language=en")
    return visitor


def test_amounts_stand_with_their_units_and_what_may_be_used_instead(steep: Visitor) -> None:
    """The figures are those of the shipped entry, whose check is elsewhere; here they must arrive whole."""
    words = steep.words()
    for said in ("2 kg rabbit droppings, without bedding", "10 L clean water for steeping", "Mix by volume 1 : 2"):
        assert said in words
    assert "never: human waste; droppings of dogs, cats or pigs" in words
    assert "must never have held paint, fuel, pesticide or anything unknown" in words


def test_steps_stand_under_their_day_in_their_order(steep: Visitor) -> None:
    words = steep.words()
    places = [words.index(said) for said in ("Day 0", "Gather 2 kg", "Day 17", "Shake the sack", "Day 24", "Day 144")]
    assert places == sorted(places)
    assert words.count("Day 14 ") == 1


def test_every_caution_and_the_standing_line_are_shown_whole(steep: Visitor) -> None:
    words = steep.words()
    for key in entry_of("dung-steep")["facts"]["cautions"]:
        assert TEXTS[key] in words
    assert STANDING_LINE in words
    assert "Some growers cut leaves 2 days after pouring: do not." in words


def test_a_caution_is_shown_in_words_even_where_the_entry_lacks_the_language(planted: Circle, visitor: Visitor) -> None:
    """W28: a missing translation never hides a hazard."""
    visitor.get(f"/entry/{entry_with(planted, 'Rabbit-dung')}?language=so")
    assert TEXTS["C01"] in visitor.words()
    assert "120 jours" in visitor.words()


def test_who_approved_which_edition_is_said_in_a_sentence(steep: Visitor) -> None:
    assert (
        "Checked once. C3 approved edition 1 of this practice entry, with limits: Bare soil on dung day only; never on "
        "a bed from which anything is picked within 120 days (90 off the soil)"
    ) in steep.words()


def test_the_waiting_time_stands_with_its_condition_and_its_source(steep: Visitor) -> None:
    assert "120 days picking The part that is eaten touches soil" in steep.words()
    assert "205.203(c)(1)(i) to (iii) (read in the document)" in steep.words()


def test_a_reader_chooses_among_the_languages_of_the_entry(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    visitor.get(f"/entry/{entry}")
    assert "Macération de crottes de lapin" in visitor.words()  # French is the first language of C
    visitor.get(f"/entry/{entry}?language=en")
    assert "Rabbit-dung steep in a sack" in visitor.words()
    visitor.get(f"/entry/{entry}?language=<script>")
    assert visitor.status == 200


def test_an_arabic_entry_runs_from_right_to_left_and_keeps_its_figures_in_order(planted: Circle) -> None:
    """W26: lang and dir for each text, and amounts isolated (WCAG 2.2, 3.1.2, from memory)."""
    edition = planted.open("T") and planted.write("T1", copy_of(ARABIC))
    visitor = visitor_of(planted, "T")
    visitor.get(f"/entry/{edition}")
    tags = read_page(visitor.page).tags
    assert ("article", {"lang": "ar", "dir": "rtl"}) in tags
    assert "نسقيها بنسبة \u20661:10\u2069 حسب الجدول \u2066C-14\u2069." in visitor.page
    assert read_page(visitor.page).judged() == []


def test_what_nobody_checked_is_marked_at_home_and_shown_nowhere_else(planted: Circle) -> None:
    edition = planted.write("C1", practice("Mint in a tin"))
    at_home = visitor_of(planted)
    at_home.get(f"/entry/{edition}")
    assert "Ours, and nobody has checked it yet." in at_home.words()
    planted.carry("C")
    planted.open("S")
    planted.carry("S")
    elsewhere = visitor_of(planted, "S")
    elsewhere.get(f"/entry/{edition}")
    assert elsewhere.status == 404
    assert "Mint in a tin" not in elsewhere.words()


def test_what_a_rule_stops_is_shown_to_those_who_check_and_to_no_reader(planted: Circle, visitor: Visitor) -> None:
    document = copy_of(entry_of("dung-steep"))
    document["photos"] = []
    document["steps"][4].pop("picture")
    document["facts"]["inputs"][0]["wait_d"] = 2
    document["title"] |= {"en": "Pick after two days"}
    edition = planted.write("C1", document)
    visitor.get(f"/entry/{edition}")
    assert visitor.status == 404
    visitor.get("/practices?language=en")
    assert "Pick after two days" not in visitor.words()
    visitor.sit("C3").get(f"/entry/{edition}?language=en")
    assert visitor.status == 200
    assert "Pick after two days" in visitor.words()


def test_a_recall_replaces_the_entry_by_its_notice(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    planted.recall("C3", entry)
    visitor.get(f"/entry/{entry}?language=en")
    words = visitor.words()
    assert "Withdrawn: do not use Rabbit-dung steep in a sack" in words
    for said in ("Two children were sick.", "Pour it away.", "Use soap.", "C3 withdrew it at every site."):
        assert said in words
    assert "Gather 2 kg" not in words
    visitor.get("/practices")
    assert "Withdrawn: do not use." in visitor.words()
    assert "Droppings steep in a hanging sack" not in visitor.words()


def test_two_newest_editions_are_shown_side_by_side_until_a_person_brings_them_together(planted: Circle) -> None:
    first = planted.write("C1", practice("Rows of onions"))
    second, third = (planted.write("C1", practice(f"Rows of onions, {n}"), after=[first]) for n in (2, 3))
    visitor = visitor_of(planted).sit("C1")
    visitor.get(f"/entry/{second}?edition={second}")
    assert "1 other edition stands beside this one" in visitor.words()
    visitor.get(f"/entry/{second}/beside/{third}")
    words = visitor.words()
    assert "Where Edition 2 by C1 Edition 3 by C1" in words or "Where Edition 3 by C1 Edition 2 by C1" in words
    assert "name: English" in words
    assert read_page(visitor.page).judged() == []
    assert ("Rows of onions, 2" in words, "Rows of onions, 3" in words) == (True, True)


def test_a_photo_is_asked_for_again_each_time_so_that_a_withdrawn_one_is_gone(
    visitor: Visitor, planted: Circle
) -> None:
    card = next(card for card in planted["C"].cards() if card.picture)
    response = visitor.client.get(f"/photo/{card.picture}")
    assert response.mimetype in {"image/png", "image/jpeg"}
    assert response.headers["Cache-Control"] == "no-cache"
    again = visitor.client.get(f"/photo/{card.picture}", headers={"If-None-Match": response.headers["ETag"]})
    assert again.status_code == 304


@pytest.mark.parametrize(
    ("state", "standing", "said"),
    [
        ("offered", "unchecked", "Ours, and nobody has checked it yet."),
        ("approved", "checked-once", "Checked once."),
        ("approved", "checked-twice", "Checked twice."),
        ("retired", None, "Out of date."),
        ("sent-back", None, "Sent back to its author."),
        ("recalled", None, "Withdrawn: do not use."),
    ],
)
def test_each_state_is_a_whole_sentence(state: str, standing: str | None, said: str) -> None:
    assert standing_sentence(state, standing, own=True) == said
    assert (standing_sentence(state, standing, own=False) == said) is (state != "offered")


def test_a_title_that_passes_for_another_is_pointed_out_on_lists_and_pages(planted: Circle) -> None:
    title = "Rabbit-manure steep"
    edition = planted.write("C1", practice(title.replace("a", "\N{CYRILLIC SMALL LETTER A}", 1)))
    reader = visitor_of(planted)
    for address in ("/practices/teaching", f"/entry/{edition}"):
        reader.get(address)
        assert reader.words().count("Look twice: this title holds letters") == 1
    planted.write("C1", practice(title))
    reader.get("/practices/teaching")
    assert reader.words().count("Look twice") == 1
