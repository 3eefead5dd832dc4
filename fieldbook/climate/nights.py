"""Frost and heat by date, from days: in how many years each week of the year had a night of frost or a day of heat.

What it is: counts over the years of a record, and the first and last frost of each cold season. What it is not: a
chance from a curve: nothing is fitted, so nothing is said of weeks that too few years know.

Its one rule: a week counts as without frost only where every night of it was read; the cold season begins where the
record itself has no frost, never by the side of the equator.
"""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum, sqrt
from typing import Final

from fieldbook.climate.bounds import require
from fieldbook.climate.daily import DailyRecord
from fieldbook.climate.figures import Figure, decimal_figure, settled
from fieldbook.climate.year import DAYS_IN_YEAR, date_of_day, day_of_date, ring_day

FROST_C: Final = 0.0  # in a screen at head height; over the ground it may freeze at 2 C and more (common practice)
HEAT_C: Final = 35.0  # ours: the mean at which Ecocrop ends for tomato and beans; a day so hot scorches young plants
YEARS_FOR_ODDS: Final = 10  # as for the onset of the rains
_WEEKS: Final = 52  # the last one has eight days
_FROST_SPAN_MARGIN_DAYS: Final = 14


@dataclass(frozen=True, slots=True)
class WeekNights:
    """One week of the year, over the years.

    Attributes:
        start_day: Its first day, 1 to 365.
        end_day: Its last day.
        frost_years: Years with a night of frost in it.
        frost_of: Years in which that is known.
        heat_years: Years with a day of heat in it.
        heat_of: Years in which that is known.
    """

    start_day: int
    end_day: int
    frost_years: int
    frost_of: int
    heat_years: int
    heat_of: int

    def as_value(self) -> dict[str, Figure]:
        """Give what is printed."""
        return {
            "from": date_of_day(self.start_day),
            "to": date_of_day(self.end_day),
            "frost_years": self.frost_years,
            "frost_of": self.frost_of,
            "heat_years": self.heat_years,
            "heat_of": self.heat_of,
        }


def weeks_of_nights(record: DailyRecord, *, frost_c: float = FROST_C, heat_c: float = HEAT_C) -> tuple[WeekNights, ...]:
    """Count for each week of the year the years with frost and with heat in it.

    Args:
        record: The days.
        frost_c: A night at or below this is frost [C].
        heat_c: A day at or above this is heat [C].

    Source: ours.
    Valid: frost from -10 to 10 C, heat from 25 to 50 C.
    """
    require(frost_c, name="the temperature of frost", low=-10, high=10, unit="C")
    require(heat_c, name="the temperature of heat", low=25, high=50, unit="C")
    frost = {date: low <= frost_c for date, low in record.tmin_c.items()}
    heat = {date: high >= heat_c for date, high in record.tmax_c.items()}
    return tuple(_week(number, frost, heat) for number in range(_WEEKS))


def _week(number: int, frost: Mapping[dt.date, bool], heat: Mapping[dt.date, bool]) -> WeekNights:
    start = 7 * number + 1
    end = DAYS_IN_YEAR if number == _WEEKS - 1 else start + 6
    frost_years, frost_of = _counted(frost, start, end)
    heat_years, heat_of = _counted(heat, start, end)
    return WeekNights(start, end, frost_years, frost_of, heat_years, heat_of)


def _counted(happened: Mapping[dt.date, bool], start: int, end: int) -> tuple[int, int]:
    """Give the years in which it happened in these days of the year, and those in which that is known."""
    years = {date.year for date in happened}
    yes = known = 0
    for year in years:
        days = [happened.get(_date(year, day)) for day in range(start, end + 1)]
        if any(days):
            yes, known = yes + 1, known + 1
        elif None not in days:
            known += 1
    return yes, known


def _date(year: int, day: int) -> dt.date:
    month, of_month = (int(part) for part in date_of_day(day).split("-"))
    return dt.date(year, month, of_month)


