"""The log of a site: what people read, what it says of the months, and when the site goes by it."""

from __future__ import annotations

import datetime as dt
import gzip
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.daily import DailyError
from fieldbook.climate.monthly import METHODS
from fieldbook.climate.place import Place
from fieldbook.climate.rounding import rounded_normals
from fieldbook.errors import FieldbookError
from fieldbook.site import SiteError
from fieldbook.site.growers import GROWERS_MAX
from fieldbook.site.season import latitude_from_text, place_from_text
from tests.climate.records import DATA
from tests.orrendal import copy_of_circle, fast_folder, site_facts

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.site import Site
    from tests.orrendal import Circle

DAYS = (DATA / "hyderabad.csv").read_text(encoding="utf-8")
NOV_25 = {"date": "2026-11-25", "rain_mm": "12.5", "rain_days": "1", "tmin_c": "18", "tmax_c": "27"}


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def site(circle: Circle) -> Iterator[Site]:
    """Thornpan, whose log and climate are as before afterwards."""
    site = circle["T"]
    yield site
    for kind in ("weather-year", "weather-brought", "grower-answers"):
        for paper in site.notebook.records(kind):
            site.notebook.remove_record(paper)
    site.own_climate(site_facts("T").normals)
    site.weather.choose_method(METHODS[0])


def said(site: Site) -> Mapping[str, Any]:
    """What the site has said of its place to the network."""
    ledger = site.need_ledger()
    ours = [one for one in ledger.all_said() if one.kind == "fieldbook/site" and one.author == site.site_key.public]
    body = ours[-1].body
    assert body is not None
    return body


def whose(site: Site) -> str | None:
    """The letter of the site that lends the climate."""
    return None if site.borrowed_climate is None else str(site.borrowed_climate["letter"])


def test_a_day_is_kept_put_in_the_place_of_another_and_struck(site: Site) -> None:
    site.weather.put_down(NOV_25)
    site.weather.put_down({"date": "2026-11-24", "rain_mm": "0"})
    site.weather.put_down(NOV_25 | {"rain_mm": "", "tmax_c": "26.25"})
    first, second = site.weather.record().days
    assert (first.rain_mm, first.tmin_c) == (0, None)
    assert (second.rain_mm, second.tmin_c, second.tmax_c) == (None, 18, 26.25)  # a day that is typed anew is whole
    site.weather.strike("2026-11-24")
    assert len(site.weather.record().days) == 1
    with pytest.raises(SiteError, match="the log has no day 2026-11-24"):
        site.weather.strike("2026-11-24")
    with pytest.raises(SiteError, match="the log has no day x"):
        site.weather.strike("x")


def test_a_day_over_several_days_comes_back_as_such(site: Site) -> None:
    site.weather.put_down({"date": "2026-11-25", "rain_mm": "30", "rain_days": "3"})
    (day,) = site.weather.record().days
    assert (day.rain_mm, day.rain_days) == (30, 3)
    assert site.weather.record().rain_mm == {}


def test_a_day_that_cannot_be_is_refused_and_nothing_is_written(site: Site) -> None:
    with pytest.raises(DailyError, match="is above the warmest"):
        site.weather.put_down(NOV_25 | {"tmin_c": "30"})
    with pytest.raises(SiteError, match="the day 2026-11-27 has not come yet"):
        site.weather.put_down(NOV_25 | {"date": "2026-11-27"})
    site.weather.put_down(NOV_25 | {"date": "2026-11-26"})  # east of here it is tomorrow already
    assert [day.date.day for day in site.weather.record().days] == [26]


def test_a_clock_that_cannot_be_right_refuses_no_day(circle: Circle) -> None:
    site = circle.open("T", clock=lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC))
    site.weather.put_down(NOV_25)
    assert len(site.weather.record().days) == 1
    site.weather.strike("2026-11-25")
    circle.open("T")


