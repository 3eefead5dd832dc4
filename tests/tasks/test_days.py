"""Days of a bed: dates where they are known, numbers marked by hand where not, the same offsets in both."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.tasks.days import Count, TaskError
from tests.tasks.gardens import HAND, MARCH


def test_a_day_number_is_a_date_where_day_0_has_one() -> None:
    """2026-03-01 + 120 days = 2026-06-29: safety reference, section 4.3, MAN-01 (computed)."""
    assert (MARCH.words(0), MARCH.words(120)) == ("1 March 2026", "29 June 2026")
    assert (HAND.words(120), HAND.date(120)) == ("day 120", None)


def test_a_leap_day_is_a_day_like_any_other() -> None:
    """2028 has a 29 February (Gregorian calendar): 60 days after 1 January is 1 March."""
    leap = Count(dt.date(2028, 1, 1))
    assert leap.read("2028-02-29") == 59
    assert leap.words(60) == "1 March 2028"
    with pytest.raises(TaskError, match="there is no day '2027-02-29'"):
        leap.read("2027-02-29")


@pytest.mark.parametrize("typed", ["2027-02-30", "30 February", "", "2027-13-01", "yesterday", "2027-3", "day 4"])
def test_what_is_no_day_is_refused_with_the_way_to_write_one(typed: str) -> None:
    with pytest.raises(TaskError, match="there is no day") as refused:
        MARCH.read(typed)
    assert refused.value.hint.startswith("write it as year-month-day")


@pytest.mark.parametrize("typed", ["2099-01-01", "1970-01-01", "2000-01-01", "0001-01-01"])
def test_a_year_that_cannot_be_right_is_refused(typed: str) -> None:
    with pytest.raises(TaskError, match=r"the year \d+ cannot be right"):
        MARCH.read(typed)


def test_a_day_more_than_ten_years_away_is_refused() -> None:
    assert HAND.read("3650") == 3650
    for count, typed in ((HAND, "3651"), (HAND, "-3651"), (MARCH, "2036-03-01")):
        with pytest.raises(TaskError, match="more than ten years from day 0"):
            count.read(typed)


@pytest.mark.parametrize("typed", ["2027-03-01", "", "3.5", "three", "１٢", "1e3"])
def test_where_days_are_marked_by_hand_a_number_is_asked_for(typed: str) -> None:
    if typed == "１٢":  # digits of other scripts are digits
        assert HAND.read(typed) == 12
        return
    with pytest.raises(TaskError, match="is no day number"):
        HAND.read(typed)


@given(zero=st.dates(dt.date(2016, 1, 1), dt.date(2059, 1, 1)), day=st.integers(0, 3650))
@settings(max_examples=40, derandomize=True, database=None, deadline=None)
def test_what_is_typed_comes_back_as_the_same_day(zero: dt.date, day: int) -> None:
    for count in (Count(zero), HAND):
        assert count.read(count.typed(day)) == day
