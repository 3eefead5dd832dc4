"""One crop at one site: what bars it, which plantings it allows, what they need.

What it is: the reckoning behind a window. What it is not: the words for it, which `windows` adds.

Its one rule: a planting counts only if it comes to its first harvest at the slow end of the crop's range and to two
weeks of harvest after that (or to the whole harvest, if that is shorter) before anything bars it.
"""

from dataclasses import dataclass
from typing import Final

from fieldbook.climate.crops import Crop
from fieldbook.climate.figures import settled
from fieldbook.climate.siteyear import SiteYear, merged
from fieldbook.climate.stretches import Bars, Stretch, bars, open_runs
from fieldbook.climate.water import Curve, WaterNeed, curve_of, need_of
from fieldbook.climate.year import DAYS_IN_YEAR, ring_day

LEAST_HARVEST_DAYS: Final = 14  # our choice: less than two weeks of picking does not pay for the bed and its water
_PLANTING_STEP_DAYS: Final = 30  # plantings tried within a window to find the thirstiest


@dataclass(frozen=True, slots=True)
class Case:
    """A crop at a site.

    Attributes:
        crop: The crop.
        year: The site's year.
        lasting: Whether it stands here from year to year.
        bars: What a planting must not meet.
        curve: The crop's coefficients from planting to the last of the harvest.
    """

    crop: Crop
    year: SiteYear
    lasting: bool
    bars: Bars
    curve: Curve

    @property
    def harvest_days(self) -> int:
        """Days of harvest that a planting must come to."""
        return min(LEAST_HARVEST_DAYS, self.crop.harvest.least)

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """Days with water for it: the whole year where there is water to spare, else the growing periods."""
        return (Stretch(1, None),) if self.year.facts.watering else self.year.rain_fed

    @property
    def too_dry_to_last(self) -> bool:
        """Whether the year's rain cannot carry it through the dry months."""
        if self.year.facts.watering or not self.lasting or self.crop.rain_min_mm is None:
            return False
        return sum(self.year.normals.rain_mm) < self.crop.rain_min_mm

    def longest_days(self) -> int:
        """Days from first planting to the last of the harvest at most."""
        return self.crop.first_harvest.most + self.crop.harvest.most

    def bed_days(self, stretch: Stretch, offset: int) -> int:
        """Days that a planting on this day of the stretch stands, its harvest over or cut short."""
        longest = self.longest_days()
        return longest if self.lasting else min(longest, self.bars.room(stretch, offset))


@dataclass(frozen=True, slots=True)
class Opening:
    """A run of days on which a crop can be planted.

    Attributes:
        stretch: The stretch that it lies in.
        first: Offset of the first day from the start of the stretch [days].
        last: Offset of the last day [days].
    """

    stretch: Stretch
    first: int
    last: int

    @property
    def days(self) -> int:
        """How many days it has."""
        return self.last - self.first + 1

    @property
    def all_year(self) -> bool:
        """Whether every day of the year is in it."""
        return self.stretch.days is None and self.days == DAYS_IN_YEAR

    @property
    def start_day(self) -> int:
        """First day, 1 to 365."""
        return self.day(self.first)

    @property
    def end_day(self) -> int:
        """Last day, 1 to 365."""
        return self.day(self.last)

    def day(self, offset: int) -> int:
        """Day of the year of an offset."""
        return ring_day(self.stretch.start_day + offset)

    def holds(self, other: "Opening") -> bool:
        """Whether another opening starts inside this one."""
        return self.all_year or (other.start_day - self.start_day) % DAYS_IN_YEAR < self.days


def case_of(crop: Crop, year: SiteYear) -> Case:
    """Put a crop at a site. A perennial that no cold, heat or frost bars all year lasts, and need only take hold."""
    weather, young = year.weather_bars(crop), year.young_bars(crop)
    lasting = crop.life == "perennial" and not any(weather)
    need = (
        _days_to_take_hold(crop) if lasting else crop.first_harvest.most + min(LEAST_HARVEST_DAYS, crop.harvest.least)
    )
    barred = bars(
        standing=merged(weather, year.salt_bars(crop)),
        young=young,
        need_days=need,
        young_days=_days_young(crop) if any(young) else 0,
    )
    longest = crop.first_harvest.most + crop.harvest.most
    return Case(crop, year, lasting, barred, curve_of(crop, bed_days=longest))


def _days_to_take_hold(crop: Crop) -> int:
    """Initial and development stage where they are published, else the time to the first harvest."""
    return crop.first_harvest.most if crop.stages is None else crop.stages.initial + crop.stages.development


def _days_young(crop: Crop) -> int:
    """Until the leaf is full: initial and development stage, else the quick end of the time to the first harvest."""
    return crop.first_harvest.least if crop.stages is None else crop.stages.initial + crop.stages.development


def openings(case: Case, stretches: tuple[Stretch, ...]) -> tuple[Opening, ...]:
    """Return the openings of a case in some stretches, in the order of these."""
    return tuple(
        Opening(stretch, first, last) for stretch in stretches for first, last in open_runs(stretch, case.bars)
    )


def thirstiest(case: Case, opening: Opening) -> tuple[WaterNeed, ...]:
    """Return the need of plantings spread over an opening, the one with the highest month first."""
    offsets = (*range(opening.first, opening.last, _PLANTING_STEP_DAYS), opening.last)
    needs = [
        need_of(
            planted_day=opening.day(offset),
            curve=case.curve,
            bed_days=case.bed_days(opening.stretch, offset),
            weather=case.year.weather,
        )
        for offset in offsets
    ]
    # plantings that differ in the last bits only keep one order on every machine
    return tuple(sorted(needs, key=lambda need: (-settled(need.highest_l_m2_day), -settled(need.average_l_m2_day))))


def standing_span_c(case: Case, opening: Opening) -> tuple[float, float]:
    """Return the lowest and highest daily mean that plantings of an opening stand in [C]."""
    days = min(DAYS_IN_YEAR, opening.days - 1 + case.bed_days(opening.stretch, opening.last))
    first = opening.start_day - 1
    ring = case.year.tmean_c + case.year.tmean_c
    met = ring[first : first + days]
    return min(met), max(met)
