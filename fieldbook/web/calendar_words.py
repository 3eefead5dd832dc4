"""The calendar as its pages say it: an index of crops, one crop at a time, and what a household's water reaches for.

Not the computation (``climate``) and not a window's own words (``season_words``). Its one rule: what can be sown this
month stands first, and a crop that has no window here is never left out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING

from fieldbook.climate.figures import plain
from fieldbook.climate.household import covered_m2
from fieldbook.climate.soil_water import (
    HELD_LEAST_MM_M,
    available_mm,
    days_between_waterings,
    easily_taken_mm,
    easily_taken_share,
)
from fieldbook.climate.year import DAYS_IN_MONTH, date_of_day
from fieldbook.sources import SOURCES
from fieldbook.web.season_words import LEAST_SHOWN_L, MONTHS, SUPPLY_WORDS, now_lines, short_date, suits_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.climate.crops import Crop, Origin
    from fieldbook.climate.household import Household
    from fieldbook.climate.normals import Normals
    from fieldbook.climate.windows import Calendar, Window
    from fieldbook.site import HouseholdYear

MARKS = {
    "read": "read",
    "stand-in": "of another crop",
    "mixed": "partly from memory",
    "from memory": "from memory",
    "none": "not published",
}
GROUP_WORDS = {
    "temperature": "temperature limits",
    "frost": "frost",
    "kc": "water use",
    "stage_days": "stages of growth",
    "durations": "days to harvest",
    "eaten": "day of the first bite",
    "spacing": "spacing",
    "container": "depth of a container",
    "volume": "size of a container",
    "names": "names",
}
_RAIN_STEP_MM, _WARMTH_STEP_C = 5, 0.5  # what is told of a site is rounded: exact months tell where it lies


@dataclass(frozen=True)
class CropLine:
    """A crop in the index: when it can be planted, and how much ground the household's water keeps at most."""

    crop: str
    name: str
    when: tuple[str, ...]
    ground: str = ""


@dataclass(frozen=True)
class Index:
    """All crops: those that can be planted this month, those of other months, and those that cannot be planted here."""

    now: tuple[CropLine, ...]
    later: tuple[CropLine, ...]
    without: tuple[CropLine, ...]


def index(
    calendar: Calendar, *, month: int | None, today: str, household: Household | None, refused: frozenset[str]
) -> Index:
    """The index of a calendar, by name; with no month to go by, all crops stand in one list.

    Args:
        calendar: The windows to show.
        month: 1 to 12; None where the clock cannot be trusted.
        today: Day of the year, ``MM-DD``.
        household: Whose water is reckoned with, if any.
        refused: Crops that its water refuses, which are told apart and not among those without a window.
    """
    by_crop: dict[str, list[Window]] = {}
    for window in calendar.windows:
        by_crop.setdefault(window.crop, []).append(window)
    still: dict[str, list[str]] = {}
    if month is not None:
        for one in now_lines((each for each in calendar.windows if each.open_in(month)), today).still:
            still.setdefault(one.name, []).append(one.when)
    lines = [_line(windows, still, household) for windows in by_crop.values()]
    lines.sort(key=lambda line: line.name.casefold())
    now = {crop for crop, windows in by_crop.items() if windows[0].name in still}
    without = sorted(
        (CropLine(one.crop, one.name, ()) for one in calendar.without if one.crop not in refused),
        key=lambda line: line.name,
    )
    return Index(
        now=tuple(line for line in lines if line.crop in now),
        later=tuple(line for line in lines if line.crop not in now),
        without=tuple(without),
    )


def _line(windows: Sequence[Window], still: dict[str, list[str]], household: Household | None) -> CropLine:
    first = windows[0]
    graded = [line for window in windows for line in (_short_span(window), *suits_lines(window))]
    when = tuple(still.get(first.name, graded))
    if household is None or household.garden_l_day <= 0:
        return CropLine(first.crop, first.name, when)
    ground = ground_words(household, max(one.highest_l_m2_day for one in windows))
    return CropLine(first.crop, _first_name(first.name), when, ground)


def _first_name(name: str) -> str:
    """The first of a crop's names, where a table has little room."""
    return re.sub(r" \([^)]*\)", "", name).split(" / ")[0]


def _short_span(window: Window) -> str:
    return "all year" if window.all_year else f"{short_date(window.start)} to {short_date(window.end)}"


@dataclass(frozen=True)
class RowWords:
    """A window in the table of all crops, as short as can be."""

    name: str
    plant: str
    harvest: str
    supply: str
    litres: str
    dung: str


def rows_of_all(calendar: Calendar) -> list[RowWords]:
    """The windows of all crops, by name."""
    return [
        RowWords(
            name=window.name,
            plant=", ".join((_short_span(window), *suits_lines(window))),
            harvest="all year"
            if window.all_year
            else f"{short_date(window.harvest_from)} to {short_date(window.harvest_to)}",
            supply=SUPPLY_WORDS.get(window.supply, window.supply),
            litres=f"{window.highest_l_m2_day:.1f}" if window.highest_l_m2_day >= LEAST_SHOWN_L else "none",
            dung=_dung_short(window),
        )
        for window in sorted(calendar.windows, key=lambda window: window.name.casefold())
    ]


def _dung_short(window: Window) -> str:
    if not window.dung_days:
        return "see its page"
    first = window.dung_days[0]
    if window.all_year:
        return f"{first.before_planting_days} days before"
    return short_date(date_of_day(first.first_day))


def ground_words(household: Household, need_l_m2_day: float) -> str:
    """How much ground the household's water keeps moist in the thirstiest month, rounded down."""
    if need_l_m2_day < LEAST_SHOWN_L:
        return "any, by rain"
    ground = covered_m2(garden_l_day=household.garden_l_day, need_l_m2_day=need_l_m2_day) or 0.0
    return f"{plain(floor(ground * 10) / 10)} m²"


