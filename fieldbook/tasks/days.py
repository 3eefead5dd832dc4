"""How the days of a bed, box, can or pen are counted: by dates, or by hand from its day 0.

Not a clock. Its one rule: a spot keeps whole day numbers from its own day 0, so that whatever is counted comes out the
same where a date is known and where nobody trusts a clock; a date is only another way to say a day number.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from fieldbook.climate.year import MONTH_NAMES
from fieldbook.errors import FieldbookError

FIRST_YEAR, LAST_YEAR = 2016, 2069  # ten years before this software, and as far as its clock is believed
FURTHEST_DAYS = 3650  # nothing here is counted over more than ten years
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_NUMBER = re.compile(r"-?\d{1,9}")


class TaskError(FieldbookError):
    """Something of the bed book or of what is due cannot be as it was asked; the message says why."""


def date_words(date: dt.date) -> str:
    """A date as people write it: ``1 March 2027``."""
    return f"{date.day} {MONTH_NAMES[date.month - 1]} {date.year}"


def read_date(text: str) -> dt.date:
    """A date as it is typed.

    Args:
        text: year-month-day.

    Raises:
        TaskError: there is no such day, or it lies outside the years of a bed book.
    """
    found = _ISO.fullmatch(text.strip())
    try:
        date = dt.date(*map(int, found.groups())) if found else None
    except ValueError:
        date = None
    if date is None:
        raise TaskError(f"there is no day {text.strip()[:20]!r}", hint="write it as year-month-day, such as 2027-03-01")
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise TaskError(
            f"the year {date.year} cannot be right",
            hint=f"write a day of the years {FIRST_YEAR} to {LAST_YEAR}",
        )
    return date


@dataclass(frozen=True, slots=True)
class Count:
    """How one spot counts its days.

    Attributes:
        day_zero: The date of its day 0; None where days are marked by hand.
    """

    day_zero: dt.date | None = None

    @property
    def by_hand(self) -> bool:
        """Whether days are marked by hand."""
        return self.day_zero is None

    def date(self, day: int) -> dt.date | None:
        """The date of a day number; None where days are marked by hand."""
        return None if self.day_zero is None else self.day_zero + dt.timedelta(days=day)

    def number(self, date: dt.date) -> int | None:
        """The day number of a date; None where days are marked by hand."""
        return None if self.day_zero is None else (date - self.day_zero).days

    def words(self, day: int) -> str:
        """A day as people read it: its date, or its number where days are marked by hand."""
        date = self.date(day)
        return f"day {day}" if date is None else date_words(date)

    def typed(self, day: int) -> str:
        """A day as it is typed into a form."""
        date = self.date(day)
        return str(day) if date is None else date.isoformat()

    def read(self, text: str) -> int:
        """The day number of what is typed: a date, or a number where days are marked by hand.

        Raises:
            TaskError: it is no such day, or it lies too far from day 0.
        """
        if self.day_zero is not None:
            day = (read_date(text) - self.day_zero).days
        elif _NUMBER.fullmatch(text.strip()):
            day = int(text)
        else:
            raise TaskError(
                f"{text.strip()[:20]!r} is no day number",
                hint="write how many days have passed since day 0, such as 34",
            )
        if abs(day) > FURTHEST_DAYS:
            raise TaskError(
                f"{self.words(day)} lies more than ten years from day 0 of this bed or can",
                hint="write the day once more; if day 0 is wrong, begin a new one in the bed book",
            )
        return day
