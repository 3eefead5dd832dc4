"""A household's water: people first, then what it covers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.household import Household, covered_m2
from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.year import DAYS_IN_MONTH
from tests.climate.places import PLACES, normals_of


def test_four_persons_on_20_litres_each_have_20_litres_a_day_for_plants() -> None:
    """15 litres a person and day come first (Sphere, the older indicator, as training slides quote it)."""
    assert Household(persons=4, water_l_day=80).garden_l_day == 20


def test_five_persons_on_60_litres_have_less_than_nothing() -> None:
    household = Household(persons=5, water_l_day=60)
    assert household.garden_l_day == -15
    assert covered_m2(garden_l_day=household.garden_l_day, need_l_m2_day=5.6) == 0


def test_20_litres_cover_three_and_a_half_square_metres_on_average_and_less_in_april() -> None:
    """At T: a thirst of 5.6 mm a day over the year and 7.2 in April by the method used, coefficient 1, nothing lost.

    The worked example takes its 7.0 mm of April and 2,061 mm a year from FAO-56 Eq 52.
    """
    assert covered_m2(garden_l_day=20, need_l_m2_day=2061 / 365) == pytest.approx(3.5, abs=0.05)
    assert covered_m2(garden_l_day=20, need_l_m2_day=7.0) == pytest.approx(2.8, abs=0.08)
    months = monthly_climate(normals_of("thornpan"), PLACES["thornpan"], method="hargreaves")
    year_mm = sum(month.eto_mm_day * days for month, days in zip(months, DAYS_IN_MONTH, strict=True))
    assert covered_m2(garden_l_day=20, need_l_m2_day=year_mm / 365) == pytest.approx(3.5, abs=0.05)
    assert covered_m2(garden_l_day=20, need_l_m2_day=months[3].eto_mm_day) == pytest.approx(2.8, abs=0.06)


def test_what_rain_covers_needs_no_ground_to_be_counted() -> None:
    assert covered_m2(garden_l_day=20, need_l_m2_day=0) is None


@given(st.integers(1, 200), st.floats(0, 20_000), st.floats(0.1, 50))
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_one_person_more_never_leaves_more_ground(persons: int, water_l: float, need: float) -> None:
    fewer, more = Household(persons, water_l), Household(min(200, persons + 1), water_l)
    ground = [covered_m2(garden_l_day=one.garden_l_day, need_l_m2_day=need) or 0 for one in (fewer, more)]
    assert ground[1] <= ground[0]


def test_a_household_of_nobody_or_with_less_than_no_water_is_refused() -> None:
    with pytest.raises(ClimateError, match="number of persons is 0") as refusal:
        Household(persons=0, water_l_day=10)
    assert refusal.value.hint == "count everyone who drinks"
    with pytest.raises(ClimateError, match="household's water is -1"):
        Household(persons=1, water_l_day=-1)
    with pytest.raises(ClimateError, match="need of a square metre"):
        covered_m2(garden_l_day=1, need_l_m2_day=-1)
