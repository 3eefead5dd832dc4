"""The calendar: the year as a picture and as a table, and what still can be planted this month."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.climate.year import date_words
from fieldbook.site.season import crop_table
from fieldbook.web.season_words import MONTHS, now_lines, span, suits_words, window_lines
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_the_index_holds_every_crop_once_with_its_page_and_what_can_be_sown_now_comes_first(
    planted: Circle, visitor: Visitor
) -> None:
    visitor.get("/calendar")
    assert "<svg" in visitor.page
    links = re.findall(r'href="/calendar/([a-z_]+)"', visitor.page)
    crops = [link for link in links if link not in {"whole", "picture"}]
    assert sorted(crops) == sorted(crop.crop_id for crop in crop_table())
    windows = planted["C"].windows_now()
    now = {one.crop for one in now_lines(windows, f"{planted['C'].clock():%m-%d}").still}
    assert set(crops[: len(now)]) == now
    assert planted["C"].calendar().method.how_sure[:40].casefold() in visitor.words().casefold()


def test_the_months_stand_in_a_table_rounded_as_all_that_is_told_of_a_site(visitor: Visitor) -> None:
    visitor.get("/calendar")
    words = visitor.words()
    assert "The same in figures, rounded" in words
    assert "Jan 60 135 11 25 Feb 80 130 11.5 26" in words  # C: 62 mm, 11.2 and 25.1 C in January


@pytest.mark.parametrize("letter", list("CTLS"))
def test_every_crop_has_a_page_that_says_why_from_what_and_how_sure(planted: Circle, letter: str) -> None:
    planted.open(letter)
    visitor, found = visitor_of(planted, letter), planted[letter].calendar()
    reasons = {one.crop: one.reasons[0].words for one in found.windows}
    reasons |= {one.crop: one.reasons[0].words for one in found.without}
    dung = {one.crop: one.dung[0].words for one in found.windows}
    for crop in crop_table():
        visitor.get(f"/calendar/{crop.crop_id}")
        words = visitor.words()
        assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
        assert len(visitor.page.encode()) < 30 * 1024
        assert crop.common_name in words
        assert reasons[crop.crop_id][1:] in words
        assert dung.get(crop.crop_id, "")[1:] in words
        assert crop.origins["temperature"].words in words
        assert "7 CFR 205.203(c)(1)" in words or crop.contact == "not eaten" or crop.crop_id not in dung


def test_a_crop_page_gives_dung_day_law_and_caution_water_by_stage_and_room(visitor: Visitor) -> None:
    visitor.get("/calendar/kale")
    words = visitor.words()
    assert "by 25 May at the latest if you plant on 8 August" in words  # 45 days to the first leaf, 120 before it
    assert "It binds farms that sell as organic; we borrow it as the careful side." in words
    assert "Germs in dung." in words
    assert "General guidance. Local codes" in words
    assert "coming up 20 " in words
    assert "15 L of soil at least (read)" in words
    assert "20 cm of soil at least (from memory)" in words


def test_where_rain_alone_counts_the_page_says_what_watering_would_open(planted: Circle, visitor: Visitor) -> None:
    """A crop without a window by rain has its dung day and the law with the windows that watering opens."""
    planted.open("T")
    dry = visitor_of(planted, "T")
    dry.get("/calendar/maize")
    words = dry.words()
    assert "Not here" in words
    assert "If you can water it This site states no water to spare, so the answer above counts on rain alone." in words
    (window,) = planted["T"].calendar(crops=["maize"], watering=True).windows
    assert f"up to {window.highest_l_m2_day:.1f} L on each m² a day" in words.split("If you can water it")[1]
    assert "7 CFR 205.203(c)(1)" in words
    dry.get("/calendar/maize?persons=5&water=60")
    assert "If you can water it" not in dry.words()
    planted.open("L")
    wet = visitor_of(planted, "L")
    wet.get("/calendar/maize")
    assert "If you can water it" not in wet.words()


def test_the_day_of_the_first_leaf_gives_roots_their_dung_day(visitor: Visitor) -> None:
    visitor.get("/calendar/sweet_potato")
    assert "No dung day" in visitor.words()
    visitor.get("/calendar/sweet_potato?leaf=30")
    assert "No dung day" not in visitor.words()
    assert "120 days before the first bite, which may come 30 days after planting" in visitor.words()
    visitor.get("/calendar/kale?leaf=200")  # where the table knows the day it is not taken from the address
    assert "which may come 45 days after planting out" in visitor.words()


@pytest.mark.parametrize("typed", ["soon", "0", "1000"])
def test_a_first_leaf_on_no_day_is_refused(visitor: Visitor, typed: str) -> None:
    visitor.get(f"/calendar/sweet_potato?leaf={typed}", headers={"Accept-Language": "en"})
    assert visitor.status == 422
    assert f"'{typed}' days to the first leaf are not from 1 to 999. Write a whole number, as 30." in visitor.words()


def test_a_crop_that_is_not_in_the_table_has_no_page(visitor: Visitor) -> None:
    visitor.get("/calendar/pineapple")
    assert visitor.status == 404


def test_all_windows_stand_in_one_table_and_beside_one_another_in_pictures(planted: Circle, visitor: Visitor) -> None:
    visitor.get("/calendar/whole")
    windows = planted["C"].calendar().windows
    assert visitor.page.count("<tr>") == len(windows) + 1
    visitor.get("/calendar/picture")
    assert visitor.page.count("<svg") == 4
    for window in windows:
        assert window.name.split(" / ")[0].split(" (")[0] in visitor.words()


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
        said = {one.name: one.when for one in now.still}.get(window.name, "").partition(",")[0]
        assert window.all_year or runs == (said == f"until {date_words(window.end)}")


def test_what_would_grow_poorly_if_planted_today_is_said_to_and_stands_last(planted: Circle) -> None:
    planted.open("T")
    windows = planted["T"].calendar(watering=True).windows
    still = now_lines([window for window in windows if window.open_in(4)], "04-10").still
    assert ("Broccoli", "all year, poor") in [(one.name, one.when) for one in still]
    poor = [one.when.endswith(", poor") for one in still]
    assert poor == sorted(poor)
    assert 3 < sum(poor) < len(poor)


def test_a_crop_says_when_it_is_best_planted_and_that_the_rest_is_worse(planted: Circle) -> None:
    planted.open("T")
    slow = planted["C"].calendar(crops=["groundnut"], watering=False).windows
    assert {suits_words(one) for one in slow} == {"fair; may not ripen in time"}
    (okra,) = planted["T"].calendar(crops=["okra"], watering=True).windows
    assert suits_words(okra) == "best 1 Jul to 19 Dec; else fair to poor"
    visitor = visitor_of(planted, "T")
    visitor.get("/calendar/kale")
    assert "How well the warmth suits it poor" in visitor.words()
    assert "over halfway from what it likes to the 7 or 30 C that end it" in visitor.words()
    visitor.get("/calendar/whole")
    assert "1 Jul to 17 Jul, poor" in visitor.words()


def test_on_the_first_page_what_closes_first_stands_first_and_the_rest_is_folded_away(visitor: Visitor) -> None:
    visitor.get("/")
    shown, _, more = visitor.page.partition("<details>")
    days = re.findall(r"<td>until (\d+) (\w+)</td>", shown)
    assert 0 < len(days) <= 6
    ends = [(MONTHS.index(month), int(day)) for day, month in days]
    assert [(month - 10) % 12 for month, _ in ends] == sorted((month - 10) % 12 for month, _ in ends)
    assert "<summary>" in more
