"""The year of 365 days on which everything here is reckoned.

What it is: months, dates `MM-DD`, and the way from twelve monthly figures to one for each day. What it is not: a clock
or a calendar of real dates: 29 February counts as 28 February.

Its one rule: the year is a ring; 31 December is followed by 1 January in every sum.
"""

from collections.abc import Sequence
from itertools import accumulate
from typing import Final

from fieldbook.climate.bounds import AnyUnit, require, require_months

DAYS_IN_YEAR: Final = 365
DAYS_IN_MONTH: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DAYS_BEFORE_MONTH: Final = (0, *accumulate(DAYS_IN_MONTH))[:12]
# month 1..12 of each day 1..365; index 0 is 1 January
MONTH_OF_DAY: Final = tuple(month for month, days in enumerate(DAYS_IN_MONTH, start=1) for _ in range(days))
MIDDLE_OF_MONTH: Final = tuple(
    before + (days + 1) / 2 for before, days in zip(DAYS_BEFORE_MONTH, DAYS_IN_MONTH, strict=True)
)
MONTH_NAMES: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_LARGEST: Final = 1e6  # beyond any monthly figure of a climate, in any unit used here


def ring_day(day: int) -> int:
    """Return the day 1..365 that any whole day number falls on, counting on round the year.

    Valid: any whole number; 366 is 1, 0 is 365.
    """
    return (day - 1) % DAYS_IN_YEAR + 1


def date_of_day(day: int) -> str:
    """Return the date `MM-DD` of a day of the year.

    Args:
        day: Any whole day number; 1 is 1 January, 366 is 1 January again.

    Valid: any whole number.
    """
    position = ring_day(day)
    month = MONTH_OF_DAY[position - 1]
    return f"{month:02d}-{position - DAYS_BEFORE_MONTH[month - 1]:02d}"


def day_words(day: int) -> str:
    """Return a day of the year as people write it, such as `24 January`.

    Args:
        day: Any whole day number; 1 is 1 January, 366 is 1 January again.

    Valid: any whole number.
    """
    position = ring_day(day)
    month = MONTH_OF_DAY[position - 1]
    return f"{position - DAYS_BEFORE_MONTH[month - 1]} {MONTH_NAMES[month - 1]}"


def date_words(month_day: str) -> str:
    """Return a date `MM-DD` as people write it, such as `5 March` for `03-05`.

    Args:
        month_day: As `date_of_day` gives it.

    Valid: dates of the year of 365 days.
    """
    month, day = month_day.split("-")
    return f"{int(day)} {MONTH_NAMES[int(month) - 1]}"


def day_of_date(*, month: int, day: int) -> int:
    """Return the day of the year of a date; 29 February counts as 28 February.

    Args:
        month: 1 to 12.
        day: Day of that month.

    Raises:
        ClimateError: There is no such date.

    Valid: months 1 to 12, days that the month has.
    """
    require(month, name="the month", low=1, high=12, unit="", hint="give a month from 1 to 12")
    last = 29 if month == 2 else DAYS_IN_MONTH[month - 1]
    require(day, name=f"the day of month {month}", low=1, high=last, unit="")
    return DAYS_BEFORE_MONTH[month - 1] + min(day, DAYS_IN_MONTH[month - 1])


def daily_from_monthly(rates: Sequence[AnyUnit]) -> tuple[AnyUnit, ...]:
    """Return a figure for each day from twelve monthly means, straight lines between the middles of the months.

    Args:
        rates: The mean of each month, January first, in any unit.

    Returns:
        365 figures in the same unit, 1 January first.

    Raises:
        ClimateError: There are not twelve numbers.

    Source: growing-period, step 2.
    Valid: any twelve numbers.
    """
    checked = require_months(rates, name="the monthly series", low=-_LARGEST, high=_LARGEST, unit="")
    return tuple(checked[one] + (checked[other] - checked[one]) * share for one, other, share in _BETWEEN)


def _between(day: int) -> tuple[int, int, float]:
    """Give the months (0 to 11) whose middles lie on both sides of a day, and how far it is on the way."""
    month = MONTH_OF_DAY[day - 1]
    earlier = month - 1 if day >= MIDDLE_OF_MONTH[month - 1] else (month - 2) % 12
    later = (earlier + 1) % 12
    start, stop = MIDDLE_OF_MONTH[earlier], MIDDLE_OF_MONTH[later]
    return earlier, later, ((day - start) % DAYS_IN_YEAR) / ((stop - start) % DAYS_IN_YEAR)


_BETWEEN: Final = tuple(_between(day) for day in range(1, DAYS_IN_YEAR + 1))
