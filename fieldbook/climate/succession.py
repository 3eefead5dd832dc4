"""Sowing again and again, so that there is something to pick without a gap.

What it is: how far apart plantings may lie in a window. What it is not: a plan for one bed: each planting needs a place
of its own while it stands.

Its one rule: a planting follows no later than the shortest harvest of the one before.
"""

from dataclasses import dataclass
from typing import Final

from fieldbook.climate.crops import Crop
from fieldbook.climate.planting import Opening

_WEEK_DAYS: Final = 7


@dataclass(frozen=True, slots=True)
class Succession:
    """Plantings one after the other.

    Attributes:
        every_weeks: From one to the next [weeks].
        plantings: How many fit in the window, the first on its first day.
        uneven_days: By how much a slow planting may lag behind a quick one, which leaves a gap [days].
    """

    every_weeks: int
    plantings: int
    uneven_days: int


def succession(crop: Crop, opening: Opening, *, lasting: bool) -> Succession | None:
    """Return how to sow for a harvest without a gap; None where the crop stands for years or is harvested at one go.

    Whole weeks are kept, so that people can; the interval is the shortest harvest of the crop table, rounded down.

    Args:
        crop: The crop.
        opening: The days on which it can be planted.
        lasting: Whether it stands here from year to year.

    Source: ours.
    Valid: any crop of the table.
    """
    weeks = crop.harvest.least // _WEEK_DAYS
    if lasting or weeks == 0:
        return None
    plantings = 1 + (opening.days - 1) // (weeks * _WEEK_DAYS)
    return Succession(weeks, plantings, crop.first_harvest.most - crop.first_harvest.least)
