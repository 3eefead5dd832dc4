"""Containers, roofs and tall sacks."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import LETTUCE, MARIGOLD, TOMATO, found, practice, results

CAN = {"volume_l": 20, "cover": "lid", "age_water_d": 1}
ROOF_BED = {"kind": "roof_bed", "on_roof": True, "depth_cm": 30, "density": 1922}


@pytest.mark.parametrize("held", ["pesticide", "fuel", "paint", "chemical", "unknown"])
def test_a_can_with_a_bad_or_unknown_past_is_stopped(held: str) -> None:
    """FAO Pesticide Disposal Series 7, Annex 1; asking at start does not clear a past that is named."""
    (finding,) = found(practice(vessel={**CAN, "prior_use": held}, demands=["prior_use"]), "MAT-01")
    assert finding.result == "stop"
    assert "food-aid oil tin" in finding.instead[0].words


def test_a_past_that_is_not_said_must_be_asked_for() -> None:
    assert results(practice(vessel=CAN), "MAT-01") == ["answer"]
    assert results(practice(vessel=CAN, demands=["prior_use"]), "MAT-01") == []
    assert results(practice(vessel={**CAN, "prior_use": "food"}), "MAT-01") == []


def test_a_roof_needs_a_competent_persons_word_on_each_roof() -> None:
    assert results(practice(structure=ROOF_BED), "STR-01") == ["answer"]
    assert results(practice(structure=ROOF_BED, demands=["engineer_ok"]), "STR-01") == []
    assert results(practice(structure={**ROOF_BED, "engineer_ok": True}), "STR-01") == ["answer"]
    assert results(practice(structure={**ROOF_BED, "engineer_ok": False}, demands=["engineer_ok"]), "STR-01") == [
        "stop"
    ]


def test_it_is_not_said_whether_a_bed_stands_on_a_roof() -> None:
    assert results(practice(structure={"kind": "bed"}), "STR-01") == ["unknown"]
    assert results(practice({"space": {"roof": False}}, structure={"kind": "bed"}), "STR-01") == []


def test_a_roof_in_the_space_is_a_roof_whatever_the_facts_say() -> None:
    assert results(practice({"space": {"roof": True}}), "STR-01") == ["answer"]
    assert results(practice({"space": {"roof": True}}, structure={"kind": "bed", "on_roof": False}), "STR-01") == [
        "answer"
    ]


def test_thirty_centimetres_of_wet_soil_break_a_limit_of_97_6() -> None:
    """Garden soil at 120 lb/ft³ is 19.22 kg/m² per cm, so 577 kg/m²; 20 lb/ft² is 97.6 kg/m² (US code text)."""
    (finding,) = found(practice(structure={**ROOF_BED, "safe_load_kg_m2": "97.6"}), "STR-02")
    assert (finding.result, finding.value, finding.limit) == ("stop", "577 kg/m²", "97.6 kg/m²")


@pytest.mark.parametrize(("depth", "expected"), [("5.0", []), ("5.1", ["stop"])])
def test_the_limit_itself_is_not_passed(depth: str, expected: list[str]) -> None:
    structure = {**ROOF_BED, "depth_cm": depth, "safe_load_kg_m2": "97.6"}
    assert results(practice(structure=structure), "STR-02") == expected


def test_a_load_without_a_stated_limit_must_be_asked_for_with_its_weight() -> None:
    (finding,) = found(practice(structure=ROOF_BED), "STR-02")
    assert finding.result == "answer"
    assert "577 kg/m²" in finding.words
    assert results(practice(structure=ROOF_BED, demands=["safe_load"]), "STR-02") == []


def test_a_load_that_cannot_be_computed_is_not_said() -> None:
    (finding,) = found(practice(structure={"kind": "bed", "on_roof": True, "depth_cm": 30}), "STR-02")
    assert (finding.result, finding.field) == ("unknown", "facts.structure.density")


def test_of_a_stated_and_a_computed_load_the_larger_counts() -> None:
    structure = {**ROOF_BED, "depth_cm": 5, "safe_load_kg_m2": 97}
    assert results(practice({"space": {"load_kg_m2_wet": 120}}, structure=structure), "STR-02") == ["stop"]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"height_cm": 100}, []),
        ({"height_cm": 101, "braced": False}, ["answer"]),
        ({"height_cm": 101, "braced": True}, []),
        ({"height_cm": 101}, ["unknown"]),
        ({}, ["unknown"]),
        ({"kind": "bed", "height_cm": 101}, []),
    ],
)
def test_a_sack_taller_than_twice_its_width_needs_a_brace(change: dict[str, Any], expected: list[str]) -> None:
    """Our rule of thumb."""
    sack = {"kind": "sack", "on_roof": False, "diameter_cm": 50, **change}
    assert results(practice(structure=sack), "STR-03") == expected


CARROT = {"name": "carrot", "part": "root", "eaten_raw": True, "flowering": False}


@pytest.mark.parametrize("state", ["cca", "creosote", "railway", "painted"])
def test_treated_wood_is_not_for_food(state: str) -> None:
    wood = {"kind": "timber", "treatment": state}
    assert results(practice(materials=wood, crop=LETTUCE), "MAT-02") == ["stop"]
    assert results(practice(materials=wood, crop=MARIGOLD), "MAT-02") == []


def test_wood_of_an_unknown_past_is_not_said() -> None:
    assert results(practice(materials={"kind": "timber", "treatment": "unknown"}, crop=LETTUCE), "MAT-02") == [
        "unknown"
    ]
    assert results(practice(materials={"kind": "timber"}, crop=LETTUCE), "MAT-02") == ["unknown"]
    assert results(practice(materials={"kind": "timber", "treatment": "clean"}, crop=LETTUCE), "MAT-02") == []


@pytest.mark.parametrize(
    ("crop", "tyre", "expected"),
    [
        (CARROT, {"liner": False}, ["answer"]),
        (LETTUCE, {"liner": False}, ["answer"]),
        (LETTUCE, {"liner": True}, []),
        (TOMATO, {"liner": False}, []),
        (LETTUCE, {}, ["unknown"]),
        (LETTUCE, {"liner": True, "treatment": "shredded"}, ["answer"]),
    ],
)
def test_tyres_are_lined_under_roots_and_leaves(crop: Any, tyre: dict[str, Any], expected: list[str]) -> None:
    """An agronomy note: lead in garlic chives after 20 years; worse where shredded."""
    assert results(practice(materials={"kind": "tyre", **tyre}, crop=crop), "MAT-03") == expected


def test_a_tower_of_tyres_has_tyres_among_its_materials() -> None:
    tower = {"kind": "tyre", "on_roof": False, "height_cm": 40, "diameter_cm": 60}
    assert results(practice(structure=tower, crop=LETTUCE), "MAT-03") == ["unknown"]


@pytest.mark.parametrize("source", ["roadside", "battery", "dump", "unknown"])
def test_soil_that_may_hold_lead_is_asked_about_for_roots_and_leaves(source: str) -> None:
    """PMC4175907: 47 % of root crops and 9 % of leafy greens above the EU guide value."""
    assert results(practice(soil={"source": source}, crop=CARROT), "SOI-01") == ["answer"]
    assert results(practice(soil={"source": source}, crop=TOMATO), "SOI-01") == []


def test_soil_of_unsaid_source_must_be_asked_for() -> None:
    assert results(practice(soil={}, crop=CARROT), "SOI-01") == ["answer"]
    assert results(practice(soil=[{}], crop=CARROT, demands=["soil_source"]), "SOI-01") == []
