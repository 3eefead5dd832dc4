"""A borrowed climate: temperatures by the standard atmosphere, rain as it is, marked wherever it goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.borrowing import (
    HEIGHT_DIFFERENCE_MAX_M,
    borrowed_normals,
    likeness,
    warmer_below_c,
    wet_months_of,
)
from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.monthly import method_used
from fieldbook.climate.normals import Normals, read_normals, write_normals
from fieldbook.climate.place import Place
from fieldbook.climate.windows import planting_windows
from tests.climate.places import FACTS, HYDERABAD, HYDERABAD_PLACE, PLACES, calendar_of, crop_table, normals_of

if TYPE_CHECKING:
    from collections.abc import Sequence

# ISO 2533:1975, Table 4, as the package atmospheric 0.4.0 carries it (temperature layers): 301.15 K at -2000 m,
# 288.15 K at 0 m, 216.65 K at 11000 m, a straight line between them
STANDARD_K = {-2000: 301.15, 0: 288.15, 11000: 216.65}

HEIGHTS = st.floats(-400, 5400, allow_nan=False)
DIFFERENCES = st.floats(-HEIGHT_DIFFERENCE_MAX_M, HEIGHT_DIFFERENCE_MAX_M, allow_nan=False)


def borrow(lent: Normals, *, from_m: float, to_m: float) -> Normals:
    return borrowed_normals(lent, whose="C Cloudstep Terrace", from_m=from_m, to_m=to_m)


def near(values: Sequence[float]) -> object:
    return pytest.approx(list(values), abs=1e-9)


@pytest.mark.parametrize(("low", "high"), [(-2000, 0), (0, 11000)])
def test_the_fall_with_height_is_that_of_the_standard_atmosphere(low: int, high: int) -> None:
    fall_for_each_m = (STANDARD_K[low] - STANDARD_K[high]) / (high - low)
    assert warmer_below_c(from_m=400, to_m=900) == pytest.approx(-500 * fall_for_each_m, abs=1e-9)
    assert warmer_below_c(from_m=900, to_m=400) == pytest.approx(500 * fall_for_each_m, abs=1e-9)


def test_temperatures_move_with_height_and_rain_stays() -> None:
    moved = borrow(HYDERABAD, from_m=545, to_m=1045)
    assert moved.tmin_c == near([value - 3.25 for value in HYDERABAD.tmin_c])
    assert moved.tmax_c == near([value - 3.25 for value in HYDERABAD.tmax_c])
    assert moved.rain_mm == HYDERABAD.rain_mm


def test_what_belongs_to_the_other_place_alone_counts_as_not_measured_here() -> None:
    measured = Normals(**{**HYDERABAD_COLUMNS, "humidity_pct": (60.0,) * 12, "sun_h": (8.0,) * 12})
    moved = borrow(measured, from_m=545, to_m=545)
    assert (moved.humidity_pct, moved.wind_m_s, moved.sun_h) == (None, None, None)


HYDERABAD_COLUMNS = {name: getattr(HYDERABAD, name) for name in ("rain_mm", "tmin_c", "tmax_c")}


@given(height=HEIGHTS)
@settings(max_examples=50, deadline=None, derandomize=True, database=None)
def test_at_the_same_height_the_figures_are_the_same(height: float) -> None:
    moved = borrow(HYDERABAD, from_m=height, to_m=height)
    assert (moved.rain_mm, moved.tmin_c, moved.tmax_c) == (HYDERABAD.rain_mm, HYDERABAD.tmin_c, HYDERABAD.tmax_c)


@given(height=HEIGHTS, difference=DIFFERENCES)
@settings(max_examples=100, deadline=None, derandomize=True, database=None)
def test_there_and_back_gives_what_was_there(height: float, difference: float) -> None:
    other = min(max(height + difference, -430), 5500)
    there = warmer_below_c(from_m=height, to_m=other)
    back = warmer_below_c(from_m=other, to_m=height)
    assert there + back == pytest.approx(0, abs=1e-9)
    assert (there < 0) == (other > height) or there == pytest.approx(0, abs=1e-9)


@given(height=HEIGHTS, steps=st.tuples(st.floats(0, 400), st.floats(0, 400)))
@settings(max_examples=50, deadline=None, derandomize=True, database=None)
def test_two_steps_are_as_much_as_one(height: float, steps: tuple[float, float]) -> None:
    low, middle = min(height, 4600), min(height, 4600) + steps[0]
    high = middle + steps[1]
    two = warmer_below_c(from_m=low, to_m=middle) + warmer_below_c(from_m=middle, to_m=high)
    assert two == pytest.approx(warmer_below_c(from_m=low, to_m=high), abs=1e-9)


@pytest.mark.parametrize(
    ("from_m", "to_m", "said"),
    [
        (0, 1001, "1001 m apart in height, more than 1000 m"),
        (2400, 400, "2000 m apart"),
        (-431, 0, "the height is -431 m"),
        (5000, 5501, "the height is 5501 m"),
        (float("nan"), 0, "the height is nan m"),
    ],
)
def test_outside_the_range_is_an_error_never_a_figure(from_m: float, to_m: float, said: str) -> None:
    with pytest.raises(ClimateError, match=said) as refused:
        borrow(HYDERABAD, from_m=from_m, to_m=to_m)
    assert refused.value.hint


def test_a_temperature_that_no_garden_has_is_an_error() -> None:
    frozen = Normals(rain_mm=(10.0,) * 12, tmin_c=(-48.0,) * 12, tmax_c=(-20.0,) * 12)
    with pytest.raises(ClimateError, match="tmin_c of month 1 is"):
        borrow(frozen, from_m=4000, to_m=4900)


def test_what_was_borrowed_is_not_lent_again() -> None:
    with pytest.raises(ClimateError, match="is borrowed itself"):
        borrow(borrow(HYDERABAD, from_m=500, to_m=600), from_m=600, to_m=700)


@pytest.mark.parametrize(
    ("to_m", "words"), [(845, "300 m higher"), (245, "300 m lower"), (545, "at the same height"), (545.4, "at the")]
)
def test_whose_climate_it_is_and_at_which_height_is_kept(to_m: float, words: str) -> None:
    moved = borrow(HYDERABAD, from_m=545, to_m=to_m)
    assert moved.borrowed is not None
    assert moved.borrowed.whose == "C Cloudstep Terrace"
    assert moved.borrowed.height_words.startswith(words)


def test_every_answer_from_a_borrowed_climate_says_so_first() -> None:
    moved = borrow(normals_of("thornpan"), from_m=420, to_m=520)
    place = Place(latitude_deg=13.4, elevation_m=520)
    used = method_used(moved, place)
    assert "borrowed: rain, Tmin and Tmax" in used.words
    assert "measured" not in used.words
    assert used.how_sure.startswith("climate of site C Cloudstep Terrace, not of this place")
    assert method_used(moved, place, method="hargreaves").how_sure.startswith("climate of site C")
    calendar = planting_windows(crop_table(), moved, place, FACTS["thornpan"])
    assert "borrowed from site C Cloudstep Terrace; this site lies 100 m higher" in calendar.notes[0].words
    assert calendar.as_value()["notes"][0] == calendar.notes[0].words
    assert all("climate of site C Cloudstep Terrace" in window.how_sure for window in calendar.windows)
    assert all(any("ISO 2533" in source for source in window.sources) for window in calendar.windows)


def test_an_own_climate_is_never_called_borrowed() -> None:
    calendar = calendar_of("longshade")
    assert "borrowed" not in str(calendar.as_value())
    assert "ISO 2533" not in str(calendar.as_value())


def test_a_calendar_from_the_same_height_has_the_same_dates() -> None:
    """Borrowing changes how sure the dates are, not the dates, where nothing has to be moved."""
    moved = borrow(normals_of("longshade"), from_m=560, to_m=560)
    stripped = read_normals(write_normals(moved))
    place = PLACES["longshade"]
    own = planting_windows(crop_table(), stripped, place, FACTS["longshade"])
    lent = planting_windows(crop_table(), moved, place, FACTS["longshade"])
    assert [(w.crop, w.start, w.end) for w in lent.windows] == [(w.crop, w.start, w.end) for w in own.windows]


@pytest.mark.parametrize("site", list(PLACES))
def test_normals_written_are_read_as_they_were(site: str) -> None:
    assert read_normals(write_normals(normals_of(site))) == normals_of(site)


def test_the_wet_months_of_hyderabad_are_those_of_its_monsoon() -> None:
    """Rain and ETo of each month are those of the open records named in ``places``: wet from June to October."""
    assert wet_months_of(HYDERABAD, HYDERABAD_PLACE) == (6, 7, 8, 9, 10)


def test_likeness_says_how_far_the_other_place_is_and_which_way() -> None:
    here = Place(latitude_deg=13.4, elevation_m=420)
    found = likeness(here, HYDERABAD_PLACE, HYDERABAD, year_rain_mm=600, wet_months=frozenset({5, 6, 7, 8}))
    assert found.latitude_difference_deg == pytest.approx(4.0)
    assert (found.other_side, found.in_reach, found.height_difference_m) == (False, True, 125)
    assert found.rain_difference_mm == pytest.approx(sum(HYDERABAD.rain_mm) - 600)
    assert (found.wet_in_both, found.wet_here_alone) == ((6, 7, 8), (5,))


def test_what_people_here_do_not_know_stays_unknown() -> None:
    found = likeness(Place(latitude_deg=13.4, elevation_m=420), HYDERABAD_PLACE, HYDERABAD)
    assert (found.rain_difference_mm, found.wet_in_both, found.wet_here_alone) == (None, None, None)


@pytest.mark.parametrize(
    ("ours", "theirs", "other_side"),
    [(13.4, -25, True), (-6.3, 1, True), (1.2, 13, False), (-6.3, -25, False), (0.0, -25, False), (0.3, 0, False)],
)
def test_the_other_side_of_the_equator_is_told(ours: float, theirs: float, *, other_side: bool) -> None:
    there = Place(latitude_deg=theirs, elevation_m=500)
    assert likeness(Place(latitude_deg=ours, elevation_m=500), there, HYDERABAD).other_side is other_side


def test_a_site_too_far_up_or_down_is_out_of_reach() -> None:
    here = Place(latitude_deg=13.4, elevation_m=1600)
    assert not likeness(here, HYDERABAD_PLACE, HYDERABAD).in_reach
