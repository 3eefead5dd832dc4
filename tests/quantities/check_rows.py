"""What a row of the table of outside checks is, and how a calculator is asked for one figure.

Not a test. Its one rule: a computed figure comes out of the calculator that people use, or, where no calculator asks for
it (a printed table of growth), of the plain product that the table claims.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.quantities import CALCULATORS

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class Check:
    """One figure that somebody else printed.

    Attributes:
        what: in a few words.
        source: document and table or section.
        published: as printed there.
        within: how far ours may be from it.
        compute: gives ours.
        errs: True where the print or the method is wrong, so that ours must be further away than that.
    """

    what: str
    source: str
    published: Decimal
    within: Decimal
    compute: Callable[[], Decimal]
    errs: bool = False


def figure(name: str, at: str, given: dict[str, Any]) -> Callable[[], Decimal]:
    """Ask a calculator for one figure of its answer, such as ``other_reading.stock_l`` or ``materials.1.wet_kg``."""

    def asked() -> Decimal:
        found: Any = CALCULATORS[name].run(given)
        for part in at.split("."):
            found = found[int(part)] if part.isdigit() else found[part]
        return Decimal(int(found) if isinstance(found, bool) else str(found))

    return asked


def check(
    what: str, source: str, published: str, within: str, compute: Callable[[], Decimal], *, errs: bool = False
) -> Check:
    """A row from texts."""
    return Check(what, source, Decimal(published), Decimal(within), compute, errs)
