"""Trap g: T has 20 L of water for each person and day, of which 15 L are for people. What the calendar makes of it.

Worked by hand from the scenario: four persons have 20 L a day for plants, which keep 3.5 square metres on an average day
and 2.8 in April (by FAO-56 Eq 52; the calendar's own method, Eq 6, gives 6 % less thirst in April); five persons on 60 L
have less than nothing.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import household_from_text
from tests.web.gardens import Visitor, visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle


@pytest.fixture
def visitor(circle: Circle) -> Visitor:
    return visitor_of(circle, "T")


def test_four_persons_have_twenty_litres_for_plants_and_see_how_little_that_keeps(visitor: Visitor) -> None:
    visitor.get("/calendar?persons=4&water=80")
    words = visitor.words()
    assert "20 L a day are left for plants: 80 L less 60 L" in words
    found = re.search(r"keeps ([0-9.]+) m² of full-grown green on an average day of the year, ([0-9.]+) m² in", words)
    assert found is not None
    assert float(found[1]) == pytest.approx(3.5, abs=0.35)
    assert float(found[2]) == pytest.approx(2.8, abs=0.35)


def test_each_crop_that_is_watered_says_the_ground_that_this_water_keeps(circle: Circle) -> None:
    household = household_from_text(persons="4", water_l_day="80")
    year = circle["T"].household.year(household)
    assert year.refused == ()
    assert len({window.crop for window in year.calendar.windows}) > len(
        {window.crop for window in circle["T"].calendar().windows}
    )
    tomato = next(window for window in year.calendar.windows if window.crop == "tomato")
    visitor = visitor_of(circle, "T")
    visitor.get("/calendar/tomato?persons=4&water=80")
    keeps = re.search(r"Your water keeps at most ([0-9.]+) m²", visitor.words())
    assert keeps is not None
    assert 0 <= 20 / tomato.highest_l_m2_day - float(keeps[1]) < 0.1  # rounded down, never up


def test_five_persons_on_sixty_litres_are_refused_all_that_must_be_watered_with_the_reason(
    circle: Circle, visitor: Visitor
) -> None:
    visitor.get("/calendar?persons=5&water=60")
    words = visitor.words()
    assert "Nothing is left for plants." in words
    assert "5 persons need 75 L a day for themselves and have 60 L: 15 L too little" in words
    assert "Only water that was used before may go to plants: at the foot, never on leaves" in words
    refused = circle["T"].household.year(household_from_text(persons="5", water_l_day="60")).refused
    assert {"tomato", "onion", "maize", "carrot"} <= {window.crop for window in refused}
    told = words.split("Refused: no water is left for these")[1]
    assert all(window.name in told for window in refused)


def test_what_rain_alone_carries_is_not_refused(circle: Circle, visitor: Visitor) -> None:
    year = circle["T"].household.year(household_from_text(persons="5", water_l_day="60"))
    assert {window.supply for window in year.calendar.windows} == {"rain"}
    assert year.calendar.windows == circle["T"].calendar().windows
    assert "amaranth" not in {window.crop for window in year.refused}
    visitor.get("/calendar/amaranth?persons=5&water=60")
    assert "Sow or plant 24 June to 11 August" in visitor.words()


def test_a_household_that_was_only_asked_about_leaves_no_trace(circle: Circle, visitor: Visitor) -> None:
    before = circle["T"].notebook.records("household-water")
    visitor.get("/calendar?persons=5&water=60")
    assert before == circle["T"].notebook.records("household-water") == ()
    visitor.get("/calendar")
    assert "left for plants" not in visitor.words()


def test_a_trainer_may_let_the_calendar_reckon_with_a_household_and_end_it(visitor: Visitor) -> None:
    visitor.sit("T1").get("/calendar?persons=4&water=80")
    visitor.post("/calendar/water", {"persons": "4", "water": "80"})
    assert visitor.status == 200
    assert "20 L a day are left for plants" in visitor.words()
    visitor.post("/calendar/water", {"forget": "yes"})
    assert "left for plants" not in visitor.words()
    assert visitor.site.household.kept is None


def test_a_reader_without_a_name_may_ask_and_not_keep(circle: Circle, visitor: Visitor) -> None:
    visitor.get("/calendar?persons=4&water=80")
    assert "Reckon with this household" not in visitor.words()
    visitor.get("/people/sign-in")
    visitor.post("/calendar/water", {"persons": "4", "water": "80"})
    assert "Passphrase" in visitor.words()
    assert circle["T"].household.kept is None


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("persons=many&water=80", "The number of persons 'many' is no number. Write how many persons, as 4."),
        ("persons=4&water=", "The water '' is no number. Write all the litres of a day, as 80."),
        ("persons=0&water=80", "The number of persons is 0, outside 1 to 200. Count everyone who drinks."),
        ("persons=4&water=999999", "The household's water is 999999 L a day, outside 0 to 20000 L a day."),
    ],
)
def test_what_is_no_household_is_refused_and_the_calendar_still_shown(visitor: Visitor, asked: str, said: str) -> None:
    visitor.get(f"/calendar?{asked}", headers={"Accept-Language": "en"})
    assert visitor.status == 422
    assert said in visitor.words()
    assert "Amaranth" in visitor.words()
