"""The weight of wet growing medium, against a limit that somebody competent has stated.

Its one rule: it never says that anything is safe; it compares with the figure given, and a stated live load is not to
be spent on soil.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

WATER_KG_M2_MM: Final = Decimal(1)
"""Standing water on a square metre, by the millimetre [kg/m²/mm]. Source: arithmetic."""


def wet_load_kg_m2(*, depth_cm: Decimal, density_kg_m3: Decimal) -> Decimal:
    """Give the weight of wet growing medium on what carries it; people, frames and standing water come on top.

    Args:
        depth_cm: depth of the medium [cm].
        density_kg_m3: density when soaked [kg/m³].

    Returns:
        Weight [kg/m²].

    Source: arithmetic; densities: roof-media. Valid: soaked medium; never a permission to load anything.
    """
    return depth_cm / 100 * density_kg_m3


def soil_l(*, length_mm: int, width_mm: int, depth_cm: Decimal) -> Decimal:
    """The growing medium that a bed takes [L].

    Args:
        length_mm: inside [mm].
        width_mm: inside [mm].
        depth_cm: [cm].

    Source: arithmetic. Valid: right angles; loose soil sinks, so keep some by.
    """
    return length_mm * width_mm * depth_cm / 100_000
