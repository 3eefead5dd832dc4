"""Frost and heat by date: an open record against figures worked out apart, and the shapes that a record can have."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.daily import DailyRecord, Day, record_of
from fieldbook.climate.nights import FROST_C, frost_seasons, weeks_of_nights
from fieldbook.climate.year import day_of_date
from tests.climate.records import open_record


def made(years: range, frosts: set[tuple[int, int]], *, without: dt.date | None = None) -> DailyRecord:
    """Every night at 5 C but those of frost; every day at 20 C."""
    first, last = dt.date(years.start, 1, 1), dt.date(years.stop, 1, 1)
    dates = (first + dt.timedelta(days=n) for n in range((last - first).days))
    return record_of(
        Day(date=date, tmin_c=-1.0 if (date.month, date.day) in frosts else 5.0, tmax_c=20.0)
        for date in dates
        if date != without
    )


def test_frosts_of_an_open_record_in_the_south() -> None:
    """Worked out by another program from the same record, 1991 to 2021, nights at or below 0 C.

    Frost in 31 of 31 years, 13.7 nights on average; first frost 17 June, sd 15.2 days, earliest 26 May; last 24 August,
    sd 20.2 days, latest 29 September. The scatter may differ by a leap day.
    """
    found = frost_seasons(open_record("cordoba"))
    assert found is not None
    assert (found.with_frost, found.seasons) == (31, 31)
    assert found.nights_mean == pytest.approx(13.7, abs=0.05)
    assert abs(found.first_mean_day - day_of_date(month=6, day=17)) <= 1
    assert abs(found.last_mean_day - day_of_date(month=8, day=24)) <= 1
    assert found.first_sd_days == pytest.approx(15.2, abs=0.2)
    assert found.last_sd_days == pytest.approx(20.2, abs=0.2)
    assert found.as_value()["first_earliest"] == "05-26"
    assert found.as_value()["last_latest"] == "09-29"


def test_a_cold_season_in_the_north_runs_over_the_new_year() -> None:
    found = frost_seasons(made(range(2001, 2012), {(12, 20), (12, 31), (1, 10), (2, 3)}))
    assert found is not None
    assert (found.seasons, found.with_frost, found.nights_mean) == (10, 10, 4)  # the first and the last one are cut
    assert found.as_value()["first_earliest"] == found.as_value()["first_mean"] == "12-20"
    assert found.as_value()["last_latest"] == "02-03"
    assert (found.first_sd_days, found.last_sd_days) == (0, 0)


def test_the_same_frosts_half_a_year_on_give_the_same_season_half_a_year_on() -> None:
    """The season comes from the record, not from the side of the equator."""
    south = frost_seasons(made(range(2001, 2012), {(6, 20), (7, 1), (7, 10), (8, 3)}))
    assert south is not None
    assert (south.seasons, south.nights_mean) == (11, 4)
    assert south.as_value()["first_mean"] == "06-20"
    assert south.as_value()["last_mean"] == "08-03"


def test_a_record_without_frost_has_no_dates_of_frost() -> None:
    assert frost_seasons(open_record("hyderabad")) is None
    assert all(week.frost_years == 0 and week.frost_of >= 10 for week in weeks_of_nights(open_record("hyderabad")))


def test_a_night_that_nobody_read_takes_its_season_and_its_week_out() -> None:
    frosts = {(6, 20), (8, 3)}
    holed = frost_seasons(made(range(2001, 2012), frosts, without=dt.date(2005, 7, 1)))
    assert holed is not None
    assert holed.seasons == 10
    whole, gap = (weeks_of_nights(made(range(2001, 2012), frosts, without=at)) for at in (None, dt.date(2005, 7, 1)))
    index = next(i for i, one in enumerate(whole) if one.start_day <= day_of_date(month=7, day=1) <= one.end_day)
    assert (whole[index].frost_of, gap[index].frost_of) == (11, 10)


def test_a_frost_that_was_read_counts_although_another_night_of_the_week_was_not() -> None:
    found = weeks_of_nights(made(range(2001, 2012), {(7, 3)}, without=dt.date(2005, 7, 4)))
    week = next(one for one in found if one.start_day <= day_of_date(month=7, day=3) <= one.end_day)
    assert (week.frost_years, week.frost_of) == (11, 11)


def test_another_threshold_counts_other_nights() -> None:
    record = open_record("cordoba")
    at_two = frost_seasons(record, frost_c=2)
    at_nought = frost_seasons(record, frost_c=FROST_C)
    assert at_two is not None
    assert at_nought is not None
    assert at_two.nights_mean > at_nought.nights_mean
    for name, value in (("frost", -40.0), ("heat", 90.0)):
        with pytest.raises(ClimateError, match=f"the temperature of {name} is"):
            weeks_of_nights(record, **{f"{name}_c": value})


def test_weeks_cover_the_year_once_and_heat_is_counted_apart() -> None:
    weeks = weeks_of_nights(open_record("hyderabad"))
    assert [weeks[0].start_day, weeks[-1].end_day] == [1, 365]
    assert all(one.end_day + 1 == later.start_day for one, later in pairwise(weeks))
    hot = max(weeks, key=lambda week: week.heat_years)
    assert day_of_date(month=3, day=15) <= hot.start_day <= day_of_date(month=6, day=15)
    assert hot.as_value()["heat_years"] == hot.heat_of == 11
    assert all(week.heat_of == 0 for week in weeks_of_nights(open_record("cordoba")))  # no column of it


def test_frost_all_year_round_has_no_season() -> None:
    every = {(month, day) for month in range(1, 13) for day in (1, 15)}
    record = made(range(2001, 2004), every)
    assert frost_seasons(record) is None
    assert sum(week.frost_years for week in weeks_of_nights(record)) == 24 * 3


def test_a_record_too_short_for_one_whole_cold_season_says_nothing() -> None:
    assert frost_seasons(made(range(2001, 2002), {(12, 20), (1, 10)})) is None
