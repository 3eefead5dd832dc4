"""When the answers of a slip no longer hold: time, events, and exchanges where there is no clock; all of it is ours."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.review.lapsing import EXCHANGES_MOST, lapse_of, twelve_months_after

DAY = date(2026, 11, 25)


def by(**known: Any) -> str | None:
    usual: dict[str, Any] = {"given_on": DAY, "today": DAY, "exchanges_since": 0, "concerned_by": {"storm"}}
    found = lapse_of(**{**usual, "events_since": (), **known})
    return None if found is None else found.by


@pytest.mark.parametrize(
    ("today", "expected"), [(date(2027, 11, 24), None), (date(2027, 11, 25), "time"), (date(2030, 1, 1), "time")]
)
def test_answers_lapse_on_the_same_day_a_year_later(today: date, expected: str | None) -> None:
    assert by(today=today) == expected


def test_answers_of_a_leap_day_lapse_on_the_28th_of_february() -> None:
    assert twelve_months_after(date(2028, 2, 29)) == date(2029, 2, 28)


@pytest.mark.parametrize(("event", "expected"), [("storm", "event"), ("flood", None)])
def test_only_an_event_that_concerns_what_was_answered_ends_it(event: str, expected: str | None) -> None:
    assert by(events_since=[event]) == expected


@pytest.mark.parametrize(
    "doubt",
    [{"today": None}, {"given_on": None}, {"today": DAY - timedelta(days=1)}],
    ids=["no clock now", "no clock then", "a clock that went back"],
)
def test_without_a_clock_exchanges_are_counted(doubt: dict[str, Any]) -> None:
    assert by(**doubt, exchanges_since=EXCHANGES_MOST - 1) is None
    assert by(**doubt, exchanges_since=EXCHANGES_MOST) == "exchanges"


def test_with_a_clock_exchanges_do_not_count() -> None:
    assert by(exchanges_since=1000) is None


@given(days=st.integers(0, 4000), exchanges=st.integers(0, 50))
@settings(max_examples=50, deadline=None, derandomize=True, database=None)
def test_what_lapsed_once_never_holds_again_later(days: int, exchanges: int) -> None:
    today = DAY + timedelta(days=days)
    if by(today=today) is not None:
        assert by(today=today + timedelta(days=1)) is not None
    if by(today=None, exchanges_since=exchanges) is not None:
        assert by(today=None, exchanges_since=exchanges + 1) is not None
