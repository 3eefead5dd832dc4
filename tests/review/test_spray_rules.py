"""Home-made sprays."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import LETTUCE, MARIGOLD, TOMATO, found, practice, results, rules

COVERED = ["eyes", "skin", "hands", "mask"]
SOAP = {
    "plants": ["soap"],
    "soap_g_l": 5,
    "ppe": COVERED,
    "interval_d": "none published",
    "near_water_m": 20,
    "time_of_day": "dusk",
}
KALE = {**LETTUCE, "name": "kale", "family": "cabbage", "eaten_raw": False}


def sprayed(crop: Any = KALE, **change: Any) -> Any:
    spray = {name: value for name, value in {**SOAP, **change}.items() if value is not None}
    return practice(spray=spray, crop=crop)


@pytest.mark.parametrize("plant", ["chilli", "ash", "lime", "tobacco"])
def test_what_burns_eyes_needs_eyes_and_skin_covered(plant: str) -> None:
    """US NPIC, capsaicin."""
    assert results(sprayed(plants=[plant], ppe=["skin"]), "PST-01") == ["stop"]
    assert results(sprayed(plants=[plant], ppe=["eyes"]), "PST-01") == ["stop"]
    assert results(sprayed(plants=[plant], ppe=["eyes", "skin"]), "PST-01") == []
    assert results(sprayed(plants=[plant], ppe=None), "PST-01") == ["unknown"]


@pytest.mark.parametrize(
    ("strength", "expected"),
    [("8.0", []), ("8.1", ["answer"]), ("9.9", ["answer"]), ("10.0", ["stop"]), (None, ["unknown"])],
)
def test_soap_above_8_g_asks_and_from_10_g_stops(strength: str | None, expected: list[str]) -> None:
    assert results(sprayed(soap_g_l=strength), "PST-02") == expected


def test_a_spray_without_soap_needs_no_strength_of_soap() -> None:
    assert results(sprayed(plants=["garlic"], soap_g_l=None), "PST-02") == []


@pytest.mark.parametrize("plant", ["tephrosia", "rotenone", "neem", "tobacco", "chilli"])
def test_what_poisons_fish_stays_ten_metres_from_water(plant: str) -> None:
    """US EPA on neem; the 10 m are ours."""
    assert results(sprayed(plants=[plant], near_water_m="9.9"), "PST-03") == ["stop"]
    assert results(sprayed(plants=[plant], near_water_m=10), "PST-03") == []
    assert results(sprayed(plants=[plant], near_water_m=None), "PST-03") == ["unknown"]


def test_where_fish_are_kept_no_distance_is_enough() -> None:
    fish = {"species": "tilapia", "purpose": "food", "aeration": True, "manure_fed": False}
    vessel = {"volume_l": 1000, "cover": "fence", "age_water_d": 3, "prior_use": "food"}
    spray = {**SOAP, "plants": ["neem"], "near_water_m": 50}
    assert results(practice(spray=spray, crop=KALE, fish=fish, vessel=vessel), "PST-03") == ["stop"]


def test_bees_fly_by_day() -> None:
    flowering = {**KALE, "flowering": True}
    assert results(sprayed(flowering, time_of_day="day"), "PST-04") == ["answer"]
    assert results(sprayed(flowering, time_of_day="dusk"), "PST-04") == []
    assert results(sprayed(KALE, time_of_day="day"), "PST-04") == []
    assert results(sprayed(flowering, time_of_day=None), "PST-04") == ["unknown"]


def test_marigold_juice_burns_skin_in_the_sun() -> None:
    """SCCS/1551/15."""
    assert results(sprayed(plants=["tagetes"], ppe=["eyes"]), "PST-05") == ["answer"]
    assert results(sprayed(plants=["tagetes"], ppe=["skin"]), "PST-05") == []


@pytest.mark.parametrize(
    "crop", [KALE, TOMATO, {"name": "chilli", "part": "fruit"}, {"part": "fruit", "family": "tomato_potato"}]
)
def test_tobacco_is_stopped_on_leaves_and_on_its_own_family(crop: dict[str, Any]) -> None:
    assert results(sprayed(crop, plants=["tobacco"]), "PST-06") == ["stop"]


def test_tobacco_on_flowers_that_nobody_eats_passes() -> None:
    assert results(sprayed(MARIGOLD | {"family": "other"}, plants=["tobacco"]), "PST-06") == []


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"control": False}, ["answer"]),
        ({"control": "water only", "effect": 92}, []),
        ({"n": 0}, ["answer"]),
        ({"source": None}, ["answer"]),
        ({"effect": None}, []),
    ],
)
def test_a_number_needs_plots_untreated_plots_and_a_source(change: dict[str, Any], expected: list[str]) -> None:
    whole = {"n": 3, "control": True, "effect": "92 % fewer aphids", "source": "Araya 2023"}
    evidence = {name: value for name, value in {**whole, **change}.items() if value is not None}
    assert results(practice(evidence=evidence), "PST-07") == expected


def test_none_published_is_a_waiting_time_and_silence_is_not() -> None:
    """The eighth mend."""
    assert results(sprayed(), "PST-08") == []
    assert results(sprayed(interval_d=None), "PST-08") == ["answer"]
    assert results(sprayed(MARIGOLD, interval_d=None), "PST-08") == []


def test_a_plant_that_is_not_in_the_list_may_be_any_of_them() -> None:
    entry = sprayed(plants=["garlic", "other"], ppe=[], near_water_m=1, soap_g_l=None)
    assert {"PST-01", "PST-02", "PST-03", "PST-05", "PST-06"} <= rules(entry, "unknown")


def test_a_strong_spray_is_told_gentler_ways_first() -> None:
    ways = [way.words for way in found(sprayed(soap_g_l=12), "PST-02")[0].instead]
    assert any("by hand" in way for way in ways)
