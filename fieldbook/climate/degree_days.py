"""Degree days: warmth over a base, added up from day to day, and how long a crop takes to collect them.

What it is: the two methods in use, told apart by name. What it is not: days to harvest of a variety, which only its
breeder knows: here the sum is that of the crop table's own days at the coolest mean that the crop likes (ours).

Its one rule: a day never takes warmth away, and the answer says by which method it was counted.
"""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from typing import Final, Literal

from fieldbook.climate.bounds import require
from fieldbook.climate.year import DAYS_IN_YEAR

CountedBy = Literal["mean", "ends"]

_LONGEST_DAYS: Final = 2 * DAYS_IN_YEAR  # what takes longer does not ripen here
_SLACK: Final = 1e-6


def degree_days(
    *, tmin_c: float, tmax_c: float, base_c: float, upper_c: float | None = None, counted_by: CountedBy = "mean"
) -> float:
    """Return the degree days of one day.

    Args:
        tmin_c: Coolest of the day [C].
        tmax_c: Warmest of the day [C].
        base_c: Where growth begins [C].
        upper_c: Above it warmth adds nothing more [C]; None where none is known.
        counted_by: `mean` raises a mean below the base to it (method 1); `ends` raises the coolest and the warmest
            each (method 2), which counts warm afternoons of cold days.

    Returns:
        Degree days [C d], never below 0.

    Raises:
        ClimateError: A figure is out of range, or the coolest above the warmest.

    Source: mcmaster1997.
    Valid: -60 to 60 C.
    """
    low = require(tmin_c, name="Tmin", low=-60, high=60, unit="C")
    high = require(tmax_c, name="Tmax", low=-60, high=60, unit="C")
    require(high - low, name="the span from Tmin to Tmax", low=0, high=60, unit="C")
    if upper_c is not None:
        low, high = min(low, upper_c), min(high, upper_c)
    if counted_by == "ends":
        low, high = max(low, base_c), max(high, base_c)
    return max(0.0, (low + high) / 2 - base_c)


def most_days_to_collect(*, gained_c: Sequence[float], planted_days: Sequence[int], wanted_c: float) -> int | None:
    """Return how many days the slowest of some plantings takes to collect a sum of degree days, round the year.

    Args:
        gained_c: Degree days of each day of the year, 1 January first [C d].
        planted_days: Days of the year of planting, 1 to 365.
        wanted_c: The sum [C d].

    Returns:
        Days from planting, the day of planting counted; None where two years do not give it to one of them.

    Source: arithmetic.
    Valid: 365 days; sums above 0.
    """
    collected = tuple(accumulate((*gained_c, *gained_c, *gained_c), initial=0.0))
    taken = [bisect_left(collected, collected[day - 1] + wanted_c - _SLACK, lo=day) - (day - 1) for day in planted_days]
    return None if max(taken) > _LONGEST_DAYS else max(taken)
