"""Which sentences of the source belong to which table of the catalogue.

An area stands in `LISTED` once its table holds every sentence of it, and in `WHOLE` once its situations do too; from then
on a sentence that is not there fails.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from tests.sentences.collecting import Collection, Sentence, collect
from tests.sentences.rooms import House

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDERS: dict[str, tuple[str, ...]] = {
    "sync": ("sync/",),
    "entries": ("fieldbook/practices/", "fieldbook/review/"),
    "pages": ("fieldbook/web/", "fieldbook/cli/"),
    "sums": ("fieldbook/quantities/",),
    "site": ("fieldbook/",),  # whatever of it is in no other area
}
LISTED: tuple[str, ...] = ("sync", "entries", "sums", "site", "pages")
WHOLE: tuple[str, ...] = ("entries",)


LIBRARY = (  # what Python's argparse says in its own words, which no source of ours holds
    "argument {name}: invalid choice: {value} (choose from {choices})",
    "argument {name}: {value} is no whole number",
    "argument {name}: expected one argument",
    "argument {name}: ignored explicit argument {value}",
    "the following arguments are required: {names}",
    "unrecognized arguments: {words}",
    "ambiguous option: {option} could match {options}",
    "argument {name}: {value} is no number of weeks from 1 to {most}",
)


@cache
def collected() -> Collection:
    """Every sentence of the source, read once a run."""
    found = collect(House("sync", "fieldbook"))
    found.sentences |= {Sentence(text, "fieldbook/cli/arguments.py:0") for text in LIBRARY}
    return found


def area_of(place: str) -> str:
    return next(area for area, folders in FOLDERS.items() if place.startswith(folders))


def sentences_of(area: str) -> Iterator[Sentence]:
    return (each for each in sorted(collected().sentences, key=lambda one: one.place) if area_of(each.place) == area)
