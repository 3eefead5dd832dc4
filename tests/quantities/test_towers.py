"""Sacks, towers, walls, batches of dung and sprayers: counts against coordinates, warnings, and what holds for all."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import floor, pi
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.quantities import CALCULATORS
from fieldbook.quantities.towers import holes_in_rows, plants_on_top_square, plants_on_top_triangular

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=50)


def run(name: str, **given_values: Any) -> dict[str, Any]:
    return CALCULATORS[name].run(given_values)


def on_top(diameter: int, spacing: int, across: Fraction, along: Fraction) -> int:
    """Points of a square lattice, moved, that stay half a spacing from the edge, one by one."""
    room = Fraction(diameter - spacing, 2) ** 2
    reach = range(-diameter // spacing - 2, diameter // spacing + 3)
    return sum(((x + across) * spacing) ** 2 + ((y + along) * spacing) ** 2 <= room for x in reach for y in reach)


@given(st.integers(100, 1500), st.integers(60, 400))
@_QUICK
def test_plants_on_a_round_top_agree_with_coordinates(diameter: int, spacing: int) -> None:
    if diameter < spacing:
        return
    none, half = Fraction(0), Fraction(1, 2)
    best = max(on_top(diameter, spacing, *moved) for moved in ((none, none), (half, none), (half, half)))
    assert plants_on_top_square(diameter_mm=diameter, spacing_mm=spacing) == best
    reach = range(-2 * diameter // spacing - 2, 2 * diameter // spacing + 3)
    # (i + j/2)² + 3/4 · j², so that no root is taken
    room = Fraction(diameter - spacing, 2) ** 2
    count = sum(((i + Fraction(j, 2)) ** 2 + Fraction(3 * j * j, 4)) * spacing**2 <= room for i in reach for j in reach)
    assert plants_on_top_triangular(diameter_mm=diameter, spacing_mm=spacing) == count


@given(st.integers(100, 3000), st.integers(60, 3000), st.integers(20, 60))
@_QUICK
def test_holes_in_whole_rings_agree_with_the_way_round(diameter: int, height: int, spacing: int) -> None:
    """By floating point, which near no whole number can err here by so much."""
    assert holes_in_rows(diameter_mm=diameter, height_mm=height, spacing_mm=spacing) == floor(
        pi * diameter / spacing
    ) * (height // spacing)


@pytest.mark.parametrize(("height", "braced"), [(700, False), (701, True)])
def test_a_sack_higher_than_twice_its_width_asks_for_a_brace(height: int, braced: bool) -> None:  # noqa: FBT001
    found = run("tower", kind="sack", diameter_mm=350, height_mm=height, wet_density_kg_m3=1922)
    assert any("brace" in warning for warning in found["warnings"]) is braced


def test_a_core_takes_soil_but_no_weight_off() -> None:
    with_core, without = (
        run("tower", kind="sack", diameter_mm=350, height_mm=700, core_diameter_mm=core, wet_density_kg_m3=1922)
        for core in (100, None)
    )
    assert Decimal(str(with_core["soil_l"])) < Decimal(str(without["soil_l"]))
    assert with_core["wet_kg"] == without["wet_kg"]


def test_tyres_are_never_without_their_warning() -> None:
    assert (
        "poisons" in run("tower", kind="tyres", diameter_mm=400, height_mm=500, wet_density_kg_m3=1922)["warnings"][0]
    )


@pytest.mark.parametrize(("limit", "within"), [(115, False), ("115.4", True), (None, None)])
def test_a_wall_of_bottles_is_held_to_what_the_builder_stated(limit: Any, within: bool | None) -> None:  # noqa: FBT001
    found = run(
        "bottle-wall", width_mm=3000, height_mm=1650, spacing_mm=300, pattern="square", pockets=40, pocket_l="1.5",
        wet_density_kg_m3=1922, stated_limit_kg=limit,
    )  # fmt: skip
    assert (found["wet_kg"], found["within_stated_limit"]) == ("115.3", within)
    assert "safe" not in str(found).lower()


def test_the_depth_at_a_limit_is_never_rounded_upwards() -> None:
    """6.2435 cm, 9.3756 cm: the second is 9.37, though 9.38 would be nearer."""
    for density, depth in ((1922, "6.24"), (1280, "9.37")):
        found = run("load", depth_cm=1, wet_density_kg_m3=density, stated_limit_kg_m2=120)
        assert found["depth_at_limit_cm"] == depth
        again = run("load", depth_cm=depth, wet_density_kg_m3=density, stated_limit_kg_m2=120)
        assert again["within_stated_limit"] is True


def test_water_in_a_tray_and_people_count_against_the_limit() -> None:
    bare = run("load", depth_cm=6, wet_density_kg_m3=1922, stated_limit_kg_m2=120)
    wet = run("load", depth_cm=6, wet_density_kg_m3=1922, stated_limit_kg_m2=120, standing_water_mm=10)
    assert (bare["within_stated_limit"], wet["within_stated_limit"]) == (True, False)
    assert wet["with_rest_kg_m2"] == "125.32"


def test_a_bed_takes_so_much_soil() -> None:
    found = run("load", depth_cm=15, wet_density_kg_m3=1922, length_mm=2000, width_mm=600)
    assert (found["soil_l"], found["wet_kg"]) == (180, 346)


# dung


def test_a_batch_of_two_kilograms_is_what_the_practice_says() -> None:
    """2 kg in 10 L, one part to two: 30 L; 6 L on 0.6 m² is 5 beds."""
    found = run("manure-batch", dung_kg=2, kind="rabbit", water_l_kg=5, parts_water=2, container_l=20, dose_l_m2=10)
    assert (found["water_l"], found["thinning_water_l"], found["total_l"]) == (10, 20, 30)
    assert (found["containers"], found["area_m2"], found["germs_log10"]) == (1, 3, "0.48")
    assert (found["wait_touching_days"], found["wait_clear_days"]) == (120, 90)
    assert any("more nitrogen than the careful limit" in note for note in found["notes"])


@given(st.integers(1, 400), st.integers(1, 20), st.integers(0, 20))
@_QUICK
def test_doubling_a_batch_doubles_it_and_never_its_strength(tenths_kg: int, water: int, parts: int) -> None:
    one, two = (
        run("manure-batch", dung_kg=f"{times * tenths_kg / 10:.1f}", kind="hen", water_l_kg=water, parts_water=parts)
        for times in (1, 2)
    )
    for name in ("water_l", "total_l", "nitrogen_at_most_g"):
        assert abs(Decimal(str(two[name])) - 2 * Decimal(str(one[name]))) <= Decimal("0.2")
    assert two["dilution_factor"] == one["dilution_factor"]


# sprayers, wicks, trials


def test_a_large_mix_is_filled_into_a_small_sprayer_at_the_same_strength() -> None:
    found = run("dilution", total_l=40, parts_stock=1, parts_water=4, sprayer_l=15)
    assert found["full_fillings"] == 2
    assert found["each_filling"] == {"stock_l": 3, "water_l": 12}
    assert found["last_filling"] == {"stock_l": 2, "water_l": 8}
    assert "last_filling" not in run("dilution", total_l=30, parts_stock=1, parts_water=4, sprayer_l=15)


def test_days_of_a_reservoir_follow_the_evaporation_of_the_month() -> None:
    found = run(
        "wick", pore_diameter_mm="0.1", volume_l=100, open_percent=40, area_m2=2, eto_mm_day=5, crop_coefficient="0.8"
    )
    assert (found["usable_l"], found["use_l_m2_day"], found["reservoir_days"]) == (40, 4, 5)


@pytest.mark.parametrize(("field", "words"), [("soil_above_mm", "320 mm"), ("reservoir_mm", "300 mm")])
def test_what_guides_to_wicking_beds_allow_is_said(field: str, words: str) -> None:
    given_values = {"pore_diameter_mm": "0.1", "usable_l": 10, "area_m2": 1, "use_l_m2_day": 1}
    assert any(words in one for one in run("wick", **given_values, **{field: 321})["warnings"])
    assert run("wick", **given_values, **{field: 300})["warnings"] == []


def test_a_spray_that_made_it_worse_is_shown_so() -> None:
    """Nothing is clipped: 10 on the untreated, 20 on the treated is 100 % more."""
    found = run("pest-effect", untreated_after=10, treated_after=20)
    assert found["fewer_after_percent"] == -100
    assert "More pests" in found["words"]


@given(st.integers(1, 500), st.integers(1, 500), st.integers(0, 500))
@_QUICK
def test_with_equal_counts_before_both_formulas_agree(before: int, untreated: int, treated: int) -> None:
    found = run(
        "pest-effect", untreated_before=before, treated_before=before, untreated_after=untreated, treated_after=treated
    )
    assert found["fewer_since_before_percent"] == found["fewer_after_percent"]
