"""A batch of steeped dung: water, container, thinning and the ground that it is for.

Its one rule: a steep is raw dung; it is reckoned for bare soil on dung day and for nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from types import MappingProxyType
from typing import Final

DUNG_KG_L: Final = Decimal(1)
"""Weight of fresh dung in water, by the litre [kg/L]. Source: ours, near that of water."""
WAIT_TOUCHING_DAYS: Final = 120
WAIT_CLEAR_DAYS: Final = 90
"""From raw dung to picking what touches the soil, and what hangs clear [days]. Source: cfr205-c1-ii; cfr205-c1-iii."""
NITROGEN_MOST_PERCENT: Final = MappingProxyType(
    {
        "hen": Decimal("2.0"),
        "sheep-or-goat": Decimal("1.1"),
        "horse": Decimal("0.7"),
        "dairy-cow": Decimal("0.6"),
        "rabbit": Decimal("2.7"),
    }
)
"""The most nitrogen that was read for dung [% of its weight]: fresh, but for the rabbit's, which is dry.
Source: usda-1962; rabbit-dung-page."""
RABBIT_URINE_NITROGEN_G_L: Final = Decimal("10.5")
"""1.05 % at a kilogram a litre [g/L]. Source: rabbit-urine."""


@dataclass(frozen=True)
class Batch:
    """One batch.

    Attributes:
        water_l: for steeping [L].
        fill_l: water and dung in the container [L].
        steep_l: what is thinned [L]; what the dung soaks up is not taken off.
        thinning_water_l: [L].
        total_l: thinned [L].
        factor: thinned by steep [ratio].
    """

    water_l: Decimal
    fill_l: Decimal
    steep_l: Decimal
    thinning_water_l: Decimal
    total_l: Decimal
    factor: Decimal


def steep(*, dung_kg: Decimal, water_l_kg: Decimal, parts_water: Decimal) -> Batch:
    """Reckon one batch.

    Args:
        dung_kg: as it lies there [kg].
        water_l_kg: water for each kilogram of dung [L/kg].
        parts_water: to thin it, for one part of steep.

    Source: arithmetic. Valid: dung in a sack, so that the water is what is poured.
    """
    water = dung_kg * water_l_kg
    thinning = water * parts_water
    return Batch(water, water + dung_kg / DUNG_KG_L, water, thinning, water + thinning, 1 + parts_water)


def containers(*, fill_l: Decimal, container_l: Decimal) -> int:
    """How many containers a batch fills.

    Args:
        fill_l: water and dung [L].
        container_l: what one may hold with its lid shut [L], above 0.

    Source: arithmetic. Valid: rounded up.
    """
    return int((fill_l / container_l).to_integral_value(rounding=ROUND_CEILING))


def nitrogen_at_most_g(kind: str, *, dung_kg: Decimal) -> Decimal:
    """The most nitrogen that dung can bring [g].

    Args:
        kind: a key of `NITROGEN_MOST_PERCENT`.
        dung_kg: as it lies there [kg].

    Source: usda-1962; rabbit-dung-page. Valid: the careful side; less of it is lost on the way than is reckoned here.
    """
    return dung_kg * NITROGEN_MOST_PERCENT[kind] * 10


def most_urine_l_m2_year(*, ceiling_g_m2: Decimal) -> Decimal:
    """The rabbit urine that brings just so much nitrogen [L/m²/year].

    Args:
        ceiling_g_m2: nitrogen [g/m²/year].

    Source: rabbit-urine. Valid: a soft ceiling; animal urine waits like raw dung.
    """
    return ceiling_g_m2 / RABBIT_URINE_NITROGEN_G_L
