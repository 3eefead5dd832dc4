"""Local names of crops, pests and animals: from a name to all that it may mean.

What it is: the names table (``seed_entries/names.csv``), asked from both sides, entries and questions. What it is not:
a dictionary; a name says which rows may be meant, never which one is.

Its one rule: many to many. A name that stands in several rows leads to all of them, the doubtful ones too.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from fieldbook.search.asked import known_shapes
from fieldbook.search.smallwords import SMALL_WORDS
from fieldbook.search.words import words_of
from fieldbook.shipped import shipped_text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

NAME_LANGUAGES: Final = ("en", "sw", "fr", "ar", "es", "so")


@dataclass(frozen=True)
class _Name:
    shapes: tuple[frozenset[str], ...]
    ids: frozenset[str]


class NamesTable:
    """The names table, asked with words and their shapes."""

    def __init__(self, text: str) -> None:
        """Read the table from its CSV text."""
        ids: dict[tuple[str, str], set[str]] = {}
        self.words: set[str] = set()
        for row in csv.DictReader(io.StringIO(text)):
            named = [(language, name) for language in NAME_LANGUAGES for name in row[language].split("|") if name]
            for language, name in (*named, ("", row["scientific"].split("(")[0])):
                ids.setdefault((language, name), set()).add(row["id"])
        self._by_first: dict[str, list[_Name]] = {}
        for (language, name), rows in ids.items():
            words = words_of(name)
            self._add([word for word in words if word not in SMALL_WORDS] or words, language, frozenset(rows))

    def _add(self, words: Sequence[str], language: str, ids: frozenset[str]) -> None:
        shapes = tuple(known_shapes(words, (language,)))
        self.words.update(words)
        for first in shapes[0]:
            self._by_first.setdefault(first, []).append(_Name(shapes, ids))

    def ids_in(self, words: Sequence[Mapping[str, float]]) -> dict[str, float]:
        """Return the ids that the words name -> how sure, 0 to 1; of overlapping names only the longest count.

        Args:
            words: The shapes of each word that carries meaning, in order.
        """
        found: dict[str, float] = {}
        at = 0
        while at < len(words):
            names = {first: self._by_first.get(first, ()) for first in words[at]}
            fits = [(name, _fit(name, words[at:])) for at_first in names.values() for name in at_first]
            longest = max((len(name.shapes) for name, sure in fits if sure), default=1)
            for name, sure in fits:
                if sure and len(name.shapes) == longest:
                    found.update({row: max(sure, found.get(row, 0)) for row in name.ids})
            at += longest
        return found

    def only_row(self, text: str, languages: Sequence[str] = NAME_LANGUAGES) -> str | None:
        """Return the id of the row that a whole text names; None where it names none or several, or says more.

        Args:
            text: A name, in one of its forms ("aphids").
            languages: Those whose forms are known.
        """
        words = [word for word in words_of(text) if word not in SMALL_WORDS]
        if not words:
            return None
        shapes = known_shapes(words, languages)
        names = [
            name for first in shapes[0] for name in self._by_first.get(first, ()) if len(name.shapes) == len(words)
        ]
        fits = [name for name in names if all(ours & asked for ours, asked in zip(name.shapes, shapes, strict=True))]
        ids = {row for name in fits for row in name.ids}
        return ids.pop() if len(ids) == 1 else None


def _fit(name: _Name, words: Sequence[Mapping[str, float]]) -> float:
    """Return how surely the words begin with a name, 0 if they do not."""
    if len(words) < len(name.shapes):
        return 0
    return min(
        max((sure for shape, sure in word.items() if shape in shapes), default=0)
        for shapes, word in zip(name.shapes, words, strict=False)
    )


@cache
def shipped_names_table() -> NamesTable:
    """Return the names table that comes with the program."""
    return NamesTable(shipped_text("seed_entries/names.csv"))
