"""The days of a place: rain, coolest and warmest, as a gauge and a thermometer were read.

What it is: one day, a record of many, and the one door for a table headed `date` with `rain_mm`, `rain_days`,
`tmin_c`, `tmax_c`. What it is not: a filled-in series: between two days that were read lie days that are unknown.

Its one rule: a day or a figure that is not there is unknown, never nought. A gauge that was emptied after several days
gives their sum, and none of those days alone (unless it was empty: then none of them had rain).
"""

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.tables import NUMBER, Range, heading_faults, heading_of, table_rows, text_fault

LIMIT_CHARACTERS: Final = 1_500_000  # a hundred years of days, twenty figures wide
COLUMNS: Final = ("date", "rain_mm", "rain_days", "tmin_c", "tmax_c")
RAIN_DAYS_MOST: Final = 31  # a gauge that nobody read for longer says nothing of any month
_FIRST_YEAR: Final = 1800  # ours: before anybody read instruments day by day at a place that gardens now
_LAST_YEAR: Final = 2100  # ours: a date beyond it is a slip
_FIGURES: Final = ("rain_mm", "tmin_c", "tmax_c")
_FAULTS_SHOWN: Final = 12
_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)

# what one day can be on dry land, with room; the most rain ever read in a day is near 1825 mm (from memory)
_RANGES: Final[Mapping[str, Range]] = {
    "rain_mm": Range(0, 2000, "millimetres, not inches"),
    "rain_days": Range(1, RAIN_DAYS_MOST, "the days since the gauge was emptied, 1 where it is read every day"),
    "tmin_c": Range(-60, 50, "degrees Celsius, not Fahrenheit"),
    "tmax_c": Range(-55, 60, "degrees Celsius, not Fahrenheit"),
}


