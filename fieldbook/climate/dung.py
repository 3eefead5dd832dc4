"""Dung day: the last day on which raw dung may go into a bed before a planting.

What it is: the wait of the organic rule, counted back from the earliest day that anything of the crop is eaten. What it
is not: a word that dung of that age is harmless (germs were still found in soil after 132 to 168 days; Source:
ingham2004), nor a licence: the rule binds farms that sell as organic and is borrowed here as the careful side.

Its one rule: where the earliest day that something is eaten is not known, there is no dung day.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from fieldbook.climate.bounds import require
from fieldbook.climate.crops import Contact, Crop
from fieldbook.climate.year import ring_day
from fieldbook.sources import SOURCES

TOUCHES_SOIL_DAYS: Final = 120
OFF_SOIL_DAYS: Final = 90
# which waits hold for a crop; the contact of each crop is our judgement on the careful side: leaves, which rain
# splashes with soil, and low pods count as touching it
_WAITS: Final = MappingProxyType(
    {
        "soil": (TOUCHES_SOIL_DAYS,),
        "staked": (TOUCHES_SOIL_DAYS, OFF_SOIL_DAYS),
        "off soil": (OFF_SOIL_DAYS,),
        "not eaten": (),
    }
)
_LAW: Final = MappingProxyType({TOUCHES_SOIL_DAYS: "cfr205-c1-ii", OFF_SOIL_DAYS: "cfr205-c1-iii"})


@dataclass(frozen=True, slots=True)
class DungDay:
    """The last day for raw dung before the plantings of a window.

    Attributes:
        wait_days: From dung to the first bite [days].
        eaten_after_days: From planting to the first bite [days].
        first_day: Last day for dung before a planting on the first day of the window, 1 to 365.
        last_day: The same for its last day.
        staked: Whether it holds only if the fruit is kept off the soil.
    """

    wait_days: int
    eaten_after_days: int
    first_day: int
    last_day: int
    staked: bool

    @property
    def before_planting_days(self) -> int:
        """Days that must lie between dung and planting at least."""
        return max(0, self.wait_days - self.eaten_after_days)

    @property
    def law(self) -> str:
        """The section that the wait is taken from."""
        return SOURCES[_LAW[self.wait_days]].words


def dung_day(*, planted_day: int, eaten_after_days: int, wait_days: int) -> int:
    """Return the last day of the year on which raw dung may be mixed into the soil before a planting.

    Never later than the day of planting, since it must be mixed in and roots stand there afterwards (ours).

    Args:
        planted_day: Day of the year of sowing, planting or planting out, from which the next figure counts.
        eaten_after_days: From then to the earliest day that anything is eaten [days].
        wait_days: 120 where what is eaten touches the soil, else 90 [days].

    Source: cfr205-c1-ii, cfr205-c1-iii.
    Valid: 1 to 1000 days to the first bite.
    """
    require(eaten_after_days, name="the time to the first bite", low=1, high=1000, unit="days")
    return ring_day(planted_day - max(0, wait_days - eaten_after_days))


def dung_days(crop: Crop, *, first_day: int, last_day: int, eaten_after_days: int | None = None) -> tuple[DungDay, ...]:
    """Return the dung days of a window, the careful one first; none where nobody eats the crop or the day is unknown.

    Args:
        crop: The crop.
        first_day: First day to plant, 1 to 365.
        last_day: Last day to plant, 1 to 365.
        eaten_after_days: What is known here of the earliest day that something is eaten; else the table's figure.

    Source: cfr205-c1-ii, cfr205-c1-iii.
    Valid: as for `dung_day`.
    """
    known = crop.eaten_after_days if eaten_after_days is None else eaten_after_days
    if known is None:
        return ()
    found = []
    for wait in waits(crop.contact):
        first, last = (
            dung_day(planted_day=day, eaten_after_days=known, wait_days=wait) for day in (first_day, last_day)
        )
        staked = crop.contact == "staked" and wait == OFF_SOIL_DAYS
        found.append(DungDay(wait, known, first, last, staked))
    return tuple(found)


def waits(contact: Contact) -> tuple[int, ...]:
    """Return the waits that hold for what touches, or does not touch, the soil [days]."""
    return _WAITS[contact]
