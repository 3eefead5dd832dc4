"""Beds and what happened there, as the tests of this room write them.

Not a test. Its one rule: days are numbers from day 0, unless a test gives the bed a date.
"""

from __future__ import annotations

import datetime as dt
from functools import cache

from fieldbook.climate.crops import Crop, read_crops
from fieldbook.shipped import shipped_text
from fieldbook.tasks.days import Count
from fieldbook.tasks.spots import Happening, Spot

MARCH = Count(dt.date(2026, 3, 1))
HAND = Count()


@cache
def crops() -> dict[str, Crop]:
    """The crop table by its words."""
    return {crop.crop_id: crop for crop in read_crops(shipped_text("seed_entries/crops.csv"))}


def bed(count: Count = MARCH, *, kind: str = "bed", shared: bool = False, label: str = "B3", holds: str = "") -> Spot:
    """A bed, box or can."""
    return Spot(1, label, kind, count, marked=0 if count.by_hand else None, shared=shared, holds=holds)


def happened(what: str, day: int, number: int = 0, **details: object) -> Happening:
    """Something that happened."""
    return Happening(number or day + 10_000, what, day, **details)  # type: ignore[arg-type]


def planted(crop: str, day: int, number: int = 0, *, raised: str = "seed", contact: str = "edible_soil") -> Happening:
    """A planting."""
    return happened("planted", day, number, crop=crop, raised=raised, contact=contact)
