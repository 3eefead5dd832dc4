"""Rules on what an entry claims: numbers without a source, and advice that contradicts itself.

Not a check of the sources themselves. Its one rule: a number is met by a work and the place in it, or by the plain mark
that it is common practice or from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import NONE_PUBLISHED
from fieldbook.review.rule import Hit, Outcome, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices import Entry
    from fieldbook.practices.facts import Item

_MARKS = ("common practice", "from memory")
# What names a thing itself; the other names of a group say how it is used.
_NAMING = {"inputs": ("kind",), "materials": ("kind",), "spray": ("plants",), "crop": ("name",), "fish": ("species",)}


def _claims(entry: Entry) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Give each number that needs a source, with its path."""
    for n, ratio in enumerate(entry.rows("ratios")):
        yield f"ratios[{n}]", ratio
    for n, wait in enumerate(entry.rows("waiting")):
        if wait["days_min"] != NONE_PUBLISHED:
            yield f"waiting[{n}]", wait
    produce = entry.document.get("yield")
    if produce is not None and produce.get("basis") != "measured":
        yield "yield", produce


def _without_source(entry: Entry) -> Iterator[Outcome]:
    works = {name: work for work in entry.rows("sources") for name in (work.get("key"), work["citation"]) if name}
    for at, claim in _claims(entry):
        named = claim.get("source")
        if named is None:
            yield Hit(f"{at}.source", limit="a source, common practice, or from memory")
        elif named in works and not _placed(works[named]):
            yield Hit(f"{at}.source", value=named, limit="the section, table or page in it")


def _placed(work: Mapping[str, Any]) -> bool:
    return bool(work.get("place")) or work.get("mark") in _MARKS


def _warned_and_used(entry: Entry) -> Iterator[Outcome]:
    used = list(_used_things(entry))
    for group, items in entry.facts.warned_against.items():
        for item in items:
            for word in _names(group, item):
                for at, thing in used:
                    if _same_thing(word, thing) and not _used_otherwise(entry, group, item, word):
                        yield Hit(at, value=thing, limit=f"warned against as {word}")


def _names(group: str, item: Item) -> Iterator[str]:
    for field in _NAMING.get(group, ()):
        value = item.get(field)
        yield from value if isinstance(value, list) else [value] if isinstance(value, str) else []


def _used_otherwise(entry: Entry, group: str, warned: Item, word: str) -> bool:
    """True where the facts show the same thing used in another way than the one that is warned against."""
    how = {name: value for name, value in warned.items() if name not in _NAMING[group]}
    in_use = [item for item in entry.facts.items(group) if word in _names(group, item)]
    return bool(how) and bool(in_use) and all(any(item.get(n) != v for n, v in how.items()) for item in in_use)


def _used_things(entry: Entry) -> Iterator[tuple[str, str]]:
    for n, material in enumerate(entry.rows("materials")):
        yield from _words_of(material["item"], f"materials[{n}].item")
    for n, ratio in enumerate(entry.rows("ratios")):
        for part in ("a", "b"):
            yield from _words_of(ratio[part], f"ratios[{n}].{part}")
    for n, step in enumerate(entry.rows("steps")):
        for m, item in enumerate(step.get("materials", ())):
            yield from _words_of(item, f"steps[{n}].materials[{m}]")


def _words_of(item: Any, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(item, str):
        yield at, item
    else:
        yield from ((f"{at}.{tag}", words) for tag, words in item.items())


def _same_thing(word: str, thing: str) -> bool:
    """True where the warned word stands in the name of the thing as whole words."""
    warned, named = (" ".join(text.casefold().replace("_", " ").replace("-", " ").split()) for text in (word, thing))
    return f" {warned} " in f" {named} " or f" {warned}s " in f" {named} "


RULES = (
    Rule(
        id="GEN-01",
        hazard="no basis",
        result="answer",
        words="This number has no source: name the work and the place in it, or say common practice or from memory.",
        look=_without_source,
        sources=("ours",),
        whose="part",
        instead=("name-the-source",),
    ),
    Rule(
        id="GEN-03",
        hazard="contradiction",
        result="stop",
        words="The text warns against this, yet uses it.",
        look=_warned_and_used,
        sources=("ours",),
        whose="ours",
        instead=("take-it-out",),
    ),
)
