"""Sacks, tyres and round towers: volume, weight, holes in the side and plants on top, in whole millimetres.

Its one rule: a count is whole and nothing of it is rounded on the way; a weight is that of soaked soil.
"""

from __future__ import annotations

from decimal import Decimal
from math import isqrt
from typing import Final

from fieldbook.quantities.errors import QuantityError

PI: Final = Decimal("3.141592653589793238462643383279503")
_PI_TOP, _PI_BELOW = 3141592653589793238462643, 10**24
"""π as a fraction: no whole number of millimetres below a thousand kilometres is so near that a floor would err."""
BRACE_ABOVE: Final = Decimal(2)
"""Higher than so many times its width a sack or tower needs a brace [ratio]. Source: ours, a rule of thumb."""


def column_l(*, diameter_mm: int, height_mm: int) -> Decimal:
    """What a round column holds [L].

    Args:
        diameter_mm: [mm].
        height_mm: [mm].

    Source: arithmetic. Valid: straight sides.
    """
    return PI / 4 * diameter_mm**2 * height_mm / 1_000_000


def side_m2(*, diameter_mm: int, height_mm: int) -> Decimal:
    """The side of a round column [m²].

    Args:
        diameter_mm: [mm].
        height_mm: [mm].

    Source: arithmetic. Valid: straight sides, top and bottom left out.
    """
    return PI * diameter_mm * height_mm / 1_000_000


def holes_by_area(*, diameter_mm: int, height_mm: int, spacing_mm: int) -> int:
    """Holes in the side where each has a square of its own, to the nearest whole.

    Args:
        diameter_mm: [mm].
        height_mm: [mm].
        spacing_mm: between holes [mm].

    Source: ours (counting). Valid: about; in whole rows fewer fit.
    """
    return int((PI * diameter_mm * height_mm / spacing_mm**2).to_integral_value())


def holes_in_rows(*, diameter_mm: int, height_mm: int, spacing_mm: int) -> int:
    """Holes in the side in whole rings one spacing apart.

    Args:
        diameter_mm: [mm].
        height_mm: [mm].
        spacing_mm: between holes and between rings [mm].

    Raises:
        QuantityError: no ring fits.

    Source: ours (counting). Valid: whole millimetres.
    """
    around = _PI_TOP * diameter_mm // (_PI_BELOW * spacing_mm)
    if not around * (height_mm // spacing_mm):
        raise QuantityError(
            f"a side of {height_mm} mm height and {diameter_mm} mm width has no ring of holes {spacing_mm} mm apart",
            hint="take a larger sack or tower, or a smaller plant",
        )
    return around * (height_mm // spacing_mm)


def plants_on_top_square(*, diameter_mm: int, spacing_mm: int) -> int:
    """Plants in squares on a round bed, half a spacing from its edge: the best of three ways to lay the middle.

    Args:
        diameter_mm: [mm].
        spacing_mm: [mm].

    Raises:
        QuantityError: the top is smaller than one spacing.

    Source: ours (counting). Valid: whole millimetres; a plant, an edge or a corner of the squares in the middle.
    """
    _require_top(diameter_mm, spacing_mm)
    room = (diameter_mm - spacing_mm) ** 2
    return max(_square(room, spacing_mm, across, along) for across, along in ((0, 0), (1, 0), (1, 1)))


def _square(room: int, spacing_mm: int, across: int, along: int) -> int:
    """Points (2i + across, 2j + along) half spacings from the middle, within the room (squared, four times)."""
    most = isqrt(room) // spacing_mm + 1
    count = 0
    for i in range(-most - 1, most + 1):
        left = room - ((2 * i + across) * spacing_mm) ** 2
        if left >= 0:
            reach = isqrt(left) // spacing_mm  # half spacings to either side
            count += _of_parity(reach, along)
    return count


def plants_on_top_triangular(*, diameter_mm: int, spacing_mm: int) -> int:
    """Plants in triangles on a round bed, one of them in the middle, half a spacing from its edge.

    Args:
        diameter_mm: [mm].
        spacing_mm: [mm].

    Raises:
        QuantityError: the top is smaller than one spacing.

    Source: ours (counting). Valid: whole millimetres.
    """
    _require_top(diameter_mm, spacing_mm)
    most = (diameter_mm - spacing_mm) ** 2 // spacing_mm**2  # 4 · (i² + ij + j²) of those within
    count = 0
    for j in range(-isqrt(most), isqrt(most) + 1):
        if (left := most - 3 * j * j) >= 0:  # (2i + j)² of those in this row
            count += _of_parity(isqrt(left), j % 2)
    return count


def _of_parity(reach: int, odd: int) -> int:
    """How many whole numbers from -reach to reach are odd (1) or even (0)."""
    return (reach - odd) // 2 + (reach + odd) // 2 + 1 if reach >= odd else 0


def _require_top(diameter_mm: int, spacing_mm: int) -> None:
    if diameter_mm < spacing_mm:
        raise QuantityError(
            f"a top of {diameter_mm} mm is smaller than one spacing of {spacing_mm} mm",
            hint="take a larger sack or tower, or a smaller plant",
        )
