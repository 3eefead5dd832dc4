"""What stands in a bed: plantings read from its history, and when they come to harvest by the crop table.

Not a promise: many durations of the table are from memory, and its rows say so. Its one rule: what is eaten of a crop
touches soil unless the table says that it can hang clear and somebody said of this planting that it does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fieldbook.tasks.bars import HANGS_CLEAR, NOT_EATEN, TOUCHES_SOIL, bars
from fieldbook.tasks.spots import standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.climate.crops import Crop
    from fieldbook.tasks.bars import Bar
    from fieldbook.tasks.spots import Happening, Spot

RAISED_WORDS = {
    "nursery": "sown in the nursery, planted out later",
    "seed": "sown in place",
    "seedling": "planted: seedlings, cuttings or sets",
}
_FROM_PLANTING_OUT = frozenset({"planting", "planting out"})


@dataclass(frozen=True, slots=True)
class Planting:
    """One crop in one bed.

    Attributes:
        number: The number of its happening.
        crop: Its row of the crop table.
        contact: How what is eaten meets the soil.
        raised: nursery, seed or seedling.
        day: The day it was sown or planted.
        out_day: The day it was planted out; None where it was not, or never was in a nursery.
        end_day: The day the bed was cleared after it; None while it stands.
    """

    number: int
    crop: Crop
    contact: str
    raised: str
    day: int
    out_day: int | None = None
    end_day: int | None = None

    @property
    def in_nursery(self) -> bool:
        """Whether it still waits to be planted out."""
        return self.raised == "nursery" and self.out_day is None and self.end_day is None

    @property
    def out_window(self) -> tuple[int, int] | None:
        """First and last day to plant it out by the table; None where there is no nursery to leave."""
        if not self.in_nursery or self.crop.nursery is None:
            return None
        return self.day + self.crop.nursery.least, self.day + self.crop.nursery.most

    @property
    def first_bite(self) -> int | None:
        """The earliest day that anything of it is eaten, thinnings included; None where the table does not know it."""
        least, _ = self._counted_from
        return None if self.crop.eaten_after_days is None else least + self.crop.eaten_after_days

    @property
    def harvest_window(self) -> tuple[int, int]:
        """Day of the first harvest by the table, at its quick end and at its slow end."""
        least, most = self._counted_from
        return least + self.crop.first_harvest.least, most + self.crop.first_harvest.most

    @property
    def last_day(self) -> int:
        """Day of the last harvest by the table, at its slow end."""
        return self.harvest_window[1] + self.crop.harvest.most

    @property
    def _counted_from(self) -> tuple[int, int]:
        if self.raised != "nursery" or self.crop.counted_from not in _FROM_PLANTING_OUT:
            return self.day, self.day
        if self.out_day is not None:
            return self.out_day, self.out_day
        return self.out_window or (self.day, self.day)

    def stands_on(self, day: int) -> bool:
        """Whether it is in the bed, out of any nursery, on a day."""
        began = self.out_day if self.raised == "nursery" else self.day
        return began is not None and began <= day and (self.end_day is None or day <= self.end_day)


def contacts_of(crop: Crop) -> tuple[str, ...]:
    """How what is eaten of a crop can meet the soil by the crop table, the careful one first.

    Source: the crop table, for cfr205-c1-i to cfr205-c1-iii.
    """
    if crop.contact == "not eaten":
        return (NOT_EATEN,)
    return (TOUCHES_SOIL,) if crop.contact == "soil" else (TOUCHES_SOIL, HANGS_CLEAR)


def plantings_of(history: Iterable[Happening], crops: Mapping[str, Crop]) -> tuple[Planting, ...]:
    """The plantings of a bed's history, the oldest first; of crops that the table no longer has, none."""
    done = standing(history)
    outs = {one.of: one.day for one in done if one.what == "planted_out"}
    cleared = [one for one in done if one.what in {"cleared", "left"}]
    return tuple(
        replace(
            planting_of(one, crops[one.crop]),
            out_day=outs.get(one.number),
            end_day=next((end.day for end in cleared if (end.day, end.number) > (one.day, one.number)), None),
        )
        for one in done
        if one.what == "planted" and one.crop in crops
    )


def planting_of(one: Happening, crop: Crop) -> Planting:
    """The planting that a happening begins, or that a plan will begin."""
    return Planting(number=one.number, crop=crop, contact=one.contact, raised=one.raised, day=one.day)


def plans_of(history: Iterable[Happening], crops: Mapping[str, Crop]) -> tuple[Planting, ...]:
    """What is to be sown or planted and was not yet: a planting of the same crop that was noted later ends a plan."""
    done = standing(history)
    kept = {one.number: one.crop for one in done if one.what == "planted"}
    return tuple(
        planting_of(one, crops[one.crop])
        for one in done
        if one.what == "planned"
        and one.crop in crops
        and not any(number > one.number and crop == one.crop for number, crop in kept.items())
    )


@dataclass(frozen=True, slots=True)
class FirstPicking:
    """When a planting may first be picked.

    Attributes:
        day: The first day: that of the first bite by the table, or the end of the longest wait where that is later.
        ripe_by: The slow end of the table, or ``day`` where that is later.
        bar: The wait that sets the day; None where the plant itself does. Where the table does not know the first bite
            (roots whose leaves are eaten too), any wait that ends after the planting.
    """

    day: int
    ripe_by: int
    bar: Bar | None


def first_picking(planting: Planting, history: Iterable[Happening], spot: Spot) -> FirstPicking:
    """When a planting may first be picked, judged by what really went into its bed.

    Source: the crop table for the plant; the sources of ``bar_of`` for the waits.
    """
    ripe, ripe_by = planting.harvest_window
    bite = planting.first_bite
    longest = next(iter(bars(history, planting.contact, shared=spot.shared)), None)
    if longest is None or longest.until <= (planting.day if bite is None else bite):
        return FirstPicking(ripe if bite is None else bite, ripe_by, None)
    return FirstPicking(longest.until, max(ripe_by, longest.until), longest)
