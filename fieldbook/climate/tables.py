"""A table of figures as people hand it in: cells under a heading.

What it is: what every table of this room has in common, whether it holds months or days. What it is not: a judge of
one figure; each table knows its own bounds.

Its one rule: a table is read whole or refused with what is wrong with it; no cell is ever repaired.
"""

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

NUMBER: Final = re.compile(r"[+-]?\d{1,6}(\.\d{1,6})?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Range:
    """What a figure can be, and how people say its unit where it cannot.

    Attributes:
        low: The least, in the unit of the column.
        high: The greatest, in the same unit.
        hint: The unit, and the one that it is often taken for.
    """

    low: float
    high: float
    hint: str


def text_fault(text: str, *, most_characters: int) -> str:
    """Say why a text is no table at all; nothing where its cells can be read.

    Args:
        text: What was handed in.
        most_characters: More than this is refused unread.
    """
    if len(text) > most_characters:
        return f"the table has {len(text)} characters, more than {most_characters}"
    if "\0" in text:
        return "the file is no text"
    try:
        rows = table_rows(text)
    except csv.Error as error:
        return f"the table is torn: {error}"
    return "" if rows else "the table is empty"


def table_rows(text: str) -> list[list[str]]:
    """Split a text that `text_fault` found nothing in into its cells; lines without any are passed over."""
    return [row for row in csv.reader(text.removeprefix("\ufeff").splitlines(), strict=True) if any(row)]


def heading_of(rows: Sequence[Sequence[str]]) -> list[str]:
    """Give the names of the columns, in small letters."""
    return [cell.strip().lower() for cell in rows[0]]


def heading_faults(columns: Sequence[str], *, needed: Sequence[str], known: Sequence[str]) -> Iterator[str]:
    """Say what is wrong with a heading.

    Args:
        columns: As `heading_of` gives them.
        needed: The columns that must be there.
        known: All that may be there.
    """
    if any(";" in cell or "\t" in cell for cell in columns):
        yield "the heading is not separated by commas"
        return
    yield from (f"unknown column {cell!r} (known are {', '.join(known)})" for cell in columns if cell not in known)
    yield from (f"column {cell} stands twice" for cell, count in Counter(columns).items() if count > 1)
    yield from (f"column {cell} is missing" for cell in needed if cell not in columns)
