"""When things change: what to save first where water is short, what to do after a flood, what to take on a move.

Not a forecast. Its one rule: only what the book holds and what is typed goes in; what is not known is said, never
guessed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.climate.crops import Crop

PICKING_DAYS = 14  # ours, as for planting windows: less than two weeks of picking does not pay for the water


@dataclass(frozen=True, slots=True)
class Thirst:
    """What one planting still needs.

    Attributes:
        label: Its bed.
        crop: The name of the crop.
        days: Days until two weeks of it have been picked [days].
        litres_day: What it needs on a day in the thirstiest month until then [l/day].
        litres: What it needs until then in all [l].
        plates: How many plates are still expected of its bed; None where nobody said.
    """

    label: str
    crop: str
    days: int
    litres_day: float
    litres: float
    plates: int | None

    @property
    def litres_per_plate(self) -> float | None:
        """Water for each plate of food [l]; None where nobody said how many plates."""
        return self.litres / self.plates if self.plates else None


@dataclass(frozen=True, slots=True)
class Choice:
    """A planting in the order in which it is saved, and whether the water reaches it."""

    thirst: Thirst
    kept: bool
    litres_left_day: float


def save_first(thirsts: Iterable[Thirst], *, water_l_day: float) -> tuple[Choice, ...]:
    """Put plantings in the order in which to save them, and say how far the water goes.

    First those with the fewest litres for each plate of food, then those of which nobody said how many plates, the
    ones that are soonest ready first. A planting that the rest of the water cannot carry is let go, and a smaller one
    after it may still be kept.

    Args:
        thirsts: What each planting needs.
        water_l_day: Water for all of them [l/day].

    Source: ours.
    """
    left, found = water_l_day, []
    for one in sorted(thirsts, key=_urgency):
        kept = one.litres_day <= left
        left -= one.litres_day if kept else 0
        found.append(Choice(one, kept, left))
    return tuple(found)


def _urgency(thirst: Thirst) -> tuple[bool, float, int, str]:
    per_plate = thirst.litres_per_plate
    return per_plate is None, per_plate or 0.0, thirst.days, thirst.label


def can_follow(crops: Mapping[str, Crop], *, wait_days: int) -> tuple[tuple[Crop, int], ...]:
    """Which crops fit into a bed that is barred: each with the days to wait before it is sown.

    Args:
        crops: The crop table.
        wait_days: Days until the longest wait of the bed ends, for what touches soil.

    Returns:
        Crops with the days from today to the earliest sowing whose first bite comes after the wait; what nobody eats,
        and what takes longer than the wait, with 0. Crops whose first bite is not known wait until the wait is over.

    Source: the crop table; ours.
    """
    found = []
    for crop in crops.values():
        if crop.contact == "not eaten":
            found.append((crop, 0))
        else:
            found.append((crop, max(0, wait_days - (crop.eaten_after_days or 0))))
    return tuple(sorted(found, key=lambda one: (one[1], one[0].common_name)))
