"""The log by page: a day, a table, what it says, and who may do what."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest

from tests.climate.records import DATA
from tests.orrendal import copy_of_circle, fast_folder, site_facts
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

PAGE_MAX_BYTES = 30 * 1024
DAYS = (DATA / "hyderabad.csv").read_text(encoding="utf-8")
NOV_25 = {"date": "2026-11-25", "rain_mm": "12,5", "rain_days": "1", "tmin_c": "18", "tmax_c": "27"}
KEPT = ("/climate/", "/climate/log/table", "/climate/ask", "/climate/growers")


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def visitor(circle: Circle) -> Iterator[Visitor]:
    """At Longshade, whose log is empty again afterwards."""
    yield visitor_of(circle, "L")
    notebook = circle["L"].notebook
    for kind in ("weather-year", "weather-brought", "grower-answers"):
        for paper in notebook.records(kind):
            notebook.remove_record(paper)
    circle["L"].own_climate(site_facts("L").normals)
    circle["L"].weather.choose_method("penman-monteith")


def well(visitor: Visitor, path: str) -> str:
    """Open a page that must be whole, small and well-formed; gives its words."""
    visitor.get(path)
    assert (path, visitor.status, read_page(visitor.page).judged()) == (path, 200, [])
    assert len(visitor.page.encode()) <= PAGE_MAX_BYTES
    return visitor.words()


def test_days_are_for_people_with_a_name_and_the_rains_for_everybody(visitor: Visitor) -> None:
    words = well(visitor, "/climate/rains")
    assert "Nobody has put days into the log yet." in words
    assert re.search(r"\d+ October to \d+ \w+, \d+ days: rain .* rains end \d+ \w+, and the soil", words)
    for path in ("/climate/log", *KEPT):
        visitor.get(path)
        assert "Reading and searching need no sign-in." in visitor.words()
    assert "The log is empty." in well(visitor.sit("L2"), "/climate/log")


def test_a_day_goes_into_the_log_is_changed_and_taken_out(visitor: Visitor) -> None:
    well(visitor.sit("L1"), "/climate/log")
    assert 'value="2026-11-25"' in visitor.page  # today, by a clock that is right
    visitor.post("/climate/log", NOV_25)
    assert "25 November 2026 is in the log." in visitor.words()
    assert "rain not known" in visitor.words().lower()  # a month of one day has no sum
    assert "29 days of rain not read" in visitor.words()
    well(visitor, "/climate/log?day=2026-11-25")
    assert 'value="12.5"' in visitor.page
    visitor.post("/climate/log", NOV_25 | {"rain_mm": "", "tmin_c": "-2"})
    assert "not known" in visitor.words()
    visitor.get("/climate/log?day=2026-11-25")
    visitor.post("/climate/log/strike", {"date": "2026-11-25"})
    assert "The day is out of the log." in visitor.words()
    assert "The log is empty." in visitor.words()
    visitor.post("/climate/log/strike", {"date": "2026-11-25"})
    assert (visitor.status, "the log has no day 2026-11-25" in visitor.words().lower()) == (422, True)


def test_a_day_that_cannot_be_comes_back_with_what_was_typed(visitor: Visitor) -> None:
    visitor.sit("L1").get("/climate/log")
    visitor.post("/climate/log", NOV_25 | {"tmin_c": "30"})
    assert visitor.status == 422
    assert "is above the warmest" in visitor.words()
    assert 'value="30"' in visitor.page
    assert read_page(visitor.page).judged() == []


def test_a_table_is_brought_in_from_a_file_and_the_log_can_be_gone_by(visitor: Visitor, circle: Circle) -> None:
    well(visitor.sit("L1"), "/climate/log/table")
    visitor.post("/climate/log/table", {"whose": "", "table": DAYS})
    assert (visitor.status, "nothing says who read these days" in visitor.words().lower()) == (422, True)
    visitor.get("/climate/log/table")
    upload = {"whose": "weather office", "file": (io.BytesIO(DAYS.encode()), "days.csv")}
    visitor.post("/climate/log/table", upload, content_type="multipart/form-data")
    assert "4018 days are in the log." in visitor.words()
    words = well(visitor, "/climate/log?month=2004-02")
    assert "29 February 2004" in words
    assert "12.8 (11 years)" in words
    assert "weather office : 4018 days" in well(visitor, "/climate/log/table")
    before = circle["L"].normals()
    assert "Go by this site's own log from now on" in well(visitor, "/climate/")
    visitor.post("/climate/log/go-by", {"own": "yes"})
    assert "From this site's own log, as far as it has years enough" in visitor.words()
    assert circle["L"].normals() != before
    visitor.post("/climate/log/go-by", {"own": "no"})
    assert circle["L"].normals() == before


def test_a_file_that_is_no_text_is_refused(visitor: Visitor) -> None:
    visitor.sit("L1").get("/climate/log/table")
    upload = {"whose": "us", "file": (io.BytesIO(b"\xff\xfe\x00d"), "days.xls")}
    visitor.post("/climate/log/table", upload, content_type="multipart/form-data")
    assert (visitor.status, "the file is no text in utf-8" in visitor.words().lower()) == (422, True)


def test_the_rains_are_told_by_date_with_odds_false_starts_and_frost(visitor: Visitor, circle: Circle) -> None:
    circle["L"].weather.bring_in((DATA / "cordoba.csv").read_text(encoding="utf-8"), whose="weather office")
    words = well(visitor, "/climate/rains")
    assert "20 mm have fallen within 3 days, if no dry spell of more than 10 days comes within the next 30" in words
    assert "31 of 31" in words
    assert "dry days from" in words
    assert "Frost in 31 of 31 cold seasons, 13.7 nights each." in words
    assert "What happened, not what will happen." in words
    at_two = well(visitor, "/climate/rains?frost=2&heat=40")
    assert "A night at 2 °C or below counts as frost here, a day at 40 °C or above as heat." in at_two
    assert "13.7 nights each" not in at_two
    assert "A night at 0 °C" in well(visitor, "/climate/rains?frost=-99&heat=x")
    assert "When the rains began here, year by year" in well(visitor, "/")


def test_a_log_of_one_season_has_dates_and_no_odds(visitor: Visitor, circle: Circle) -> None:
    wanted = [line for line in DAYS.splitlines() if line.startswith(("date", "2004", "2005"))]
    lines = [line for line in wanted if not line.startswith("2005-10")]
    circle["L"].weather.bring_in("\n".join(lines), whose="us")
    words = well(visitor, "/climate/rains")
    assert "Odds by week need ten years that are known; there are" in words
    assert "not known: " in words  # nobody read in October


def test_the_months_page_says_what_leaves_and_how_evaporation_is_computed(visitor: Visitor, circle: Circle) -> None:
    words = well(visitor.sit("L1"), "/climate/")
    assert "evaporation is off by" in words
    assert "No whole month was read here yet." in words
    visitor.post("/climate/method", {"method": "hargreaves"})
    assert "Hargreaves (FAO-56 Eq 52)" in visitor.words()
    assert circle["L"].eto_method == "hargreaves"
    visitor.get("/calendar")
    assert "Hargreaves" in visitor.words()
    visitor.get("/climate/")
    visitor.post("/climate/method", {"method": "guess"})
    assert visitor.status == 422


def test_the_request_to_a_weather_office_is_a_sheet_with_room_for_twelve_months(visitor: Visitor) -> None:
    words = well(visitor.sit("L1"), "/climate/ask")
    assert "25.4° south, 560 m above the sea" in words
    assert "hand it only to those who may know where the site is" in words
    assert all(month in words for month in ("January", "June", "December"))


def test_a_sheet_for_a_month_has_a_line_for_each_day_and_says_what_empty_means(visitor: Visitor) -> None:
    words = well(visitor.sit("L1"), "/climate/log/sheet")
    assert "empty is unknown, 0 is no rain" in words
    assert visitor.page.count('<th scope="row">') == 31


def test_five_questions_stand_beside_the_figures(visitor: Visitor) -> None:
    well(visitor.sit("L1"), "/climate/growers")
    visitor.post("/climate/growers", {})
    assert (visitor.status, "no question was answered" in visitor.words().lower()) == (422, True)
    visitor.get("/climate/growers")
    visitor.post("/climate/growers", {"coldest": ["7"], "wettest": ["6"]})
    assert "What one grower says, beside the figures" in visitor.words()
    assert "They part: 0 of 1 agree." in visitor.words()
    assert "They agree: 1 of 1 within a month." in visitor.words()
    assert "Nobody has answered yet." in visitor.words()
    visitor.post("/climate/growers/forget", {})
    assert "All answers are out." in visitor.words()
