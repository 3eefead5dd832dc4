"""What a bench prints: one line for each thing measured, beside the least that it could have been.

Not the measuring. One rule: a figure stands with its floor and their ratio, or says why there is none.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

HEADINGS = ("what", "floor", "ours", "ratio")


@dataclass(frozen=True)
class Size:
    """How much is measured.

    Attributes:
        statements: Taken in.
        base: Held by both sides before the changes whose bytes are counted.
        changes: Numbers of changes whose bytes are counted.
        held: Numbers of statements held where nothing is new, ascending.
        backlog_bytes: On the stick on which something urgent lies.
        entries: Practice entries at the site whose pages and search are asked.
        repeats: How often each thing is timed.
    """

    statements: int
    base: int
    changes: tuple[int, ...]
    held: tuple[int, ...]
    backlog_bytes: int
    entries: int
    repeats: int


SMALLEST = Size(100, 50, (0, 10), (50, 100), 300_000, 5, 1)
QUICK = Size(1_000, 1_000, (0, 1, 10, 100, 1_000), (300, 1_000, 3_000), 5_000_000, 60, 2)
FULL = Size(10_000, 10_000, (0, 1, 10, 100, 1_000, 10_000), (1_000, 10_000, 100_000), 100_000_000, 2_000, 3)


@dataclass(frozen=True)
class Figure:
    """One thing measured.

    Attributes:
        what: In a few words.
        floor: The least that it could have been, with its unit and what that is.
        ours: As measured, with its unit.
        ratio: Of the two, as a text that says which of which.
    """

    what: str
    floor: str
    ours: str
    ratio: str


def times(ours: float, floor: float) -> str:
    """How many times the floor ours is."""
    return f"{ours / floor:.2f} times" if floor else "no floor"


def seconds(value: float) -> str:
    """A time in the unit that reads best."""
    if value >= 1:
        return f"{value:.2f} s"
    return f"{value * 1e3:.2f} ms" if value >= 1e-3 else f"{value * 1e6:.0f} µs"


def number(value: int) -> str:
    """A count with its thousands apart."""
    return f"{value:,}"


def as_text(figures: Iterable[Figure]) -> str:
    """A table for a terminal."""
    rows = [HEADINGS, *_cells(figures)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADINGS))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    )


def as_markdown(figures: Iterable[Figure]) -> str:
    """A table for the developers' guide."""
    rows = [HEADINGS, ("---",) * len(HEADINGS), *_cells(figures)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def _cells(figures: Iterable[Figure]) -> list[tuple[str, ...]]:
    return [(figure.what, figure.floor, figure.ours, figure.ratio) for figure in figures]
