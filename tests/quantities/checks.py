"""Every check of a calculator against something printed or fixed outside this project, as one table.

``python -m tests.quantities.checks`` prints it: published value, computed value, difference, where it was printed. Not
a test by itself (``test_checks.py`` holds it to its tolerances). Its one rule: a row names document and table; where
the print errs, the row says so, and the tool must differ from it.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from tests.quantities import check_rows_animals, check_rows_heaps, check_rows_places

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.quantities.check_rows import Check

ROWS: tuple[Check, ...] = (*check_rows_heaps.ROWS, *check_rows_places.ROWS, *check_rows_animals.ROWS)


@dataclass(frozen=True)
class Outcome:
    """A check with what came out, and whether it is as it should be."""

    row: Check
    computed: Decimal

    @property
    def difference(self) -> Decimal:
        """Computed less published."""
        return self.computed - self.row.published

    @property
    def good(self) -> bool:
        """Within the tolerance; for a misprint or a wrong method, outside it."""
        return (abs(self.difference) <= self.row.within) is not self.row.errs


def outcomes() -> Iterator[Outcome]:
    """Compute every row."""
    return (Outcome(row, row.compute()) for row in ROWS)


def main() -> int:
    """Print the table; 1 where a row is not as it should be."""
    bad = 0
    print(
        "| what | published | computed | difference | within | source | |\n| --- | --- | --- | --- | --- | --- | --- |"
    )
    for one in outcomes():
        verdict = ("errs, found" if one.good else "ERRS, REPEATED") if one.row.errs else ("ok" if one.good else "OFF")
        shown = (one.row.published, one.computed.quantize(Decimal("0.00001")).normalize(), one.difference)
        figures = " | ".join(f"{figure:.5f}".rstrip("0").rstrip(".") for figure in shown)
        print(f"| {one.row.what} | {figures} | {one.row.within} | {one.row.source} | {verdict} |")
        bad += not one.good
    print(f"{len(ROWS)} checks, {sum(row.errs for row in ROWS)} of them of prints or methods that err, {bad} off")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
