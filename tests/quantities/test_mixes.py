"""Dilution, compost and dung, against published tables and worked examples."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.quantities import CALCULATORS, QuantityError

# G. L. Bertrand, Missouri University of Science and Technology, compost material table: N % of dry, C:N, moisture % of wet
CHICKEN = ("chicken manure", "8", "6", "69")
BEDDING = ("poultry bedding", "2.7", "14", "37")
TABLE = ("table waste", "2.4", "15", "70")
CATTLE = ("cattle manure", "2.4", "19", "81")
COFFEE = ("coffee grounds", "2", "20", "80")
LEAVES = ("leaves", "0.9", "54", "38")
STRAW = ("straw", "0.7", "80", "12")
CARDBOARD = ("corrugated cardboard", "0.1", "560", "8")
SAWDUST = ("sawdust", "0.2", "440", "39")
_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=50)


def material(row: tuple[str, str, str, str], kg: str | int | None) -> dict[str, Any]:
    name, nitrogen, ratio, moisture = row
    return {
        "name": name,
        "nitrogen_percent_dry": nitrogen,
        "carbon_nitrogen_ratio": ratio,
        "moisture_percent": moisture,
        "wet_kg": kg,
    }


def mixed(*rows: dict[str, Any], goal: str | int | None = None, moisture: int | None = None) -> dict[str, Any]:
    asked = {"materials": list(rows), "goal_carbon_nitrogen_ratio": goal, "goal_moisture_percent": moisture}
    return CALCULATORS["compost-mix"].run(asked)


def close(value: object, wanted: object, within: str) -> bool:
    return abs(Decimal(str(value)) - Decimal(str(wanted))) <= Decimal(within)


# dilution: arithmetic, worked by hand


@pytest.mark.parametrize(
    ("stock", "water", "total", "stock_l", "water_l"),
    [(1, 2, 15, "5", "10"), (1, 4, 10, "2", "8"), (2, 3, 10, "4", "6"), (1, 20, 10, "0.476", "9.524")],
)
def test_parts_become_volumes_to_the_millilitre(stock: int, water: int, total: int, stock_l: str, water_l: str) -> None:
    made = CALCULATORS["dilution"].run({"total_l": total, "parts_stock": stock, "parts_water": water})
    assert (str(made["stock_l"]), str(made["water_l"])) == (stock_l, water_l)


def test_one_to_two_is_shown_in_both_readings_with_what_it_does_to_germs() -> None:
    made = CALCULATORS["dilution"].run({"total_l": 15, "parts_stock": 1, "parts_water": 2})
    assert (made["dilution_factor"], made["germs_log10"]) == (3, "0.48")
    assert (made["other_reading"]["stock_l"], made["other_reading"]["water_l"]) == ("7.5", "7.5")


def test_a_strength_becomes_a_weaker_one_and_never_a_stronger() -> None:
    made = CALCULATORS["dilution"].run({"total_l": 10, "from_percent": 6, "to_percent": "1.5", "dose_g_l": 5})
    assert (made["stock_l"], made["water_l"], made["dose_g"]) == ("2.5", "7.5", 50)
    with pytest.raises(QuantityError, match="stronger than the stock"):
        CALCULATORS["dilution"].run({"total_l": 10, "from_percent": 1, "to_percent": 2})


@given(st.integers(1, 50), st.integers(0, 50), st.integers(1, 200))
@_QUICK
def test_stock_and_water_are_the_total_and_doubling_doubles_both(stock: int, water: int, total: int) -> None:
    one, two = (
        CALCULATORS["dilution"].run({"total_l": each, "parts_stock": stock, "parts_water": water})
        for each in (total, 2 * total)
    )
    assert close(Decimal(str(one["stock_l"])) + Decimal(str(one["water_l"])), total, "0.001")
    assert close(two["stock_l"], 2 * Decimal(str(one["stock_l"])), "0.002")


# compost: the formulas of Cornell's composting science pages over Bertrand's table


@pytest.mark.parametrize(
    ("first", "second", "kg", "moisture", "water"),
    [
        (CHICKEN, STRAW, "19.32", "31.4", "15.4"),
        (CATTLE, STRAW, "1.63", "71.3", "0"),
        (TABLE, LEAVES, "8.07", "55.7", "0"),
        (TABLE, CARDBOARD, "2.22", "58.8", "0"),
        (COFFEE, STRAW, "1.30", "72.2", "0"),
        (BEDDING, STRAW, "8.84", "25.3", "12.4"),
    ],
)
def test_ten_kilograms_of_one_material_take_so_much_of_another_for_thirty_to_one(
    first: tuple[str, str, str, str], second: tuple[str, str, str, str], kg: str, moisture: str, water: str
) -> None:
    found = mixed(material(first, 10), material(second, None), goal=30)
    assert close(found["materials"][1]["wet_kg"], kg, "0.01")
    assert close(found["carbon_nitrogen_ratio"], 30, "0.05")
    assert close(found["moisture_percent"], moisture, "0.1")
    assert close(found["water_kg"], water, "0.05")


def test_ratio_and_moisture_together_give_two_masses() -> None:
    found = mixed(material(CATTLE, 10), material(CHICKEN, None), material(STRAW, None), goal=30, moisture=55)
    assert [close(row["wet_kg"], kg, "0.01") for row, kg in zip(found["materials"], (10, "2.75", "6.94"), strict=True)]
    assert close(found["total_kg"], "19.69", "0.01")
    assert close(found["moisture_percent"], 55, "0.1")
    assert close(found["carbon_nitrogen_ratio"], 30, "0.05")


def test_three_known_masses_have_this_ratio_and_moisture() -> None:
    found = mixed(material(CHICKEN, 10), material(STRAW, 10), material(LEAVES, 10))
    assert close(found["carbon_nitrogen_ratio"], "25.8", "0.05")
    assert close(found["moisture_percent"], "39.7", "0.1")


def test_a_mean_of_ratios_is_not_what_comes_out() -> None:
    """10 kg chicken manure + 10 kg straw: the mean of 6 and 80 is 43, the mix has 20.7."""
    found = mixed(material(CHICKEN, 10), material(STRAW, 10))
    assert close(found["carbon_nitrogen_ratio"], "20.7", "0.05")


def test_equal_moistures_give_the_example_that_leaves_moisture_out() -> None:
    """A published example in % of wet: 50 lb hay (40 % C, 1 % N), 10 lb scraps (10, 1), 2 lb coffee (25, 1): 34.7."""
    rows = [("hay", "1", "40", "0"), ("scraps", "1", "10", "0"), ("coffee", "1", "25", "0")]
    found = mixed(*(material(row, kg) for row, kg in zip(rows, (50, 10, 2), strict=True)))
    assert close(found["carbon_nitrogen_ratio"], "34.7", "0.05")


@pytest.mark.parametrize(
    ("rows", "goal", "moisture", "hint"),
    [
        ([material(CATTLE, 10), material(STRAW, None)], 10, None, "add a material with a ratio below 10"),
        ([material(CHICKEN, 10), material(TABLE, None)], 30, None, "add a material with a ratio above 30"),
        (
            [material(CATTLE, 10), material(STRAW, None), material(LEAVES, None)],
            30,
            55,
            "add chicken manure or garden waste",
        ),
    ],
)
def test_a_goal_that_no_mix_reaches_is_refused_and_says_which_material_would(
    rows: list[dict[str, Any]], goal: int, moisture: int | None, hint: str
) -> None:
    with pytest.raises(QuantityError, match="no amount of these materials") as refused:
        mixed(*rows, goal=goal, moisture=moisture)
    assert hint in refused.value.hint


def test_rows_that_imply_more_carbon_than_plants_hold_are_named() -> None:
    found = mixed(material(CHICKEN, 10), material(SAWDUST, 1))
    assert any("88 % carbon" in warning for warning in found["warnings"])


_PERCENT = st.integers(1, 95)
_ROW = st.tuples(st.integers(1, 60), st.integers(5, 600), _PERCENT, st.integers(1, 200))


@given(st.lists(_ROW, min_size=2, max_size=6))
@_QUICK
def test_a_mix_does_not_hang_on_order_or_unit_and_agrees_with_plain_arrays(rows: list[tuple[int, ...]]) -> None:
    listed = [material((f"m{i}", f"0.{n:02d}", str(r), str(m)), kg) for i, (n, r, m, kg) in enumerate(rows)]
    found = mixed(*listed)
    turned = mixed(*reversed(listed))
    larger = mixed(*({**row, "wet_kg": 100 * row["wet_kg"]} for row in listed))
    nitrogen, ratio, moisture, kg = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    dry_nitrogen = kg * nitrogen * (100 - moisture)
    wanted = (dry_nitrogen * ratio).sum() / dry_nitrogen.sum()
    for one in (found, turned, larger):
        assert close(one["carbon_nitrogen_ratio"], round(float(wanted), 4), "0.006")
        assert close(one["moisture_percent"], round(float((kg * moisture).sum() / kg.sum()), 4), "0.006")


@given(st.integers(1, 50), st.integers(1, 50))
@_QUICK
def test_more_straw_never_lowers_the_ratio(kg: int, more: int) -> None:
    less, greater = (mixed(material(CHICKEN, 10), material(STRAW, each)) for each in (kg, kg + more))
    assert Decimal(str(greater["carbon_nitrogen_ratio"])) >= Decimal(str(less["carbon_nitrogen_ratio"]))


# dung


def test_ten_hens_on_two_hundred_square_metres_are_above_the_ceiling() -> None:
    """USDA NRCS manure nutrient table; 91/676/EEC Annex III: 19.2 against 17 g/m²/year, 1 %."""
    animals = [{"kind": "laying-hen", "count": 10}]
    found = CALCULATORS["manure-nitrogen"].run({"animals": animals, "area_m2": 200})
    assert close(found["nitrogen_g_m2_year"], "19.2", "0.19")
    assert (found["limit_g_m2_year"], found["over_limit"]) == (17, True)


@pytest.mark.parametrize(
    ("kind", "kg"),
    [("laying-hen", "0.383"), ("broiler", "0.240"), ("dairy-cow", "40.2"), ("beef-cow", "17.2"), ("rabbit", "7.42")],
)
def test_each_animal_leaves_so_much_nitrogen_in_a_year(kind: str, kg: str) -> None:
    """USDA NRCS manure nutrient table after losses; Maertens 2005 for a doe with her fatteners; 1 %."""
    found = CALCULATORS["manure-nitrogen"].run({"animals": [{"kind": kind, "count": 1}], "area_m2": 1000})
    assert close(found["nitrogen_kg_year"], kg, str(Decimal(kg) / 100))


def test_where_a_figure_is_ours_the_answer_says_so() -> None:
    found = CALCULATORS["manure-nitrogen"].run({"animals": [{"kind": "goat", "count": 2}], "area_m2": 100})
    assert "ours" in found["notes"][0]


# wick and reservoir


@pytest.mark.parametrize(
    ("diameter", "rise"),
    [("0.05", "594"), ("0.1", "297"), ("0.15", "198"), ("0.31", "96"), ("1", "30"), ("2", "15")],
)
def test_water_rises_by_jurins_law_for_the_diameter_of_a_pore(diameter: str, rise: str) -> None:
    """Jurin: 2γ/(ρ g r), γ 0.07275 N/m, ρ 998 kg/m³, g 9.81 m/s²; the radius is half of what is given. 1 %, rounding."""
    asked = {"pore_diameter_mm": diameter, "usable_l": 60, "area_m2": 1, "use_l_m2_day": 3}
    found = CALCULATORS["wick"].run(asked)
    assert close(found["rise_at_most_mm"], rise, str(Decimal(rise) / 100 + Decimal("0.5")))


def test_sixty_litres_last_a_square_metre_twenty_days_at_three_and_sixty_at_one() -> None:
    """FAO fact sheet on micro-gardens: 1 to 3 L/m²/day."""
    days = [
        CALCULATORS["wick"].run({"pore_diameter_mm": "0.1", "usable_l": 60, "area_m2": 1, "use_l_m2_day": use})
        for use in (3, 1)
    ]
    assert [one["reservoir_days"] for one in days] == [20, 60]
