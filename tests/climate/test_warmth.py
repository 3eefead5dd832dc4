"""How well the warmth suits a crop: the score of four limits, and plantings graded by their worst day."""

from __future__ import annotations

from itertools import groupby, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.crops import Warmth
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.planting import case_of, openings
from fieldbook.climate.siteyear import SiteFacts, site_year
from fieldbook.climate.warmth import FAIR_SCORE, GRADES, LEAST_RUN_DAYS, suited_days, warmth_score
from fieldbook.climate.windows import Window, planting_windows
from fieldbook.climate.year import DAYS_IN_YEAR, date_of_day
from tests.climate.places import FACTS, PLACES, calendar_of, crop, normals_of

MAIZE = Warmth(10, 18, 33, 47)  # FAO Ecocrop row 238663
WATERED = SiteFacts(watering=True, salt_water_months=frozenset(), frost_months=frozenset())


def found(site: str, crop_id: str) -> Window:
    (window,) = planting_windows([crop(crop_id)], normals_of(site), PLACES[site], WATERED).windows
    return window


def said(window: Window) -> str:
    return " | ".join(remark.words for remark in window.limits)


@pytest.mark.parametrize(
    ("mean_c", "score"),
    [(10, 0), (14, 0.5), (18, 1), (25, 1), (33, 1), (40, 0.5), (47, 0), (9, 0), (48, 0)],
)
def test_the_score_falls_in_straight_lines_from_what_a_crop_likes_to_what_ends_it(mean_c: float, score: float) -> None:
    """Worked by hand from the limits 10, 18, 33 and 47 C of FAO Ecocrop row 238663."""
    assert warmth_score(mean_c=mean_c, warmth=MAIZE) == score


@given(st.floats(-20, 60), st.floats(0, 0.5))
def test_the_score_has_no_step(mean_c: float, more_c: float) -> None:
    here, there = (warmth_score(mean_c=at, warmth=MAIZE) for at in (mean_c, mean_c + more_c))
    assert 0 <= here <= 1
    assert abs(here - there) <= more_c / 8 + 1e-9


def test_a_crop_of_cool_weather_is_poor_in_the_heat_that_it_bears_and_the_window_says_so() -> None:
    """Broccoli at 33 C: Ecocrop row 556 ends it at 35 C, so the window stays open; nobody should plant it there then."""
    window = found("thornpan", "broccoli")
    assert window.all_year
    assert [(one.suits, date_of_day(one.start_day), date_of_day(one.end_day)) for one in window.suited] == [
        ("badly", "11-30", "07-05"),
        ("fairly", "07-06", "11-29"),
    ]
    assert "fair planted 6 July to 29 November" in said(window)
    assert "poor planted 30 November to 5 July: the daily mean goes over halfway" in said(window)


def test_a_window_within_what_a_crop_likes_is_best_throughout() -> None:
    assert "best planted on any day of the year" in said(found("cloudstep", "kale"))


def test_what_stands_over_the_years_is_graded_by_the_whole_of_them() -> None:
    (cassava,) = found("thornpan", "cassava").suited
    assert (cassava.suits, cassava.start_day, cassava.end_day) == ("badly", 1, DAYS_IN_YEAR)


@pytest.mark.parametrize("site", list(PLACES))
def test_each_planting_is_graded_by_its_worst_day_and_a_few_days_by_their_neighbours(site: str) -> None:
    """Every planting day by day, apart from the code that does it at once."""
    year = site_year(normals_of(site), PLACES[site], FACTS[site])
    for window in calendar_of(site).windows:
        case = case_of(crop(window.crop), year)
        days = range(DAYS_IN_YEAR if case.lasting else case.bars.need_days)
        held = []
        for offset in range((window.end_day - window.start_day) % DAYS_IN_YEAR + 1):
            day = window.start_day - 1 + offset
            met = [year.tmean_c[(day + step) % DAYS_IN_YEAR] for step in days]
            score = min(warmth_score(mean_c=mean, warmth=case.crop.warmth) for mean in (min(met), max(met)))
            grade = "well" if score == 1 else "fairly" if score >= FAIR_SCORE - 1e-12 else "badly"
            (told,) = [one.suits for one in window.suited if one.holds(day % DAYS_IN_YEAR + 1)]
            held.append((grade, told))
        for grade, group in groupby(held, key=lambda one: one[0]):
            run = [told for _, told in group]
            if len(run) >= LEAST_RUN_DAYS:
                assert set(run) == {grade}, window.crop
            assert all(GRADES.index(told) >= GRADES.index(grade) for told in run), window.crop


@given(
    st.lists(st.floats(12, 38), min_size=12, max_size=12), st.sampled_from(["broccoli", "tomato", "amaranth", "maize"])
)
@settings(max_examples=30, deadline=None)
def test_the_grades_cover_each_window_once(means: list[float], crop_id: str) -> None:
    normals = Normals((100.0,) * 12, tuple(one - 5 for one in means), tuple(one + 5 for one in means))
    year = site_year(normals, Place(latitude_deg=10, elevation_m=100), WATERED)
    case = case_of(crop(crop_id), year)
    for opening in openings(case, case.stretches):
        runs = suited_days(case, opening)
        assert sum((one.end_day - one.start_day) % DAYS_IN_YEAR + 1 for one in runs) == opening.days
        assert all(one.suits != other.suits for one, other in pairwise(runs))
