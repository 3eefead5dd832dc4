"""Nitrogen in dung, and how much of it an area bears.

Its one rule: compute from the published figure, never copy a result; what has no published figure is refused, not
guessed.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from fieldbook.quantities.errors import QuantityError

NITROGEN_CEILING_G_M2_YEAR: Final = Decimal(17)
"""170 kg N per hectare and year [g/m²/year]. Source: 91-676-eec, Annex III."""

_KG_PER_LB: Final = Decimal("0.45359237")
_LB_PER_TON: Final = Decimal(2000)


@dataclass(frozen=True)
class Manure:
    """What one kind of animal leaves, per 1,000-lb animal unit (AU).

    Attributes:
        animals_per_au: how many make one unit.
        tons_per_au_year: dung and urine as excreted [short tons per AU and year].
        nitrogen_lb_ton: nitrogen after storage and handling losses [lb per short ton].
    """

    animals_per_au: Decimal
    tons_per_au_year: Decimal
    nitrogen_lb_ton: Decimal


MANURES: Final = MappingProxyType(
    {
        "hen": Manure(Decimal(250), Decimal("11.45"), Decimal("18.46")),
        "broiler": Manure(Decimal(455), Decimal("14.97"), Decimal("16.10")),
        "dairy cow": Manure(Decimal("0.74"), Decimal("15.24"), Decimal("4.30")),
        "beef cow": Manure(Decimal(1), Decimal("11.50"), Decimal("3.30")),
    }
)
"""Source: nrcs-manure."""


def _manure(animal: str) -> Manure:
    if animal not in MANURES:
        raise QuantityError(f"no figure was read for the dung of {animal}", hint=f"choose from: {', '.join(MANURES)}")
    return MANURES[animal]


def nitrogen_g_kg(animal: str) -> Decimal:
    """Give the nitrogen in fresh dung after losses.

    Args:
        animal: a key of `MANURES`.

    Returns:
        Nitrogen [g per kg of dung].

    Raises:
        QuantityError: there is no figure for this animal.

    Source: nrcs-manure. Valid: dung as excreted, after usual losses.
    """
    return _manure(animal).nitrogen_lb_ton / _LB_PER_TON * 1000


def nitrogen_kg_year(animal: str, *, count: Decimal) -> Decimal:
    """Give the nitrogen that animals leave in a year, after losses.

    Args:
        animal: a key of `MANURES`.
        count: how many animals.

    Returns:
        Nitrogen [kg/year].

    Raises:
        QuantityError: there is no figure for this animal.

    Source: nrcs-manure. Valid: grown animals of usual weight.
    """
    kind = _manure(animal)
    return count * kind.tons_per_au_year * kind.nitrogen_lb_ton * _KG_PER_LB / kind.animals_per_au


def load_g_m2(*, nitrogen_g: Decimal, area_m2: Decimal) -> Decimal:
    """Give the nitrogen put on an area.

    Args:
        nitrogen_g: nitrogen in a year [g].
        area_m2: the area it is spread on [m²].

    Returns:
        Nitrogen [g/m²/year].

    Raises:
        QuantityError: the area is not above zero.

    Source: arithmetic. Valid: area above 0.
    """
    if area_m2 <= 0:
        raise QuantityError("the area is not above zero", hint="give the area that gets the dung, in m²")
    return nitrogen_g / area_m2


def most_dung_kg_m2_year(animal: str) -> Decimal:
    """Give the dung that carries just the nitrogen of the ceiling.

    Args:
        animal: a key of `MANURES`.

    Returns:
        Dung [kg/m²/year].

    Raises:
        QuantityError: there is no figure for this animal.

    Source: nrcs-manure; 91-676-eec, Annex III. Valid: a soft ceiling; the directive limits a holding, not a bed.
    """
    return NITROGEN_CEILING_G_M2_YEAR / nitrogen_g_kg(animal)
