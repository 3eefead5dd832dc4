"""Rules on what an entry claims: numbers without a source, food values, plant counts, advice that contradicts itself.

Not a check of the sources themselves. Its one rule: a number is met by a work and the place in it, or by the plain mark
that it is common practice or from memory.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import NONE_PUBLISHED
from fieldbook.quantities import plants_square, plants_triangular, rows_triangular
from fieldbook.review.case import Case, cases
from fieldbook.review.rule import Hit, Outcome, Rule, each, fires
from fieldbook.review.truth import Unsaid

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices import Entry
    from fieldbook.practices.facts import Item

_ROWS_THAT_MAY_GAIN = 5
_FOOD_UNITS = ("g", "kcal", "kj", "mg", "\u00b5g")
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


def _mixed_vitamin_a(entry: Entry) -> Iterator[Outcome]:
    if entry.facts.not_said("nutrition"):
        yield Unsaid(("facts.nutrition",))
    kinds: dict[str, str] = {}
    for case in cases(entry, "nutrition"):
        if case.said("nutrient") is None:
            yield case.unsaid("nutrient")
        elif _is_vitamin_a(str(case.said("nutrient"))):
            unit = str(case.said("unit") or "")
            kind = _vitamin_a_unit(unit)
            if case.said("unit") is None:
                yield case.unsaid("unit")
            elif not kind:
                yield Hit(case.path("unit"), value=unit, limit="RE or RAE")
            elif any(other != kind for other in kinds):
                yield Hit(
                    case.path("unit"), value=f"{unit} beside {next(iter(kinds.values()))}", limit="one of the two"
                )
            kinds.setdefault(kind, unit) if kind else None


def _is_vitamin_a(nutrient: str) -> bool:
    words = nutrient.casefold().replace("-", " ").split()
    return "retinol" in words or any(pair == ("vitamin", "a") for pair in pairwise(words))


def _vitamin_a_unit(unit: str) -> str:
    """RE or RAE as it stands in a unit; empty where neither or both do."""
    found = {word for word in re.findall(r"[A-Za-z]+", unit.upper()) if word in {"RE", "RAE"}}
    return found.pop() if len(found) == 1 else ""


def _untied_value(case: Case) -> Iterator[Outcome]:
    missing = [name for name in ("table", "food_no", "form") if case.said(name) is None]
    unit = str(case.said("unit") or "")
    if unit and not _is_known_unit(unit):
        yield Hit(case.path("unit"), value=unit, limit="g, mg, µg, kcal or kJ")
    if case.said("value") is not None and missing:
        yield Hit(
            case.path(missing[0]), value=str(case.said("value")), limit="a table, its number there, raw or cooked"
        )


def _is_known_unit(unit: str) -> bool:
    plain = unit.casefold().replace("\u03bc", "\u00b5").removesuffix(" rae").removesuffix(" re")
    return plain.split("/")[0].split(" per ")[0].strip() in _FOOD_UNITS


def _wrong_count(case: Case) -> Iterator[Outcome]:
    if case.is_in("pattern", "triangular") is not True:
        yield from fires(case.is_in("pattern", "triangular"), Hit(case.path("pattern")))
        return
    sizes = {name: case.said(name) for name in ("length_mm", "width_mm", "spacing_mm")}
    missing = tuple(case.path(name) for name, size in sizes.items() if not size)
    if missing or case.said("count") is None:
        yield Unsaid((*missing, *([] if case.said("count") is not None else [case.path("count")])))
    elif min(sizes["length_mm"], sizes["width_mm"]) < sizes["spacing_mm"]:
        yield Hit(case.path("spacing_mm"), value=f"{sizes['spacing_mm']} mm", limit="a bed of one spacing or more")
    else:
        yield from _held_against_the_count(case, sizes)


def _held_against_the_count(case: Case, sizes: Mapping[str, int]) -> Iterator[Outcome]:
    turned = {**sizes, "length_mm": sizes["width_mm"], "width_mm": sizes["length_mm"]}
    along, across, square = plants_triangular(**sizes), plants_triangular(**turned), plants_square(**sizes)
    if case.said("count") not in {along, across}:
        limit = f"{along} plants for this bed with rows along it, {across} across"
        yield Hit(case.path("count"), value=f"{case.said('count')} plants", limit=limit)
    claims_more = any(one.said("effect") is not None for one in cases(case.entry, "evidence"))
    few_rows = max(rows_triangular(**sizes), rows_triangular(**turned)) < _ROWS_THAT_MAY_GAIN
    if claims_more and (few_rows or max(along, across) <= square):
        value = f"{along} or {across} plants, in squares {square}"
        yield Hit(case.path("pattern"), value=value, limit="the count of this bed")


RULES = (
    Rule(
        id="GEN-01",
        hazard="no basis",
        result="answer",
        words="This number has no source: name the work and the place in it, or say common practice or from memory.",
        look=_without_source,
        sources=("ours",),
        whose="part",
        figure="what counts as a source",
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
        figure="all of it: what is warned against is not used",
        instead=("take-it-out",),
    ),
    Rule(
        id="NUT-01",
        hazard="wrong number",
        result="stop",
        words="Vitamin A is given in RE or in RAE, and in plants one is half the other: state one, never mix them.",
        look=_mixed_vitamin_a,
        sources=("vitamin-a-units",),
        whose="theirs",
        instead=("state-the-unit",),
    ),
    Rule(
        id="NUT-02",
        hazard="wrong number",
        result="answer",
        words="A food value belongs to a table, a number in it, and a form: raw or cooked. Name all three.",
        look=each("nutrition", _untied_value),
        sources=("ours",),
        whose="part",
        figure="that table, number and form are all asked",
        instead=("name-the-table",),
    ),
    Rule(
        id="SPC-01",
        hazard="false claim",
        result="answer",
        words="That many plants do not stand in triangles in a bed of this size; a small bed may hold even fewer so "
        "than in squares.",
        look=each("bed", _wrong_count),
        sources=("ours",),
        whose="ours",
        figure="below 5 rows no gain is claimed",
        instead=("count-the-bed",),
    ),
)
