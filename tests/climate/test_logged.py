"""What a site's own log says of its months, and when a site may go by it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from fieldbook.climate.daily import Day, record_of
from fieldbook.climate.logged import YEARS_TO_GO_BY, LoggedMonth, by_own_log, fewest_years, logged_months, own_months
from fieldbook.climate.monthly import method_used
from fieldbook.climate.normals import Borrowed, Logged
from tests.climate.places import HYDERABAD, HYDERABAD_PLACE, normals_of
from tests.climate.records import open_record

NOVEMBER = [dt.date(2026, 11, day) for day in range(1, 31)]


def month_of(days: list[Day]) -> LoggedMonth:
    (found,) = logged_months(record_of(days))
    return found


def test_a_month_of_rain_with_one_day_unknown_has_no_sum() -> None:
    """WMO-No. 1203, completeness: no day of a sum may be missing."""
    days = [Day(date=date, rain_mm=2.0) for date in NOVEMBER]
    assert month_of(days).rain_mm == 60
    holed = month_of(days[:-1])
    assert (holed.rain_mm, holed.rain_missing) == (None, 1)


def test_a_later_reading_that_holds_the_missing_days_makes_the_sum_whole() -> None:
    """WMO-No. 1203: unless the missing days are in the reading after them; only within the month."""
    days = [Day(date=date, rain_mm=2.0) for date in NOVEMBER if date.day not in {14, 15}]
    days[13] = Day(date=dt.date(2026, 11, 16), rain_mm=9.0, rain_days=3)
    assert month_of(days).rain_mm == 27 * 2 + 9
    over = [Day(date=date, rain_mm=2.0) for date in NOVEMBER[2:]]
    over.append(Day(date=dt.date(2026, 11, 2), rain_mm=9.0, rain_days=4))
    assert month_of(over).rain_mm is None  # it holds two days of October as well
    assert month_of(over).rain_missing == 2


def test_a_reading_over_days_one_of_which_was_read_alone_is_not_counted_twice() -> None:
    days = [Day(date=date, rain_mm=2.0) for date in NOVEMBER if date.day not in {14, 16}]
    days.append(Day(date=dt.date(2026, 11, 16), rain_mm=9.0, rain_days=3))
    assert month_of(days).rain_mm is None


@pytest.mark.parametrize(
    ("without", "means"),
    [
        ({1, 4, 7, 10, 13, 16, 19, 22, 25, 28}, (18, 27)),  # ten, never two running
        ({1, 4, 7, 10, 13, 16, 19, 22, 25, 28, 30}, (None, None)),  # eleven
        ({5, 6, 7, 8}, (18, 27)),  # four running
        ({5, 6, 7, 8, 9}, (None, None)),  # five
    ],
)
def test_a_month_of_temperatures_may_lack_10_days_and_4_running(
    without: set[int], means: tuple[object, object]
) -> None:
    """WMO-No. 1203: no mean with 11 or more days missing, nor with 5 or more in a row."""
    days = [Day(date=date, tmin_c=18.0, tmax_c=27.0) for date in NOVEMBER if date.day not in without]
    found = month_of(days)
    assert (found.tmin_c, found.tmax_c) == means
    assert found.temperature_missing == len(without)


def test_the_twelve_months_of_an_open_record_with_the_years_behind_them() -> None:
    """Means worked out apart from this program (`places`), eleven years each."""
    own = own_months(logged_months(open_record("hyderabad")))
    assert fewest_years(own) == Logged(rain_years=11, temperature_years=11)
    assert [one.rain_mm for one in own] == pytest.approx(HYDERABAD.rain_mm, abs=0.06)
    assert [one.tmin_c for one in own] == pytest.approx(HYDERABAD.tmin_c, abs=0.06)
    assert [one.tmax_c for one in own] == pytest.approx(HYDERABAD.tmax_c, abs=0.06)
    assert own[0].as_value() == {
        "month": 1,
        "rain_mm": "12.8",
        "tmin_c": "13.1",
        "tmax_c": "29.2",
        "rain_years": 11,
        "temperature_years": 11,
    }


def test_a_month_that_no_year_has_whole_stays_unknown() -> None:
    own = own_months(logged_months(record_of(Day(date=date, rain_mm=2.0) for date in NOVEMBER)))
    assert own[10].as_value() == {
        "month": 11,
        "rain_mm": 60,
        "tmin_c": None,
        "tmax_c": None,
        "rain_years": 1,
        "temperature_years": 0,
    }
    assert own[0].rain_mm is None
    assert by_own_log(normals_of("thornpan"), own) == normals_of("thornpan")


def test_the_log_takes_the_place_of_whole_columns_once_each_month_has_years_enough() -> None:
    given = replace(normals_of("thornpan"), borrowed=Borrowed(whose="T Thornpan", height_difference_m=0))
    own = own_months(logged_months(open_record("hyderabad")))
    both = by_own_log(given, own)
    assert both.rain_mm == tuple(one.rain_mm for one in own)
    assert (both.borrowed, both.logged) == (None, Logged(rain_years=11, temperature_years=11))
    fewer = [replace(one, temperature_years=YEARS_TO_GO_BY - 1) if one.month == 6 else one for one in own]
    rain_alone = by_own_log(given, fewer)
    assert rain_alone.rain_mm == both.rain_mm
    assert (rain_alone.tmin_c, rain_alone.tmax_c) == (given.tmin_c, given.tmax_c)
    assert (rain_alone.borrowed, rain_alone.logged) == (given.borrowed, Logged(rain_years=11, temperature_years=0))
    warmth_alone = by_own_log(given, [replace(one, rain_years=YEARS_TO_GO_BY - 1) for one in own])
    assert (warmth_alone.rain_mm, warmth_alone.tmin_c) == (given.rain_mm, both.tmin_c)


def test_the_method_says_what_comes_from_the_log() -> None:
    own = own_months(logged_months(open_record("hyderabad")))
    said = method_used(by_own_log(HYDERABAD, own), HYDERABAD_PLACE).words
    assert said.endswith("; from this site's own log: rain of 11 years and more and temperatures of 11 years and more")
    hargreaves = method_used(by_own_log(HYDERABAD, own), HYDERABAD_PLACE, method="hargreaves").words
    assert "from this site's own log" in hargreaves
    assert "own log" not in method_used(HYDERABAD, HYDERABAD_PLACE).words
