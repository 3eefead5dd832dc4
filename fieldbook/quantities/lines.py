"""The least sum of unknown amounts that meets one or two straight lines, each amount from nought to its most.

Its one rule: it looks at every corner, so that the answer is the least there is; an amount below nought is never
clipped, and where no corner holds there is no answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations, product
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_NOUGHT: Final = Decimal("1e-20")  # what 34 digits of reckoning may leave of nothing, against amounts in kilograms


@dataclass(frozen=True)
class Bounded:
    """One unknown amount: its name, what one of it adds to each line, and its most (None where it has none)."""

    name: str
    adds: tuple[Decimal, ...]
    most: Decimal | None


def least_sum(unknown: Sequence[Bounded], right: Sequence[Decimal]) -> list[Decimal] | None:
    """Find amounts whose lines come out as wanted, with the least sum.

    Args:
        unknown: in any order; the answer does not hang on it.
        right: what the one or two lines come out as.

    Returns:
        The amounts in the order of the unknown, or None where none do.

    Source: arithmetic (a linear program has its best answer in a corner). Valid: one or two lines.
    """
    ordered = sorted(range(len(unknown)), key=lambda index: unknown[index].name)
    best: tuple[Decimal, list[Decimal]] | None = None
    for amounts in _corners([unknown[index] for index in ordered], right):
        total = sum(amounts, Decimal(0))
        if best is None or total < best[0] - _NOUGHT:
            best = total, amounts
    if best is None:
        return None
    by_place = dict(zip(ordered, best[1], strict=True))
    return [by_place[index] for index in range(len(unknown))]


def _corners(unknown: Sequence[Bounded], right: Sequence[Decimal]) -> Iterator[list[Decimal]]:
    """Every corner that holds: as many amounts free as there are lines, each other one at nought or at its most."""
    for free in combinations(range(len(unknown)), min(len(right), len(unknown))):
        bound = [index for index in range(len(unknown)) if index not in free]
        ends = [
            (Decimal(0),) if unknown[i].most is None else (Decimal(0), unknown[i].most or Decimal(0)) for i in bound
        ]
        for values in product(*ends):
            amounts = _solved(unknown, right, free, dict(zip(bound, values, strict=True)))
            if amounts is not None and all(map(_within, amounts, unknown)):
                yield [max(amount, Decimal(0)) for amount in amounts]  # above: what is left of nought is nought


def _within(amount: Decimal, one: Bounded) -> bool:
    return amount >= -_NOUGHT and (one.most is None or amount <= one.most + _NOUGHT)


def _solved(
    unknown: Sequence[Bounded], right: Sequence[Decimal], free: Sequence[int], bound: dict[int, Decimal]
) -> list[Decimal] | None:
    left = [
        wanted - sum((value * unknown[index].adds[row] for index, value in bound.items()), Decimal(0))
        for row, wanted in enumerate(right)
    ]
    found = _cramer([unknown[index].adds for index in free], left)
    if found is None:
        return None
    known = bound | dict(zip(free, found, strict=True))
    return [known[index] for index in range(len(unknown))]


def _cramer(columns: Sequence[Sequence[Decimal]], right: Sequence[Decimal]) -> list[Decimal] | None:
    """Amounts of as many columns as lines, or of fewer, which then must fit by themselves."""
    if len(columns) < len(right):
        return _fitting(columns, right)
    if len(right) == 1:
        if not columns[0][0]:
            return None if abs(right[0]) > _NOUGHT else [Decimal(0)]
        return [right[0] / columns[0][0]]
    (a, c), (b, d) = columns
    determinant = a * d - b * c
    if not determinant:
        return _fitting(columns[:1], right, rest=1) or _fitting(columns[1:], right, before=1)
    return [(right[0] * d - b * right[1]) / determinant, (a * right[1] - right[0] * c) / determinant]


def _fitting(
    columns: Sequence[Sequence[Decimal]], right: Sequence[Decimal], *, before: int = 0, rest: int = 0
) -> list[Decimal] | None:
    """One amount, or none, that meets both lines, with noughts for those that are left out."""
    amount = Decimal(0)
    for column in columns:
        row = next((index for index, adds in enumerate(column) if adds), None)
        if row is not None:
            amount = right[row] / column[row]
        if any(abs(adds * amount - wanted) > _NOUGHT for adds, wanted in zip(column, right, strict=True)):
            return None
    if not columns and any(abs(wanted) > _NOUGHT for wanted in right):
        return None
    return [Decimal(0)] * before + [amount] * len(columns) + [Decimal(0)] * rest
