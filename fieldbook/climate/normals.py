"""A site's monthly normals, read from a small table.

What it is: the one door for a table headed `month,rain_mm,tmin_c,tmax_c` with `humidity_pct,wind_m_s,sun_h` where they
were measured (mean relative humidity; wind at 2 m; hours of bright sunshine a day). What it is not: a repair shop: a
doubtful table is refused with every fault in it named at once.

Its one rule: an empty cell is unknown, never nought. In rain and temperature that is a fault; in a column that may be
left out, the whole column then counts as not measured, so that one site has one method all the year.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from fieldbook.climate.bounds import MONTHS, ClimateError
from fieldbook.climate.figures import plain
from fieldbook.climate.tables import NUMBER, Range, heading_faults, heading_of, table_rows, text_fault

LIMIT_CHARACTERS: Final = 65_536  # thirteen short lines; a thousand times that is no table of normals
NEEDED: Final = ("month", "rain_mm", "tmin_c", "tmax_c")
OPTIONAL: Final = ("humidity_pct", "wind_m_s", "sun_h")

_MONTH_NAMES: Final = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
# what a monthly normal can be anywhere on dry land, with room; figures in another unit mostly fall outside
_RANGES: Final[Mapping[str, Range]] = {
    "rain_mm": Range(0, 4000, "millimetres in the month, not inches"),
    "tmin_c": Range(-50, 45, "degrees Celsius, not Fahrenheit"),
    "tmax_c": Range(-45, 55, "degrees Celsius, not Fahrenheit"),
    "humidity_pct": Range(5, 100, "percent, not a fraction"),
    "wind_m_s": Range(0, 15, "metres a second at 2 m, not kilometres a day"),
    "sun_h": Range(0, 24, "hours a day, not a month"),
}


class NormalsError(ClimateError):
    """A table of normals that cannot be taken.

    Attributes:
        faults: All that is wrong with it, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        """Say all faults in one message."""
        count = f"{len(faults)} faults: " if len(faults) > 1 else ""
        hint = f"write one line a month under the heading {','.join(NEEDED)}, with decimal points and no empty cell"
        super().__init__(f"the monthly normals cannot be taken: {count}{'; '.join(faults)}", hint=hint)
        self.faults = faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Borrowed:
    """From where normals come that were not gathered at the place itself.

    Attributes:
        whose: How people name the place that lent them, such as `C Cloudstep Terrace`.
        height_difference_m: How much higher this place lies than that one [m]; negative where it lies lower.
    """

    whose: str
    height_difference_m: float

    @property
    def height_words(self) -> str:
        """How this place lies to that one, such as `300 m higher`."""
        metres = round(abs(self.height_difference_m))
        if metres == 0:
            return "at the same height"
        return f"{metres} m {'higher' if self.height_difference_m > 0 else 'lower'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """How many years of a site's own log stand behind its months.

    Attributes:
        rain_years: Years behind the month that has fewest; 0 where rain does not come from the log.
        temperature_years: The same of both temperatures.
    """

    rain_years: int
    temperature_years: int


@dataclass(frozen=True, slots=True)
class Normals:
    """Twelve months of a site's usual weather, January first.

    Attributes:
        rain_mm: Total of each month [mm].
        tmin_c: Mean daily minimum [C].
        tmax_c: Mean daily maximum [C].
        humidity_pct: Mean relative humidity [%], or None if not measured all year.
        wind_m_s: Mean wind at 2 m [m/s], or None.
        sun_h: Mean bright sunshine a day [h], or None.
        incomplete: Names of the columns that were there with gaps and so count as not measured.
        borrowed: From where they come, if they are another place's, moved to this one's height; None for its own.
        logged: What of them comes from the site's own log, and of how many years; None where nothing does.
    """

    rain_mm: tuple[float, ...]
    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]
    humidity_pct: tuple[float, ...] | None = None
    wind_m_s: tuple[float, ...] | None = None
    sun_h: tuple[float, ...] | None = None
    incomplete: tuple[str, ...] = ()
    borrowed: Borrowed | None = None
    logged: Logged | None = None

    @property
    def tmean_c(self) -> tuple[float, ...]:
        """Mean of the two extremes of each month [C] (fao56, Eq 9)."""
        return tuple((low + high) / 2 for low, high in zip(self.tmin_c, self.tmax_c, strict=True))


def read_normals(text: str) -> Normals:
    """Read a table of monthly normals.

    Args:
        text: The table, comma-separated, a heading first; months as 1 to 12 or by their English names, in any order.

    Raises:
        NormalsError: It is torn, incomplete, doubled, contradictory or out of range; all faults at once.
    """
    fault = text_fault(text, most_characters=LIMIT_CHARACTERS)
    if fault:
        raise NormalsError((fault,))
    rows = table_rows(text)
    columns = heading_of(rows)
    faults = list(heading_faults(columns, needed=NEEDED, known=(*NEEDED, *OPTIONAL)))
    if faults:
        raise NormalsError(tuple(faults))
    table = _Table(columns)
    for number, row in enumerate(rows[1:], start=2):
        table.take(row, number)
    return table.normals()


def write_normals(normals: Normals) -> str:
    """Return normals as the table that `read_normals` reads, figures to two decimals; whose they are is not in it.

    Args:
        normals: Rain, Tmin and Tmax of each month; other columns where they were measured all year.
    """
    columns = [name for name in (*NEEDED[1:], *OPTIONAL) if getattr(normals, name) is not None]
    lines = [",".join(("month", *columns))]
    for index in range(MONTHS):
        figures = (plain(getattr(normals, name)[index], places=2) for name in columns)
        lines.append(",".join((str(index + 1), *figures)))
    return "\n".join(lines) + "\n"


class _Table:
    """The lines taken so far and what is wrong with them."""

    def __init__(self, columns: list[str]) -> None:
        self.columns = columns
        self.faults: list[str] = []
        self.seen: Counter[int] = Counter()
        self.values: dict[str, dict[int, float]] = {column: {} for column in columns if column != "month"}
        self.gaps: set[str] = set()

    def take(self, row: list[str], number: int) -> None:
        """Take one line, or note why not."""
        if len(row) != len(self.columns):
            more = " (decimals are written with a point)" if len(row) > len(self.columns) else " (torn off?)"
            self.faults.append(f"line {number} has {len(row)} cells, the heading {len(self.columns)}{more}")
            return
        cells = dict(zip(self.columns, (cell.strip() for cell in row), strict=True))
        month = _month(cells.pop("month"))
        if month is None:
            self.faults.append(f"line {number} names no month (1 to 12, or its English name)")
            return
        self.seen[month] += 1
        taken = {column: self._take_cell(column, month, cell) for column, cell in cells.items()}
        low, high = taken["tmin_c"], taken["tmax_c"]
        if low is not None and high is not None and low >= high:
            self.faults.append(f"Tmin {low:g} is not below Tmax {high:g} in month {month} (are they swapped?)")

    def _take_cell(self, column: str, month: int, cell: str) -> float | None:
        if not cell:
            self.gaps.add(column)
            if column in NEEDED:
                self.faults.append(f"{column} of month {month} is empty, so unknown")
            return None
        if not NUMBER.fullmatch(cell):
            advice = "write decimals with a point" if "," in cell else "plain digits are wanted"
            self.faults.append(f"{column} of month {month} is no number: {cell[:20]!r} ({advice})")
            return None
        self.values[column][month] = value = float(cell)
        bounds = _RANGES[column]
        if not bounds.low <= value <= bounds.high:
            said = f"{value:g}, outside {bounds.low:g} to {bounds.high:g} ({bounds.hint})"
            self.faults.append(f"{column} of month {month} is {said}")
        return value

    def _month_faults(self) -> Iterator[str]:
        doubled = sorted(month for month, count in self.seen.items() if count > 1)
        missing = [month for month in range(1, MONTHS + 1) if month not in self.seen]
        if doubled:
            yield f"{_named(doubled)} there more than once ({self.seen.total()} months in all)"
        if missing:
            yield f"{_named(missing)} missing ({len(self.seen)} months in all)"

    def normals(self) -> Normals:
        """Give the normals, or all faults at once."""
        faults = (*self.faults, *self._month_faults())
        if faults:
            raise NormalsError(faults)
        whole = {
            column: tuple(by_month[month] for month in range(1, MONTHS + 1))
            for column, by_month in self.values.items()
            if column not in self.gaps
        }
        gaps = tuple(column for column in OPTIONAL if column in self.gaps)
        return Normals(**whole, incomplete=gaps, borrowed=None, logged=None)


def _month(cell: str) -> int | None:
    """Return the month that a cell names: a number, an English name, or its first letters from three on."""
    word = cell.lower().rstrip(".")
    if re.fullmatch(r"0?[1-9]|1[0-2]", word, re.ASCII):
        return int(word)
    if len(word) < 3:
        return None
    return next((number for number, name in enumerate(_MONTH_NAMES, start=1) if name.startswith(word)), None)


def _named(months: list[int]) -> str:
    """Begin a sentence on some months, runs joined, such as `months 1, 4 to 6 are`."""
    cuts = [0, *(at for at, (left, right) in enumerate(pairwise(months), start=1) if right > left + 1), len(months)]
    runs = (months[start:stop] for start, stop in pairwise(cuts))
    listed = ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
    return f"month {listed} is" if len(months) == 1 else f"months {listed} are"
