"""Numbers as documents hold them: integers, and decimal strings where they are not whole.

Not units. Its one rule: no float, since a signed document has one spelling.
"""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

DECIMAL_PATTERN = r"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$"


def decimal_of(value: object, *, any_spelling: bool = False) -> Decimal | None:
    """Give a stored number as a decimal, or None where it is none.

    Args:
        value: an integer or a decimal string; a float never is a stored number.
        any_spelling: take exponents and leading zeros too, as an author's file may hold them.
    """
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    if not isinstance(value, str) or len(value) > 40 or not (any_spelling or re.fullmatch(DECIMAL_PATTERN, value)):
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() and abs(number.adjusted()) < 20 else None


def kept_number(number: Decimal) -> int | str:
    """Give a number as it is stored: whole ones as integers, others as plain decimal strings."""
    return int(number) if number == number.to_integral_value() else f"{number:f}"
