"""Before you start here: the questions, the sheet to ask with, what it comes to, what is in use, what happened."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from fieldbook.practices.scaling import scale
from fieldbook.site import Site, begin_site
from fieldbook.web import create_app
from tests.orrendal import copy_of_circle, fast_folder, noon, site_facts
from tests.roofs import ANSWERS, PLACE, roof_bed
from tests.starters import entry_of
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle

KIB = 1024


@pytest.fixture
def circle() -> Iterator[Circle]:
    one = copy_of_circle(fast_folder())
    yield one
    one.close()


@pytest.fixture
def edition(circle: Circle) -> str:
    return circle.write("C1", roof_bed({"en": "A bed on a roof", "ar": "حوض على السطح 12 سم"}))


@pytest.fixture
def visitor(circle: Circle) -> Visitor:
    return visitor_of(circle).sit("C1")


def answer(visitor: Visitor, edition: str, **changed: str) -> None:
    visitor.get(f"/start/{edition}/questions")
    visitor.post(f"/start/{edition}/questions", {"place": PLACE} | ANSWERS | changed)


def test_a_practice_is_begun_where_the_answers_allow_it(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition)
    words = visitor.words()
    assert "May begin here" in words
    assert "19.22 kg/m² for each cm of wet soil." in words
    assert "Wet it weighs 230.7 kg/m²: not above the 300 kg/m² that were stated." in words
    (slip,) = visitor.site.starting.slips()
    visitor.post(f"/start/slip/{slip.slip.number}/begin", {})
    assert "In use here" in visitor.words()
    assert [one.place for one in visitor.site.starting.begun()] == [PLACE]


def test_a_refusal_says_both_figures_whom_to_ask_and_what_to_do_instead(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition, safe_load_kg_m2="97.6")
    words = visitor.words()
    assert "Not yet" in words
    assert "Here: 231 kg/m² ; held against: 97.6 kg/m² (5 cm) ." in words
    assert "Do instead: Put the bed on posts of its own that stand on the ground." in words
    assert 'href="/who-to-call/#builder"' in visitor.page
    assert "At most 5 cm of it for the 97.6 kg/m² that were stated" in words
    assert "Begin it here" not in words
    number = visitor.site.starting.slips()[0].slip.number
    visitor.post(f"/start/slip/{number}/begin", {})
    assert (visitor.status, "This may not begin here yet" in visitor.words()) == (422, True)


def test_no_page_of_it_ever_says_that_anything_is_safe(visitor: Visitor, edition: str) -> None:
    for changed in ({}, {"depth_cm": "40"}):
        answer(visitor, edition, **changed)
        assert "safe" not in visitor.words().casefold().replace("safety", "")


def test_what_is_not_known_is_kept_and_typed_in_later(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition, engineer_ok="unknown", safe_load_kg_m2=" ", way_up="")
    assert "3 things stand against it" in visitor.words()
    number = visitor.site.starting.slips()[0].slip.number
    visitor.get(f"/start/{edition}/questions?slip={number}")
    assert f'value="{PLACE}"' in visitor.page
    assert re.search(r'id="engineer_ok-unknown"[^>]* checked', visitor.page)
    visitor.post(f"/start/{edition}/questions", {"place": PLACE, "said_on.builder": "2026-11-20"} | ANSWERS)
    assert "May begin here" in visitor.words()
    assert "Word of the builder or engineer: 2026-11-20" in visitor.words()
    assert len(visitor.site.starting.slips()) == 1


def test_figures_are_typed_in_any_digits_and_with_a_comma(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition, depth_cm="١٢", safe_load_kg_m2="230,7", **{"said_on.builder": "٢٠٢٦-١١-٢٠"})
    (slip,) = visitor.site.starting.slips()
    assert (slip.slip.answers["depth_cm"], slip.slip.answers["safe_load_kg_m2"]) == ("12", "230.7")
    assert slip.may_begin


@pytest.mark.parametrize(
    ("box", "typed", "says"),
    [
        ("place", "  ", "No place was named."),
        ("place", "0712 345 678", "The words for the place hold a long number or an address."),
        ("depth_cm", "deep", "“deep” is no number. Write digits, with a point for parts: 12 or 4.5."),
        ("depth_cm", "0", "0 is out of range. Write a number above 0 and at most 500 cm."),
        ("engineer_ok", "maybe", "“maybe” is no answer. Choose yes, no, or do not know."),
        ("said_on.builder", "30.2.", "“30.2.” is no day of the calendar. Write it like 2026-11-25."),
        ("said_on.builder", "2027-01-01", "This day has not come yet. Write the day of their word."),
    ],
)
def test_a_fault_stands_at_its_box_and_nothing_typed_is_lost(
    visitor: Visitor, edition: str, box: str, typed: str, says: str
) -> None:
    answer(visitor, edition, **{"bed_width_cm": "61", box: typed})
    assert (visitor.status, says in visitor.words()) == (422, True), visitor.words()
    assert 'value="61"' in visitor.page
    assert visitor.site.starting.slips() == ()


def test_a_fault_is_said_in_kiswahili_above_the_english(visitor: Visitor, edition: str) -> None:
    visitor.get(f"/start/{edition}/questions")
    answers = {"place": PLACE, **ANSWERS, "depth_cm": "deep"}
    visitor.post(f"/start/{edition}/questions", answers, headers={"Accept-Language": "sw"})
    assert "“deep” si namba. Andika tarakimu" in visitor.words()
    assert "“deep” is no number." in visitor.words()


def test_each_question_for_others_stands_beside_whom_to_ask(visitor: Visitor, edition: str) -> None:
    visitor.get(f"/start/{edition}/questions")
    words = visitor.words()
    assert words.index("Ask the builder or engineer") < words.index("Has a competent person looked")
    assert words.index("How much more weight may this place carry") < words.index("Look for yourself")
    assert 'href="/who-to-call/#builder"' in visitor.page
    assert read_page(visitor.page).judged() == []


def test_a_storm_is_one_button_and_the_answers_are_asked_again(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition)
    number = visitor.site.starting.slips()[0].slip.number
    visitor.post(f"/start/slip/{number}/begin", {})
    visitor.post("/start/happened", {"event": "storm", "place": PLACE})
    words = visitor.words()
    assert "Ask again: There was a storm after these answers were given." in words
    assert "Note the flood" not in words
    visitor.post("/start/happened", {"event": "flood", "place": PLACE})
    assert "Note the flood at each bed that it reached, too" in visitor.words()
    visitor.get(f"/start/slip/{number}")
    assert "Lapsed: There was a storm after these answers were given." in visitor.words()


def test_an_event_or_a_slip_that_is_not_there_is_said_plainly(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition)
    visitor.get("/start/")
    visitor.post("/start/happened", {"event": "earthquake"})
    assert (visitor.status, "What happened is not known here." in visitor.words()) == (422, True)
    visitor.get("/start/slip/99")
    assert (visitor.status, "There is no such slip here." in visitor.words()) == (404, True)


def test_a_practice_is_ended_by_a_button(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition)
    visitor.post(f"/start/slip/{visitor.site.starting.slips()[0].slip.number}/begin", {})
    visitor.post(f"/start/in-use/{visitor.site.starting.begun()[0].number}/end", {})
    assert "Nothing was begun here by a slip yet." in visitor.words()


def test_a_withdrawn_practice_is_marked_and_cannot_be_asked_about(
    circle: Circle, visitor: Visitor, edition: str
) -> None:
    answer(visitor, edition)
    visitor.post(f"/start/slip/{visitor.site.starting.slips()[0].slip.number}/begin", {})
    circle.recall("C3", edition)
    visitor.get("/start/")
    assert "Stop: It was withdrawn: do not use it." in visitor.words()
    visitor.get(f"/start/{edition}/questions")
    assert (visitor.status, "This practice was withdrawn." in visitor.words()) == (404, True)


def test_where_no_clock_is_trusted_a_trainer_says_that_all_is_still_so(circle: Circle, edition: str) -> None:
    import datetime as dt

    circle.open("C", clock=lambda: dt.datetime(1970, 1, 1, 6, 0, tzinfo=dt.UTC))
    visitor = visitor_of(circle).sit("C1")
    answer(visitor, edition)
    number = visitor.site.starting.slips()[0].slip.number
    visitor.site.notebook.set_fact("exchanges", 100)
    visitor.get(f"/start/slip/{number}")
    assert "exchanges have passed, and no clock here tells how old these answers are" in visitor.words()
    assert "asked again after 6 more exchanges" in visitor.words()
    visitor.post(f"/start/slip/{number}/still-so", {})
    assert "May begin here" in visitor.words()
    visitor.post(f"/start/slip/{number}/begin", {})
    assert "Begun on a day that no clock here could tell." in visitor.words()


def test_the_sheet_holds_the_questions_the_computed_weight_and_room_for_role_and_day(
    visitor: Visitor, edition: str
) -> None:
    visitor.client.delete_cookie("tried_ground_C")
    visitor.get(f"/start/{edition}/sheet")  # a volunteer carries it: it needs no sign-in
    words = visitor.words()
    assert "19.22 kg/m² for each cm of wet soil." in words
    assert "The 12 cm of the practice entry weigh 230.7 kg/m² when wet." in words
    assert "published wet densities of roof and garden soils, 48 to 120 lb/ft³ (read)" in words
    assert words.count("Said on (day) by (role)") == 1
    assert words.count("yes no do not know") == 3
    assert "signature" not in words.replace("no signatures", "")


def test_the_sheet_of_a_slip_names_its_place_and_what_was_computed_there(visitor: Visitor, edition: str) -> None:
    answer(visitor, edition, safe_load_kg_m2="")
    visitor.get(f"/start/slip/{visitor.site.starting.slips()[0].slip.number}/sheet")
    assert f"Place: {PLACE}" in visitor.words()
    assert "The whole bed of 1.2 m² weighs 276.8 kg." in visitor.words()


def test_an_arabic_title_stands_in_its_own_direction(visitor: Visitor, edition: str) -> None:
    for path in (f"/start/{edition}/questions?language=ar", f"/start/{edition}/sheet?language=ar"):
        visitor.get(path)
        assert re.search(r'<bdi lang="ar" dir="rtl">حوض على السطح', visitor.page)
        assert read_page(visitor.page).judged() == []


def test_readers_see_neither_slips_nor_what_is_in_use(circle: Circle, visitor: Visitor, edition: str) -> None:
    answer(visitor, edition)
    number = visitor.site.starting.slips()[0].slip.number
    stranger = visitor_of(circle)
    for path in ("/start/", f"/start/slip/{number}", f"/start/slip/{number}/sheet", f"/start/{edition}/questions"):
        stranger.get(path)
        assert PLACE not in stranger.page
        assert "Passphrase" in stranger.words()
    for path in (f"/start/slip/{number}/begin", "/start/happened"):
        stranger.post(path, {"event": "storm"})
        assert "Passphrase" in stranger.words()
    assert not visitor.site.starting.begun()
    assert not visitor.site.starting.events()


def test_a_trainer_begins_from_the_page_of_the_entry(circle: Circle, visitor: Visitor, edition: str) -> None:
    visitor.get(f"/entry/{edition}")
    assert f'href="/start/{edition}/questions"' in visitor.page
    reader = visitor_of(circle)
    reader.get(f"/entry/{edition}")
    assert f'href="/start/{edition}/questions"' not in reader.page
    assert f'href="/start/{edition}/sheet"' in reader.page


def test_the_pages_are_light(visitor: Visitor, edition: str) -> None:
    """W14 (ours): at most 30 KiB of text."""
    answer(visitor, edition, depth_cm="40", engineer_ok="no")
    number = visitor.site.starting.slips()[0].slip.number
    for path in (f"/start/{edition}/questions", f"/start/slip/{number}", f"/start/slip/{number}/sheet", "/start/"):
        assert len(visitor.get(path).data) < 30 * KIB, path


def test_a_site_in_no_network_has_nothing_in_use_and_says_so() -> None:
    folder = fast_folder() / "lone"
    begin_site(folder, site_facts("C"), founding=None)
    site = Site.open(folder, clock=noon)
    try:
        assert not site.starting.slips()
        assert not site.starting.begun()
        assert create_app(site).test_client().get("/who-to-call/").status_code == 200
    finally:
        site.close()


def test_a_size_that_the_answers_do_not_hold_for_cannot_be_picked_and_says_what_fits(circle: Circle) -> None:
    """Soil for 2 m² lies 25 cm deep on the bed of 1.2 m²: 480.5 kg/m² against the builder's 300, which 15.6 cm weigh."""
    plain = {name: value for name, value in entry_of("coop-roof-bed").items() if name != "photos"}
    steps = [{name: value for name, value in step.items() if name != "picture"} for step in plain["steps"]]
    edition, visitor = circle.write("C1", plain | {"steps": steps}), visitor_of(circle).sit("C1")
    asked = {one.code: "yes" for one in visitor.site.starting.questions(edition) if one.takes == "yes"}
    hens = {"hen_n": "6", "hen_floor_length_cm": "200", "hen_floor_width_cm": "100"}
    answer(visitor, edition, **asked, **hens, depth_cm="15")
    (slip,) = visitor.site.starting.slips()
    value, sums = visitor.site.entry_value(edition), visitor.site.sums
    fits, too_deep = (
        sums.keep_size(edition, scale(value, base="material-2", amount=Decimal(litres), unit="L")).number
        for litres in (90, 150)
    )
    visitor.get(f"/start/slip/{slip.slip.number}")
    words, begin = visitor.words(), f"/start/slip/{slip.slip.number}/begin"
    assert "Not here: 150 L" in words
    assert "Here: 25 cm, 480.5 kg/m² ; would fit: 15.6 cm, 300 kg/m² ." in words
    assert (f'value="{fits}"' in visitor.page, f'value="{too_deep}"' in visitor.page) == (True, False)
    assert read_page(visitor.page).judged() == []
    visitor.post(begin, {"size": str(too_deep)})
    assert visitor.status == 422
    assert "This may not begin here in this size: The wet weight is above the stated limit" in visitor.words()
    assert visitor.site.starting.begun() == ()
    visitor.post(begin, {"size": str(fits)})
    assert len(visitor.site.starting.begun()) == 1
    answer(visitor, edition, **asked, **hens, place="roof of block D", depth_cm="10", safe_load_kg_m2="200")
    words = visitor.words()  # 10 cm were answered, and the amounts of the entry lie 15 cm deep
    assert "As the entry says, it is more than these answers hold for" in words
    assert "Here: 15 cm, 288.3 kg/m² ; would fit: 10.4 cm, 200 kg/m² ." in words
    answer(visitor, edition, **asked, **hens, depth_cm="12", safe_load_kg_m2="250")
    visitor.get(f"/start/slip/{slip.slip.number}")
    assert "The answers do not hold for the size that is in use here" in visitor.words()
