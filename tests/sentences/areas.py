"""Which sentences of the source belong to which table of the catalogue.

An area stands in `WHOLE` once its table and its situations hold every sentence of it; from then on a sentence that is
not in both fails the house.
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
    "site": ("fieldbook/",),  # whatever of it is in no other area
}
WHOLE: tuple[str, ...] = ("entries",)


@cache
def collected() -> Collection:
    """Every sentence of the source, read once a run."""
    return collect(House("sync", "fieldbook"))


def area_of(place: str) -> str:
    return next(area for area, folders in FOLDERS.items() if place.startswith(folders))


def sentences_of(area: str) -> Iterator[Sentence]:
    return (each for each in sorted(collected().sentences, key=lambda one: one.place) if area_of(each.place) == area)