def test_a_table_of_days_is_brought_in_with_whose_they_are(site: Site) -> None:
    brought = site.weather.bring_in(DAYS, whose=" weather  office, 12 km north ")
    assert (brought.whose, brought.days, brought.first, brought.last) == (
        "weather office, 12 km north",
        4018,
        "2000-01-01",
        "2010-12-31",
    )
    assert site.weather.brought() == (brought,)
    assert len(site.weather.record().days) == 4018
    site.weather.bring_in("date,rain_mm,tmax_c\n2000-01-01,9,\n", whose="our gauge")
    first = site.weather.record().days[0]
    assert (first.rain_mm, first.tmax_c) == (9, 27.3)  # an empty cell takes nothing away


@pytest.mark.parametrize(
    ("table", "whose", "fault"),
    [
        ("date,rain_mm\n2026-11-25,1\n", " ", "nothing says who read these days"),
        ("date,rain_mm\n2026-11-25,1\n", "x" * 121, "nothing says who read these days"),
        ("date,rain_mm\n2026-11-25,\n", "us", "the table has no day on which anything was read"),
        ("date,rain_mm\n2027-11-25,1\n", "us", "the day 2027-11-25 has not come yet"),
        ("date,rain_mm\n2026-11-25,-1\n", "us", "the days cannot be taken"),
    ],
)
def test_a_table_that_cannot_be_is_refused_whole(site: Site, table: str, whose: str, fault: str) -> None:
    with pytest.raises(FieldbookError, match=fault) as refused:
        site.weather.bring_in(table, whose=whose)
    assert refused.value.hint
    assert site.weather.record().days == ()
    assert site.weather.brought() == ()


def test_the_site_goes_by_its_log_only_when_somebody_says_so(site: Site) -> None:
    given, told = site.normals(), said(site)
    with pytest.raises(SiteError, match="the log has no 5 whole years yet of each month") as refused:
        site.weather.go_by(own=True)
    assert "go on reading" in refused.value.hint
    site.weather.bring_in(DAYS, whose="our gauge")
    assert (site.normals(), said(site), site.weather.goes_by) == (given, told, False)
    site.weather.go_by(own=True)
    assert site.weather.goes_by
    logged = site.normals().logged
    assert logged is not None
    assert (logged.rain_years, logged.temperature_years) == (11, 11)
    assert site.normals().rain_mm[0] == pytest.approx(12.8, abs=0.05)
    assert said(site)["rain_mm"] == [int(value) for value in rounded_normals(site.normals()).rain_mm] != told["rain_mm"]
    assert "of 11 years and more" in site.climate_document()["method"]
    site.weather.go_by(own=False)
    assert (site.normals(), said(site)) == (given, told)


def test_the_months_follow_the_log_while_the_site_goes_by_it(site: Site) -> None:
    site.weather.bring_in(DAYS, whose="our gauge")
    site.weather.go_by(own=True)
    before = site.normals().rain_mm[0]
    site.weather.bring_in("date,rain_mm\n2000-01-01,110\n", whose="our gauge")
    assert site.normals().rain_mm[0] == pytest.approx(before + 10, abs=0.11)
    site.weather.strike("2000-01-01")
    assert site.normals().logged is not None
    assert site.normals().logged.rain_years == 10  # type: ignore[union-attr]  # January 2000 is not whole any more


def test_a_borrowed_climate_is_no_longer_borrowed_once_rain_and_temperatures_are_own(
    site: Site, circle: Circle
) -> None:
    site.borrow_climate(site.lender("L"))
    assert "climate_from" in said(site)
    site.weather.bring_in(DAYS, whose="our gauge")
    assert whose(site) == "L"
    site.weather.go_by(own=True)
    assert whose(site) is None
    assert "rain_mm" in said(site)
    site.borrow_climate(site.lender("L"))  # a person's choice of today ends the older one
    assert (site.weather.goes_by, whose(site)) == (False, "L")


def test_given_figures_end_going_by_the_log(site: Site) -> None:
    site.weather.bring_in(DAYS, whose="our gauge")
    site.weather.go_by(own=True)
    site.own_climate(site_facts("T").normals)
    assert not site.weather.goes_by
    assert site.normals().logged is None


