"""What the starter entries on rabbits, nursery, seed, sack and tobacco say in numbers, against figures from outside."""

from __future__ import annotations

import copy
from decimal import Decimal
from math import pi, sqrt
from typing import Any

import pytest

from fieldbook.practices import read_entry
from fieldbook.quantities import wet_load_kg_m2
from fieldbook.review import findings_of
from tests.starters import entry_of, step_saying, words_in

# Rabbits

# Least floor by weight [kg, m²]: US Animal Welfare Act table, as quoted on a state extension page (secondary).
SINGLE_RABBIT_M2 = ((2, "0.14"), (4, "0.28"), ("5.4", "0.37"), (100, "0.46"))
DOE_WITH_YOUNG_M2 = ("0.37", "0.46", "0.56", "0.70")


def test_a_room_is_enough_for_one_rabbit_of_any_weight_and_the_words_are_its_measure() -> None:
    entry = entry_of("rabbits")
    room_m2 = Decimal(80) * Decimal(60) / 10_000
    assert "80 cm by 60 cm" in step_saying(entry, "Divide it")["say"]["en"]
    for rabbit in entry["facts"]["animals"]:
        assert Decimal(rabbit["area_m2"]) == room_m2
        assert rabbit["height_cm"] > Decimal("35.5")
    assert all(room_m2 >= Decimal(least) for _, least in SINGLE_RABBIT_M2)


def test_what_is_warned_against_would_be_too_small() -> None:
    """4.2 kg in 0.60 m by 0.60 m is 0.36 m², below the 0.37 of its class; exactly 4 kg counts in the larger class."""
    (tight,) = entry_of("rabbits")["facts"]["warned_against"]["animals"]
    least = next(Decimal(area) for limit, area in SINGLE_RABBIT_M2 if Decimal(tight["weight_kg"]) < Decimal(limit))
    assert Decimal(tight["area_m2"]) == Decimal("0.6") * Decimal("0.6") < least


def test_the_room_of_a_doe_with_young_is_given_from_the_same_table() -> None:
    reason = next(row["reason"]["en"] for row in entry_of("rabbits")["not_for"] if row["code"] == "breeding")
    assert DOE_WITH_YOUNG_M2[0] in reason
    assert DOE_WITH_YOUNG_M2[-1] in reason


def test_no_step_gives_a_rabbit_a_medicine_and_each_sign_calls_the_worker() -> None:
    entry = entry_of("rabbits")
    assert "pour nothing into the ear" in step_saying(entry, "Ears scratched")["do_not"]["en"]
    assert "no medicine" in step_saying(entry, "Wet droppings")["do_not"]["en"]
    for words in ("crusts", "Wet droppings", "dies suddenly"):
        signs = [row for row in entry["failure_signs"] if words in row["sign"]["en"]]
        assert len(signs) == 1
        assert "animal-health worker" in signs[0]["first_action"]["en"]


# Nursery


