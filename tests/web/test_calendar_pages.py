"""The calendar: the year as a picture and as a table, and what still can be planted this month."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.climate.year import date_words
from fieldbook.web.season_words import MONTHS, now_lines, span, window_lines
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_the_year_is_a_picture_and_the_same_as_a_table(planted: Circle, visitor: Visitor) -> None:
    visitor.get("/calendar")
    words, calendar = visitor.words(), planted["C"].calendar()
    assert "<svg" in visitor.page
    for line in window_lines(calendar.windows):
        assert f"{line.name} {line.plant}" in words
    for crop in calendar.without:
        assert crop.name in words
    assert calendar.method.how_sure[:40].casefold() in words.casefold()


def test_every_window_says_why_from_what_and_how_sure(planted: Circle, visitor: Visitor) -> None:
    visitor.get("/calendar")
    words = visitor.words()
    first = planted["C"].calendar().windows[0]
    assert first.reasons[0].words[1:] in words
    assert first.sources[0] in words
    assert first.how_sure[1:40] in words


def test_the_four_sites_have_four_calendars(planted: Circle) -> None:
    """Trap f of the scenario: the same crop list, four climates."""
    shown = set()
    for letter in "CTLS":
        planted.open(letter)
        visitor = visitor_of(planted, letter)
        visitor.get("/calendar")
        assert read_page(visitor.page).judged() == []
        shown.add(tuple(line.plant for line in window_lines(planted[letter].calendar(crops=["amaranth"]).windows)))
    assert len(shown) == 4


def test_dates_are_said_as_days_of_the_year() -> None:
    assert [date_words("03-05"), span("11-20", "02-01"), span("03-05", "03-05")] == [
        "5 March",
        "20 November to 1 February",
        "5 March",
    ]
    assert len(MONTHS) == 12


@pytest.mark.parametrize("today", ["11-01", "11-25", "12-31", "02-10"])
def test_this_month_says_until_when_from_when_and_what_has_ended(planted: Circle, today: str) -> None:
    windows = planted["C"].windows_in_month(int(today[:2]))
    now = now_lines(windows, today)
    assert len(now.still) + len(now.over) == len(windows)
    for window in windows:
        runs = window.start <= today <= window.end or (
            window.start > window.end and (today >= window.start or today <= window.end)
        )
        said = dict(now.still).get(window.name, "")
        assert window.all_year or runs == (said == f"until {date_words(window.end)}")
