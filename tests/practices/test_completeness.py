"""What an entry lacks: to be repeated by a stranger, and to be approved."""

from __future__ import annotations

from typing import Any

import pytest

from fieldbook.practices import missing_to_approve, missing_to_repeat, read_entry

WHOLE: dict[str, Any] = {
    "kind": "growing",
    "title": {"en": "Kale in a sack"},
    "summary": {"en": "Forty plants on half a square metre."},
    "topics": ["sack-garden"],
    "materials": [{"item": "sack"}],
    "tools": [],
    "steps": [{"say": {"en": "Fill the sack."}, "day_offset": 0}],
    "success_signs": [{"en": "New leaves after a week."}],
    "failure_signs": [{"sign": {"en": "Yellow leaves."}}],
    "licence": "CC-BY-4.0",
    "credit": {"kind": "site"},
}
FACTS = {"none": ["inputs", "spray", "irrigation"]}


def test_a_whole_entry_lacks_nothing_although_it_needs_no_tool() -> None:
    assert missing_to_repeat(read_entry(WHOLE)) == ()


@pytest.mark.parametrize("name", [name for name in WHOLE if name not in {"kind", "title", "tools"}])
def test_each_needed_field_is_named_when_it_is_missing_or_empty(name: str) -> None:
    assert missing_to_repeat(read_entry({key: value for key, value in WHOLE.items() if key != name})) == (name,)


def test_companions_are_needed_for_companions_only() -> None:
    assert missing_to_repeat(read_entry({**WHOLE, "kind": "companions"})) == ("companions",)


@pytest.mark.parametrize(
    ("more", "missing"),
    [
        ({}, ("facts",)),
        ({"facts": {}}, ("facts",)),
        ({"facts": FACTS}, ()),
        ({"facts": {**FACTS, "cautions": ["C07"]}}, ("hazards",)),
        ({"facts": {"inputs": [{"kind": "rabbit_manure"}]}}, ("waiting",)),
        ({"facts": {"inputs": [{"kind": "manure_tea"}]}}, ("ratios", "waiting")),
        ({"facts": {"inputs": [{"kind": "human_urine"}]}}, ("waiting",)),
        ({"facts": {"inputs": [{"kind": "plant_compost"}]}}, ()),
        ({"facts": {"spray": {"plants": ["soap"]}}}, ("ratios", "waiting")),
        ({"facts": {"irrigation": {"source": "greywater"}}}, ("waiting",)),
        ({"facts": {"irrigation": {"source": "clean"}}}, ()),
        ({"facts": FACTS, "water_kind": ["re-used-wash"]}, ("waiting",)),
        ({"facts": FACTS, "space": {"roof": True}}, ("space.load_kg_m2_wet",)),
        ({"facts": FACTS, "space": {"wall": True, "load_kg_m2_wet": 60}}, ()),
        ({"facts": {**FACTS, "structure": {"on_roof": True}}}, ("space.load_kg_m2_wet",)),
        ({"kind": "manure", "facts": {"none": ["spray"]}}, ("ratios", "waiting")),
        ({"kind": "pest-deterrent", "facts": {"none": ["inputs"]}}, ("ratios", "waiting")),
        ({"kind": "pest-deterrent", "facts": FACTS}, ()),
    ],
)
def test_what_must_be_there_before_approval(more: dict[str, Any], missing: tuple[str, ...]) -> None:
    assert missing_to_approve(read_entry({**WHOLE, **more})) == missing


def test_a_load_below_what_the_entry_itself_comes_to_counts_as_not_said() -> None:
    bed = {"on_roof": True, "depth_cm": 30, "density": 1900}
    for said, missing in ((0, True), (100, True), (540, True), (560, False), (570, False)):
        document = {**WHOLE, "facts": {**FACTS, "structure": bed}, "space": {"roof": True, "load_kg_m2_wet": said}}
        entry = read_entry(document)
        assert ("space.load_kg_m2_wet" in missing_to_approve(entry)) is missing


def test_a_wait_that_has_nothing_to_do_with_the_dung_counts_as_not_said() -> None:
    dung = {"kind": "rabbit_manure", "treatment": "raw", "contact": "edible_soil", "wait_d": 120}
    for row, missing in (
        ({"before": "next-spray", "days_min": 7, "after": "spray"}, True),
        ({"before": "touching", "days_min": 0}, True),
        ({"before": "harvest", "days_min": 7, "after": "spray"}, True),
        ({"before": "harvest", "days_min": 120, "after": "dung"}, False),
        ({"before": "harvest", "days_min": 120}, False),
    ):
        entry = read_entry({**WHOLE, "facts": {"none": ["spray", "irrigation"], "inputs": [dung]}, "waiting": [row]})
        assert ("waiting" in missing_to_approve(entry)) is missing
