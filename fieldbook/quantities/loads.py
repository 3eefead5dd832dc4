"""The weight of wet growing medium, against a limit that somebody competent has stated.

Its one rule: it never says that anything is safe; it compares with the figure given, and a stated live load is not to
be spent on soil.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from decimal import Decimal


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
