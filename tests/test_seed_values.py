"""What the starter entries say in numbers: values of the trade, and values that come out of a published figure.

The values of common practice in this trade (a steep shaken after 3 days, opened after 7 more, thinned 1 part to 2 ...)
have no published source; they stand here as `common practice`.
"""

from __future__ import annotations

import copy
from decimal import Decimal
from typing import Any

import pytest

from fieldbook.practices import read_entry
from fieldbook.review import findings_of
from tests.starters import entry_of, step_saying, words_in

# Values of common practice in this trade (no published source)


def test_the_steep_is_shaken_after_3_days_opened_after_7_more_and_thinned_1_to_2() -> None:
    entry = entry_of("dung-steep")
    hung = step_saying(entry, "Hang the sack")["day_offset"]
    shaken = step_saying(entry, "Shake the sack")["day_offset"]
    opened = step_saying(entry, "Open the container")["day_offset"]
    assert (shaken - hung, opened - shaken) == (3, 7)
    thinned = step_saying(entry, "Thin it")
    assert "1 part of steep, 2 parts of water" in thinned["say"]["en"]
    assert "scorches" in thinned["say"]["en"]
    assert [ratio["value"] for ratio in entry["ratios"] if ratio["by"] == "volume"] == [2]
    assert "lid" in step_saying(entry, "Close the lid")["say"]["en"]


def test_rabbit_droppings_rest_2_weeks_in_a_sack_and_count_as_raw() -> None:
    entry = entry_of("dung-steep")
    rest = step_saying(entry, "Rest the droppings")
    assert rest["duration"] == "P14D"
    assert step_saying(entry, "Hang the sack")["day_offset"] - rest["day_offset"] == 14
    assert "germs stay alive" in rest["say"]["en"]
    assert entry["facts"]["tea"]["source_treatment"] == "raw"


def test_the_leaf_box_is_turned_and_damped_every_2_weeks_and_ready_in_3_to_4_months() -> None:
    entry = entry_of("leaf-box")
    for words in ("Turn it every 2 weeks", "Damp what is dry"):
        assert step_saying(entry, words)["repeat"] == {"every_days": 14, "until": "ready"}
    assert "after 3 to 4 months" in step_saying(entry, "Look after")["say"]["en"]
    assert 90 <= step_saying(entry, "Sieve it")["day_offset"] <= 122
    assert "rain" in step_saying(entry, "Tie the roof")["say"]["en"]


def test_wick_reservoirs_are_refilled_weekly_and_a_wall_carries_about_20() -> None:
    entry = entry_of("bottle-wall")
    assert step_saying(entry, "Refill each")["repeat"]["every_days"] == 7
    assert "About 20 plants stand on a wall where the ground under it carries 6 or 7" in entry["summary"]["en"]
    assert entry["yield"]["qty"]["value"] == 20


def test_fish_water_is_changed_monthly_and_goes_to_the_foot() -> None:
    entry = entry_of("fish-hen-garden")
    assert step_saying(entry, "Change the water")["repeat"]["every_days"] == 30
    assert "at the foot" in step_saying(entry, "Pour the old water")["say"]["en"]
    assert entry["facts"]["irrigation"]["mode"] == "foot"


# What a grower might do instead, and the rules must catch


def test_cutting_leaves_2_days_after_the_steep_is_warned_against_and_would_be_stopped() -> None:
    entry = entry_of("dung-steep")
    assert entry["facts"]["warned_against"]["harvest"]["claimed_wait_d"] == 2
    assert "2 days" in words_in(entry)
    changed = copy.deepcopy(entry)
    changed["facts"]["harvest"]["claimed_wait_d"] = 2
    changed["facts"]["tea"]["mode"] = "foliar"
    changed["facts"]["inputs"][0].update(mode="foliar", wait_d=2, wets_edible=True)
    stops = {finding.rule for finding in findings_of(read_entry(changed)) if finding.result == "stop"}
    assert stops >= {"MAN-01", "MAN-03", "MAN-06"}


@pytest.mark.parametrize(
    ("name", "change", "rule"),
    [
        ("aphid-soap", {"spray": {"soap_g_l": 10}}, "PST-02"),
        ("aphid-soap", {"spray": {"ppe": ["hands"]}}, "PST-01"),
        ("aphid-soap", {"spray": {"near_water_m": 9}}, "PST-03"),
        (
            "fish-hen-garden",
            {
                "animals": {"droppings_to": ["fish_feed"]},
                "area": {"bird_flu": "affected"},
                "fish": {"manure_fed": True},
            },
            "ZOO-03",
        ),
        ("fish-hen-garden", {"irrigation": {"mode": "foliar", "wait_d": 11}}, "IRR-01"),
        ("coop-roof-bed", {"structure": {"engineer_ok": False}}, "STR-01"),
        ("coop-roof-bed", {"structure": {"safe_load_kg_m2": 288}}, "STR-02"),
        ("bottle-wall", {"wick": {"rise_cm": 31}}, "WCK-01"),
    ],
)
def test_one_careless_change_to_an_entry_is_caught(name: str, change: dict[str, Any], rule: str) -> None:
    entry = entry_of(name)
    for group, values in change.items():
        entry["facts"][group] = {**entry["facts"].get(group, {}), **values}
    found = {finding.rule for finding in findings_of(read_entry(entry)) if finding.result != "note"}
    assert rule in found


