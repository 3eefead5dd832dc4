"""Planting windows: for each crop, when to plant at this site, when it yields, what water it needs, and why.

What it is: the calendar as values, each window with its limits, its reasons and its sources. What it is not: a list
copied from elsewhere: two sites with one crop list get two calendars.

Its one rule: a crop without a window is named with the reason, and a figure from memory is never shown as sourced.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from fieldbook.climate.crops import Crop
from fieldbook.climate.dung import DungDay, dung_days
from fieldbook.climate.figures import decimal_figure, plain
from fieldbook.climate.grounds import (
    again_remarks,
    dung_remarks,
    how_sure,
    limits,
    reasons,
    sources,
    suits_remarks,
    why_none,
)
from fieldbook.climate.monthly import Method, MethodUsed, MonthClimate
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.planting import Case, Opening, case_of, openings, thirstiest
from fieldbook.climate.remarks import Remark, remark
from fieldbook.climate.seasons import Period
from fieldbook.climate.siteyear import SiteFacts, SiteYear, site_year
from fieldbook.climate.warmth import SuitedDays, suited_days
from fieldbook.climate.water import StageNeed, stage_needs
from fieldbook.climate.year import DAYS_BEFORE_MONTH, DAYS_IN_MONTH, DAYS_IN_YEAR, date_of_day, ring_day

DESERT_MM: Final = 120.0  # ours: so little rain is a desert, or the year of a wet place in inches
NOTHING_STATED: Final = SiteFacts()
NOTHING_ENTERED: Final[Mapping[str, int]] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Window:
    """A run of days on which a crop can be planted; days of the year, 1 to 365, round the year.

    Attributes:
        crop: The crop's word in the table.
        name: Its English and local names.
        start_day: First day to sow, set or plant out in the garden.
        end_day: Last such day.
        harvest_from_day: First harvest of the first planting, at the quick end.
        harvest_to_day: Last harvest of the last planting.
        nursery_from_day: First sowing in the nursery; None if there is none.
        nursery_to_day: Last sowing there.
        all_year: Whether every day of the year is in it.
        supply: `rain`, `rain and watering` or `watering`.
        highest_l_m2_day: Shortfall beyond effective rain in the thirstiest month of the thirstiest planting [l/m2/day].
        average_l_m2_day: Its mean over the days in the bed of the planting thirstiest on the whole [l/m2/day].
        total_l_m2: The most that a planting needs in all [l/m2].
        stages_planted_day: Day of the planting that has the thirstiest month.
        stages: What that planting needs in each stage of its growth.
        dung_days: Last days for raw dung; empty where nobody eats the crop or the first bite is not known.
        dung: The same in words.
        again: How to plant again and again for picking without a gap; empty for what stands for years.
        suited: Its days by how well the warmth suits what is planted on them.
        limits: What to watch, how well the warmth suits it first.
        reasons: Why it opens and closes, what was compared.
        sources: Documents and tables, each with the group of figures and its mark.
        how_sure: Which figures are read, of another crop or from memory, and how sure the climate is.
    """

    crop: str
    name: str
    start_day: int
    end_day: int
    harvest_from_day: int
    harvest_to_day: int
    nursery_from_day: int | None
    nursery_to_day: int | None
    all_year: bool
    supply: str
    highest_l_m2_day: float
    average_l_m2_day: float
    total_l_m2: float
    stages_planted_day: int
    stages: tuple[StageNeed, ...]
    dung_days: tuple[DungDay, ...]
    dung: tuple[Remark, ...]
    again: tuple[Remark, ...]
    suited: tuple[SuitedDays, ...]
    limits: tuple[Remark, ...]
    reasons: tuple[Remark, ...]
    sources: tuple[str, ...]
    how_sure: str

    @property
    def may_not_ripen(self) -> bool:
        """Whether cool weather may keep even the first planting from its harvest."""
        return any(one.code == "cool-short" for one in self.limits)

    @property
    def start(self) -> str:
        """First day to plant, `MM-DD`."""
        return date_of_day(self.start_day)

    @property
    def end(self) -> str:
        """Last day to plant, `MM-DD`."""
        return date_of_day(self.end_day)

    @property
    def harvest_from(self) -> str:
        """First harvest, `MM-DD`."""
        return date_of_day(self.harvest_from_day)

    @property
    def harvest_to(self) -> str:
        """Last harvest, `MM-DD`."""
        return date_of_day(self.harvest_to_day)

    @property
    def nursery_from(self) -> str | None:
        """First sowing in the nursery, `MM-DD`."""
        return None if self.nursery_from_day is None else date_of_day(self.nursery_from_day)

    @property
    def nursery_to(self) -> str | None:
        """Last sowing in the nursery, `MM-DD`."""
        return None if self.nursery_to_day is None else date_of_day(self.nursery_to_day)

    def open_in(self, month: int) -> bool:
        """Whether any day of a month (1 to 12) is a day to plant."""
        first, days = DAYS_BEFORE_MONTH[month - 1] + 1, DAYS_IN_MONTH[month - 1]
        length = (self.end_day - self.start_day) % DAYS_IN_YEAR + 1
        return (first - self.start_day) % DAYS_IN_YEAR < length or (self.start_day - first) % DAYS_IN_YEAR < days

    def as_value(self) -> dict[str, Any]:
        """Give what is printed: dates `MM-DD`, litres to one decimal."""
        return {
            "crop": self.crop,
            "name": self.name,
            "start": self.start,
            "end": self.end,
            "harvest_from": self.harvest_from,
            "harvest_to": self.harvest_to,
            "nursery_from": self.nursery_from,
            "nursery_to": self.nursery_to,
            "supply": self.supply,
            "water_l_m2_day": decimal_figure(self.highest_l_m2_day, places=1),
            "water_average_l_m2_day": decimal_figure(self.average_l_m2_day, places=1),
            "water_total_l_m2": decimal_figure(self.total_l_m2, places=0),
            "stages_planted": date_of_day(self.stages_planted_day),
            "stages": [
                {"stage": one.stage, "days": one.days, "l_m2_day": decimal_figure(one.average_l_m2_day, places=1)}
                for one in self.stages
            ],
            "dung_days": [self._dung_value(one) for one in self.dung_days],
            "dung": [one.words for one in self.dung],
            "again": [one.words for one in self.again],
            "suits": [
                {"how": one.suits, "from": date_of_day(one.start_day), "to": date_of_day(one.end_day)}
                for one in self.suited
            ],
            "may_not_ripen": self.may_not_ripen,
            "limits": [limit.words for limit in self.limits],
            "reasons": [reason.words for reason in self.reasons],
            "sources": list(self.sources),
            "how_sure": self.how_sure,
        }

    def _dung_value(self, one: DungDay) -> dict[str, Any]:
        return {
            "wait_days": one.wait_days,
            "before_planting_days": one.before_planting_days,
            "by": None if self.all_year else date_of_day(one.first_day),
            "by_last": None if self.all_year else date_of_day(one.last_day),
            "only_if_staked": one.staked,
            "law": one.law,
        }


@dataclass(frozen=True, slots=True)
class NoWindow:
    """A crop that has no window here, and why."""

    crop: str
    name: str
    reasons: tuple[Remark, ...]

    def as_value(self) -> dict[str, Any]:
        """Give what is printed."""
        return {"crop": self.crop, "name": self.name, "reasons": [reason.words for reason in self.reasons]}


@dataclass(frozen=True, slots=True)
class Calendar:
    """A site's planting calendar.

    Attributes:
        windows: In the order of the crop table, each crop's by their start.
        without: The crops that have none.
        months: Light and thirst of each month.
        periods: The growing periods.
        method: What the figures rest on.
        notes: Whose climate it is where that is borrowed, and what the site did not state and should.
    """

    windows: tuple[Window, ...]
    without: tuple[NoWindow, ...]
    months: tuple[MonthClimate, ...]
    periods: tuple[Period, ...]
    method: MethodUsed
    notes: tuple[Remark, ...]

    def as_value(self) -> dict[str, Any]:
        """Give what is printed."""
        return {
            "method": self.method.words,
            "how_sure": self.method.how_sure,
            "periods": [period.as_value() for period in self.periods],
            "windows": [window.as_value() for window in self.windows],
            "without": [crop.as_value() for crop in self.without],
            "notes": [note.words for note in self.notes],
        }


def planting_windows(
    crops: Iterable[Crop],
    normals: Normals,
    place: Place,
    facts: SiteFacts = NOTHING_STATED,
    *,
    method: Method = "penman-monteith",
    eaten_after_days: Mapping[str, int] = NOTHING_ENTERED,
) -> Calendar:
    """Return when each crop can be planted at a site.

    Without water to spare, a planting must lie within one growing period; with it, in any days that neither cold, heat,
    frost nor salty water bars. Temperature limits are those of Ecocrop against the mean temperature of each day, read
    between the monthly means.

    Args:
        crops: As `read_crops` gives them.
        normals: The site's monthly normals.
        place: Where it lies.
        facts: What it states itself: water to spare, salty months, months of frost.
        method: As for `monthly_climate`.
        eaten_after_days: For crops whose table lacks it, the day of the first bite as it is known here.

    Raises:
        ClimateError: A figure lies outside what the method can take.

    Source: ecocrop, fao56, manual3, growing-period; ours where the docstrings of `planting` say so.
    Valid: places and normals as their own types allow.
    """
    year = site_year(normals, place, facts, method=method)
    windows: list[Window] = []
    without: list[NoWindow] = []
    for crop in crops:
        case = case_of(crop, year)
        found = () if case.too_dry_to_last else openings(case, case.stretches)
        entered = eaten_after_days.get(crop.crop_id)
        windows += sorted(
            (_window(case, opening, found, entered) for opening in found), key=lambda window: window.start_day
        )
        if not found:
            without.append(NoWindow(crop.crop_id, crop.common_name, tuple(why_none(case))))
    return Calendar(tuple(windows), tuple(without), year.months, year.periods, year.method, tuple(_notes(year)))


def _notes(year: SiteYear) -> Iterator[Remark]:
    """Say what holds for the whole calendar: whose climate it is, and what the site should state."""
    if (borrowed := year.normals.borrowed) is not None:
        yield remark("borrowed", whose=borrowed.whose, height=borrowed.height_words)
    rain_mm = sum(year.normals.rain_mm)
    if 0 < rain_mm < DESERT_MM:
        yield remark("desert", rain=plain(rain_mm, places=0))
    if year.facts.watering and year.facts.salt_water_months is None:
        yield remark("salt-unknown")


def _window(case: Case, opening: Opening, found: tuple[Opening, ...], eaten_after_days: int | None) -> Window:
    crop, needs = case.crop, thirstiest(case, opening)
    carried = _carried_by_rain(case, opening)
    harvest_from, harvest_to = _harvest(case, opening)
    suited = suited_days(case, opening)
    dung = dung_days(crop, first_day=opening.start_day, last_day=opening.end_day, eaten_after_days=eaten_after_days)
    return Window(
        crop=crop.crop_id,
        name=crop.common_name,
        start_day=opening.start_day,
        end_day=opening.end_day,
        harvest_from_day=harvest_from,
        harvest_to_day=harvest_to,
        nursery_from_day=None if crop.nursery is None else _nursery_day(opening, opening.first, crop.nursery.most),
        nursery_to_day=None if crop.nursery is None else _nursery_day(opening, opening.last, crop.nursery.least),
        all_year=opening.all_year,
        supply=_supply(opening, carried),
        highest_l_m2_day=needs[0].highest_l_m2_day,
        average_l_m2_day=max(need.average_l_m2_day for need in needs),
        total_l_m2=max(need.total_l_m2 for need in needs),
        stages_planted_day=needs[0].planted_day,
        stages=stage_needs(need=needs[0], curve=case.curve, weather=case.year.weather),
        dung_days=dung,
        dung=tuple(dung_remarks(case, opening, dung)),
        again=tuple(again_remarks(case, opening)),
        suited=suited,
        limits=(*suits_remarks(case, opening, suited), *limits(case, opening)),
        reasons=tuple(reasons(case, opening, found=found, carried=carried, needs=needs)),
        sources=tuple(sources(case)),
        how_sure=how_sure(case),
    )


def _harvest(case: Case, opening: Opening) -> tuple[int, int]:
    """Return first and last day of harvest; 1 January and 31 December if there is harvest all year."""
    first = opening.first + case.crop.first_harvest.least
    last = opening.last + case.bed_days(opening.stretch, opening.last) - 1
    if opening.all_year or last - first >= DAYS_IN_YEAR - 1:
        return 1, DAYS_IN_YEAR
    return opening.day(first), opening.day(last)


def _nursery_day(opening: Opening, offset: int, days: int) -> int:
    if opening.all_year:
        return 1 if offset == opening.first else DAYS_IN_YEAR
    return ring_day(opening.day(offset) - days)


def _carried_by_rain(case: Case, opening: Opening) -> tuple[Opening, ...]:
    """Return the openings that rain alone would give within this one."""
    if not case.year.facts.watering:
        return (opening,)
    return tuple(other for other in openings(case, case.year.rain_fed) if opening.holds(other))


def _supply(opening: Opening, carried: tuple[Opening, ...]) -> str:
    if not carried:
        return "watering"
    return "rain" if sum(other.days for other in carried) >= opening.days else "rain and watering"
