"""How high a wick lifts water, and how long a reservoir lasts.

Its one rule: whether a pore's diameter or its radius is meant is always said; taking one for the other doubles or
halves every rise.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

SURFACE_TENSION_N_M: Final = Decimal("0.07275")
DENSITY_KG_M3: Final = Decimal(998)
GRAVITY_M_S2: Final = Decimal("9.81")
"""Water at 20 °C, and the earth. Source: jurin."""
CAPILLARY_LIMIT_MM: Final = Decimal(300)
"""What guides to wicking beds allow at most [mm]. Source: wick-guides."""
SOIL_ABOVE_MOST_MM: Final = Decimal(320)
RESERVOIR_MOST_MM: Final = Decimal(300)
"""Soil above the water, and water, at most [mm]. Source: wick-guides."""


def rise_m(*, pore_diameter_mm: Decimal) -> Decimal:
    """How high water rises in pores, at most.

    Args:
        pore_diameter_mm: width of the pores, not their radius [mm], above 0.

    Returns:
        [m]; an upper bound, for a clean wall that water wets wholly.

    Source: jurin. Valid: water at 20 °C.
    """
    radius_m = pore_diameter_mm / 2000
    return 2 * SURFACE_TENSION_N_M / (DENSITY_KG_M3 * GRAVITY_M_S2 * radius_m)


def reservoir_days(*, usable_l: Decimal, area_m2: Decimal, use_l_m2_day: Decimal) -> Decimal:
    """How long a reservoir waters a bed.

    Args:
        usable_l: water that can be drawn, stones and bottles taken off [L].
        area_m2: of the bed [m²], above 0.
        use_l_m2_day: what plants and air take [L/m²/day], above 0.

    Returns:
        [days].

    Source: arithmetic; 1 to 3 L/m²/day: fao-microgardens. Valid: no rain, no leak.
    """
    return usable_l / (area_m2 * use_l_m2_day)


def open_water_l(*, volume_l: Decimal, open_percent: Decimal) -> Decimal:
    """The water in a reservoir that is partly filled with stone or bottles.

    Args:
        volume_l: of the reservoir, empty [L].
        open_percent: share of it that water fills [%]; measure it by pouring.

    Returns:
        [L].

    Source: arithmetic. Valid: no share was read anywhere, so none is supposed.
    """
    return volume_l * open_percent / 100


def crop_use_l_m2_day(*, eto_mm_day: Decimal, crop_coefficient: Decimal) -> Decimal:
    """What a crop and its soil give to the air.

    Args:
        eto_mm_day: reference evapotranspiration of the month [mm/day].
        crop_coefficient: of the crop at its stage.

    Returns:
        [L/m²/day]; one millimetre is a litre on a square metre.

    Source: fao56. Valid: plants that stand close and lack no water; single ones and hot walls take more.
    """
    return eto_mm_day * crop_coefficient
