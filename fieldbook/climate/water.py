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
from typing import Final, Literal

from fieldbook.climate.bounds import MONTHS, ClimateError, require, require_months
from fieldbook.climate.crops import Crop, Kc, Stages
from fieldbook.climate.year import DAYS_BEFORE_MONTH, DAYS_IN_MONTH, MONTH_OF_DAY, ring_day

Stage = Literal["initial", "development", "mid", "late", "whole"]

STAGES: Final[tuple[Stage, ...]] = ("initial", "development", "mid", "late")
_JOINT_MM: Final = 75.0


@dataclass(frozen=True, slots=True)
class WaterNeed:
    """What one planting needs beyond the rain.

    Attributes:
        planted_day: Day of the year of planting.
        bed_days: Days that it stands.
        highest_l_m2_day: In the thirstiest month [l/m2/day].
        highest_month: That month, 1 to 12; None if rain covers all.
        average_l_m2_day: Over all days in the bed [l/m2/day].
        total_l_m2: In all [l/m2].
    """

    planted_day: int
    bed_days: int
    highest_l_m2_day: float
    highest_month: int | None
    average_l_m2_day: float
    total_l_m2: float


@dataclass(frozen=True, slots=True)
class StageNeed:
    """What a planting needs in one stage of its growth.

    Attributes:
        stage: Which one; `whole` where no stages are published.
        days: How many of them it stands.
        average_l_m2_day: Beyond effective rain [l/m2/day].
    """

    stage: Stage
    days: int
    average_l_m2_day: float


@dataclass(frozen=True, slots=True)
class Weather:
    """Thirst and usable rain of the twelve months.

    Attributes:
        eto_mm_day: Reference evapotranspiration [mm/day].
        usable_mm_day: Effective rain spread over the days of the month [mm/day].
    """

    eto_mm_day: tuple[float, ...]
    usable_mm_day: tuple[float, ...]

    def lacking_l_m2(self, month: int, *, kc_sum: float, days: int) -> float:
        """What some days of a month lack.

        Args:
            month: 1 to 12.
            kc_sum: The sum of the coefficients of these days [-].
            days: How many they are.
        """
        return max(0.0, kc_sum * self.eto_mm_day[month - 1] - self.usable_mm_day[month - 1] * days)


@dataclass(frozen=True, slots=True)
class Curve:
    """A crop's coefficients, ready for sums over any days.

    Attributes:
        sums: Of the first 0, 1, 2 ... days in the bed [-].
        ends: For each stage the days done at its end.
    """

    sums: tuple[float, ...]
    ends: tuple[tuple[Stage, int], ...]

    def between(self, first: int, last: int) -> float:
        """The sum over the days after `first` up to `last`."""
        return self.sums[last] - self.sums[first]

    def stages_between(self, first: int, last: int) -> list[tuple[Stage, int, int]]:
        """The stages met on these days, each with its part of them."""
        parts, begin = [], 0
        for stage, end in self.ends:
            if max(first, begin) < min(last, end):
                parts.append((stage, max(first, begin), min(last, end)))
            begin = end
        return parts


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
    stages, kc = fitted_stages(stages=crop.stages, bed_days=bed_days), crop.kc
    risen, fallen = kc.mid - kc.initial, kc.end - kc.mid
    rising = [kc.initial + day / stages.development * risen for day in range(1, stages.development + 1)]
    falling = [kc.mid + day / stages.late * fallen for day in range(1, stages.late + 1)]
    return (*(kc.initial,) * stages.initial, *rising, *(kc.mid,) * stages.mid, *falling)


def curve_of(crop: Crop, *, bed_days: int) -> Curve:
    """Return a crop's coefficients ready for sums over any days, and where its stages end.

    Args:
        crop: The crop.
        bed_days: Days from planting to the end of harvest.

    Source: fao56-table11, as in `coefficients`.
    Valid: 4 days and more.
    """
    ends: tuple[tuple[Stage, int], ...] = (("whole", bed_days),)
    if crop.stages is not None:
        fitted = fitted_stages(stages=crop.stages, bed_days=bed_days)
        lengths = (fitted.initial, fitted.development, fitted.mid, fitted.late)
        ends = tuple(zip(STAGES, accumulate(lengths), strict=True))
    return Curve(tuple(accumulate(coefficients(crop, bed_days=bed_days), initial=0.0)), ends)


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
    if not kc_ratio:
        raise ClimateError("the crop is not one day in the bed", hint="give the coefficient of each day")
    curve = Curve(tuple(accumulate(kc_ratio, initial=0.0)), (("whole", len(kc_ratio)),))
    weather = monthly_weather(eto_mm_day=eto_mm_day, rain_mm=rain_mm)
    return need_of(planted_day=planted_day, curve=curve, bed_days=len(kc_ratio), weather=weather)


