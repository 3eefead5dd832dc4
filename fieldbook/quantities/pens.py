"""How much room animals need.

Its one rule: a limit is a minimum that somebody published; more is better, and local codes come first.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

HENS_PER_M2_MOST: Final = Decimal(9)
"""Hens on a square metre of usable area, in an alternative system. Source: 1999-74-ec."""
HENS_PER_M2_DEEP_LITTER: Final = Decimal(3)
"""Small-scale deep litter. Source: fao-small-poultry."""
GOAT_PEN_M2: Final = Decimal("1.5")
GOAT_RUN_M2: Final = Decimal("2.5")
"""A grown goat: pen, and run. Source: ec-organic."""
_RABBIT_CLASSES: Final = (  # below so many kg: floor of a single one, floor of a doe with her litter [m²]
    (Decimal(2), Decimal("0.14"), Decimal("0.37")),
    (Decimal(4), Decimal("0.28"), Decimal("0.46")),
    (Decimal("5.4"), Decimal("0.37"), Decimal("0.56")),
    (None, Decimal("0.46"), Decimal("0.70")),
)
RABBIT_HEIGHT_CM: Final = Decimal("35.5")
"""Headroom [cm]. Source: us-awa."""


def rabbit_floor_m2(*, weight_kg: Decimal, with_litter: bool) -> Decimal:
    """The least floor of a rabbit, by its weight; one on the edge belongs to the larger class.

    Args:
        weight_kg: [kg].
        with_litter: a doe with her young.

    Returns:
        [m²].

    Source: us-awa. Valid: a cage or pen; our choice on the edge is the careful one.
    """
    single, doe = next((one, two) for limit, one, two in _RABBIT_CLASSES if limit is None or weight_kg < limit)
    return doe if with_litter else single


def hens_floor_m2(*, count: int, deep_litter: bool) -> Decimal:
    """The least usable floor of hens.

    Args:
        count: how many.
        deep_litter: True for the roomier small-scale figure.

    Returns:
        [m²].

    Source: 1999-74-ec; fao-small-poultry. Valid: usable area without nests.
    """
    return count / (HENS_PER_M2_DEEP_LITTER if deep_litter else HENS_PER_M2_MOST)


def goats_floor_m2(*, count: int) -> Decimal:
    """The least pen of grown goats, without their run.

    Args:
        count: how many.

    Returns:
        [m²].

    Source: ec-organic. Valid: grown goats; above 50 kg a guide asks 1.9 m².
    """
    return count * GOAT_PEN_M2