def test_a_bed_hidden_behind_a_missing_demand_is_asked_for() -> None:
    entry = entry_of("coop-roof-bed")
    entry["facts"]["demands"] = []
    found = {finding.rule for finding in findings_of(read_entry(entry)) if finding.result in {"answer", "unknown"}}
    assert found >= {"STR-01", "STR-02"}


# Numbers that are printed are the numbers that come out


def test_the_dung_stays_under_17_g_of_nitrogen_a_square_metre_and_year() -> None:
    """91/676/EEC Annex III: 170 kg N/ha; 9.23 g N per kg of hen dung after losses, 13.46 as excreted.

    USDA NRCS manure nutrient table, laying hen: 18.46 and 26.93 lb N per ton.
    """
    for name, per_kg in (("dung-steep", "9.23"), ("fish-hen-garden", "9.23"), ("fish-hen-garden", "13.465")):
        for dung in entry_of(name)["facts"]["inputs"]:
            if "amount_kg" in dung:
                assert Decimal(dung["amount_kg"]) * Decimal(per_kg) / Decimal(dung["area_m2"]) < 17


def test_the_weight_of_the_bed_and_of_the_wall_is_that_of_saturated_garden_soil() -> None:
    """120 lb per cubic foot = 1,922 kg per cubic metre: 19.22 kg per square metre and centimetre."""
    bed, wall = entry_of("coop-roof-bed"), entry_of("bottle-wall")
    per_m2 = Decimal("19.22") * bed["facts"]["structure"]["depth_cm"]
    assert Decimal(bed["space"]["load_kg_m2_wet"]) == per_m2
    assert round(per_m2 * Decimal("2.0") * Decimal("0.6")) == 346
    assert "346 kg" in bed["summary"]["en"]
    bottles_kg = 20 * 2 * Decimal("1.922")
    assert round(bottles_kg) == 77
    assert round(bottles_kg / Decimal(wall["space"]["area_m2"]["value"]), 1) == Decimal(wall["space"]["load_kg_m2_wet"])


def test_the_drum_promises_no_more_fish_than_still_water_carries() -> None:
    """FAO TP 362, section 6.1: a standing crop of 1 kg per square metre; a drum of 0.57 m is 0.255 square metres."""
    entry = entry_of("fish-hen-garden")
    surface_m2 = Decimal("3.14159") / 4 * Decimal("0.57") ** 2
    assert round(surface_m2, 3) == Decimal(entry["facts"]["vessel"][0]["area_m2"])
    assert entry["yield"]["qty"] == {"value": 260, "unit": "mass-gram"}
    assert abs(surface_m2 * 1000 - 260) < 10
    assert "not a meal" in entry["summary"]["en"]


def test_picking_days_keep_the_waiting_times() -> None:
    """7 CFR 205.203(c)(1): 120 days, 90 off the soil. WHO 2006 vol. 2: (7 - 1) / 0.5 = 12 days after fish water."""
    steep, circle = entry_of("dung-steep"), entry_of("fish-hen-garden")
    poured = step_saying(steep, "Pour 6 L")["day_offset"]
    assert step_saying(steep, "Pick leaves and roots")["day_offset"] - poured >= 120
    dunged = step_saying(circle, "this is dung day")["day_offset"]
    leaves = step_saying(circle, "Pick amaranth")["day_offset"]
    assert step_saying(circle, "Pick maize")["day_offset"] - dunged >= 90
    assert leaves - dunged >= 120
    changed = step_saying(circle, "Change the water")
    every = changed["repeat"]["every_days"]
    last = max(day for day in range(changed["day_offset"], leaves, every)) + 1  # the other half, a day later
    assert leaves - last >= 12


def test_the_leaf_box_begins_at_30_parts_of_carbon() -> None:
    """Cornell composting science pages: R = sum Q C (100 - M) / sum Q N (100 - M); rows of Bertrand's table."""
    leaves, scraps = (8, Decimal("0.9"), 54, 38), (10, Decimal("2.4"), 15, 70)
    nitrogen = sum(q * n * (100 - m) for q, n, _, m in (leaves, scraps))
    carbon = sum(q * n * r * (100 - m) for q, n, r, m in (leaves, scraps))
    compost = entry_of("leaf-box")["facts"]["compost"]
    assert round(carbon / nitrogen) == compost["cn_start"]
    assert round(Decimal(leaves[0] * leaves[3] + scraps[0] * scraps[3]) / 18) == compost["moisture_pct"]


def test_the_counts_of_plants_fit_their_beds() -> None:
    """Rows with half a spacing at each end: 1 + (length - spacing) // spacing, in whole millimetres."""
    bed = entry_of("coop-roof-bed")["facts"]["bed"]
    along, across = (1 + (bed[side] - bed["spacing_mm"]) // bed["spacing_mm"] for side in ("length_mm", "width_mm"))
    assert along * across == bed["count"] == 16
    mixed_mm = 2400 - 2 * 300
    assert 2 * (1 + (mixed_mm - 450) // 450) == 8
    assert 1 + (mixed_mm - 100) // 100 == 18


def test_soap_is_5_g_to_a_litre_in_the_test_and_in_the_batch() -> None:
    """A web page, weak: 5 to 8 g/L kills aphids, 10 g/L kills plants."""
    entry = entry_of("aphid-soap")
    assert entry["facts"]["spray"]["soap_g_l"] == 5
    assert "25 g of soap: 5 g to each litre, never over 8" in words_in(entry)
    assert Decimal(25) / (1 + 4) == 5
