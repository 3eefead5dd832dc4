"""What an entry's numbers rest on, as a reviewer reads it: each source with its numbers, the weakest together.

Not a judgement of the sources. Its one rule: common practice and memory are never mixed with what was read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.web.code_words import MARK_WORDS
from fieldbook.web.differences import place_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_WEAK = frozenset({MARK_WORDS["common practice"], MARK_WORDS["from memory"]})


@dataclass(frozen=True)
class Evidence:
    """The numbers that rest on one work, or together on what nobody looked up.

    Attributes:
        citation: the work, or the mark in words.
        place: section, table or page of the work.
        mark: how the work is known, in words.
        numbers: the places of the numbers, in words.
    """

    citation: str
    place: str
    mark: str
    numbers: tuple[str, ...]


def evidence_of(document: Mapping[str, Any]) -> tuple[list[Evidence], list[Evidence]]:
    """The works with the numbers that rest on them, and apart from them what rests on practice or memory alone."""
    works = {
        name: work for work in document.get("sources") or () for name in (work.get("key"), work["citation"]) if name
    }
    numbers: dict[str, list[str]] = {}
    for place, source in _numbers(document):
        work = works.get(source)
        numbers.setdefault(work["citation"] if work else source, []).append(place)
    named = [
        Evidence(
            str(work["citation"]), str(work.get("place", "")), _mark(work), tuple(numbers.pop(work["citation"], ()))
        )
        for work in document.get("sources") or ()
    ]
    loose = [Evidence(source, "", MARK_WORDS.get(source, ""), tuple(places)) for source, places in numbers.items()]
    found = [*named, *loose]
    return [one for one in found if one.mark not in _WEAK], [one for one in found if one.mark in _WEAK]


def _mark(work: Mapping[str, Any]) -> str:
    return MARK_WORDS.get(str(work.get("mark", "")), "")


def _numbers(document: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Each number that names what it rests on, with its place in words."""
    for name in ("ratios", "waiting", "companions"):
        for n, row in enumerate(document.get(name) or ()):
            if row.get("source"):
                yield place_words(f"{name}[{n}]"), str(row["source"])
    produce = document.get("yield") or {}
    if produce.get("source"):
        yield place_words("yield"), str(produce["source"])
