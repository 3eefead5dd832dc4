"""Whether a heap with dung was hot long enough to count as treated, by the figures of one rule.

Its one rule: what was not measured, or was a day or a turning short, counts as raw dung.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

HOT_LEAST_C: Final = Decimal(55)
HOT_MOST_C: Final = Decimal(77)
"""131 to 170 °F. Source: cfr205-c2."""


@dataclass(frozen=True)
class Needed:
    """The days in a row that all of it is hot, and the turnings in that time."""

    days: int
    turnings: int


NEEDED: Final = MappingProxyType(
    {"closed-or-aired": Needed(3, 0), "turned-row": Needed(15, 5), "turned-box": Needed(15, 5)}
)
"""By system; a box that is turned is held to the figures of a turned row (ours). Source: cfr205-c2."""


@dataclass(frozen=True)
class Shortfall:
    """What lacks: days, turnings, and whether the system is one that the rule knows."""

    known: bool
    days: int
    turnings: int

    @property
    def treated(self) -> bool:
        """True where nothing lacks."""
        return self.known and not self.days and not self.turnings


def shortfall(system: str, *, hot_days: int, turnings: int) -> Shortfall:
    """What a heap lacks to count as treated.

    Args:
        system: a key of `NEEDED`, or another word for a heap that the rule does not know.
        hot_days: days in a row at 55 to 77 °C all through, measured.
        turnings: within those days.

    Source: cfr205-c2. Valid: heat that was measured in all parts of the heap.
    """
    needed = NEEDED.get(system)
    if needed is None:
        return Shortfall(known=False, days=0, turnings=0)
    return Shortfall(True, max(0, needed.days - hot_days), max(0, needed.turnings - turnings))