def monthly_weather(*, eto_mm_day: Sequence[float], rain_mm: Sequence[float]) -> Weather:
    """Return thirst and usable rain of each month as water sums take them.

    Args:
        eto_mm_day: Reference evapotranspiration of each month of the year, January first [mm/day].
        rain_mm: Rain of each month [mm].

    Raises:
        ClimateError: There are not twelve months of one.

    Source: manual3.
    Valid: 0 to 50 mm/day and 0 to 4000 mm a month.
    """
    eto = require_months(eto_mm_day, name="reference evapotranspiration", low=0, high=50, unit="mm/day")
    rain = require_months(rain_mm, name="rain", low=0, high=4000, unit="mm")
    usable = tuple(effective_rain_mm(rain_mm=one) / days for one, days in zip(rain, DAYS_IN_MONTH, strict=True))
    return Weather(eto, usable)


def need_of(*, planted_day: int, curve: Curve, bed_days: int, weather: Weather) -> WaterNeed:
    """Return what one planting needs, from figures that were made ready once.

    Args:
        planted_day: Day of the year of planting, 1 to 365.
        curve: Of the crop, at least as long as it stands.
        bed_days: Days that it stands, from 1.
        weather: Of the site.

    Source: fao56, manual3, as in `water_need`.
    Valid: as for `water_need`.
    """
    highest, highest_month, litres = 0.0, None, []
    for month, first, last in _by_month(planted_day, bed_days):
        lacking = weather.lacking_l_m2(month, kc_sum=curve.between(first, last), days=last - first)
        litres.append(lacking)
        if lacking / (last - first) > highest:
            highest, highest_month = lacking / (last - first), month
    total = fsum(litres)
    return WaterNeed(planted_day, bed_days, highest, highest_month, total / bed_days, total)


def stage_needs(*, need: WaterNeed, curve: Curve, weather: Weather) -> tuple[StageNeed, ...]:
    """Return what a planting needs in each stage of its growth; the stages together need what it needs in all.

    Where one month has two stages, what the month lacks is shared out by what each would lack by itself with its days'
    part of the rain.

    Args:
        need: What it needs in all.
        curve: Its coefficients and where its stages end.
        weather: Of the site.

    Returns:
        In order; a stage that the planting does not come to is left out.

    Source: fao56, Eq 66; manual3; the sharing out is ours.
    Valid: as for `water_need`.
    """
    litres = dict.fromkeys((stage for stage, _ in curve.ends), 0.0)
    for month, first, last in _by_month(need.planted_day, need.bed_days):
        lacking = weather.lacking_l_m2(month, kc_sum=curve.between(first, last), days=last - first)
        parts = [
            (stage, weather.lacking_l_m2(month, kc_sum=curve.between(begin, end), days=end - begin))
            for stage, begin, end in curve.stages_between(first, last)
        ]
        alone = fsum(part for _, part in parts)
        for stage, part in parts:
            litres[stage] += lacking * part / alone if alone > 0 else 0.0
    spans = curve.stages_between(0, need.bed_days)
    return tuple(StageNeed(stage, end - begin, litres[stage] / (end - begin)) for stage, begin, end in spans)


def _by_month(planted_day: int, bed_days: int) -> list[tuple[int, int, int]]:
    """Split the days in the bed by calendar month: month, days done before, days done after."""
    day = ring_day(planted_day)
    month = MONTH_OF_DAY[day - 1]
    last = DAYS_BEFORE_MONTH[month - 1] + DAYS_IN_MONTH[month - 1] - day + 1
    parts, done = [], 0
    while last < bed_days:
        parts.append((month, done, last))
        month = month % MONTHS + 1
        done, last = last, last + DAYS_IN_MONTH[month - 1]
    parts.append((month, done, bed_days))
    return parts
