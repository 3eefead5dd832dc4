"""Dilution: how much stock and how much water, whichever way the words are meant.

Its one rule: both volumes and the total are always said, since "1:2" means one part and two parts to some and one part
in two to others.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.quantities.errors import QuantityError

if TYPE_CHECKING:
    from decimal import Decimal


@dataclass(frozen=True)
class Dilution:
    """Stock and water that make a total.

    Attributes:
        stock_l: [L].
        water_l: [L].
        factor: total by stock [ratio].
        strength_percent: stock in the total [% by volume].
        germs_log10: by how many powers of ten germs grow fewer through the dilution alone.
    """

    stock_l: Decimal
    water_l: Decimal
    factor: Decimal
    strength_percent: Decimal
    germs_log10: Decimal


def dilute(*, parts_stock: Decimal, parts_water: Decimal, total_l: Decimal) -> Dilution:
    """Split a total by parts.

    Args:
        parts_stock: parts of stock, above 0.
        parts_water: parts of water, 0 or more.
        total_l: the can or sprayer to be filled [L].

    Source: arithmetic. Valid: volumes that add up; a powder is weighed instead.
    """
    factor = (parts_stock + parts_water) / parts_stock
    stock_l = total_l / factor
    return Dilution(stock_l, total_l - stock_l, factor, 100 / factor, factor.log10())


def weaken(*, from_percent: Decimal, to_percent: Decimal, total_l: Decimal) -> Dilution:
    """Split a total so that a stock of one strength becomes one of another.

    Args:
        from_percent: strength of the stock [%].
        to_percent: strength wanted [%].
        total_l: the can to be filled [L].

    Raises:
        QuantityError: the wanted strength is above that of the stock.

    Source: arithmetic. Valid: both strengths in the same unit.
    """
    if to_percent > from_percent:
        raise QuantityError(
            f"{to_percent} % is stronger than the stock of {from_percent} %",
            hint="ask for a strength below that of the stock; water only makes it weaker",
        )
    return dilute(parts_stock=to_percent, parts_water=from_percent - to_percent, total_l=total_l)


def dose_g(*, g_per_l: Decimal, total_l: Decimal) -> Decimal:
    """How much of something is weighed into a total.

    Args:
        g_per_l: dose [g/L].
        total_l: [L].

    Returns:
        [g].

    Source: arithmetic. Valid: doses in grams, never in spoons.
    """
    return g_per_l * total_l


def dose_ml(*, ml_per_l: Decimal, total_l: Decimal) -> Decimal:
    """How much of a liquid is measured into a total.

    Args:
        ml_per_l: dose [mL/L of the total].
        total_l: [L].

    Returns:
        [mL].

    Source: arithmetic. Valid: volumes that add up.
    """
    return ml_per_l * total_l


def weight_in_g(*, percent_weight_in_volume: Decimal, total_l: Decimal) -> Decimal:
    """How much of a powder makes a strength: 1 % is 10 g in a litre of the whole.

    Args:
        percent_weight_in_volume: [g in 100 mL of the whole].
        total_l: [L].

    Returns:
        [g].

    Source: arithmetic. Valid: weight in volume, not in weight.
    """
    return percent_weight_in_volume * 10 * total_l


@dataclass(frozen=True)
class Fill:
    """One filling of a sprayer or can: what goes in [L]."""

    stock_l: Decimal
    water_l: Decimal


@dataclass(frozen=True)
class Fillings:
    """How often a sprayer is filled for a total.

    Attributes:
        full: whole fillings.
        each: what goes into one of them.
        last: what goes into the last one; None where it is a whole one.
    """

    full: int
    each: Fill
    last: Fill | None


def fillings(made: Dilution, *, total_l: Decimal, sprayer_l: Decimal) -> Fillings:
    """Share a total out to a sprayer that is smaller.

    Args:
        made: the mix.
        total_l: all of it [L].
        sprayer_l: what the sprayer holds [L], above 0.

    Source: arithmetic. Valid: each filling is mixed anew at the same strength.
    """
    full = int(total_l // sprayer_l)
    rest = total_l - full * sprayer_l
    each = Fill(sprayer_l / made.factor, sprayer_l - sprayer_l / made.factor)
    return Fillings(full, each, Fill(rest / made.factor, rest - rest / made.factor) if rest else None)