@dataclass(frozen=True, slots=True)
class FrostSeasons:
    """First and last frost of the cold seasons of a record.

    Attributes:
        turn_day: From which day of the year a cold season is counted: the middle of the longest time without frost.
        seasons: Cold seasons in which every night of the time of frosts was read.
        with_frost: Of these, those with frost.
        nights_mean: Frosts in a season, on average.
        first_earliest_day: Earliest first frost, a day of the year.
        first_mean_day: Mean of the first frosts.
        first_sd_days: How far they scatter, standard deviation [days].
        last_mean_day: Mean of the last frosts.
        last_sd_days: How far they scatter [days].
        last_latest_day: Latest last frost.
    """

    turn_day: int
    seasons: int
    with_frost: int
    nights_mean: float
    first_earliest_day: int
    first_mean_day: int
    first_sd_days: float
    last_mean_day: int
    last_sd_days: float
    last_latest_day: int

    def as_value(self) -> dict[str, Figure]:
        """Give what is printed."""
        return {
            "seasons": self.seasons,
            "with_frost": self.with_frost,
            "nights_mean": decimal_figure(self.nights_mean, places=1),
            "first_earliest": date_of_day(self.first_earliest_day),
            "first_mean": date_of_day(self.first_mean_day),
            "first_sd_days": decimal_figure(self.first_sd_days, places=1),
            "last_mean": date_of_day(self.last_mean_day),
            "last_sd_days": decimal_figure(self.last_sd_days, places=1),
            "last_latest": date_of_day(self.last_latest_day),
        }


def frost_seasons(record: DailyRecord, *, frost_c: float = FROST_C) -> FrostSeasons | None:
    """Find first and last frost of each cold season.

    None where the record has no frost, no cold season that was read whole, or frost all year round, so that no season
    begins or ends; the weeks say which.

    Args:
        record: The days.
        frost_c: A night at or below this is frost [C].

    Source: ours; a cold season is counted from the middle of the longest time of the year without any frost.
    Valid: frost from -10 to 10 C.
    """
    require(frost_c, name="the temperature of frost", low=-10, high=10, unit="C")
    nights = sorted(date for date, low in record.tmin_c.items() if low <= frost_c)
    if not nights:
        return None
    found = _turn(sorted({_day_of(date) for date in nights}))
    if found is None:
        return None
    turn, span = found
    by_season: dict[int, list[int]] = {}
    for date in nights:
        by_season.setdefault(_season_of(date, turn), []).append((_day_of(date) - turn) % DAYS_IN_YEAR)
    whole = [year for year in _seasons(record, turn) if _is_whole(record, year, turn, span)]
    frosts = [by_season[year] for year in whole if year in by_season]
    if not frosts:
        return None
    first, last = [min(one) for one in frosts], [max(one) for one in frosts]
    return FrostSeasons(
        turn_day=turn,
        seasons=len(whole),
        with_frost=len(frosts),
        nights_mean=settled(sum(map(len, frosts)) / len(whole)),
        first_earliest_day=ring_day(turn + min(first)),
        first_mean_day=ring_day(turn + round(_mean(first))),
        first_sd_days=_sd(first),
        last_mean_day=ring_day(turn + round(_mean(last))),
        last_sd_days=_sd(last),
        last_latest_day=ring_day(turn + max(last)),
    )


def _day_of(date: dt.date) -> int:
    return day_of_date(month=date.month, day=date.day)


def _turn(days: list[int]) -> tuple[int, tuple[int, int]] | None:
    """Give the middle of the longest time without frost, and the time of frosts as first and last day after it.

    None where that time is shorter than a month.
    """
    gaps = [((later - earlier - 1) % DAYS_IN_YEAR, earlier) for earlier, later in _ring_pairs(days)]
    longest, before = max(gaps)
    if longest < 2 * _FROST_SPAN_MARGIN_DAYS:
        return None
    turn = ring_day(before + 1 + longest // 2)
    offsets = [(day - turn) % DAYS_IN_YEAR for day in days]
    return turn, (min(offsets) - _FROST_SPAN_MARGIN_DAYS, max(offsets) + _FROST_SPAN_MARGIN_DAYS)


def _ring_pairs(days: list[int]) -> Iterator[tuple[int, int]]:
    yield from zip(days, [*days[1:], days[0] + DAYS_IN_YEAR], strict=True)


def _season_of(date: dt.date, turn: int) -> int:
    return date.year if _day_of(date) >= turn else date.year - 1


def _seasons(record: DailyRecord, turn: int) -> list[int]:
    return sorted({_season_of(date, turn) for date in record.tmin_c})


def _is_whole(record: DailyRecord, year: int, turn: int, span: tuple[int, int]) -> bool:
    """Whether every night from before the earliest frost ever to after the latest was read in this season."""
    start = _date(year, turn) + dt.timedelta(days=max(0, span[0]))
    nights = min(span[1], DAYS_IN_YEAR - 1) - max(0, span[0])
    return all(start + dt.timedelta(days=step) in record.tmin_c for step in range(nights + 1))


def _mean(values: list[int]) -> float:
    return fsum(values) / len(values)


def _sd(values: list[int]) -> float:
    """Scatter of some days; 0 where there is one alone."""
    if len(values) < 2:
        return 0.0
    mean = _mean(values)
    return settled(sqrt(fsum((value - mean) ** 2 for value in values) / (len(values) - 1)))
