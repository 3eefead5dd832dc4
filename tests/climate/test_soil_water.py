"""Water that soil holds for roots: FAO-56 Example 36, p 166, and what follows for a container."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.soil_water import (
    HELD_LEAST_MM_M,
    available_mm,
    days_between_waterings,
    easily_taken_mm,
    easily_taken_share,
)

if TYPE_CHECKING:
    from collections.abc import Callable

# FAO-56 Example 36, p 166: what a metre of three soils holds; of three crops root depth, p, and the printed results
HELD_MM_M = (90, 170, 120)
EXAMPLE_36 = {
    "onion": (0.4, 0.30, (36, 68, 48), (11, 20, 14)),
    "tomato": (0.8, 0.40, (72, 136, 96), (29, 54, 38)),
    "maize": (1.2, 0.55, (108, 204, 144), (59, 112, 79)),
}


@pytest.mark.parametrize("crop", EXAMPLE_36)
def test_available_and_easily_taken_water_as_in_the_published_example(crop: str) -> None:
    depth_m, fraction, available, easily = EXAMPLE_36[crop]
    for held, total, ready in zip(HELD_MM_M, available, easily, strict=True):
        found = available_mm(held_mm_m=held, depth_m=depth_m)
        assert found == pytest.approx(total, abs=0.05)
        share = easily_taken_share(depletion_fraction=fraction, etc_mm_day=5)
        assert easily_taken_mm(available_mm=found, share=share) == pytest.approx(ready, abs=0.5)
    assert min(HELD_MM_M) == HELD_LEAST_MM_M


@pytest.mark.parametrize(("etc", "share"), [(5, 0.45), (3, 0.53), (8, 0.33), (0, 0.65), (20, 0.1)])
def test_a_thirstier_day_leaves_less_that_is_easily_taken(etc: float, share: float) -> None:
    """FAO-56 Table 22, footnote 2: 0.04 for each mm a day, within 0.1 and 0.8."""
    assert easily_taken_share(depletion_fraction=0.45, etc_mm_day=etc) == pytest.approx(share)


@given(depth=st.floats(0.05, 2), held=st.floats(20, 300), etc=st.floats(0.1, 19))
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_deeper_soil_never_waits_less_and_a_thirstier_crop_never_longer(depth: float, held: float, etc: float) -> None:
    def days(depth_m: float, etc_mm_day: float) -> int:
        share = easily_taken_share(depletion_fraction=0.4, etc_mm_day=etc_mm_day)
        easily = easily_taken_mm(available_mm=available_mm(held_mm_m=held, depth_m=depth_m), share=share)
        return days_between_waterings(easily_taken_mm=easily, etc_mm_day=etc_mm_day)

    assert days(depth, etc) <= days(depth * 1.5, etc)
    assert days(depth, etc + 1) <= days(depth, etc)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: available_mm(held_mm_m=10, depth_m=1), "the water that soil holds is 10 mm/m, outside 20 to 300 mm/m"),
        (lambda: available_mm(held_mm_m=90, depth_m=4), "the depth of roots is 4 m, outside 0 to 3 m"),
        (
            lambda: easily_taken_share(depletion_fraction=0.9, etc_mm_day=5),
            "the depletion fraction is 0.9, outside 0.1 to 0.8",
        ),
        (
            lambda: easily_taken_share(depletion_fraction=0.5, etc_mm_day=21),
            "the water that a crop uses is 21 mm/day, outside 0 to 20 mm/day",
        ),
        (lambda: easily_taken_mm(available_mm=901, share=0.5), "the available water is 901 mm, outside 0 to 900 mm"),
        (lambda: easily_taken_mm(available_mm=90, share=2), "the share of it is 2, outside 0 to 1"),
        (
            lambda: days_between_waterings(easily_taken_mm=-1, etc_mm_day=5),
            "the water easily taken is -1 mm, outside 0 to 900 mm",
        ),
    ],
)
def test_a_figure_outside_its_range_is_refused_by_name(ask: Callable[[], object], said: str) -> None:
    with pytest.raises(ClimateError) as refusal:
        ask()
    assert refusal.value.message == said
