"""Animals: room, hands, bird flu."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import ADULTS, practice, results

HENS = {"species": "hen", "n": 6, "area_m2": 2, "litter": "deep_litter", "over_water": False, "droppings_to": ["heap"]}
WITH_SMALL = {"kind": ["handling_birds"], "audience": ["adults", "under_5"]}


@pytest.mark.parametrize(
    ("area", "litter", "expected"),
    [
        ("2.20", "slats", ["stop"]),
        ("2.25", "slats", []),
        ("2.25", "deep_litter", ["answer"]),
        ("6.67", "deep_litter", []),
        ("2.25", None, ["unknown"]),
        (None, "slats", ["answer"]),
    ],
)
def test_twenty_hens_need_room(area: str | None, litter: str | None, expected: list[str]) -> None:
    """1999/74/EC: 9 hens per m², 9.09 fails and 8.89 passes; FAO small-scale poultry: 3 on deep litter."""
    hens = {**HENS, "n": 20, "area_m2": area, "litter": litter}
    known = {name: value for name, value in hens.items() if value is not None}
    assert results(practice(animals=known), "ANI-01") == expected


def test_room_that_is_not_said_may_be_asked_for_at_start_and_rabbits_are_no_hens() -> None:
    assert results(practice(animals={"species": "hen", "over_water": False}, demands=["area"]), "ANI-01") == []
    assert results(practice(animals={"species": "rabbit", "n": 20, "area_m2": 1}), "ANI-01") == []


def test_small_children_and_pregnant_people_stay_away_from_birds() -> None:
    """US CDC."""
    assert results(practice(animals=HENS, task=WITH_SMALL), "ZOO-01") == ["stop"]
    assert results(practice(animals=HENS, task={**WITH_SMALL, "audience": ["pregnant"]}), "ZOO-01") == ["stop"]
    assert results(practice(task={**WITH_SMALL, "kind": "slaughter"}), "ZOO-01") == ["stop"]
    assert results(practice(animals=HENS, task=ADULTS), "ZOO-01") == []


def test_dung_is_droppings_whatever_the_task_is_called() -> None:
    inputs = [{"kind": "rabbit_manure", "treatment": "raw", "contact": "edible_soil", "wait_d": 120}]
    small = {"kind": ["gardening"], "audience": ["under_5"]}
    assert results(practice(inputs=inputs, task=small), "ZOO-01") == ["stop"]


def test_who_does_the_work_cannot_be_ruled_out() -> None:
    assert results(practice(animals=HENS), "ZOO-01") == ["unknown"]
    assert results(practice(task=WITH_SMALL | {"kind": ["gardening"]}), "ZOO-01") == []


def test_poultry_needs_the_caution_on_sudden_deaths() -> None:
    assert results(practice(animals=HENS, cautions=[]), "ZOO-02") == ["answer"]
    assert results(practice(animals=HENS, cautions=["C13"]), "ZOO-02") == []
    assert results(practice(animals={"species": "goat"}, cautions=[]), "ZOO-02") == []


@pytest.mark.parametrize(
    ("flu", "demands", "expected"),
    [
        ("affected", ["bird_flu"], ["stop"]),
        ("unknown", [], ["stop"]),
        ("unknown", ["bird_flu"], []),
        ("free", [], ["answer"]),
        (None, [], ["answer"]),
        (None, ["bird_flu"], []),
    ],
)
def test_droppings_are_no_feed_while_bird_flu_is_near(flu: str | None, demands: list[str], expected: list[str]) -> None:
    """FAO, as quoted; whether it is near is a fact of the place."""
    area: dict[str, Any] = {} if flu is None else {"area": {"bird_flu": flu}}
    entry = practice(animals={**HENS, "droppings_to": ["fish_feed"]}, demands=demands, **area)
    assert results(entry, "ZOO-03") == expected


def test_hens_over_the_pond_feed_the_fish_too() -> None:
    assert results(practice(animals={**HENS, "over_water": True}), "ZOO-03") == ["answer"]
    assert results(practice(animals=HENS), "ZOO-03") == []


RABBIT = {"species": "rabbit", "n": 1, "weight_kg": "4.2", "over_water": False, "droppings_to": ["heap"]}


@pytest.mark.parametrize(
    ("weight", "area", "count", "expected"),
    [
        ("4.2", "0.36", 1, ["answer"]),  # 0.60 x 0.60 m
        ("4.2", "0.37", 1, []),
        ("3.9", "0.28", 1, []),
        ("3.9", "0.27", 1, ["answer"]),
        ("4.2", "0.70", 2, ["answer"]),
        (None, "0.36", 1, ["answer"]),
    ],
)
def test_a_rabbit_has_the_room_of_its_weight(weight: Any, area: str, count: int, expected: list[str]) -> None:
    """US Animal Welfare Act table as quoted on a state extension page: 0.28 m² up to 4 kg, 0.37 m² up to 5.4 kg."""
    rabbit = {**RABBIT, "weight_kg": weight, "area_m2": area, "n": count}
    known = {name: value for name, value in rabbit.items() if value is not None}
    assert results(practice(animals=known), "ANI-02") == expected


@pytest.mark.parametrize(("area", "expected"), [("4.4", ["answer"]), ("4.5", []), (None, ["answer"])])
def test_a_grown_goat_has_one_and_a_half_square_metres(area: str | None, expected: list[str]) -> None:
    """EC organic rule."""
    goats = {"species": "goat", "n": 3, "droppings_to": ["heap"]} | ({} if area is None else {"area_m2": area})
    assert results(practice(animals=goats), "ANI-03") == expected
    assert results(practice(animals=goats, demands=["area"]), "ANI-03") == (expected if area else [])


@pytest.mark.parametrize(("ppm", "expected"), [(20, []), (21, ["answer"]), (25, ["answer"]), (26, ["stop"])])
def test_ammonia_is_answered_above_20_and_stopped_above_25(ppm: int, expected: list[str]) -> None:
    """NIOSH 25 ppm; poultry pages: harm at prolonged 20."""
    assert results(practice(animals={**HENS, "ammonia_ppm": ppm}), "ANI-04") == expected


def test_stinging_eyes_count_where_nobody_has_a_meter() -> None:
    assert results(practice(animals={**HENS, "stings_eyes": True}), "ANI-04") == ["answer"]
    assert results(practice(animals={**HENS, "stings_eyes": False}), "ANI-04") == []


def test_an_entry_asks_for_the_air_by_its_caution_and_else_it_is_not_said() -> None:
    assert results(practice(animals=HENS), "ANI-04") == []
    assert results(practice(animals=HENS, cautions=["C13"]), "ANI-04") == ["unknown"]
