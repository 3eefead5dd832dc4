"""What a site's own log says of its months: sums and means of whole months, and the years behind each.

What it is: the way from days that volunteers read to twelve months, with the number of years. What it is not: a
mixture: figures of the log never enter those that were given or borrowed; whole columns take their place, and the
answer says which.

Its one rule: a month of rain with a day unknown has no sum; a month of temperatures with too many has no mean.
"""

import calendar
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from fieldbook.climate.bounds import MONTHS
from fieldbook.climate.daily import DailyRecord
from fieldbook.climate.figures import Figure, decimal_figure, settled
from fieldbook.climate.normals import Logged, Normals

MISSING_MOST: Final = 10  # wmo-1203: days of a month without temperature, and
MISSING_RUN_MOST: Final = 4  # how many of them may follow each other
YEARS_TO_GO_BY: Final = 5  # our choice: rain of one month differs so much from year to year that fewer mislead


@dataclass(frozen=True, slots=True)
class LoggedMonth:
    """One month of one year, as far as it was read.

    Attributes:
        year: Such as 2026.
        month: 1 to 12.
        rain_mm: Its rain [mm]; None where a day of it is unknown.
        rain_missing: Days whose rain is unknown.
        tmin_c: Mean of the coolest [C]; None where too many days are unknown.
        tmax_c: Mean of the warmest [C]; None in the same way.
        temperature_missing: Days without either of the two.
    """

    year: int
    month: int
    rain_mm: float | None
    rain_missing: int
    tmin_c: float | None
    tmax_c: float | None
    temperature_missing: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMonth:
    """One month of the year over the years of the log.

    Attributes:
        month: 1 to 12.
        rain_mm: Mean rain [mm], or None where no year has the whole month.
        rain_years: Years behind it.
        tmin_c: Mean daily minimum [C], or None.
        tmax_c: Mean daily maximum [C], or None.
        temperature_years: Years behind both.
    """

    month: int
    rain_mm: float | None
    rain_years: int
    tmin_c: float | None
    tmax_c: float | None
    temperature_years: int

    def as_value(self) -> dict[str, Figure | None]:
        """Give what is printed."""
        figures = {"rain_mm": self.rain_mm, "tmin_c": self.tmin_c, "tmax_c": self.tmax_c}
        return {
            "month": self.month,
            **{name: None if value is None else decimal_figure(value, places=1) for name, value in figures.items()},
            "rain_years": self.rain_years,
            "temperature_years": self.temperature_years,
        }


def own_months_kept(values: Iterable[Mapping[str, Figure | None]]) -> tuple[OwnMonth, ...]:
    """Give months back that were kept as `OwnMonth.as_value` gives them.

    Args:
        values: January first.
    """
    return tuple(
        OwnMonth(
            month=int(value["month"] or 0),
            rain_years=int(value["rain_years"] or 0),
            temperature_years=int(value["temperature_years"] or 0),
            **{
                name: None if value[name] is None else float(value[name] or 0)
                for name in ("rain_mm", "tmin_c", "tmax_c")
            },
        )
        for value in values
    )


def logged_months(record: DailyRecord) -> tuple[LoggedMonth, ...]:
    """Give every month that the record touches, the oldest first.

    A gauge that was emptied after several days counts with its whole sum where all of these days lie in the month.

    Args:
        record: The days.

    Source: wmo-1203.
    """
    touched = {(day.date.year, day.date.month) for day in record.days}
    sums = _sums_over_days(record)
    return tuple(_month(record, sums, year, month) for year, month in sorted(touched))


def _sums_over_days(record: DailyRecord) -> Mapping[tuple[int, int], Sequence[tuple[tuple[dt.date, ...], float]]]:
    """Give the readings over several days that lie in one month, by year and month."""
    found: dict[tuple[int, int], list[tuple[tuple[dt.date, ...], float]]] = {}
    for day in record.days:
        dates = day.rain_dates
        if len(dates) > 1 and day.rain_mm and dates[0].month == dates[-1].month:
            found.setdefault((day.date.year, day.date.month), []).append((dates, day.rain_mm))
    return found


