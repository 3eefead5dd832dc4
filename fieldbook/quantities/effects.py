"""What a spray or a barrier did to a pest, from counts of treated and untreated plants.

Its one rule: an effect against the treatment is shown as it is; nothing is clipped at nought.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.quantities.errors import QuantityError

if TYPE_CHECKING:
    from decimal import Decimal


def abbott_percent(*, untreated_after: Decimal, treated_after: Decimal) -> Decimal:
    """How many fewer pests the treated plants have, from counts after treatment alone [%].

    Args:
        untreated_after: pests of the untreated, in number or as a mean.
        treated_after: pests of the treated, counted alike.

    Raises:
        QuantityError: the untreated have none.

    Source: abbott. Valid: both were alike before; below nought there were more pests on the treated.
    """
    if not untreated_after:
        raise QuantityError(
            "the untreated plants had no pests, so nothing can be said",
            hint="count again where there are pests, or keep both counts as they are",
        )
    return 100 * (untreated_after - treated_after) / untreated_after


def henderson_tilton_percent(
    *, untreated_before: Decimal, untreated_after: Decimal, treated_before: Decimal, treated_after: Decimal
) -> Decimal:
    """How many fewer pests than without the treatment, from counts before and after [%].

    Args:
        untreated_before: pests of the untreated, in number or as a mean.
        untreated_after: the same, after.
        treated_before: pests of the treated.
        treated_after: the same, after.

    Raises:
        QuantityError: one of the first three is nought.

    Source: henderson-tilton. Valid: the same plants before and after; sums and means give the same.
    """
    if not (untreated_before and untreated_after and treated_before):
        raise QuantityError(
            "a count before, or of the untreated after, is nought, so nothing can be said",
            hint="count again where there are pests, or keep the counts as they are",
        )
    return 100 * (1 - treated_after * untreated_before / (treated_before * untreated_after))
