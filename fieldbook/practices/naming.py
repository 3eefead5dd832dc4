"""The names table as words: of a crop, a pest or an animal, what it is called in each language, and which one is meant.

Not search, which leads to all that a name may mean (``fieldbook.search``). Its one rule: a name that stands for
several, or of which the table is not sure, is none of them; the words that somebody typed stay as they are.
"""

from __future__ import annotations

import csv
import io
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

_LANGUAGES: Final = ("en", "sw", "fr", "ar", "es", "so")
_PLURALS: Final = ("", "s", "es")  # of English, as people type them; a word that becomes two rows by it stays words


class ThingNames:
    """The names table."""

    def __init__(self, text: str) -> None:
        """Read the table from its CSV text."""
        words: dict[str, Mapping[str, str]] = {}
        meant: dict[str, set[str]] = {}
        sure: dict[str, set[str]] = {}
        for row in csv.DictReader(io.StringIO(text)):
            names = {tag: row[tag].split("|") for tag in _LANGUAGES}
            certain = {tag: _sure_names(row, tag) for tag in _LANGUAGES}
            words[row["id"]] = MappingProxyType({tag: of_tag[0] for tag, of_tag in certain.items() if of_tag})
            for found, spelled in ((meant, names), (sure, certain)):
                for name in _spellings(row["id"], spelled):
                    found.setdefault(name.casefold(), set()).add(row["id"])
        self._words = words
        self._meant = {name: min(things) for name, things in meant.items() if len(things) == 1 and name in sure}

    def words(self, thing: str) -> Mapping[str, str]:
        """What a row is called, by language; nothing for what is no row."""
        return self._words.get(thing, {})

    def thing(self, typed: str) -> str:
        """The row that is meant by a name in any language of the table; empty where none or several are."""
        return self._meant.get(" ".join(typed.split()).casefold(), "")


def _spellings(thing: str, names: Mapping[str, list[str]]) -> set[str]:
    """A row's id and its names, the English ones in the plural too."""
    every = {thing, thing.replace("-", " "), *(name for of_tag in names.values() for name in of_tag if name)}
    return every | {name + ending for name in (thing, *names["en"]) for ending in _PLURALS if name}


def _sure_names(row: Mapping[str, str], tag: str) -> list[str]:
    """The names of a row in a language of which its writer had no doubt."""
    pairs = zip(row[tag].split("|"), row[f"{tag}_sure"].split("|"), strict=False)
    return [name for name, sure in pairs if name and sure == "yes"]