def _month(
    record: DailyRecord,
    sums: Mapping[tuple[int, int], Sequence[tuple[tuple[dt.date, ...], float]]],
    year: int,
    month: int,
) -> LoggedMonth:
    dates = [dt.date(year, month, day) for day in range(1, calendar.monthrange(year, month)[1] + 1)]
    rain = {date: record.rain_mm[date] for date in dates if date in record.rain_mm}
    parts, covered = list(rain.values()), set(rain)
    for days, total in sums.get((year, month), ()):
        if covered.isdisjoint(days):  # a day within them that was read alone would count twice
            parts.append(total)
            covered.update(days)
    missing = len(dates) - len(covered)
    return LoggedMonth(
        year=year,
        month=month,
        rain_mm=None if missing else settled(fsum(parts)),
        rain_missing=missing,
        tmin_c=_mean([record.tmin_c.get(date) for date in dates]),
        tmax_c=_mean([record.tmax_c.get(date) for date in dates]),
        temperature_missing=sum(date not in record.tmin_c or date not in record.tmax_c for date in dates),
    )


def _mean(values: Sequence[float | None]) -> float | None:
    """Mean of a month; None where more than 10 days, or more than 4 running, are unknown."""
    known = [value for value in values if value is not None]
    run = longest = 0
    for value in values:
        run = run + 1 if value is None else 0
        longest = max(longest, run)
    if len(values) - len(known) > MISSING_MOST or longest > MISSING_RUN_MOST:
        return None
    return settled(fsum(known) / len(known))


def own_months(months: Iterable[LoggedMonth]) -> tuple[OwnMonth, ...]:
    """Give the twelve months of the year over all years of a log, January first.

    Args:
        months: As `logged_months` gives them.

    Source: wmo-1203, for which months count.
    """
    listed = tuple(months)
    return tuple(_own([one for one in listed if one.month == month], month) for month in range(1, MONTHS + 1))


def _own(years: Sequence[LoggedMonth], month: int) -> OwnMonth:
    rain = [one.rain_mm for one in years if one.rain_mm is not None]
    both = [(one.tmin_c, one.tmax_c) for one in years if one.tmin_c is not None and one.tmax_c is not None]
    return OwnMonth(
        month=month,
        rain_mm=settled(fsum(rain) / len(rain)) if rain else None,
        rain_years=len(rain),
        tmin_c=settled(fsum(low for low, _ in both) / len(both)) if both else None,
        tmax_c=settled(fsum(high for _, high in both) / len(both)) if both else None,
        temperature_years=len(both),
    )


def fewest_years(own: Sequence[OwnMonth]) -> Logged:
    """Say how many years stand behind the month that has fewest, for rain and for temperatures."""
    return Logged(
        rain_years=min(one.rain_years for one in own), temperature_years=min(one.temperature_years for one in own)
    )


def by_own_log(given: Normals, own: Sequence[OwnMonth]) -> Normals:
    """Give the months that a site goes by which trusts its own log.

    Rain comes from the log where each of its months has `YEARS_TO_GO_BY` years and more, and so do temperatures;
    what has fewer stays as it was given or borrowed. What is borrowed is no longer said to be, once both are its own.

    Args:
        given: As given or borrowed.
        own: As `own_months` gives them.

    Source: ours.
    """
    years = fewest_years(own)
    rain, warmth = years.rain_years >= YEARS_TO_GO_BY, years.temperature_years >= YEARS_TO_GO_BY
    logged = Logged(
        rain_years=years.rain_years if rain else 0, temperature_years=years.temperature_years if warmth else 0
    )
    if not rain and not warmth:
        return given
    return replace(
        given,
        rain_mm=tuple(one.rain_mm for one in own if one.rain_mm is not None) if rain else given.rain_mm,
        tmin_c=tuple(one.tmin_c for one in own if one.tmin_c is not None) if warmth else given.tmin_c,
        tmax_c=tuple(one.tmax_c for one in own if one.tmax_c is not None) if warmth else given.tmax_c,
        borrowed=None if rain and warmth else given.borrowed,
        logged=logged,
    )
