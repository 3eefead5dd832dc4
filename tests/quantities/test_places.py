"""Plants, loads, ponds, room and seeds, against published tables, misprints found, and counting by coordinates."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.quantities import CALCULATORS, QuantityError

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=50)


def run(name: str, **given_values: Any) -> dict[str, Any]:
    return CALCULATORS[name].run(given_values)


def plants(length: int, width: int, spacing: int, pattern: str = "square") -> dict[str, Any]:
    return run("plants-that-fit", length_mm=length, width_mm=width, spacing_mm=spacing, pattern=pattern)


# plants


@pytest.mark.parametrize(
    ("length", "width", "square", "triangular"),
    [
        (1000, 1000, (100, 36, 25, 16, 9, 4), (105, 42, 23, 14, 8, 3)),
        (3000, 1000, (300, 120, 75, 48, 30, 12), (325, 137, 73, 46, 29, 12)),
        (1500, 800, (120, 50, 28, 18, 10, 3), (131, 57, 28, 17, 9, 3)),
        (2400, 600, (144, 64, 36, 18, 16, 5), (141, 62, 35, 18, 15, 5)),
    ],
)
def test_so_many_plants_stand_in_a_bed(
    length: int, width: int, square: tuple[int, ...], triangular: tuple[int, ...]
) -> None:
    """Counted by hand for 0.10, 0.15, 0.20, 0.25, 0.30 and 0.45 m; the "15 % more" of triangles often vanishes."""
    spacings = (100, 150, 200, 250, 300, 450)
    assert tuple(plants(length, width, each)["square"] for each in spacings) == square
    assert tuple(plants(length, width, each)["triangular"] for each in spacings) == triangular


def test_a_square_metre_carries_what_the_fact_sheet_says() -> None:
    """FAO fact sheet on micro-gardens: 36 lettuces, 100 onions on 1 m²."""
    assert (plants(1000, 1000, 150)["plants"], plants(1000, 1000, 100)["plants"]) == (36, 100)


@pytest.mark.parametrize(("length", "row"), [(700, 7), (1200, 12)])
def test_no_plant_is_lost_to_floating_point(length: int, row: int) -> None:
    """0.7 m at 0.1 m: floor((0.7 - 0.1) / 0.1) is 5 in floating point, 6 in millimetres."""
    assert plants(length, 100, 100)["plants"] == row


def by_coordinates(length: int, width: int, spacing: int) -> int:
    """Plants in triangles, one by one: every centre that keeps half a spacing from each edge."""
    count, row = 0, 0
    while True:
        # the y of a row is half a spacing plus row · spacing · √3/2; squared, so that nothing is rounded
        room = Fraction(width - spacing)
        if Fraction(3, 4) * (row * spacing) ** 2 > room**2:
            return count
        x = Fraction(spacing, 2) + (Fraction(spacing, 2) if row % 2 else 0)
        while x + Fraction(spacing, 2) <= length:
            count += 1
            x += spacing
        row += 1


@given(st.integers(100, 3000), st.integers(100, 3000), st.integers(60, 600))
@_QUICK
def test_the_count_of_triangles_agrees_with_coordinates(length: int, width: int, spacing: int) -> None:
    if min(length, width) < spacing:
        with pytest.raises(QuantityError, match="smaller than one spacing"):
            plants(length, width, spacing)
        return
    assert plants(length, width, spacing, "triangular")["plants"] == by_coordinates(length, width, spacing)


# loads


@pytest.mark.parametrize(("density", "per_cm"), [(769, "7.69"), (1041, "10.41"), (1922, "19.22")])
def test_wet_media_weigh_this_for_each_centimetre(density: int, per_cm: str) -> None:
    """48, 65 and 120 lb/ft³ at 16.0185 kg/m³ each (a roof page prints 3.4 kg/m³ for the first: a slip)."""
    found = run("load", depth_cm=1, wet_density_kg_m3=density, stated_limit_kg_m2=None)
    assert abs(Decimal(str(found["load_kg_m2"])) - Decimal(per_cm)) <= Decimal("0.1")
    assert found["within_stated_limit"] is None
    assert "ask a competent builder" in found["words"]


def test_one_centimetre_above_the_builders_figure_is_refused_and_never_called_safe() -> None:
    below = run("load", depth_cm=6, wet_density_kg_m3=1922, stated_limit_kg_m2=120)
    above = run("load", depth_cm=7, wet_density_kg_m3=1922, stated_limit_kg_m2=120)
    assert (below["within_stated_limit"], above["within_stated_limit"]) == (True, False)
    assert below["depth_at_limit_cm"] == "6.24"
    for found in (below, above):
        assert "safe" not in str(found).lower()


def test_thirty_centimetres_of_soil_weigh_577() -> None:
    assert round(Decimal(str(run("load", depth_cm=30, wet_density_kg_m3=1922)["load_kg_m2"]))) == 577


@given(st.integers(1, 200), st.integers(50, 3000))
@_QUICK
def test_load_is_linear_in_depth(depth: int, density: int) -> None:
    one, two = (run("load", depth_cm=each, wet_density_kg_m3=density)["load_kg_m2"] for each in (depth, 2 * depth))
    assert Decimal(str(two)) == 2 * Decimal(str(one))


# fish, birds, beds


def linked(**changed: Any) -> dict[str, Any]:
    return run(
        "linked-system",
        **{
            "tank_m2": 5,
            "tank_litres": 5000,
            "birds": 2,
            "fish_kg": 5,
            "water_temperature_c": 24,
            "ph": 8,
            "total_ammonia_mg_l": 1,
            **changed,
        },
    )


@pytest.mark.parametrize(
    ("temperature", "ph", "fraction", "total"),
    [
        (24, 8, "0.0502", "1.00"),
        (25, 7, "0.0056", "8.87"),
        (25, 8, "0.0537", "0.93"),
        (28, 8, "0.0654", "0.76"),
        (28, 9, "0.4116", "0.12"),
        (30, 8, "0.0743", "0.67"),
    ],
)
def test_this_share_of_ammonia_is_unionised(temperature: int, ph: int, fraction: str, total: str) -> None:
    """Emerson et al. 1975, 0.09018 + 2729.92/T; 24 °C, pH 8: 0.0502 (2727.92, a misprint, gives 0.0509)."""
    found = linked(water_temperature_c=temperature, ph=ph)
    assert abs(Decimal(str(found["ammonia_fraction"])) - Decimal(fraction)) <= Decimal("0.0001")
    assert abs(Decimal(str(found["total_ammonia_at_harm_mg_l"])) - Decimal(total)) <= Decimal("0.01")


def test_five_square_metres_carry_this_much() -> None:
    """FAO TP 362 6.1, AC155E, TP 589: 2.5 birds, 5 kg of fish, 50 to 100 g of feed, 1.0 to 2.5 m² of leaves."""
    found = linked()
    assert (found["birds_supported"], found["fish_kg_supported"]) == ("2.5", 5)
    assert found["feed_g_day"] == {"least": 50, "most": 100}
    assert found["leafy_bed_m2"] == {"least": 1, "most": "2.5"}


@pytest.mark.parametrize(
    ("litres", "surface", "birds", "fish"),
    [(20, "0.071", "0.036", "0.071"), (200, "0.255", "0.128", "0.255"), (1000, 1, "0.5", "1")],
)
def test_small_bodies_of_water_are_judged_by_their_surface(litres: int, surface: Any, birds: str, fish: str) -> None:
    found = linked(tank_litres=litres, tank_m2=surface, birds=0, fish_kg=0)
    assert (str(found["birds_supported"]), str(found["fish_kg_supported"])) == (birds, fish)
    assert any("no food-fish unit" in warning for warning in found["warnings"]) is (litres < 1000)


def test_a_drum_with_one_hen_is_overloaded_about_eight_times() -> None:
    found = linked(tank_litres=200, tank_m2="0.255", birds=1, fish_kg=0)
    assert any("too many birds, 7.8 times the 0.13" in warning for warning in found["warnings"])


@pytest.mark.parametrize(("total", "words"), [(1, "harms"), (60, "kills")])
def test_ammonia_that_harms_or_kills_is_said(total: int, words: str) -> None:
    """UF-IFAS FA16: above 0.05 mg/L harms, about 2 mg/L kills."""
    assert any(words in warning for warning in linked(total_ammonia_mg_l=total)["warnings"])


@given(st.integers(0, 39), st.integers(50, 105))
@_QUICK
def test_ammonia_rises_with_ph_and_with_temperature(temperature: int, ph_tenths: int) -> None:
    ph = f"{ph_tenths // 10}.{ph_tenths % 10}"
    higher = f"{(ph_tenths + 5) // 10}.{(ph_tenths + 5) % 10}"
    here, warmer, sourer = (
        Decimal(str(linked(water_temperature_c=t, ph=p)["ammonia_fraction"]))
        for t, p in ((temperature, ph), (temperature + 1, ph), (temperature, higher))
    )
    assert warmer >= here
    assert sourer >= here


_WEEKS = range(0, 22, 2)
_WEIGHT_G = (1, 5, 10, 18, 27, 36, 52, 65, 79, 102, 130)
_ALIVE_PERCENT = (100, 70, 65, 60, 60, 60, 55, 55, 55, 50, 50)
_PRINTED_KG = ("1", "3.5", "6.5", "10.8", "10.2", "21.6", "28.6", "35.7", "43.4", "51.0", "65.0")


def test_the_misprint_of_the_catfish_table_is_found_and_not_repeated() -> None:
    """FAO AC579E Table 4, 1,000 Clarias on 100 m²: biomass = alive · weight within 0.1 kg, but for week 8 (16.2)."""
    off = [
        week
        for week, weight, alive, printed in zip(_WEEKS, _WEIGHT_G, _ALIVE_PERCENT, _PRINTED_KG, strict=True)
        if abs(Decimal(weight * alive * 10) / 1000 - Decimal(printed)) > Decimal("0.1")
    ]
    assert off == [8]
    biomass = Decimal(_WEIGHT_G[-1] * _ALIVE_PERCENT[-1] * 10) / 1000
    assert biomass <= Decimal(str(linked(tank_m2=100, fish_kg=str(biomass))["fish_kg_supported"]))


# room


@pytest.mark.parametrize(("floor", "enough"), [("2.20", False), ("2.25", True)])
def test_twenty_hens_need_so_much_floor(floor: str, enough: bool) -> None:  # noqa: FBT001
    """1999/74/EC: at most 9 hens on a square metre of usable area."""
    assert run("animal-space", kind="laying-hen", count=20, floor_m2=floor)["enough"] is enough


@pytest.mark.parametrize(
    ("kg", "floor"), [("1.9", "0.14"), ("2", "0.28"), ("3.9", "0.28"), ("4", "0.37"), ("4.2", "0.37"), ("5.4", "0.46")]
)
def test_a_rabbit_needs_the_floor_of_its_class(kg: str, floor: str) -> None:
    """US Animal Welfare Act table on a state extension page; exactly 4 kg is in the larger class (ours)."""
    found = run("animal-space", kind="rabbit", count=1, floor_m2="0.36", weight_kg=kg)
    assert found["floor_needed_m2"] == floor
    assert found["enough"] is (Decimal("0.36") >= Decimal(floor))


def test_goats_need_a_pen_and_a_run() -> None:
    """EC organic rule: 1.5 m² and 2.5 m²."""
    found = run("animal-space", kind="goat", count=2, floor_m2=3)
    assert (found["floor_needed_m2"], found["run_needed_m2"], found["enough"]) == (3, 5, True)


# seeds


@pytest.mark.parametrize(
    ("plants_wanted", "up", "living", "seeds"), [(60, 80, 75, 100), (60, 80, 74, 102), (1, 100, 100, 1)]
)
def test_seeds_are_rounded_up(plants_wanted: int, up: int, living: int, seeds: int) -> None:
    found = run("seedlings", plants=plants_wanted, share_up_percent=up, share_living_percent=living)
    assert found["seeds"] == seeds


def test_a_succession_is_sown_on_these_days() -> None:
    found = run("seedlings", plants=10, share_up_percent=100, share_living_percent=100, sow_every_days=21, span_days=63)
    assert (found["sowing_days"], found["seeds_in_all"]) == ([0, 21, 42, 63], 40)
