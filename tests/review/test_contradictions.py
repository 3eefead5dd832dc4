"""Facts that contradict each other, units that nobody knows, answers of spaces: each is one fault or one finding."""

from __future__ import annotations

from typing import Any

import pytest

from fieldbook.practices import EntryError, read_entry
from tests.review.practice import BARE, LETTUCE, facts, practice, results

CARROT = {"nutrient": "iron", "value": 1, "table": "USDA SR28", "food_no": "11124", "form": "raw"}


@pytest.mark.parametrize(
    ("groups", "field"),
    [
        ({"crop": {"part": "none", "eaten_raw": True}}, "facts.crop.eaten_raw"),
        ({"crop": {"name": "   "}}, "facts.crop.name"),
        ({"structure": {"safe_load_kg_m2": "120 kg"}}, "facts.structure.safe_load_kg_m2"),
        ({"vessel": {"cover": "a bit of cloth"}}, "facts.vessel.cover"),
        ({"inputs": [{"kind": "hen_manure", "wait_d": "two weeks"}]}, "facts.inputs[0].wait_d"),
        (
            {"inputs": [{"kind": "leaf_steep", "mode": "foliar", "wets_edible": False}], "crop": {"part": "leaf"}},
            "facts.inputs[0].wets_edible",
        ),
        (
            {"fish": {"manure_fed": False}, "animals": {"species": "duck", "droppings_to": ["fish_feed"]}},
            "facts.fish.manure_fed",
        ),
    ],
)
def test_what_cannot_be_meant_is_one_fault_at_its_place(groups: dict[str, Any], field: str) -> None:
    with pytest.raises(EntryError) as caught:
        read_entry({"kind": "teaching", "title": {"en": "x"}, "facts": facts(**groups)})
    assert [fault.field for fault in caught.value.faults] == [field]
    assert caught.value.faults[0].hint


@pytest.mark.parametrize("treatment", ["treated", "rested", "aged", "dried", "fermented", "stored", "none"])
def test_raw_dung_that_is_called_treated_with_no_wait_is_one_stop(treatment: str) -> None:
    """Only the heat of 7 CFR 205.203(c)(2) is a treatment."""
    dung = {"kind": "hen_manure", "treatment": treatment, **BARE, "wait_d": 0}
    assert results(practice(inputs=[dung], crop=LETTUCE), "MAN-01") == ["stop"]


def test_dung_that_is_raw_in_one_place_and_composted_in_another_is_raw() -> None:
    tea = {"kind": "manure_tea", "treatment": "raw", "mode": "foliar", "contact": "edible_soil", "wait_d": 0}
    entry = practice(inputs=[tea], tea={"source_treatment": "composted"}, crop=LETTUCE)
    assert results(entry, "MAN-03") == ["stop"]


@pytest.mark.parametrize("unit", ["spoons", "IU", "ppm", "mg RAE RE"])
def test_a_food_value_in_a_unit_that_nobody_knows_is_one_answer(unit: str) -> None:
    assert results(practice(nutrition={**CARROT, "unit": unit}), "NUT-02") == ["answer"]


@pytest.mark.parametrize("unit", ["mg", "µg", "\u03bcg RAE", "g per 100 g", "kcal/100 g", "kJ"])
def test_known_units_pass(unit: str) -> None:
    assert results(practice(nutrition={**CARROT, "unit": unit}), "NUT-02") == []
