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
