"""Water that a crop needs beyond the rain.

What it is: crop coefficients through the stages of growth, effective rain, and the shortfall in litres on each square
metre and day. What it is not: a soil-water account: what the soil keeps from one month for the next is not counted
here, so the shortfall errs on the thirsty side.

Its one rule: one form of effective rain, that of FAO Training manual 3, named wherever a figure from it is shown.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import fsum
from typing import Final

from fieldbook.climate.bounds import ClimateError, require, require_months
from fieldbook.climate.crops import Crop, Kc, Stages
from fieldbook.climate.year import DAYS_BEFORE_MONTH, DAYS_IN_MONTH, MONTH_OF_DAY, ring_day

_JOINT_MM: Final = 75.0


@dataclass(frozen=True, slots=True)
class WaterNeed:
    """What one planting needs beyond the rain.

    Attributes:
        highest_l_m2_day: In the thirstiest month [l/m2/day].
        highest_month: That month, 1 to 12; None if rain covers all.
        average_l_m2_day: Over all days in the bed [l/m2/day].
        total_l_m2: In all [l/m2].
    """

    highest_l_m2_day: float
    highest_month: int | None
    average_l_m2_day: float
    total_l_m2: float


def effective_rain_mm(*, rain_mm: float) -> float:
    """Return the part of a month's rain that crops can use.

    Args:
        rain_mm: Rain of the month [mm].

    Returns:
        Effective rain [mm]; none below 16.7 mm.

    Source: manual3.
    Valid: 0 to 4000 mm in the month.
    """
    require(rain_mm, name="the rain of the month", low=0, high=4000, unit="mm")
    if rain_mm > _JOINT_MM:
        return 0.8 * rain_mm - 25
    return max(0.0, 0.6 * rain_mm - 10)


def coefficient_on_day(*, day: int, stages: Stages, kc: Kc) -> float:
    """Return the crop coefficient of one day: level, rising, level, falling.

    Args:
        day: Day since planting, 1 the first.
        stages: Lengths of the four stages.
        kc: Coefficients of the initial, mid and end stage.

    Returns:
        Kc [-].

    Raises:
        ClimateError: The crop is not in the bed on that day.

    Source: fao56, Eq 66 and Example 28.
    Valid: days from 1 to the sum of the stages.
    """
    if not 1 <= day <= stages.total:
        raise ClimateError(f"day {day} is outside the {stages.total} days in the bed", hint="count from planting")
    if day <= stages.initial:
        return kc.initial
    rising = day - stages.initial
    if rising <= stages.development:
        return kc.initial + rising / stages.development * (kc.mid - kc.initial)
    falling = day - (stages.total - stages.late)
    if falling <= 0:
        return kc.mid
    return kc.mid + falling / stages.late * (kc.end - kc.mid)


def fitted_stages(*, stages: Stages, bed_days: int) -> Stages:
    """Return the stages as they fill a crop's own time in the bed.

    The published first, second and last stage are kept and the mid stage takes what is left, since a crop that is
    picked again and again stays in it; where nothing is left, all four shrink alike.

    Args:
        stages: As published.
        bed_days: Days from planting to the end of harvest, at least 4.

    Source: ours; stages of fao56-table11.
    Valid: 4 days and more.
    """
    require(bed_days, name="the time in the bed", low=4, high=10_000, unit="days")
    fixed = stages.initial + stages.development + stages.late
    if bed_days > fixed:
        return Stages(stages.initial, stages.development, bed_days - fixed, stages.late)
    ends = accumulate((stages.initial, stages.development, stages.mid, stages.late))
    first, second, third, _ = (bed_days * end // stages.total for end in ends)
    return Stages(first, second - first, third - second, bed_days - third)


def coefficients(crop: Crop, *, bed_days: int) -> tuple[float, ...]:
    """Return a crop's coefficient for each day in the bed.

    Args:
        crop: The crop.
        bed_days: Days from planting to the end of harvest.

    Returns:
        Kc of each day [-]. Where no stages are published, the highest coefficient on all days, which overstates the
        need of the first weeks.

    Source: fao56-table11, fao56-table12, Eq 66.
    Valid: 4 days and more.
    """
    if crop.stages is None:
        highest = max(crop.kc.initial, crop.kc.mid, crop.kc.end)
        return (highest,) * bed_days
    stages = fitted_stages(stages=crop.stages, bed_days=bed_days)
    return tuple(coefficient_on_day(day=day, stages=stages, kc=crop.kc) for day in range(1, bed_days + 1))


def water_need(
    *, planted_day: int, kc_ratio: Sequence[float], eto_mm_day: Sequence[float], rain_mm: Sequence[float]
) -> WaterNeed:
    """Return what a planting needs beyond effective rain, month by month.

    Args:
        planted_day: Day of the year of planting, 1 to 365.
        kc_ratio: Crop coefficient of each day in the bed [-].
        eto_mm_day: Reference evapotranspiration of each month of the year, January first [mm/day].
        rain_mm: Rain of each month [mm].

    Returns:
        The shortfall [l/m2/day]; one millimetre is one litre on a square metre.

    Raises:
        ClimateError: There are not twelve months, or no day in the bed.

    Source: fao56, ETc = Kc ETo; manual3.
    Valid: 0 to 50 mm/day and 0 to 4000 mm a month.
    """
    eto = require_months(eto_mm_day, name="reference evapotranspiration", low=0, high=50, unit="mm/day")
    rain = require_months(rain_mm, name="rain", low=0, high=4000, unit="mm")
    if not kc_ratio:
        raise ClimateError("the crop is not one day in the bed", hint="give the coefficient of each day")
    shortfalls = []
    for month, days, kc_sum in _by_month(planted_day, kc_ratio):
        usable = effective_rain_mm(rain_mm=rain[month - 1]) * days / DAYS_IN_MONTH[month - 1]
        shortfalls.append((max(0.0, kc_sum * eto[month - 1] - usable), days, month))
    return _need(shortfalls, bed_days=len(kc_ratio))


def _by_month(planted_day: int, coefficients: Sequence[float]) -> list[tuple[int, int, float]]:
    """Split the days in the bed by calendar month: month, days of it, sum of their coefficients."""
    parts, done = [], 0
    while done < len(coefficients):
        day = ring_day(planted_day + done)
        month = MONTH_OF_DAY[day - 1]
        left_in_month = DAYS_BEFORE_MONTH[month - 1] + DAYS_IN_MONTH[month - 1] - day + 1
        part = coefficients[done : done + left_in_month]
        parts.append((month, len(part), fsum(part)))
        done += len(part)
    return parts


def _need(shortfalls: Sequence[tuple[float, int, int]], *, bed_days: int) -> WaterNeed:
    rates = [(litres / days, month) for litres, days, month in shortfalls]
    highest, month = max(rates, key=lambda rate: rate[0])
    total = fsum(litres for litres, _, _ in shortfalls)
    return WaterNeed(
        highest_l_m2_day=highest,
        highest_month=month if highest > 0 else None,
        average_l_m2_day=total / bed_days,
        total_l_m2=total,
    )
