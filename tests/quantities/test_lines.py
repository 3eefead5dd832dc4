"""Mixes of any number of materials against another solver, and what holds for every mix."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from fieldbook.quantities import CALCULATORS, QuantityError

_ROW = st.tuples(st.integers(1, 80), st.integers(5, 600), st.integers(2, 90), st.integers(0, 40))
_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=60)


def asked(rows: list[tuple[int, int, int, int]], known_kg: int, goal: int, moisture: int | None) -> dict[str, Any]:
    """The first material is known, the others are to be found; the fourth figure is the most of it, 0 for plenty."""
    listed = [
        {
            "name": f"m{n}",
            "nitrogen_percent_dry": f"{nitrogen / 10}",
            "carbon_nitrogen_ratio": ratio,
            "moisture_percent": wet,
            "wet_kg": known_kg if n == 0 else None,
            "most_kg": most if n and most else None,
        }
        for n, (nitrogen, ratio, wet, most) in enumerate(rows)
    ]
    return {"materials": listed, "goal_carbon_nitrogen_ratio": goal, "goal_moisture_percent": moisture}


def by_scipy(rows: list[tuple[int, int, int, int]], known_kg: int, goal: int, moisture: int | None) -> float | None:
    """The least mass that is added, water and all, by the simplex of another library; None where nothing reaches."""
    nitrogen, ratio, wet, most = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    pull = nitrogen / 10 * (100 - wet) * (ratio - goal)
    lines, right = [list(pull[1:])], [-pull[0] * known_kg]
    bounds: list[tuple[float, float | None]] = [(0, limit or None) for limit in most[1:]]
    if moisture is not None:
        lines = [[*lines[0], 0.0], [*(wet[1:] - moisture), 100.0 - moisture]]
        right, bounds = [*right, -(wet[0] - moisture) * known_kg], [*bounds, (0, None)]
    found = linprog(np.ones(len(bounds)), A_eq=np.array(lines), b_eq=np.array(right), bounds=bounds, method="highs")
    return float(found.fun) if found.status == 0 else None


def added_kg(answer: dict[str, Any], known_kg: int, moisture: int | None) -> Decimal:
    water = Decimal(str(answer["water_kg"])) if moisture is not None else Decimal(0)
    return Decimal(str(answer["total_kg"])) - known_kg + water


@given(st.lists(_ROW, min_size=2, max_size=6), st.integers(1, 50), st.integers(10, 60), st.none() | st.integers(35, 70))
@_QUICK
def test_the_mix_that_is_found_adds_as_little_as_another_solver_finds(
    rows: list[tuple[int, int, int, int]], known_kg: int, goal: int, moisture: int | None
) -> None:
    least = by_scipy(rows, known_kg, goal, moisture)
    try:
        answer = CALCULATORS["compost-mix"].run(asked(rows, known_kg, goal, moisture))
    except QuantityError:
        assert least is None
        return
    assert least is not None
    assert float(added_kg(answer, known_kg, moisture)) == pytest.approx(least, rel=1e-4, abs=0.01)
    assert float(answer["carbon_nitrogen_ratio"]) == pytest.approx(goal, abs=0.05)
    if moisture is not None:
        assert float(answer["watered_percent"]) == pytest.approx(moisture, abs=0.05)


@given(st.lists(_ROW, min_size=3, max_size=5), st.integers(1, 50), st.integers(10, 60), st.none() | st.integers(35, 70))
@_QUICK
def test_the_mix_that_is_found_does_not_hang_on_order_and_doubles_with_what_there_is(
    rows: list[tuple[int, int, int, int]], known_kg: int, goal: int, moisture: int | None
) -> None:
    plenty = [(nitrogen, ratio, wet, 0) for nitrogen, ratio, wet, _ in rows]
    document = asked(plenty, known_kg, goal, moisture)
    try:
        one = CALCULATORS["compost-mix"].run(document)
    except QuantityError:
        return
    turned = CALCULATORS["compost-mix"].run({**document, "materials": document["materials"][::-1]})
    twice = CALCULATORS["compost-mix"].run(asked(plenty, 2 * known_kg, goal, moisture))
    assert turned["materials"] == one["materials"][::-1]
    for single, double in zip(one["materials"], twice["materials"], strict=True):
        assert abs(Decimal(str(double["wet_kg"])) - 2 * Decimal(str(single["wet_kg"]))) <= Decimal("0.002")


def test_a_limit_on_one_material_is_kept_and_another_takes_its_place() -> None:
    rows = [{"material": "chicken manure", "wet_kg": 10}, {"material": "straw", "most_kg": 5}, {"material": "leaves"}]
    found = CALCULATORS["compost-mix"].run({"materials": rows, "goal_carbon_nitrogen_ratio": 30})
    assert found["materials"][1]["wet_kg"] == 5
    assert Decimal(found["materials"][2]["wet_kg"]) > 0


def test_heaped_litres_become_kilograms_by_the_table_and_by_a_weighed_bucket() -> None:
    """Bertrand's table: straw 1 lb/gal, in kilograms a litre 0.12."""
    straw = {"material": "straw", "volume_l": 100}
    weighed = {**straw, "density_kg_l": "0.2"}
    masses = [
        CALCULATORS["compost-mix"].run({"materials": [row, {"material": "leaves", "wet_kg": 1}]})["materials"][0]
        for row in (straw, weighed)
    ]
    assert [row["wet_kg"] for row in masses] == ["11.983", 20]
