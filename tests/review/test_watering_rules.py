"""Used water, drains and floods: WHO 2006 vol. 2 log credits as quoted; rules on greywater as summarised."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import LETTUCE, MARIGOLD, TOMATO, found, practice, results

COOKED = {"name": "kale", "part": "leaf", "eaten_raw": False, "flowering": False}


def watered(crop: Any = LETTUCE, **irrigation: Any) -> Any:
    return practice(irrigation=irrigation, crop=crop)


@pytest.mark.parametrize("origin", ["nappies", "kitchen", "dyes", "chemicals", "unknown"])
def test_foul_water_stays_off_all_food(origin: str) -> None:
    foul = {"source": "greywater", "origin": [origin], "mode": "foot"}
    assert results(watered(TOMATO, **foul), "GRW-01") == ["stop"]
    assert results(watered(MARIGOLD, **foul), "GRW-01") == []


@pytest.mark.parametrize(
    ("crop", "change", "expected"),
    [
        (LETTUCE, {"mode": "foliar"}, ["stop"]),
        (LETTUCE, {"mode": "foot", "wets_edible": True}, ["stop"]),
        (LETTUCE, {"mode": "foot"}, []),
        (TOMATO, {"mode": "foliar"}, []),
        (LETTUCE, {}, ["unknown"]),
    ],
)
def test_bath_and_laundry_water_stays_off_leaves(crop: Any, change: dict[str, Any], expected: list[str]) -> None:
    assert results(watered(crop, source="greywater", origin=["laundry"], **change), "GRW-01") == expected


def test_used_water_of_unsaid_origin_is_not_said() -> None:
    assert results(watered(source="greywater", mode="foot"), "GRW-01") == ["unknown"]


@pytest.mark.parametrize(
    ("crop", "wait_d", "barriers", "expected"),
    [
        (LETTUCE, 2, ["washing"], ["stop"]),  # 2 x 0.5 + 1 = 2 of 6
        (LETTUCE, 9, ["washing"], ["stop"]),  # 5.5
        (LETTUCE, 10, ["washing"], []),  # 6
        (LETTUCE, 12, [], []),
        (COOKED, 5, [], ["stop"]),  # 2.5 of 3
        (COOKED, 6, [], []),
        (LETTUCE, 2, ["drip_high_crop", "cooking", "peeling"], ["stop"]),
        (LETTUCE, "none published", ["washing"], ["stop"]),
        (MARIGOLD, 0, [], []),
    ],
)
def test_barriers_against_drain_water_add_up_to_six_or_three(
    crop: Any, wait_d: Any, barriers: list[str], expected: list[str]
) -> None:
    """0.5 to 2 log for each day and 1 for washing; the careful end counts, and what is from memory is not counted."""
    entry = watered(crop, source="drain", mode="foot", wait_d=wait_d, barriers=barriers)
    assert results(entry, "WAT-01") == expected


def test_the_stop_shows_the_sum_and_what_was_not_counted() -> None:
    entry = watered(source="wastewater", mode="drip", wait_d=2, barriers=["washing", "drip_low_crop"])
    (finding,) = found(entry, "WAT-01")
    assert finding.value == "2.0 log; not counted, since known from memory alone: drip low crop"
    assert finding.limit == "6 log"


def test_two_figures_for_a_disinfecting_wash_count_as_the_lower() -> None:
    """The first trap: 2 (from memory) and 3 (Mara and Sleigh 2010, read): 8 days and 2 make 6, 7 days do not."""
    wash = {"source": "drain", "mode": "foot", "barriers": ["disinfecting_wash", "washing"]}
    assert results(watered(**wash, wait_d=8), "WAT-01") == []
    assert results(watered(**wash, wait_d=7), "WAT-01") == ["stop"]


def test_drain_water_without_days_or_barriers_is_not_said() -> None:
    assert results(watered(source="drain", mode="foot"), "WAT-01") == ["unknown"]
    assert results(watered({"name": "kale", "part": "leaf"}, source="drain", wait_d=6), "WAT-01") == ["unknown"]


@pytest.mark.parametrize(
    ("change", "crop", "expected"),
    [
        ({"source": "flood", "wets_edible": True}, TOMATO, ["stop"]),
        ({"source": "flood", "wets_edible": False, "mode": "foot"}, TOMATO, []),
        ({"source": "flood", "mode": "foot"}, TOMATO, ["unknown"]),
        ({"source": "flood", "wets_edible": True}, MARIGOLD, []),
        ({"source": "drain", "mode": "foliar", "wait_d": 30}, LETTUCE, ["stop"]),
        ({"source": "drain", "mode": "foot", "wait_d": 30}, LETTUCE, []),
        ({"source": "clean", "mode": "foliar"}, LETTUCE, []),
    ],
)
def test_what_flood_or_drain_water_touched_is_not_eaten(change: dict[str, Any], crop: Any, expected: list[str]) -> None:
    """The sixth mend, ours."""
    assert results(watered(crop, **change), "FLD-01") == expected
