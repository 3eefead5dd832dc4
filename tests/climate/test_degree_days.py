"""Degree days by both methods, and how long a crop takes to collect them."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.degree_days import degree_days, most_days_to_collect
from tests.climate.places import calendar_of

TEMPERATURES = st.floats(-20, 50)


@pytest.mark.parametrize(
    ("tmax", "tmin", "upper", "by_mean", "by_ends"),
    [
        (20, 4, None, 2, 5),
        (12, 4, None, 0, 1),
        (26, 14, None, 10, 10),
        (9, 3, None, 0, 0),
        (38, 24, None, 21, 21),
        (38, 24, 30, 17, 17),
    ],
)
def test_the_two_methods_part_where_nights_are_below_the_base(
    tmax: float, tmin: float, upper: float | None, by_mean: float, by_ends: float
) -> None:
    """The two readings of the formula that McMaster and Wilhelm 1997 tell apart (abstract), worked by hand, base 10 C."""
    found = [degree_days(tmin_c=tmin, tmax_c=tmax, base_c=10, upper_c=upper, counted_by=by) for by in ("mean", "ends")]
    assert found == [by_mean, by_ends]


@given(TEMPERATURES, TEMPERATURES)
def test_no_day_takes_warmth_away_and_method_1_never_counts_more(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assume(high - low <= 60)  # a wider day is refused as a slip of the pen
    by_mean = degree_days(tmin_c=low, tmax_c=high, base_c=10)
    by_ends = degree_days(tmin_c=low, tmax_c=high, base_c=10, counted_by="ends")
    assert 0 <= by_mean <= by_ends + 1e-9
    assert by_mean == pytest.approx(by_ends) or low < 10


def test_a_sum_is_collected_over_the_year_s_end() -> None:
    winter = [5.0] * 31 + [0.0] * 303 + [10.0] * 31  # 10 a day in December, 5 in January
    assert most_days_to_collect(gained_c=winter, planted_days=[356], wanted_c=100) == 10
    assert most_days_to_collect(gained_c=winter, planted_days=[356], wanted_c=105) == 11
    assert (
        most_days_to_collect(gained_c=winter, planted_days=[1], wanted_c=156) == 31 + 303 + 1
    )  # the next December ends it
    assert most_days_to_collect(gained_c=winter, planted_days=[356, 1], wanted_c=100) == 20
    assert most_days_to_collect(gained_c=[0.0] * 365, planted_days=[1], wanted_c=1) is None


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(ClimateError, match="the span from Tmin to Tmax is -10 C"):
        degree_days(tmin_c=20, tmax_c=10, base_c=5)
    assert degree_days(tmin_c=2, tmax_c=10, base_c=5, upper_c=4) == 0


def test_cool_weather_is_told_in_days_beside_those_of_the_table() -> None:
    """Okra at 16.4 to 18.8 C: 77 days at 20 C are 616 degree days over 12 C, and a day here gives 4.4 to 6.8."""
    (first, *_) = [window for window in calendar_of("cloudstep").windows if window.crop == "okra"]
    (told,) = [one.words for one in first.limits if one.code == "cool-days"]
    figures = dict(next(one.figures for one in first.limits if one.code == "cool-days"))
    assert figures["table"] == "77"
    assert 616 / 6.8 <= float(figures["days"]) <= 616 / 4.4
    assert "by degree days over 12 C" in told


def test_what_cannot_ripen_in_its_window_by_its_warmth_is_said_not_to() -> None:
    """Groundnut at Cloudstep: 130 days at 22 C are 1560 degree days over 10 C; 180 days of 6.4 to 8.8 give 1152 to 1584."""
    (first, *_) = [window for window in calendar_of("cloudstep").windows if window.crop == "groundnut"]
    assert "not even the first planting ripens in time" in " ".join(one.words for one in first.limits)
