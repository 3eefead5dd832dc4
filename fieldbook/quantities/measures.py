"""Amounts as people measure them: units of one kind, round figures, and what a site's own tin or pace holds.

Its one rule: a measure of a site is what somebody there measured, never a guessed volume; a round figure is near enough
that two of them keep their ratio within 2 %.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from types import MappingProxyType
from typing import Final

from fieldbook.quantities.errors import QuantityError

WITHIN: Final = Decimal("0.0099")
"""How far a round figure may be from the exact one [share]: (1 + it) / (1 - it) is below 1.02. Source: arithmetic."""
UNITS: Final = MappingProxyType(
    {
        "mL": ("volume", Decimal(1)),
        "L": ("volume", Decimal(1000)),
        "g": ("mass", Decimal(1)),
        "kg": ("mass", Decimal(1000)),
        "mm": ("length", Decimal(1)),
        "cm": ("length", Decimal(10)),
        "m": ("length", Decimal(1000)),
        "m²": ("area", Decimal(1)),
        "pieces": ("count", Decimal(1)),
    }
)
"""Of each unit its kind, and how many of the smallest of that kind it holds. Source: arithmetic (SI)."""
BASE_UNITS: Final = MappingProxyType({"volume": "mL", "mass": "g", "length": "mm", "area": "m²", "count": "pieces"})


@dataclass(frozen=True)
class LocalMeasure:
    """A tin, bucket, handful or pace of a site.

    Attributes:
        number: of its paper in the notebook.
        name: as people there call it, with what is in it where that matters ("bucket of dry droppings").
        kind: volume, mass or length.
        holds: mL, g or mm of it, as measured there.
    """

    number: int
    name: str
    kind: str
    holds: Decimal

    @property
    def unit(self) -> str:
        """The unit of `holds`."""
        return BASE_UNITS[self.kind]


def kind_of(unit: str) -> str:
    """The kind of a unit: volume, mass, length, area or count.

    Raises:
        QuantityError: there is no such unit here.
    """
    if unit not in UNITS:
        raise QuantityError(f"{unit} is no unit that is known here", hint=f"choose one of: {', '.join(UNITS)}")
    return UNITS[unit][0]


def converted(amount: Decimal, *, from_unit: str, to_unit: str) -> Decimal:
    """An amount in another unit of its kind.

    Raises:
        QuantityError: the units are of two kinds.
    """
    if kind_of(from_unit) != kind_of(to_unit):
        raise QuantityError(f"{from_unit} and {to_unit} do not measure the same", hint="choose a unit of the same kind")
    return amount * UNITS[from_unit][1] / UNITS[to_unit][1]


def round_figure(exact: Decimal) -> Decimal:
    """The roundest figure that is near enough: of steps of 1, 2, 2.5 and 5 the largest that stays within the bound.

    Args:
        exact: above 0, in any unit.

    Source: ours. Valid: two such figures keep their ratio within 2 %.
    """
    if exact <= 0:
        return Decimal(0)
    for power in range(exact.adjusted(), exact.adjusted() - 5, -1):
        for step in (Decimal(5), Decimal("2.5"), Decimal(2), Decimal(1)):
            size = step.scaleb(power)
            near = (exact / size).quantize(Decimal(1), rounding=ROUND_HALF_EVEN) * size
            if abs(near - exact) <= exact * WITHIN:
                return near
    return exact


def readable(exact: Decimal, unit: str) -> tuple[Decimal, str]:
    """An amount in the unit of its kind in which it is neither tiny nor huge."""
    kind = kind_of(unit)
    smallest = exact * UNITS[unit][1]
    if kind in {"volume", "mass"}:
        large, small = ("L", "mL") if kind == "volume" else ("kg", "g")
        return (smallest / 1000, large) if smallest >= 1000 else (smallest, small)
    if kind == "length":
        return (smallest / 1000, "m") if smallest >= 1000 else (smallest / 10, "cm")
    return exact, unit


def in_measure(amount: Decimal, unit: str, measure: LocalMeasure) -> tuple[int, Decimal]:
    """Whole ones of a site's measure, and what is left in its own unit.

    Raises:
        QuantityError: the measure is of another kind.
    """
    smallest = converted(amount, from_unit=unit, to_unit=measure.unit)
    whole = int(smallest // measure.holds)
    return whole, smallest - whole * measure.holds
