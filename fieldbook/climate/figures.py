"""How a computed figure becomes text, the same on every machine.

What it is: rounding, once, at the end. What it is not: rounding on the way, but for `settled`, which takes off the last
bits in which two machines' sines and exponentials may differ.

Its one rule: no locale, no clock and no float reaches an output; a whole number is an integer, any other a decimal
string with a point.
"""

from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from fieldbook.climate.bounds import AnyUnit

Figure = int | str

_SETTLED_PLACES: Final = 6


def settled(value: AnyUnit) -> AnyUnit:
    """Return a computed figure to six decimals, so that comparisons after it come out alike on every machine.

    Args:
        value: A figure that went through sines, roots or exponentials, in any unit.

    Returns:
        The nearest figure of six decimals, in the same unit; never minus zero.
    """
    return round(value, _SETTLED_PLACES) + 0.0


def decimal_figure(value: AnyUnit, *, places: int) -> Figure:
    """Return a figure as it stands in our outputs: an integer if whole, else a decimal string.

    Args:
        value: The figure, in any unit.
        places: Decimals kept; halves go to the even digit; noughts at the end are dropped.

    Returns:
        Such as `4`, `"4.05"` or `"-0.5"`, in the same unit.
    """
    rounded = Decimal(repr(settled(value))).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    if rounded == rounded.to_integral_value():
        return int(rounded)
    return format(rounded.normalize(), "f")


def plain(value: AnyUnit, *, places: int = 1) -> str:
    """Return a figure as it stands inside a sentence, such as `18` or `18.4`.

    Args:
        value: The figure, in any unit.
        places: Decimals kept.
    """
    return str(decimal_figure(value, places=places))
