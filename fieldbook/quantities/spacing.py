"""How many plants fit: whole millimetres and whole numbers, with nothing rounded on the way.

Its one rule: no floating point; in it a bed of 0.7 m holds five plants at 0.1 m instead of six.
"""

from __future__ import annotations

from math import isqrt, sqrt

from fieldbook.quantities.errors import QuantityError


def plants_square(*, length_mm: int, width_mm: int, spacing_mm: int) -> int:
    """Plants in squares, half a spacing from each edge.

    Args:
        length_mm: of the bed [mm].
        width_mm: of the bed [mm].
        spacing_mm: between plants [mm].

    Raises:
        QuantityError: the bed is smaller than one spacing.

    Source: ours (counting). Valid: whole millimetres.
    """
    _require_room(length_mm, width_mm, spacing_mm)
    return (1 + (length_mm - spacing_mm) // spacing_mm) * (1 + (width_mm - spacing_mm) // spacing_mm)


def plants_triangular(*, length_mm: int, width_mm: int, spacing_mm: int) -> int:
    """Plants in triangles, in rows along the length, each second row moved by half a spacing.

    Args:
        length_mm: of the bed [mm]; rows run along it.
        width_mm: of the bed [mm].
        spacing_mm: between plants [mm]; between rows it is that times half the root of three.

    Raises:
        QuantityError: the bed is smaller than one spacing.

    Source: ours (counting). Valid: whole millimetres; plants half a spacing from each edge.
    """
    rows = rows_triangular(length_mm=length_mm, width_mm=width_mm, spacing_mm=spacing_mm)
    full = 1 + (length_mm - spacing_mm) // spacing_mm
    moved = 1 + (2 * length_mm - 3 * spacing_mm) // (2 * spacing_mm) if 2 * length_mm >= 3 * spacing_mm else 0
    return (rows + 1) // 2 * full + rows // 2 * moved


def rows_triangular(*, length_mm: int, width_mm: int, spacing_mm: int) -> int:
    """Rows of plants in triangles.

    Args:
        length_mm: of the bed [mm]; rows run along it.
        width_mm: of the bed [mm].
        spacing_mm: between plants [mm].

    Raises:
        QuantityError: the bed is smaller than one spacing.

    Source: ours (counting). Valid: whole millimetres.
    """
    _require_room(length_mm, width_mm, spacing_mm)
    return 1 + isqrt(4 * (width_mm - spacing_mm) ** 2 // (3 * spacing_mm**2))


def places(*, length_mm: int, width_mm: int, spacing_mm: int, pattern: str) -> tuple[tuple[float, float], ...]:
    """Where each plant of a bed stands, for a drawing: along its length and across it [mm].

    Args:
        length_mm: of the bed [mm]; rows run along it.
        width_mm: of the bed [mm].
        spacing_mm: between plants [mm].
        pattern: ``square`` or ``triangular``.

    Raises:
        QuantityError: the bed is smaller than one spacing.

    Source: ours (counting). Valid: as many as are counted; only the place of a row across the bed is rounded.
    """
    bed = {"length_mm": length_mm, "width_mm": width_mm, "spacing_mm": spacing_mm}
    if pattern == "square":
        _require_room(**bed)
        rows, apart = 1 + (width_mm - spacing_mm) // spacing_mm, float(spacing_mm)
    else:
        rows, apart = rows_triangular(**bed), spacing_mm * sqrt(3) / 2
    found: list[tuple[float, float]] = []
    for row in range(rows):
        start = spacing_mm / 2 + (spacing_mm / 2 if pattern != "square" and row % 2 else 0)
        in_row = int((length_mm - spacing_mm / 2 - start) // spacing_mm) + 1  # halves are exact in binary
        found += [(start + n * spacing_mm, spacing_mm / 2 + row * apart) for n in range(in_row)]
    return tuple(found)


def _require_room(length_mm: int, width_mm: int, spacing_mm: int) -> None:
    if min(length_mm, width_mm) < spacing_mm:
        raise QuantityError(
            f"the bed of {length_mm} by {width_mm} mm is smaller than one spacing of {spacing_mm} mm",
            hint="no plant keeps its distance in it: take a larger bed or a smaller plant",
        )
