"""Outside checks of dilution, compost and dung.

Not a test. Its one rule: each row names what was printed where; plain arithmetic says so.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from fieldbook.quantities import NITROGEN_CEILING_G_M2_YEAR
from fieldbook.quantities.batch import most_urine_l_m2_year
from fieldbook.quantities.materials import TYPICAL
from tests.quantities.check_rows import check, figure

_SUM = "arithmetic, worked by hand"
_CORNELL = "Cornell composting science pages, formulas of ratio and moisture, over Bertrand's material table"
_BERTRAND = "G. L. Bertrand, Missouri S&T, compost material table"
_NRCS = "USDA NRCS, manure nutrient table, after losses"


def _diluted(stock: int, water: int, total: int, at: str) -> Any:
    return figure("dilution", at, {"total_l": total, "parts_stock": stock, "parts_water": water})


def _row(name: str, kg: int | None) -> dict[str, Any]:
    return {"material": name, "wet_kg": kg}


def _mix(at: str, *rows: dict[str, Any], goal: int | None = None, moisture: int | None = None) -> Any:
    given = {"materials": list(rows), "goal_carbon_nitrogen_ratio": goal, "goal_moisture_percent": moisture}
    return figure("compost-mix", at, given)


def _nitrogen(kind: str, count: int = 1, area: int = 1000, at: str = "nitrogen_kg_year") -> Any:
    return figure("manure-nitrogen", at, {"animals": [{"kind": kind, "count": count}], "area_m2": area})


_DILUTION = (
    check("1:2 in 15 L, stock L", _SUM, "5", "0.001", _diluted(1, 2, 15, "stock_l")),
    check("1:2 in 15 L read as 1 in 2, stock L", _SUM, "7.5", "0.001", _diluted(1, 2, 15, "other_reading.stock_l")),
    check("1:2, powers of ten of germs", _SUM, "0.48", "0.005", _diluted(1, 2, 15, "germs_log10")),
    check("1:4 in 10 L, stock L", _SUM, "2", "0.001", _diluted(1, 4, 10, "stock_l")),
    check("2:3 in 10 L, stock L", _SUM, "4", "0.001", _diluted(2, 3, 10, "stock_l")),
    check("1:20 in 10 L, stock L", _SUM, "0.476", "0.001", _diluted(1, 20, 10, "stock_l")),
    check("5 g/L soap in 15 L, g", _SUM, "75", "0.1", figure("dilution", "dose_g", {"total_l": 15, "dose_g_l": 5})),
    check("60 mL/L in 15 L, mL", _SUM, "900", "0.1", figure("dilution", "dose_ml", {"total_l": 15, "dose_ml_l": 60})),
    check("6 % w/v in 5 L, g", _SUM, "300", "0.1", figure("dilution", "weight_g", {"total_l": 5, "weight_percent": 6})),
)
_PAIRS = (
    ("chicken manure", "straw", "19.32", "31.4", "15.4"),
    ("cattle manure", "straw", "1.63", "71.3", "0"),
    ("table waste", "leaves", "8.07", "55.7", "0"),
    ("table waste", "corrugated cardboard", "2.22", "58.8", "0"),
    ("coffee grounds", "straw", "1.30", "72.2", "0"),
    ("poultry bedding", "straw", "8.84", "25.3", "12.4"),
)
_TWO = tuple(
    row
    for first, second, kg, wet, water in _PAIRS
    for row in (
        check(
            f"10 kg {first} + {second} to 30:1, kg",
            _CORNELL,
            kg,
            "0.01",
            _mix("materials.1.wet_kg", _row(first, 10), _row(second, None), goal=30),
        ),
        check(
            "  its moisture, %",
            _CORNELL,
            wet,
            "0.1",
            _mix("moisture_percent", _row(first, 10), _row(second, None), goal=30),
        ),
        check(
            "  water to 55 %, kg",
            _CORNELL,
            water,
            "0.05",
            _mix("water_kg", _row(first, 10), _row(second, None), goal=30),
        ),
    )
)
_BOTH = (_row("cattle manure", 10), _row("chicken manure", None), _row("straw", None))
_BEDDING = (_row("cattle manure", 10), _row("poultry bedding", None), _row("leaves", None))
_EQUAL = (_row("chicken manure", 10), _row("straw", 10))
_HAY = tuple(
    {"name": name, "nitrogen_percent_dry": 1, "carbon_nitrogen_ratio": ratio, "moisture_percent": 0, "wet_kg": kg}
    for name, ratio, kg in (("hay", 40, 50), ("scraps", 10, 10), ("coffee", 25, 2))
)
_SCRAPS = tuple(
    {"name": name, "nitrogen_percent_dry": n, "carbon_nitrogen_ratio": ratio, "moisture_percent": 50, "wet_kg": kg}
    for name, n, ratio, kg in (("greens", 3, 15, 2), ("brown", 1, 65, 1))
)
_LITTER = tuple(
    {"name": name, "nitrogen_percent_dry": n, "carbon_nitrogen_ratio": ratio, "moisture_percent": wet, "wet_kg": kg}
    for name, n, ratio, wet, kg in (("litter", "4.7", "7.5", 25, 90), ("wheat straw", "0.4", 130, 10, 10))
)
_MIXES = (
    check(
        "90 litter at 7.5 + 10 straw at 130 by weighing the ratios",
        "an extension service's algebra, as a page quotes it; nitrogen and moisture of a provincial manual, Table 3",
        "30",
        "0.05",
        _mix("carbon_nitrogen_ratio", *_LITTER),
        errs=True,
    ),
    check(
        "cattle, chicken, straw to 30:1 and 55 %: chicken kg",
        _CORNELL,
        "2.75",
        "0.01",
        _mix("materials.1.wet_kg", *_BOTH, goal=30, moisture=55),
    ),
    check("  straw kg", _CORNELL, "6.94", "0.01", _mix("materials.2.wet_kg", *_BOTH, goal=30, moisture=55)),
    check("  all kg", _CORNELL, "19.69", "0.01", _mix("total_kg", *_BOTH, goal=30, moisture=55)),
    check(
        "cattle, bedding, leaves to 30:1 and 55 %: bedding kg",
        _CORNELL,
        "3.74",
        "0.01",
        _mix("materials.1.wet_kg", *_BEDDING, goal=30, moisture=55),
    ),
    check("  leaves kg", _CORNELL, "11.34", "0.01", _mix("materials.2.wet_kg", *_BEDDING, goal=30, moisture=55)),
    check(
        "10 kg each of chicken, straw, leaves: ratio",
        _CORNELL,
        "25.8",
        "0.05",
        _mix("carbon_nitrogen_ratio", *_EQUAL, _row("leaves", 10)),
    ),
    check("  moisture, %", _CORNELL, "39.7", "0.1", _mix("moisture_percent", *_EQUAL, _row("leaves", 10))),
    check(
        "hay, scraps, coffee of equal moisture: ratio",
        "a web page's example without a moisture term",
        "34.7",
        "0.05",
        _mix("carbon_nitrogen_ratio", *_HAY),
    ),
    check("chicken + straw, 10 kg each: ratio", _CORNELL, "20.7", "0.05", _mix("carbon_nitrogen_ratio", *_EQUAL)),
    check(
        "  by the mean of ratios",
        "method of several web pages",
        "43",
        "0.05",
        _mix("carbon_nitrogen_ratio", *_EQUAL),
        errs=True,
    ),
    check(
        "2 buckets at 15 + 1 at 65 by the mean",
        "method of several web pages",
        "31.7",
        "0.05",
        _mix("carbon_nitrogen_ratio", *_SCRAPS),
        errs=True,
    ),
    check(
        "carbon that sawdust's row implies, % of dry",
        _BERTRAND,
        "88",
        "0.5",
        lambda: TYPICAL["sawdust"].nitrogen_percent_dry * TYPICAL["sawdust"].carbon_nitrogen_ratio,
    ),
    check(
        "chicken manure, 7.3 lb/gal, kg/L", _BERTRAND, "0.87", "0.01", lambda: TYPICAL["chicken manure"].density_kg_l
    ),
    check("straw, 1 lb/gal, kg/L", _BERTRAND, "0.12", "0.005", lambda: TYPICAL["straw"].density_kg_l),
)
_HEAT = tuple(
    check(
        f"{system}, {days} hot days, {turnings} turnings: counts as treated",
        "7 CFR 205.203(c)(2)",
        treated,
        "0",
        figure(
            "compost-heat",
            "counts_as_treated",
            {"system": system, "hot_days": days, "turnings": turnings, "ratio_at_start": 30},
        ),
    )
    for system, days, turnings, treated in (
        ("closed-or-aired", 2, 0, "0"),
        ("closed-or-aired", 3, 0, "1"),
        ("turned-row", 15, 4, "0"),
        ("turned-row", 15, 5, "1"),
        ("turned-row", 14, 5, "0"),
    )
)
_DUNG = (
    *(
        check(f"{kind}, kg N a year", _NRCS, kg, str(Decimal(kg) / 100), _nitrogen(kind))
        for kind, kg in (("laying-hen", "0.383"), ("broiler", "0.240"), ("dairy-cow", "40.2"), ("beef-cow", "17.2"))
    ),
    *(
        check(
            f"{kind}, m² at 17 g",
            f"{_NRCS}; 91/676/EEC Annex III",
            m2,
            str(Decimal(m2) / 100),
            _nitrogen(kind, at="area_for_limit_m2"),
        )
        for kind, m2 in (("laying-hen", "22.6"), ("broiler", "14.1"), ("dairy-cow", "2363"), ("beef-cow", "1013"))
    ),
    check(
        "rabbit doe with fatteners, m² at 17 g",
        "Maertens et al. 2005, World Rabbit Science",
        "436",
        "1",
        _nitrogen("rabbit", at="area_for_limit_m2"),
    ),
    check(
        "10 hens on 200 m², g/m²/year",
        f"{_NRCS}; 91/676/EEC Annex III",
        "19.2",
        "0.19",
        _nitrogen("laying-hen", 10, 200, "nitrogen_g_m2_year"),
    ),
    check(
        "rabbit urine at 17 g, L/m²/year",
        "AER Journal 4(1), 1.05 % N",
        "1.62",
        "0.01",
        lambda: most_urine_l_m2_year(ceiling_g_m2=NITROGEN_CEILING_G_M2_YEAR),
    ),
)
ROWS = (*_DILUTION, *_TWO, *_MIXES, *_HEAT, *_DUNG)
