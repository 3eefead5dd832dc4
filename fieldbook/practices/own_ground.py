"""What a reader's own ground takes of an entry: whole plants at its spacing, and its weight where it is carried.

Not a permission. Its one rule: plants are counted, never scaled, and a weight stands with the word to ask.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.practices.numbers import decimal_of
from fieldbook.quantities import spacing

if TYPE_CHECKING:
    from decimal import Decimal

    from fieldbook.practices.entry import Entry


@dataclass(frozen=True)
class OwnPlants:
    """Plants that fit on one's own ground, in squares and in triangles, at the spacing of the entry [mm]."""

    square: int
    triangular: int
    spacing_mm: int


def plants_on_own(entry: Entry, *, length_mm: int, width_mm: int) -> OwnPlants | None:
    """The plants of an entry's bed on ground of another size; None where the entry gives no spacing.

    Args:
        entry: the practice.
        length_mm: of the reader's ground [mm].
        width_mm: of it [mm].

    Raises:
        QuantityError: the ground is smaller than one spacing.

    Source: ours (counting). Valid: right angles.
    """
    bed = entry.document.get("facts", {}).get("bed") or {}
    apart = (bed[0] if isinstance(bed, list) else bed).get("spacing_mm")
    if not apart:
        return None
    ground = {"length_mm": length_mm, "width_mm": width_mm, "spacing_mm": int(apart)}
    return OwnPlants(spacing.plants_square(**ground), spacing.plants_triangular(**ground), int(apart))


def wet_weight_kg(entry: Entry, *, area_m2: Decimal) -> tuple[Decimal, Decimal] | None:
    """What one's own ground weighs when wet, on each square metre and altogether; None where the entry does not say.

    Args:
        entry: the practice.
        area_m2: of the reader's ground [m²].

    Returns:
        [kg/m²] and [kg].

    Source: arithmetic. Valid: the depth and the soil of the entry.
    """
    load = decimal_of((entry.document.get("space") or {}).get("load_kg_m2_wet"))
    return None if not load else (load, load * area_m2)