def test_sixty_places_fit_the_crate_and_twelve_litres_fill_it() -> None:
    """Half a spacing from each edge, whole millimetres; soaked garden soil is 120 lb per cubic foot, 1,922 kg/m³."""
    facts = entry_of("nursery")["facts"]
    bed = facts["bed"]
    along, across = (1 + (bed[side] - bed["spacing_mm"]) // bed["spacing_mm"] for side in ("length_mm", "width_mm"))
    assert (across, along) == (6, 10)
    assert along * across == bed["count"] == 60
    litres = Decimal(bed["length_mm"] * bed["width_mm"] * facts["structure"]["depth_cm"] * 10) / 10**6
    assert litres == 6 + 6
    assert round(litres * facts["structure"]["density"] / 1000) == 23
    assert "about 23 kg" in words_in(entry_of("nursery"))


def test_dung_of_the_sowing_day_is_too_young_for_the_first_tomato() -> None:
    """28 days of nursery (a web page: 4 to 5 weeks) and 60 to the first fruit; 7 CFR 205.203(c)(1)(iii) wants 90."""
    warned = entry_of("nursery")["facts"]["warned_against"]["inputs"][0]["wait_d"]
    assert warned == 28 + 60 < 90
    assert "only 88 days" in step_saying(entry_of("nursery"), "Loosen the bed")["do_not"]["en"]


def test_seedlings_go_out_in_the_fifth_week_after_seven_days_of_hardening() -> None:
    """Tomato 4 to 5 weeks in the nursery (a web page, read); kale 28 to 42 days (from memory)."""
    entry = entry_of("nursery")
    out = step_saying(entry, "Water the crate in the morning")["day_offset"]
    assert 28 <= out <= 35
    assert out - step_saying(entry, "Harden")["day_offset"] == 7


# Seed


def test_twelve_of_twenty_is_shown_with_its_wilson_interval() -> None:
    """Wilson 95 %, 12 of 20: 0.3866 to 0.7812 (computed with statsmodels 0.15, method wilson)."""
    n, share, z = 20, 12 / 20, 1.959963984540054
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z * sqrt(share * (1 - share) / n + z * z / (4 * n * n)) / (1 + z * z / n)
    low, high = middle - half, middle + half
    assert (round(low, 4), round(high, 4)) == (0.3866, 0.7812)
    warned = step_saying(entry_of("seed-saving"), "Decide")["do_not"]["en"]
    assert f"from {round(low * 100)} to {round(high * 100)} of 100" in warned


def test_what_is_not_saved_is_named() -> None:
    codes = {row["code"] for row in entry_of("seed-saving")["not_for"]}
    assert codes >= {"f1-seed", "sick-plants", "pumpkin", "second-season", "treated-seed"}


# Sack


def test_the_weight_of_the_soaked_sack_is_that_of_its_size() -> None:
    """Volume pi / 4 x D² x h at 1,600 (ours, low) to 1,922 kg/m³ (soaked garden soil); load = height x density."""
    entry = entry_of("sack-garden")
    sack = entry["facts"]["structure"]
    litres = pi / 4 * sack["diameter_cm"] ** 2 * sack["height_cm"] / 1000
    assert round(litres) == 67
    assert (round(litres * 1.6), round(litres * 1.922)) == (108, 129)
    assert "108 to 129 kg" in words_in(entry)
    load = wet_load_kg_m2(depth_cm=Decimal(sack["depth_cm"]), density_kg_m3=Decimal(sack["density"]))
    assert Decimal(entry["space"]["load_kg_m2_wet"]) == load


def test_the_holes_and_the_water_come_from_the_size_of_the_sack() -> None:
    """Whole rows: floor(pi D / s) x floor(h / s). FAO micro-gardens: 1 to 3 L per square metre and day."""
    entry = entry_of("sack-garden")
    sack = entry["facts"]["structure"]
    around, rings = int(pi * sack["diameter_cm"] // 15), sack["height_cm"] // 15
    assert (rings, around) == (4, 7)
    assert f"{rings} rings of {around} holes" in step_saying(entry, "Mark 4 rings")["say"]["en"]
    planted_m2 = pi * 0.35 * 0.7 + pi / 4 * 0.35**2
    assert round(planted_m2, 2) == 0.87
    assert entry["water_l_day"]["value"] == pytest.approx(planted_m2 * 3, abs=0.5)


def test_a_taller_sack_without_stakes_is_found() -> None:
    """A rule of thumb of ours: twice the width."""
    entry = entry_of("sack-garden")
    assert entry["facts"]["structure"]["height_cm"] == 2 * entry["facts"]["structure"]["diameter_cm"]
    entry["facts"]["structure"].update(entry["facts"]["warned_against"]["structure"][0])
    assert "STR-03" in _found(entry)


# Tobacco


def test_tobacco_stands_only_among_what_is_warned_against() -> None:
    entry = entry_of("tobacco-warning")
    warned = [spray for spray in entry["facts"]["warned_against"]["spray"] if spray["plants"] == ["tobacco"]]
    assert [spray["interval_d"] for spray in warned] == [4, 45, "none published"]
    assert entry["facts"]["spray"]["plants"] == ["soap"]
    used = [*entry["materials"], *entry["ratios"], *(step.get("materials", []) for step in entry["steps"])]
    assert "tobacco" not in str([row.get("item", "") if isinstance(row, dict) else row for row in used]).casefold()


def test_no_days_are_promised_for_leaves_that_were_sprayed() -> None:
    """Three web pages (read) say at least 4 days, 45 days, and nothing; none of them shows a measurement."""
    waits = entry_of("tobacco-warning")["waiting"]
    (sprayed,) = [row for row in waits if "tobacco" in row["condition"]["en"]]
    assert sprayed["days_min"] == "none published"
    assert all(days in sprayed["condition"]["en"] for days in ("4 days", "45", "names none"))


def test_tobacco_in_the_spray_would_be_stopped_by_each_rule_that_knows_it() -> None:
    entry = entry_of("tobacco-warning")
    entry["facts"]["spray"].update(plants=["tobacco"], ppe=["hands"], near_water_m=9)
    assert _found(entry) >= {"PST-01", "PST-03", "PST-06"}


def test_tobacco_among_the_materials_would_be_stopped() -> None:
    entry = entry_of("tobacco-warning")
    entry["materials"].append({"item": {"en": "dry tobacco leaves", "es": "hojas secas de tabaco"}})
    assert "GEN-03" in _found(entry)


def test_the_soap_stays_below_what_burns() -> None:
    """A web page, weak (read): 5 to 8 g/L kills aphids, 10 g/L kills plants; 200 and 125 g of water to a gram."""
    entry = entry_of("tobacco-warning")
    (ratio,) = entry["ratios"]
    assert 1000 / ratio["value"] == entry["facts"]["spray"]["soap_g_l"] == 5
    assert 1000 / ratio["low"] == 8
    assert "never over 8 g" in step_saying(entry, "Dissolve 5 g")["say"]["en"]


def test_somebody_who_was_splashed_is_washed_and_taken_to_the_clinic() -> None:
    """15 minutes: common practice."""
    entry = entry_of("tobacco-warning")
    wash = step_saying(entry, "Wash their skin")
    assert "15 minutes" in wash["say"]["en"]
    assert "clinic" in wash["stop_if"]["en"]
    assert step_saying(entry, "Take wet clothes off")["n"] < wash["n"]


def _found(entry: Any) -> set[str]:
    changed = read_entry(copy.deepcopy(entry))
    return {finding.rule for finding in findings_of(changed) if finding.result != "note"}
