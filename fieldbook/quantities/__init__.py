"""Sums of the trade: mixes, dung, plants, loads, water, animals, seeds; pure, exact, with their sources.

``mixes``, ``manures``, ``growing``, ``carrying`` and ``living`` hold the calculators that people meet; the modules
beside them the sums. Its one rule: compute from the published figure, never copy a result; what has no published figure
is refused or said to be ours.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from fieldbook.quantities import carrying, growing, living, manures, mixes
from fieldbook.quantities.calculator import Calculator, Output
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.loads import wet_load_kg_m2
from fieldbook.quantities.materials import TYPICAL
from fieldbook.quantities.nitrogen import (
    MANURES,
    NITROGEN_CEILING_G_M2_YEAR,
    load_g_m2,
    most_dung_kg_m2_year,
    nitrogen_g_kg,
    nitrogen_kg_year,
)
from fieldbook.quantities.pens import GOAT_PEN_M2, rabbit_floor_m2
from fieldbook.quantities.ponds import AMMONIA_HARMS_MG_L, FISH_KG_M2, ammonia_fraction
from fieldbook.quantities.reading import Given, Input, InputError, number
from fieldbook.quantities.spacing import plants_square, plants_triangular, rows_triangular

GROUPS: Final = (
    ("Mixes and heaps", mixes.CALCULATORS),
    ("Dung", manures.CALCULATORS),
    ("Beds, walls, towers and water", (*growing.CALCULATORS, *carrying.CALCULATORS)),
    ("Animals, seeds and pests", living.CALCULATORS),
)
"""As people look for them. Source: ours."""
CALCULATORS: Final = MappingProxyType({each.name: each for _, group in GROUPS for each in group})
"""By name, in the order in which they are listed. Source: each names its own."""

__all__ = [
    "AMMONIA_HARMS_MG_L",
    "CALCULATORS",
    "FISH_KG_M2",
    "GOAT_PEN_M2",
    "GROUPS",
    "MANURES",
    "NITROGEN_CEILING_G_M2_YEAR",
    "TYPICAL",
    "Calculator",
    "Given",
    "Input",
    "InputError",
    "Output",
    "QuantityError",
    "ammonia_fraction",
    "load_g_m2",
    "most_dung_kg_m2_year",
    "nitrogen_g_kg",
    "nitrogen_kg_year",
    "number",
    "plants_square",
    "plants_triangular",
    "rabbit_floor_m2",
    "rows_triangular",
    "wet_load_kg_m2",
]
