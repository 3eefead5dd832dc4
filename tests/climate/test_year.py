"""The ring of 365 days, rounding, and what the docstrings of this room promise."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import fieldbook.climate
from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.figures import decimal_figure, plain, settled
from fieldbook.climate.year import (
    DAYS_IN_MONTH,
    MIDDLE_OF_MONTH,
    daily_from_monthly,
    date_of_day,
    day_of_date,
)
from fieldbook.sources import SOURCES


def test_the_middles_of_months_are_those_of_the_rule() -> None:
    assert MIDDLE_OF_MONTH == (16, 45.5, 75, 105.5, 136, 166.5, 197, 228, 258.5, 289, 319.5, 350)


@given(st.integers(1, 365))
def test_dates_and_days_go_back_and_forth(day: int) -> None:
    month, of_month = (int(part) for part in date_of_day(day).split("-"))
    assert 1 <= of_month <= DAYS_IN_MONTH[month - 1]
    assert day_of_date(month=month, day=of_month) == day


def test_the_year_is_a_ring_and_29_february_counts_as_the_28th() -> None:
    assert (date_of_day(365), date_of_day(366), date_of_day(0)) == ("12-31", "01-01", "12-31")
    assert day_of_date(month=2, day=29) == day_of_date(month=2, day=28) == 59
    for month, day in ((13, 1), (2, 30), (4, 31), (0, 1)):
        with pytest.raises(ClimateError):
            day_of_date(month=month, day=day)


def test_days_between_months_lie_on_straight_lines_over_the_new_year() -> None:
    rates = [float(month) for month in range(12)]
    daily = daily_from_monthly(rates)
    assert (daily[15], daily[349]) == (0, 11)  # the middles of January and December
    assert daily[364] == pytest.approx(11 * (1 - 15 / 31))
    assert daily[0] == pytest.approx(11 * (1 - 16 / 31))
    assert (min(daily), max(daily)) == (0, 11)


@pytest.mark.parametrize(
    ("value", "places", "printed"),
    [
        (4.0, 2, 4),
        (4.05, 1, "4"),
        (4.15, 1, "4.2"),
        (5.716, 2, "5.72"),
        (5.7, 2, "5.7"),
        (-0.0000001, 2, 0),
        (-0.5, 0, 0),
        (1e-7, 1, 0),
        (1234567.5, 1, "1234567.5"),
        (100, 1, 100),
    ],
)
def test_figures_are_printed_as_integers_or_decimal_strings(value: float, places: int, printed: object) -> None:
    """Halves go to the even digit: 4.05 to 4.0, 4.15 to 4.2."""
    expected = int(printed) if printed == "4" else printed
    assert decimal_figure(value, places=places) == expected
    assert plain(value, places=places) == str(expected)


def test_the_last_bits_of_a_machine_do_not_show() -> None:
    assert settled(0.1 + 0.2) == settled(0.3)
    assert str(settled(-1e-9)) == "0.0"


def test_each_source_named_in_a_docstring_is_a_work_we_cite() -> None:
    """Docstrings say `Source: key, place`."""
    room = Path(fieldbook.climate.__file__).parent
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(room.glob("*.py")))
    lines = re.findall(r"Source: (.+)", text)
    cited = {word for line in lines for word in re.findall(r"[a-z][\w-]+", line)} & set(SOURCES)
    assert {"fao56", "fao56-eq6", "fao56-eq52", "fao56-annex2", "manual3", "growing-period", "ours"} <= cited
    assert all(SOURCES[key].words for key in cited)
    firsts = {re.split(r"[,; .]", line, maxsplit=1)[0] for line in lines}
    assert firsts - {"arithmetic"} <= set(SOURCES)  # a sum that anyone can check needs no work
