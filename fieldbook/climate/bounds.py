"""Figures outside a method's range, refused in one way.

What it is: the error of this package and the check that raises it. What it is not: a way to cut a figure to fit.

Its one rule: outside the stated range is an error with a hint, never a clipped number.
"""

from collections.abc import Sequence
from math import isfinite
from typing import Final

from fieldbook.errors import FieldbookError

MONTHS: Final = 12
_WITHIN: Final = "give a figure within these bounds, in this unit"
AnyUnit = float  # a number whose unit the caller names beside it; a rule with a unit of its own says `float`


class ClimateError(FieldbookError):
    """A figure that the method named cannot take."""


def require(value: AnyUnit, *, name: str, low: AnyUnit, high: AnyUnit, unit: str, hint: str = _WITHIN) -> AnyUnit:
    """Return the value if it is a number from `low` to `high`.

    Args:
        value: The figure to judge, in `unit`.
        name: What it is called in the message.
        low: Least value allowed, in `unit`.
        high: Greatest value allowed, in `unit`.
        unit: Its unit as printed in the message.
        hint: What to do next.

    Raises:
        ClimateError: It is not.
    """
    if isfinite(value) and low <= value <= high:
        return value
    given, highest = f"{value:g} {unit}".rstrip(), f"{high:g} {unit}".rstrip()  # some figures have no unit
    raise ClimateError(f"{name} is {given}, outside {low:g} to {highest}", hint=hint)


def require_months(
    values: Sequence[AnyUnit], *, name: str, low: AnyUnit, high: AnyUnit, unit: str
) -> tuple[AnyUnit, ...]:
    """Return twelve values, each from `low` to `high`, as a tuple.

    Args:
        values: January to December, in `unit`.
        name: What they are called in the message.
        low: Least value allowed, in `unit`.
        high: Greatest value allowed, in `unit`.
        unit: Their unit as printed in the message.

    Raises:
        ClimateError: There are not twelve, or one is outside.
    """
    if len(values) != MONTHS:
        raise ClimateError(f"{name} has {len(values)} months, not 12", hint="give January to December, each once")
    for number, value in enumerate(values, start=1):
        require(value, name=f"{name} of month {number}", low=low, high=high, unit=unit)
    return tuple(values)
