"""What the starter entries on rings, rabbit dung, maize with cowpea, the tower, the drain box and hens say in numbers.

A figure that is printed must come out of the published figure that stands beside its check; what a grower might do
instead must be caught by the rules.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from fieldbook.practices import read_entry
from fieldbook.review import findings_of
from tests.starters import entry_of, step_saying, words_in

WET_SOIL_KG_L = Decimal("1.922")  # saturated garden soil, 120 lb per cubic foot
QUARTER_PI = Decimal("0.785398")


def found_in(entry: Any) -> set[str]:
    return {finding.rule for finding in findings_of(read_entry(entry)) if finding.result != "note"}


def test_rabbit_urine_and_droppings_together_stay_under_17_g_of_nitrogen() -> None:
    """91/676/EEC Annex III: 170 kg N/ha. AER Journal 4(1): rabbit urine 1.05 % N; dry droppings 2.7 % (secondary)."""
    entry = entry_of("rabbit-dung-urine")
    urine, droppings = entry["facts"]["inputs"]
    per_m2 = (Decimal(urine["amount_l"]) * Decimal("10.5") + Decimal(droppings["amount_kg"]) * 27) / urine["area_m2"]
    assert per_m2 == Decimal("16.85") < 17
    assert "16.85 g per square metre" in " ".join(source["citation"] for source in entry["sources"])
    assert Decimal(urine["amount_l"]) / urine["area_m2"] <= Decimal("1.62")
    assert 5 * Decimal("0.5") == Decimal(urine["amount_l"])
    assert 5 * Decimal("0.18") == Decimal(droppings["amount_kg"])


def test_rabbit_dung_day_comes_120_days_before_leaves_and_90_before_maize() -> None:
    """7 CFR 205.203(c)(1)(ii) and (iii)."""
    entry = entry_of("rabbit-dung-urine")
    dug_in = step_saying(entry, "Close the furrows")["day_offset"]
    assert step_saying(entry, "Pick leaves")["day_offset"] - dug_in >= 120
    assert step_saying(entry, "Pick maize")["day_offset"] - dug_in >= 90


def test_the_rows_of_maize_and_cowpea_hold_what_the_steps_say() -> None:
    """Rows with half a spacing at each end: 1 + (length - spacing) // spacing, in whole millimetres."""
    entry = entry_of("maize-cowpea")
    maize, cowpea = entry["facts"]["bed"]
    counts = [1 + (row["length_mm"] - row["spacing_mm"]) // row["spacing_mm"] for row in (maize, cowpea)]
    assert counts == [maize["count"], cowpea["count"]] == [8, 16]
    assert "8 holes a row" in words_in(entry)
    assert "15 cm: 16 holes" in words_in(entry)


def test_the_companions_name_harm_and_missing_proof_beside_help() -> None:
    rows = entry_of("maize-cowpea")["companions"]
    assert {row["effect"] for row in rows} == {"harms", "helps", "no-evidence"}
    assert [row["with"] for row in rows if row["effect"] == "harms"] == ["pumpkin"]


def test_the_tower_weighs_what_its_soil_and_bricks_weigh() -> None:
    """A cylinder of 60 cm by 80 cm of saturated garden soil, and 80 bricks of 1.6 L at 2.2 kg/L (from memory)."""
    entry = entry_of("brick-tower")
    structure = entry["facts"]["structure"]
    soil_l = QUARTER_PI * Decimal("0.6") ** 2 * Decimal("0.8") * 1000
    total_kg = soil_l * WET_SOIL_KG_L + 80 * Decimal("3.5")
    under_m2 = QUARTER_PI * Decimal("0.8") ** 2
    assert abs(total_kg - 715) < 1
    assert "715 kg" in entry["summary"]["en"]
    assert abs(total_kg / under_m2 - entry["space"]["load_kg_m2_wet"]) < 2
    assert structure["height_cm"] <= 2 * structure["diameter_cm"]
    assert structure["braced"] is True
    plants = [item["qty"]["value"] for item in entry["materials"] if "seedlings" in item["item"]["en"]]
    assert plants == [8 * 3, 3]
    assert f"{sum(plants)} plants" in entry["summary"]["en"]


def test_a_box_over_the_drain_weighs_35_kg_and_has_a_closed_bottom() -> None:
    entry = entry_of("drain-box")
    soaked_kg = (15 + Decimal("2.6")) * WET_SOIL_KG_L
    assert round(soaked_kg) == 34
    assert "about 35 kg" in step_saying(entry, "Lift each box")["say"]["en"]
    assert "No hole in the bottom, and no wick" in words_in(entry)
    assert entry["facts"]["irrigation"] == {"source": "clean", "mode": "foot"}


def test_hens_have_the_room_of_deep_litter_and_the_water_of_a_hot_day() -> None:
    """FAO small-scale poultry: 3 hens per square metre on deep litter. USDA NRCS: 0.383 kg N a hen and year."""
    entry = entry_of("five-hens")
    hens = entry["facts"]["animals"]
    assert Decimal(hens["n"]) / hens["area_m2"] <= 3
    assert Decimal(entry["water_l_day"]["value"]) / hens["n"] == Decimal("0.5")
    assert round(hens["n"] * 383 / 17) == 113
    assert "medicine by guess" in words_in(entry)


@pytest.mark.parametrize(
    ("name", "change", "rule"),
    [
        ("cutworm-rings", {"vessel": {"prior_use": "pesticide"}}, "MAT-01"),
        ("cutworm-rings", {"evidence": {"n": 9, "effect": "half the damage", "source": "hearsay"}}, "PST-07"),
        ("rabbit-dung-urine", {"harvest": {"claimed_wait_d": 7}}, "MAN-06"),
        (
            "brick-tower",
            {"structure": {"height_cm": 161, "diameter_cm": 80, "braced": False, "kind": "tower"}},
            "STR-03",
        ),
        ("brick-tower", {"structure": {"kind": "tower", "on_roof": True, "depth_cm": 80, "density": 1922}}, "STR-01"),
        ("drain-box", {"vessel": {"prior_use": "paint", "cover": "lid"}}, "MAT-01"),
        ("five-hens", {"animals": {"species": "hen", "n": 7, "area_m2": 2, "litter": "deep_litter"}}, "ANI-01"),
        ("five-hens", {"animals": {"species": "hen", "n": 19, "area_m2": 2, "litter": "slats"}}, "ANI-01"),
        ("five-hens", {"task": {"kind": "handling_birds", "audience": ["under_5"]}}, "ZOO-01"),
        ("five-hens", {"vessel": {"volume_l": 10, "cover": "none", "age_water_d": 1}}, "DRN-01"),
    ],
)
def test_one_careless_change_is_caught(name: str, change: dict[str, Any], rule: str) -> None:
    entry = entry_of(name)
    assert rule not in found_in(entry)
    entry["facts"].update(change)
    assert rule in found_in(entry)


def test_rabbit_urine_on_leaves_is_stopped() -> None:
    entry = entry_of("rabbit-dung-urine")
    assert "harvest" in entry["facts"]["warned_against"]
    entry["facts"]["inputs"][0].update(mode="foliar", wait_d=7, wets_edible=True)
    stops = {finding.rule for finding in findings_of(read_entry(entry)) if finding.result == "stop"}
    assert stops >= {"MAN-01", "MAN-03"}


def test_ammonia_bird_flu_and_children_stand_with_the_hens() -> None:
    cautions = {"C12", "C13", "C14", "C23"}
    entry = entry_of("five-hens")
    assert cautions <= set(entry["facts"]["cautions"])
    assert "bird_flu" in entry["facts"]["demands"]
    assert entry["facts"]["task"]["audience"] == ["adults"]