def test_one_method_answers_everything(site: Site) -> None:
    assert "Penman-Monteith" in site.climate_document()["method"]
    by_pm = site.calendar().months
    site.weather.choose_method("hargreaves")
    assert "Hargreaves" in site.climate_document()["method"]
    assert "Hargreaves" in site.calendar().method.words
    assert site.calendar().months != by_pm
    with pytest.raises(ClimateError, match="no method 'blaney'"):
        site.weather.choose_method("blaney")
    assert site.eto_method == "hargreaves"


def test_the_document_tells_onsets_with_odds_frosts_and_months(site: Site) -> None:
    site.weather.bring_in(DAYS, whose="our gauge")
    document = site.weather.document()
    assert (document["first"], document["last"], document["days"]) == ("2000-01-01", "2010-12-31", 4018)
    (rains,) = document["onsets"]
    assert rains["known_seasons"] == 11
    assert rains["weeks"][-1]["of"] == 11
    assert document["frost"] is None
    assert all(week["heat_years"] > 0 for week in document["weeks"])
    assert [month["rain_years"] for month in document["months"]] == [11] * 12


def test_no_day_of_the_log_and_no_answer_of_a_grower_leaves_the_site(site: Site, circle: Circle) -> None:
    site.weather.put_down(NOV_25 | {"rain_mm": "777.25"})
    site.growers.tell({"wettest": [8]})
    stick = circle.new_stick()
    site.exchange(stick)
    files = [path.read_bytes() for path in stick.rglob("*") if path.is_file()]
    texts = [gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data for data in files]
    assert any(b"rain_mm" in text for text in texts)  # the rounded months
    assert not [text for text in texts if b"777.25" in text or b"weather-year" in text or b"grower-answers" in text]


def test_an_empty_log_says_that_it_is_empty(site: Site) -> None:
    document = site.weather.document()
    assert (document["first"], document["days"], document["weeks"]) == (None, 0, [])
    assert [one["seasons"] for one in document["onsets"]] == [[]]


def test_old_growers_are_kept_without_a_name_and_compared(site: Site) -> None:
    site.growers.tell({"rains_start": [6], "wettest": [8]})
    site.growers.tell({"rains_start": [1], "coldest": []})
    assert site.growers.count() == 2
    rains = site.growers.compared()[0]
    assert (rains.asked, rains.agree, rains.parts) == (2, 1, True)
    site.growers.forget()
    assert site.growers.count() == 0
    with pytest.raises(SiteError, match="no question was answered"):
        site.growers.tell({"coldest": []})


def test_answers_come_to_an_end(site: Site) -> None:
    for _ in range(GROWERS_MAX):
        site.notebook.add_record("grower-answers", {"answers": {"wettest": [8]}, "on": None})
    with pytest.raises(SiteError, match="200 growers have answered already"):
        site.growers.tell({"wettest": [8]})


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("-25.4", -25.4),
        ("25.4 S", -25.4),
        ("25.4s", -25.4),
        ("13 44 N", 13 + 44 / 60),
        ("13° 44' N", 13 + 44 / 60),
        ("13°44′S", -13 - 44 / 60),
        ("0", 0),
        ("-0.0001", -0.0001),
        ("5 N", 5),
    ],
)
def test_a_latitude_may_be_typed_with_its_letter_and_in_minutes(typed: str, degrees: float) -> None:
    assert latitude_from_text(typed) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize("typed", ["", "-25.4 S", "13 60 N", "13.5 30 N", "N", "north 13", "25,4", "13 44"])
def test_a_latitude_that_says_two_things_or_none_is_refused(typed: str) -> None:
    with pytest.raises(SiteError, match="is no number") as refused:
        latitude_from_text(typed)
    assert "25 24 S" in refused.value.hint


@pytest.mark.parametrize("typed", ["66.6", "70 N", "67 S"])
def test_a_latitude_beyond_the_methods_is_refused(typed: str) -> None:
    with pytest.raises(ClimateError, match="the latitude is"):
        place_from_text(latitude_deg=typed, elevation_m="100", setting="interior")
    assert place_from_text(latitude_deg="66", elevation_m="100", setting="interior") == Place(
        latitude_deg=66, elevation_m=100
    )
