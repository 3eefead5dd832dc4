"""What leaves a site is never finer than its steps, and what that costs is said in figures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.monthly import monthly_climate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.rounding import rounded_normals, rounded_place, rounding_loss, to_step
from tests.climate.places import HYDERABAD, HYDERABAD_PLACE, PLACES, normals_of

NEAT = Normals((50.0,) * 12, (10.0,) * 12, (20.5,) * 12)


@settings(derandomize=True, database=None, deadline=None, max_examples=40)
@given(st.floats(-400, 4000), st.sampled_from([0.5, 1, 5, 100]))
def test_a_rounded_figure_lies_on_its_step_within_half_of_it_and_has_no_negative_nought(
    value: float, step: float
) -> None:
    rounded = to_step(value, step=step)
    assert abs(rounded - value) <= step / 2 + 1e-9
    assert rounded / step == pytest.approx(round(rounded / step))
    assert str(rounded) != "-0.0"


def test_place_and_months_leave_by_1_degree_100_m_5_mm_and_half_a_degree() -> None:
    assert rounded_place(Place(latitude_deg=-25.4, elevation_m=560)) == Place(latitude_deg=-25, elevation_m=600)
    months = rounded_normals(replace(NEAT, rain_mm=(12.4,) * 12, tmin_c=(4.6,) * 12, humidity_pct=(60.0,) * 12))
    assert (months.rain_mm[0], months.tmin_c[0], months.tmax_c[0], months.humidity_pct) == (10, 4.5, 20.5, None)


def test_figures_that_lie_on_the_steps_lose_nothing() -> None:
    loss = rounding_loss(NEAT, Place(latitude_deg=12, elevation_m=400))
    assert (loss.eto_mm_day, loss.start_days) == (0, 0)
    assert loss.periods_here == loss.periods_there


@pytest.mark.parametrize("site", PLACES)
def test_the_loss_at_the_invented_sites_is_small_and_said(site: str) -> None:
    """Half a step of temperature moves evapotranspiration by a few hundredths, of latitude and the span by some tenths."""
    loss = rounding_loss(normals_of(site), PLACES[site])
    assert 0 < abs(loss.eto_mm_day) < 0.3
    assert loss.periods_here == loss.periods_there
    assert loss.start_days is not None
    assert loss.start_days <= 6


def test_a_loss_is_that_of_computing_with_what_others_learn() -> None:
    loss = rounding_loss(HYDERABAD, HYDERABAD_PLACE)
    again = rounding_loss(rounded_normals(HYDERABAD), rounded_place(HYDERABAD_PLACE))
    assert (again.eto_mm_day, again.start_days) == (0, 0)
    assert loss.as_value()["month"] == loss.month
    assert loss.start_days is not None
    assert 0 < loss.start_days <= 4


def test_rounding_that_makes_a_season_out_of_none_is_told_as_such() -> None:
    place = Place(latitude_deg=12.4, elevation_m=440)
    months = monthly_climate(NEAT, place)
    edge = replace(NEAT, rain_mm=tuple(month.eto_mm / 2 - 0.3 for month in months))
    loss = rounding_loss(edge, place)
    assert (loss.periods_here, loss.start_days) == (0, None)
    assert loss.periods_there > 0


def test_a_high_island_with_its_own_sunshine_is_reckoned_by_others_as_a_coast() -> None:
    """Sunshine does not leave the site, and Eq 51 ends at 100 m."""
    normals = replace(normals_of("saltreed"), sun_h=(7.0,) * 12)
    island = Place(latitude_deg=-6.3, elevation_m=480, setting="island")
    assert rounding_loss(normals, island) == rounding_loss(normals, replace(island, setting="coast"))
