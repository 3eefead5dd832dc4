"""Outside checks of plants, walls, towers, loads, wick and reservoir.

Not a test. Its one rule: each row names what was printed where; a count by hand says so.
"""

from __future__ import annotations

from typing import Any

from tests.quantities.check_rows import check, figure

_COUNTED = "counted by hand, half a spacing from each edge"
_FAO = "FAO fact sheet on micro-gardens"
_ROOF = "published wet densities, 48, 65 and 120 lb/ft³"
_JURIN = "Jurin's law, 0.07275 N/m, 998 kg/m³, 9.81 m/s²"
_MICRO = "FAO fact sheet on micro-gardens, 1 to 3 L/m²/day"
_ROUND = "arithmetic, π/4·D²·h"


def _bed(length: int, width: int, spacing: int, at: str) -> Any:
    bed = {"length_mm": length, "width_mm": width, "spacing_mm": spacing, "pattern": "square"}
    return figure("plants-that-fit", at, bed)


_BEDS = (
    ((1000, 1000), ("100/105", "36/42", "25/23", "16/14", "9/8", "4/3")),
    ((3000, 1000), ("300/325", "120/137", "75/73", "48/46", "30/29", "12/12")),
    ((1500, 800), ("120/131", "50/57", "28/28", "18/17", "10/9", "3/3")),
    ((2400, 600), ("144/141", "64/62", "36/35", "18/18", "16/15", "5/5")),
)
_PLANTS = (
    *(
        check(
            f"{length} × {width} mm at {spacing} mm, {at}",
            _COUNTED,
            count.split("/")[n],
            "0",
            _bed(length, width, spacing, at),
        )
        for (length, width), counts in _BEDS
        for spacing, count in zip((100, 150, 200, 250, 300, 450), counts, strict=True)
        for n, at in enumerate(("square", "triangular"))
    ),
    check("lettuce on 1 m² at 15 cm", _FAO, "36", "0", _bed(1000, 1000, 150, "plants")),
    check("onions on 1 m² at 10 cm", _FAO, "100", "0", _bed(1000, 1000, 100, "plants")),
    check(
        "0.7 m at 0.1 m in floating point",
        "floor((0.7 − 0.1) / 0.1) + 1 in binary64",
        "6",
        "0",
        _bed(700, 100, 100, "plants"),
        errs=True,
    ),
    check(
        "1.2 m at 0.1 m in floating point",
        "floor((1.2 − 0.1) / 0.1) + 1 in binary64",
        "11",
        "0",
        _bed(1200, 100, 100, "plants"),
        errs=True,
    ),
)


def _tower(width: int, height: int, at: str, density: int = 1922) -> Any:
    given = {"kind": "sack", "diameter_mm": width, "height_mm": height, "spacing_mm": 150, "wet_density_kg_m3": density}
    return figure("tower", at, given)


_WALL = {
    "width_mm": 3000, "height_mm": 1650, "spacing_mm": 300, "pattern": "square", "pockets": 40, "pocket_l": "1.5",
    "wet_density_kg_m3": 1922,
}  # fmt: skip
_TOWERS = (
    *(
        check(f"sack of {width} × {height} mm: {words}", _ROUND, printed, within, _tower(width, height, at, density))
        for width, height, printed_all in (
            (500, 1000, ("196", "314", "377", "1600", "1922", "1.57", "70", "60")),
            (350, 800, ("77", "123", "148", "1280", "1538", "0.88", "39", "35")),
        )
        for (words, at, density, within), printed in zip(
            (
                ("L", "volume_l", 1600, "0.5"), ("kg at 1600", "wet_kg", 1600, "0.5"), ("kg at 1922", "wet_kg", 1922, "0.5"),
                ("kg/m² at 1600", "under_kg_m2", 1600, "0.5"), ("kg/m² at 1922", "under_kg_m2", 1922, "0.5"),
                ("side m²", "side_m2", 1600, "0.005"), ("holes at 15 cm by area", "holes_by_area", 1600, "0"),
                ("holes in whole rings", "holes_in_rows", 1600, "0"),
            ),
            printed_all,
            strict=True,
        )
    ),
    check("40 bottles of 1.5 L on a wall, kg", "arithmetic, 1.92 kg/L", "115", "0.5", figure("bottle-wall", "wet_kg", _WALL)),
)  # fmt: skip


def _load(density: int, limit: str | None, at: str, depth: int = 1) -> Any:
    given = {"depth_cm": depth, "wet_density_kg_m3": density, "stated_limit_kg_m2": limit}
    return figure("load", at, given)


_LOADS = (
    *(
        check(f"{words}, kg/m² for each cm", _ROOF, per_cm, "0.1", _load(density, None, "load_kg_m2"))
        for words, density, per_cm in (
            ("light mix", 769, "7.69"),
            ("roof mix", 1041, "10.41"),
            ("garden soil", 1922, "19.22"),
        )
    ),
    *(
        check(
            f"depth of {density} kg/m³ at 97.6 kg/m², cm",
            "US code text, roof live load 20 lb/ft²",
            cm,
            "0.05",
            _load(density, "97.6", "depth_at_limit_cm"),
        )
        for density, cm in ((769, "12.7"), (1041, "9.4"), (1922, "5.1"))
    ),
    *(
        check(
            f"depth of {density} kg/m³ at 40.8 kg/m², cm",
            "EN 1991-1-1 category H, from memory",
            cm,
            "0.05",
            _load(density, "40.8", "depth_at_limit_cm"),
        )
        for density, cm in ((769, "5.3"), (1041, "3.9"), (1922, "2.1"))
    ),
    check("30 cm of garden soil, kg/m²", _ROOF, "577", "0.5", _load(1922, None, "load_kg_m2", 30)),
    check(
        "48 lb/ft³ printed as 3.4 kg/m³ (for each cm)",
        "a page on roof gardens",
        "0.034",
        "0.1",
        _load(769, None, "load_kg_m2"),
        errs=True,
    ),
)


def _wick(diameter: str, at: str, **more: Any) -> Any:
    return figure("wick", at, {"pore_diameter_mm": diameter, "usable_l": 60, "area_m2": 1, "use_l_m2_day": 3, **more})


_WATER = (
    *(
        check(
            f"rise in pores of {diameter} mm, mm",
            _JURIN,
            rise,
            str(int(rise) / 100 + 0.5),
            _wick(diameter, "rise_at_most_mm"),
        )
        for diameter, rise in (
            ("0.05", "594"),
            ("0.1", "297"),
            ("0.15", "198"),
            ("0.31", "96"),
            ("1", "30"),
            ("2", "15"),
        )
    ),
    check(
        "rise in pores of 0.05 mm read as a radius, mm",
        "rises listed by “r” that are by diameter",
        "297",
        "5",
        _wick("0.05", "rise_at_most_mm"),
        errs=True,
    ),
    check("60 L under 1 m² at 3 L, days", _MICRO, "20", "0", _wick("0.1", "reservoir_days")),
    check("60 L under 1 m² at 1 L, days", _MICRO, "60", "0", _wick("0.1", "reservoir_days", use_l_m2_day=1)),
    check(
        "2000 L from a roof for 2 m² at 2.7 L, days",
        "FAO: 20 m² × 100 mm water two gardens for a year",
        "365",
        "6",
        _wick("0.1", "reservoir_days", usable_l=2000, area_m2=2, use_l_m2_day="2.7"),
    ),
)
ROWS = (*_PLANTS, *_TOWERS, *_LOADS, *_WATER)