class DailyError(ClimateError):
    """Days that cannot be taken.

    Attributes:
        faults: All that is wrong with them, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        """Say the first faults in one message, and how many there are."""
        count = f"{len(faults)} faults, the first: " if len(faults) > _FAULTS_SHOWN else ""
        super().__init__(
            f"the days cannot be taken: {count}{'; '.join(faults[:_FAULTS_SHOWN])}",
            hint="write one line a day, such as 2026-11-25,12.5,1,18,27 under the heading "
            "date,rain_mm,rain_days,tmin_c,tmax_c, and leave empty what was not read",
        )
        self.faults = faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """What was read on one day.

    Attributes:
        date: The day on which the instruments were read.
        rain_mm: Rain in the gauge since it was emptied [mm], or None if it was not read.
        rain_days: Days since it was emptied [days]; 1 where it is read every day.
        tmin_c: Coolest [C], or None.
        tmax_c: Warmest [C], or None.
    """

    date: dt.date
    rain_mm: float | None = None
    rain_days: int = 1
    tmin_c: float | None = None
    tmax_c: float | None = None

    @property
    def rain_dates(self) -> tuple[dt.date, ...]:
        """The days whose rain was in the gauge, the day of reading last; none if it was not read."""
        count = 0 if self.rain_mm is None else self.rain_days
        return tuple(self.date - dt.timedelta(days=back) for back in reversed(range(count)))

    def over(self, older: "Day | None") -> "Day":
        """This day with what only an older reading of it has; what was read now stands in the place of the older."""
        if older is None:
            return self
        rain = self if self.rain_mm is not None else older
        return Day(
            date=self.date,
            rain_mm=rain.rain_mm,
            rain_days=rain.rain_days,
            tmin_c=older.tmin_c if self.tmin_c is None else self.tmin_c,
            tmax_c=older.tmax_c if self.tmax_c is None else self.tmax_c,
        )


@dataclass(frozen=True)
class DailyRecord:
    """Days in their order, each once.

    Attributes:
        days: As they were read.
    """

    days: tuple[Day, ...]

    @cached_property
    def rain_mm(self) -> Mapping[dt.date, float]:
        """Rain of each day whose own rain is known [mm]."""
        known: dict[dt.date, float] = {}
        for day in self.days:
            if day.rain_mm is None:
                continue
            if day.rain_days == 1:
                known[day.date] = day.rain_mm
            elif day.rain_mm == 0:
                for date in day.rain_dates:
                    known.setdefault(date, 0.0)
        return known

    @cached_property
    def tmin_c(self) -> Mapping[dt.date, float]:
        """Coolest of each day that was read [C]."""
        return {day.date: day.tmin_c for day in self.days if day.tmin_c is not None}

    @cached_property
    def tmax_c(self) -> Mapping[dt.date, float]:
        """Warmest of each day that was read [C]."""
        return {day.date: day.tmax_c for day in self.days if day.tmax_c is not None}

    @property
    def span(self) -> tuple[dt.date, dt.date] | None:
        """First and last day, or None where there is none."""
        return (self.days[0].date, self.days[-1].date) if self.days else None


def record_of(days: Iterable[Day]) -> DailyRecord:
    """Put days in order; of two readings of one day the later in the list counts, figure by figure."""
    by_date: dict[dt.date, Day] = {}
    for day in days:
        by_date[day.date] = day.over(by_date.get(day.date))
    return DailyRecord(tuple(by_date[date] for date in sorted(by_date)))


def read_day(cells: Mapping[str, str]) -> Day:
    """Read one day from what was typed; an empty cell is unknown.

    Args:
        cells: By column, as in the table; the date as year-month-day.

    Raises:
        DailyError: Something in it cannot be right, or nothing was read; all faults at once.
    """
    faults = list(_day_faults(cells, None))
    if faults:
        raise DailyError(tuple(faults))
    return _day(cells)


def read_days(text: str) -> DailyRecord:
    """Read a table of days.

    Args:
        text: The table, comma-separated, a heading first; days in any order, any of them missing.

    Raises:
        DailyError: It is torn, doubled, contradictory or out of range; all faults at once.
    """
    fault = text_fault(text, most_characters=LIMIT_CHARACTERS)
    if fault:
        raise DailyError((fault,))
    rows = table_rows(text)
    columns = heading_of(rows)
    faults = list(heading_faults(columns, needed=("date",), known=COLUMNS))
    if not set(_FIGURES) & set(columns):
        faults.append("there is no column of figures (rain_mm, tmin_c or tmax_c)")
    if faults:
        raise DailyError(tuple(faults))
    return _read_rows(columns, rows[1:])


def _read_rows(columns: list[str], rows: list[list[str]]) -> DailyRecord:
    faults: list[str] = []
    days: list[Day] = []
    for number, row in enumerate(rows, start=2):
        if len(row) != len(columns):
            faults.append(f"line {number} has {len(row)} cells, the heading {len(columns)}")
            continue
        cells = dict(zip(columns, (cell.strip() for cell in row), strict=True))
        wrong = list(_day_faults(cells, number))
        faults.extend(wrong)
        if not wrong:
            days.append(_day(cells))
    counted = Counter(day.date for day in days)
    faults.extend(f"the day {date.isoformat()} stands {times} times" for date, times in counted.items() if times > 1)
    if faults:
        raise DailyError(tuple(faults))
    return record_of(days)


def _day_faults(cells: Mapping[str, str], line: int | None) -> Iterator[str]:
    """Say what is wrong with a day; a line of a table may have a date alone, a day that is typed may not."""
    date = _date(cells.get("date", ""))
    if date is None and line is None:
        yield "the date is no day of the calendar (write it as 2026-11-25)"
    elif date is None:
        yield f"the date of line {line} is no day of the calendar (write it as 2026-11-25)"
    if date is None:
        return
    if not _FIRST_YEAR <= date.year <= _LAST_YEAR:
        yield f"the year of {date.isoformat()} is outside {_FIRST_YEAR} to {_LAST_YEAR}"
    typed = {name: cells.get(name, "") for name in COLUMNS[1:]}
    figures = list(_cell_faults(date, typed))
    yield from figures
    if line is None and not any(typed[name] for name in _FIGURES):
        yield f"nothing was read on {date.isoformat()}"
    low, high = typed["tmin_c"], typed["tmax_c"]
    if not figures and low and high and float(low) > float(high):
        yield f"the coolest of {date.isoformat()} ({low}) is above the warmest ({high}); are they swapped?"


def _day(cells: Mapping[str, str]) -> Day:
    """Give a day that no fault was found in."""
    rain_mm = _figure(cells.get("rain_mm", ""))
    return Day(
        date=dt.date.fromisoformat(cells["date"]),
        rain_mm=rain_mm,
        rain_days=1 if rain_mm is None else int(cells.get("rain_days", "") or 1),
        tmin_c=_figure(cells.get("tmin_c", "")),
        tmax_c=_figure(cells.get("tmax_c", "")),
    )


def _date(cell: str) -> dt.date | None:
    if _DATE.fullmatch(cell) is None:
        return None
    try:
        return dt.date.fromisoformat(cell)
    except ValueError:
        return None


def _figure(cell: str) -> float | None:
    return float(cell) if cell else None


def _cell_faults(date: dt.date, typed: Mapping[str, str]) -> Iterator[str]:
    for column, cell in typed.items():
        bounds = _RANGES[column]
        if cell and not NUMBER.fullmatch(cell):
            yield f"{column} of {date.isoformat()} is no number: {cell[:20]!r}"
        elif cell and not bounds.low <= float(cell) <= bounds.high:
            said = f"{float(cell):g}, outside {bounds.low:g} to {bounds.high:g} ({bounds.hint})"
            yield f"{column} of {date.isoformat()} is {said}"
        elif column == "rain_days" and cell and not cell.isdecimal():
            yield f"rain_days of {date.isoformat()} is {cell}, no whole number of days"
