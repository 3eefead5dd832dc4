"""Growing periods: the stretches of the year in which rain and stored soil water carry a crop.

What it is: our specification of the rule that FAO published in 1978 and left open in four places (how to read days
from months, how much water is stored, how fast it is used, several periods a year). What it is not: a season by the
calendar or by the sign of latitude.

Its one rule: a list, never one start and one end. Days run round the year.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from typing import Final

from fieldbook.climate.bounds import require_months
from fieldbook.climate.figures import Figure, decimal_figure
from fieldbook.climate.year import DAYS_IN_MONTH, DAYS_IN_YEAR, daily_from_monthly, date_of_day, ring_day

WET_SHARE: Final = 0.5  # a day is wet when rain is at least this share of ETo
STORE_LIMIT_MM: Final = 100.0  # most water that the soil keeps for after the rains
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Period:
    """One growing period. In one that lasts all year, only `days` and `stored_mm` are set.

    Attributes:
        start_day: First wet day, 1 to 365.
        rain_ends_day: Last wet day.
        end_day: Last day that stored water covers.
        days: From start to end [days].
        humid_start_day: First day with rain at least ETo, if there is one.
        humid_end_day: Last such day.
        stored_mm: Water left in the soil when the rains end [mm].
    """

    start_day: int | None
    rain_ends_day: int | None
    end_day: int | None
    days: int
    humid_start_day: int | None
    humid_end_day: int | None
    stored_mm: float

    @property
    def all_year(self) -> bool:
        """Whether every day of the year is wet."""
        return self.start_day is None

    @property
    def start(self) -> str | None:
        """First wet day, `MM-DD`."""
        return _date(self.start_day)

    @property
    def rain_ends(self) -> str | None:
        """Last wet day, `MM-DD`."""
        return _date(self.rain_ends_day)

    @property
    def end(self) -> str | None:
        """Last day that stored water covers, `MM-DD`."""
        return _date(self.end_day)

    @property
    def humid_start(self) -> str | None:
        """First day with rain at least ETo, `MM-DD`."""
        return _date(self.humid_start_day)

    @property
    def humid_end(self) -> str | None:
        """Last day with rain at least ETo, `MM-DD`."""
        return _date(self.humid_end_day)

    def as_value(self) -> dict[str, Figure | None]:
        """Give what is printed: dates `MM-DD`, water to one decimal."""
        return {
            "start": self.start,
            "rain_ends": self.rain_ends,
            "end": self.end,
            "days": self.days,
            "humid_start": self.humid_start,
            "humid_end": self.humid_end,
            "stored_mm": decimal_figure(self.stored_mm, places=1),
        }


def _date(day: int | None) -> str | None:
    return None if day is None else date_of_day(day)


def growing_periods(*, rain_mm: Sequence[float], eto_mm: Sequence[float]) -> tuple[Period, ...]:
    """Return the growing periods of a year, in order of their start.

    A day is wet when rain is at least half of what a green cover would use. Each unbroken run of wet days is a period;
    then the soil gives back what the rain left in it, up to 100 mm, until a day is no longer covered in full or the
    next rains start.

    Args:
        rain_mm: Rain of each month, January first [mm].
        eto_mm: Reference evapotranspiration of each month [mm].

    Returns:
        The periods; none where no day is wet; one without dates where all are.

    Raises:
        ClimateError: There are not twelve months of each, or a figure is negative or no number.

    Source: growing-period.
    Valid: 0 to 10,000 mm a month.
    """
    rain = _daily_rate(rain_mm, "rain")
    eto = _daily_rate(eto_mm, "reference evapotranspiration")
    wet = [p >= WET_SHARE * e - _SLACK for p, e in zip(rain, eto, strict=True)]
    surplus = [p - e for p, e in zip(rain, eto, strict=True)]
    if all(wet):
        return (Period(None, None, None, DAYS_IN_YEAR, None, None, _stored_mm(surplus)),)
    starts = [day for day in range(DAYS_IN_YEAR) if wet[day] and not wet[day - 1]]
    return tuple(_period(start, wet, surplus) for start in starts)


def _daily_rate(totals_mm: Sequence[float], name: str) -> tuple[float, ...]:
    checked = require_months(totals_mm, name=name, low=0, high=10_000, unit="mm")
    return daily_from_monthly([total / days for total, days in zip(checked, DAYS_IN_MONTH, strict=True)])


def _stored_mm(surplus: Sequence[float]) -> float:
    return min(STORE_LIMIT_MM, fsum(max(0.0, left) for left in surplus))


def _period(start: int, wet: Sequence[bool], surplus: Sequence[float]) -> Period:
    """Follow one run of wet days and its tail; `start` counts from 0."""
    run = _run_length(start, wet)
    days_of_run = [(start + offset) % DAYS_IN_YEAR for offset in range(run)]
    humid = [day for day in days_of_run if surplus[day] >= -_SLACK]
    stored = _stored_mm([surplus[day] for day in days_of_run])
    days = run + _tail_length(start + run, wet, surplus, stored_mm=stored)
    return Period(
        start_day=start + 1,
        rain_ends_day=ring_day(start + run),
        end_day=ring_day(start + days),
        days=days,
        humid_start_day=humid[0] + 1 if humid else None,
        humid_end_day=humid[-1] + 1 if humid else None,
        stored_mm=stored,
    )


def _run_length(start: int, wet: Sequence[bool]) -> int:
    length = 0
    while wet[(start + length) % DAYS_IN_YEAR]:
        length += 1
    return length


def _tail_length(first: int, wet: Sequence[bool], surplus: Sequence[float], *, stored_mm: float) -> int:
    """Count the dry days from `first` on that the store covers in full, up to the next wet day."""
    length, left = 0, stored_mm
    while not wet[(day := (first + length) % DAYS_IN_YEAR)] and left + surplus[day] >= -_SLACK:
        left += surplus[day]
        length += 1
    return length
