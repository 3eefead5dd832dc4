"""Decimals of one length, so that a comparison has the same figures on every machine.

Its one rule: no binary fractions; logarithms of two processors may differ in the last place, decimals never do.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal, localcontext
from functools import wraps
from typing import TYPE_CHECKING, Final, ParamSpec, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

_WORKING: Final = Context(prec=34, rounding=ROUND_HALF_EVEN, Emin=-6000, Emax=6000)

P = ParamSpec("P")
R = TypeVar("R")


def in_34_digits(rule: Callable[P, R]) -> Callable[P, R]:
    """Let a rule compute in decimals of 34 digits, whatever its caller computes in."""

    @wraps(rule)
    def within(*args: P.args, **kwargs: P.kwargs) -> R:
        with localcontext(_WORKING):
            return rule(*args, **kwargs)

    return within


def total(numbers: Iterable[Decimal]) -> Decimal:
    """Add up in one order, so that neither the order of rows nor which way is called first changes a digit."""
    return sum(sorted(numbers, key=lambda number: (number.copy_abs(), number)), Decimal(0))
