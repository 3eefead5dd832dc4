"""Water that soil holds for roots, and how long it lasts between two waterings.

Not what a crop needs (`water`). Its one rule: what is said of a container takes the careful end, the least that one of
the three soils of the published example holds.
"""

from __future__ import annotations

from math import floor
from typing import Final

from fieldbook.climate.bounds import require

HELD_LEAST_MM_M: Final = 90.0  # the least of the three soils of FAO-56 Example 36
_TABLE_ETC_MM_DAY: Final = 5.0  # Table 22 gives its fractions for this thirst
_STEP_PER_MM_DAY: Final = 0.04  # and this much more or less for each mm a day below or above it
_LEAST_SHARE, _GREATEST_SHARE = 0.1, 0.8


def available_mm(*, held_mm_m: float, depth_m: float) -> float:
    """Give the water that soil holds for roots, between drained and wilting.

    Args:
        held_mm_m: What a metre of it holds so [mm/m].
        depth_m: How deep roots go, or the soil is [m].

    Returns:
        Total available water [mm].

    Raises:
        ClimateError: One is outside its range.

    Source: fao56, Eq 82. Valid: 20 to 300 mm/m; up to 3 m.
    """
    require(held_mm_m, name="the water that soil holds", low=20, high=300, unit="mm/m")
    require(depth_m, name="the depth of roots", low=0, high=3, unit="m")
    return held_mm_m * depth_m


def easily_taken_share(*, depletion_fraction: float, etc_mm_day: float) -> float:
    """Give the share of the available water that roots take without thirst.

    Args:
        depletion_fraction: The crop's p of Table 22, for 5 mm a day [-].
        etc_mm_day: What it uses [mm/day].

    Returns:
        p, from 0.1 to 0.8 [-].

    Raises:
        ClimateError: One is outside its range.

    Source: fao56, Table 22, footnote 2. Valid: p from 0.1 to 0.8; up to 20 mm/day.
    """
    low, high = _LEAST_SHARE, _GREATEST_SHARE
    require(depletion_fraction, name="the depletion fraction", low=low, high=high, unit="")
    require(etc_mm_day, name="the water that a crop uses", low=0, high=20, unit="mm/day")
    return min(high, max(low, depletion_fraction + _STEP_PER_MM_DAY * (_TABLE_ETC_MM_DAY - etc_mm_day)))


def easily_taken_mm(*, available_mm: float, share: float) -> float:
    """Give the water that roots take without thirst.

    Args:
        available_mm: Total available water [mm].
        share: Of it, as `easily_taken_share` gives it [-].

    Returns:
        Readily available water [mm], which is litres on each square metre.

    Raises:
        ClimateError: One is outside its range.

    Source: fao56, Eq 83. Valid: up to 900 mm; share from 0 to 1.
    """
    require(available_mm, name="the available water", low=0, high=900, unit="mm")
    require(share, name="the share of it", low=0, high=1, unit="")
    return available_mm * share


def days_between_waterings(*, easily_taken_mm: float, etc_mm_day: float) -> int:
    """Give the whole days that a soaked soil lasts without rain, rounded down; 0 means every day, and more than once.

    Args:
        easily_taken_mm: What roots take without thirst [mm].
        etc_mm_day: What the crop uses [mm/day].

    Raises:
        ClimateError: One is outside its range.

    Source: arithmetic. Valid: up to 900 mm; 0.1 to 20 mm/day.
    """
    require(easily_taken_mm, name="the water easily taken", low=0, high=900, unit="mm")
    require(etc_mm_day, name="the water that a crop uses", low=0.1, high=20, unit="mm/day")
    return floor(easily_taken_mm / etc_mm_day)
