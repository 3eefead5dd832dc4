"""Sums of the trade: mixes, dung, plants, loads, water, animals, seeds; pure, exact, with their sources.

``mixes`` and ``places`` hold the calculators that people meet; the modules beside them the sums. Its one rule: compute
from the published figure, never copy a result; what has no published figure is refused or said to be ours.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from fieldbook.quantities import mixes, places
from fieldbook.quantities.calculator import Calculator
from fieldbook.quantities.errors import QuantityError
from fieldbook.quantities.loads import wet_load_kg_m2
from fieldbook.quantities.nitrogen import (
    MANURES,
    NITROGEN_CEILING_G_M2_YEAR,
    load_g_m2,
    most_dung_kg_m2_year,
    nitrogen_g_kg,
    nitrogen_kg_year,
)

CALCULATORS: Final = MappingProxyType({each.name: each for each in (*mixes.CALCULATORS, *places.CALCULATORS)})
"""By name, in the order in which they are listed. Source: each names its own."""

__all__ = [
    "CALCULATORS",
    "MANURES",
    "NITROGEN_CEILING_G_M2_YEAR",
    "Calculator",
    "QuantityError",
    "load_g_m2",
    "most_dung_kg_m2_year",
    "nitrogen_g_kg",
    "nitrogen_kg_year",
    "wet_load_kg_m2",
]