@dataclass(frozen=True)
class HouseholdWords:
    """What is said of a household's water."""

    persons: int
    water: str
    domestic: str
    garden: str
    lacking: str
    average: str
    thirstiest: str
    thirstiest_month: str
    refused: tuple[tuple[str, str, str], ...]


def household_words(year: HouseholdYear) -> HouseholdWords:
    """A household's water in figures: what people need first, what is left, and the ground that it covers.

    The ground is that of a green cover without any rain (coefficient 1), nothing lost on the way.
    """
    household = year.household
    months = year.calendar.months
    total_mm = sum(one.eto_mm_day * days for one, days in zip(months, DAYS_IN_MONTH, strict=True))
    average_mm = total_mm / sum(DAYS_IN_MONTH)
    worst = max(months, key=lambda one: one.eto_mm_day)
    refused: dict[str, tuple[str, str, str]] = {}  # the first window of each crop
    for window in year.refused:
        refused.setdefault(window.crop, (window.crop, window.name, plain(window.highest_l_m2_day)))
    return HouseholdWords(
        persons=household.persons,
        water=plain(household.water_l_day),
        domestic=plain(household.domestic_l_day),
        garden=plain(household.garden_l_day) if household.garden_l_day > 0 else "",
        lacking=plain(-household.garden_l_day),
        average=ground_words(household, average_mm),
        thirstiest=ground_words(household, worst.eto_mm_day),
        thirstiest_month=MONTHS[worst.month - 1],
        refused=tuple(refused.values()),
    )


def share_words(household: Household, window: Window) -> tuple[str, str]:
    """The ground of a window that a household's water keeps, and all of it against what a square metre asks."""
    ground = ground_words(household, window.highest_l_m2_day)
    if window.highest_l_m2_day < LEAST_SHOWN_L or household.garden_l_day <= 0:
        return ground, ""
    days = sum(one.days for one in window.stages)
    asked = sum(one.days * one.average_l_m2_day for one in window.stages)
    return (
        ground,
        f"{plain(household.garden_l_day * days, places=0)} L in {days} days; a square metre asks {asked:.0f} L",
    )


def months_table(normals: Normals, calendar: Calendar) -> list[tuple[str, str, str, str, str]]:
    """Month, rain, evaporation, coolest and warmest, rounded as everything that is told of a site."""
    rows = zip(normals.rain_mm, calendar.months, normals.tmin_c, normals.tmax_c, strict=True)
    return [
        (
            MONTHS[number],
            _stepped(rain, _RAIN_STEP_MM),
            _stepped(month.eto_mm, _RAIN_STEP_MM),
            _stepped(low, _WARMTH_STEP_C),
            _stepped(high, _WARMTH_STEP_C),
        )
        for number, (rain, month, low, high) in enumerate(rows)
    ]


def _stepped(value: float, step: float) -> str:
    return plain(round(value / step) * step)


@dataclass(frozen=True)
class RoomWords:
    """Container and spacing of a crop, with how far each figure is sourced."""

    depth: str
    volume: str
    spacing: str
    plants: str
    between: str
    between_why: str


_THIRSTY_MM_DAY = 5.0  # a hot day under full leaf, and what the published fractions are given for


def _between(crop: Crop) -> tuple[str, str]:
    """How long the least container lasts when it was soaked, and for which day: the careful end, without rain."""
    if crop.depletion_fraction is None:
        return "", ""
    held = available_mm(held_mm_m=HELD_LEAST_MM_M, depth_m=crop.room.depth_cm / 100)
    share = easily_taken_share(depletion_fraction=crop.depletion_fraction, etc_mm_day=_THIRSTY_MM_DAY)
    easily = easily_taken_mm(available_mm=held, share=share)
    days = days_between_waterings(easily_taken_mm=easily, etc_mm_day=_THIRSTY_MM_DAY)
    how_often = ("twice a day", "every day")[days] if days < 2 else f"every {days} days"
    why = (
        "where the soil is only that deep and a day takes 5 L from each m²: soaked, it holds about "
        f"{plain(easily, places=0)} L there that roots take easily (FAO-56 Eq 82 and 83, with 90 mm a metre, the least "
        "of its three soils; feel the soil)"
    )
    return how_often, why


def room_words(crop: Crop) -> RoomWords:
    """What room a plant wants."""
    room = crop.room
    volume = "" if room.volume_l is None else f"{room.volume_l} L of soil at least ({_mark(crop.origins['volume'])})"
    between, between_why = _between(crop)
    return RoomWords(
        depth=f"{room.depth_cm} cm of soil at least ({_mark(crop.origins['container'])})",
        volume=volume,
        spacing=f"{room.in_row_cm} cm in the row, {room.between_rows_cm} cm between rows "
        f"({_mark(crop.origins['spacing'])})",
        plants=plain(room.plants_on_m2, places=0 if room.plants_on_m2 >= 2 else 1),
        between=between,
        between_why=between_why,
    )


def _mark(origin: Origin) -> str:
    return MARKS[origin.mark]


def origin_lines(crop: Crop) -> list[tuple[str, str, str]]:
    """Each group of a crop's figures: what it is, how far it is sourced, and from where."""
    return [(words, _mark(crop.origins[group]), crop.origins[group].words) for group, words in GROUP_WORDS.items()]


def rests_on(calendar: Calendar) -> list[str]:
    """The works that every window of a calendar rests on, with the place in each."""
    return [SOURCES[key].words for key in (*calendar.method.sources, "growing-period", "manual3", "ecocrop")]
