"""Where the fields of an entry contradict each other: names that lead nowhere, ranges the wrong way round.

Not safety (``fieldbook.review``). Its one rule: it is asked only once every field by itself is in order.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import KIND_HAS_GROUP
from fieldbook.practices.entry_shape import ENTRY
from fieldbook.practices.faults import Fault
from fieldbook.practices.numbers import decimal_of
from fieldbook.practices.records import text_maps

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def disagreements(document: Mapping[str, Any]) -> list[Fault]:
    """Give a fault for each pair of fields that cannot both be true."""
    checks = (
        _pictures,
        _photo_names,
        _measures,
        _groups_both_ways,
        _kind_without,
        _unread,
        _title_languages,
        _step_numbers,
        _companions,
        _nobody_eats_it,
        _on_leaves_yet_dry,
        _fed_yet_not,
    )
    return [*(fault for check in checks for fault in check(document)), *_ranges(document, "")]


def _pictures(document: Mapping[str, Any]) -> Iterator[Fault]:
    names = {photo["name"] for photo in document.get("photos", ())}
    for n, step in enumerate(document.get("steps", ())):
        if "picture" in step and step["picture"] not in names:
            yield Fault(
                f"steps[{n}].picture",
                f"no photo is named “{step['picture']}”",
                "add a photo of that name, or take the name out",
            )


def _photo_names(document: Mapping[str, Any]) -> Iterator[Fault]:
    seen: set[str] = set()
    for n, photo in enumerate(document.get("photos", ())):
        if photo["name"] in seen:
            yield Fault(f"photos[{n}].name", f"“{photo['name']}” is there twice", "give each photo its own name")
        seen.add(photo["name"])


def _measures(document: Mapping[str, Any]) -> Iterator[Fault]:
    known = {measure["id"] for measure in document.get("measures", ())}
    for at, record in _records(document, ""):
        if "measure_id" in record and record["measure_id"] not in known:
            yield Fault(
                f"{at}.measure_id",
                f"no household measure is named “{record['measure_id']}”",
                "add one of that name, or take the name out",
            )


def _groups_both_ways(document: Mapping[str, Any]) -> Iterator[Fault]:
    facts = document.get("facts", {})
    for n, group in enumerate(facts.get("none", ())):
        if facts.get(group):
            yield Fault(f"facts.none[{n}]", f"says that there is no {group}, yet describes it", "keep one of the two")


def _kind_without(document: Mapping[str, Any]) -> Iterator[Fault]:
    group = KIND_HAS_GROUP.get(document["kind"])
    for n, ruled_out in enumerate(document.get("facts", {}).get("none", ())):
        if ruled_out == group:
            message = f"says that there is no {group}, yet the kind of practice is {document['kind']}"
            yield Fault(f"facts.none[{n}]", message, f"describe the {group}, or choose another kind of practice")


def _unread(document: Mapping[str, Any]) -> Iterator[Fault]:
    for n, tag in enumerate(document.get("unread", ())):
        if tag not in document["title"]:
            yield Fault(
                f"unread[{n}]",
                f"the title has no text in “{tag}”",
                "name only languages in which the entry has a title",
            )


def _title_languages(document: Mapping[str, Any]) -> Iterator[Fault]:
    for at, words in text_maps(ENTRY, document):
        for tag in words:
            if tag not in document["title"]:
                yield Fault(f"{at}.{tag}", f"the title has no text in “{tag}”", "add the title in that language too")


def _step_numbers(document: Mapping[str, Any]) -> Iterator[Fault]:
    for n, step in enumerate(document.get("steps", ())):
        if step.get("n", n + 1) != n + 1:
            yield Fault(
                f"steps[{n}].n", f"says {step['n']}, but this is step {n + 1}", "number the steps in their order"
            )


def _companions(document: Mapping[str, Any]) -> Iterator[Fault]:
    if document["kind"] != "companions" and document.get("companions"):
        yield Fault("companions", "is only for the kind of practice companions", "choose that kind, or leave it out")


def _facts(document: Mapping[str, Any], group: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Give the items of a group of facts, with their paths."""
    found = document.get("facts", {}).get(group)
    if isinstance(found, list):
        yield from ((f"facts.{group}[{n}]", item) for n, item in enumerate(found))
    elif found is not None:
        yield f"facts.{group}", found


def _nobody_eats_it(document: Mapping[str, Any]) -> Iterator[Fault]:
    for at, crop in _facts(document, "crop"):
        if crop.get("part") == "none" and crop.get("eaten_raw") is True:
            yield Fault(
                f"{at}.eaten_raw", "says that nobody eats it, yet that it is eaten raw", "choose one of the two"
            )


def _on_leaves_yet_dry(document: Mapping[str, Any]) -> Iterator[Fault]:
    leaves = any(crop.get("part") == "leaf" for _, crop in _facts(document, "crop"))
    for group in ("inputs", "irrigation"):
        for at, item in _facts(document, group):
            if leaves and item.get("mode") == "foliar" and item.get("wets_edible") is False:
                message = "says that it goes on the leaves, yet wets nothing that is eaten"
                yield Fault(f"{at}.wets_edible", message, "say yes here, or choose where else it goes")


def _fed_yet_not(document: Mapping[str, Any]) -> Iterator[Fault]:
    fed = any("fish_feed" in (animal.get("droppings_to") or ()) for _, animal in _facts(document, "animals"))
    for at, fish in _facts(document, "fish"):
        if fed and fish.get("manure_fed") is False:
            message = "says that no dung gets to the fish, yet droppings go to them as feed"
            yield Fault(f"{at}.manure_fed", message, "say yes here, or send the droppings elsewhere")


def _ranges(value: object, at: str) -> Iterator[Fault]:
    for here, record in _records(value, at):
        low, high = decimal_of(record.get("low")), decimal_of(record.get("high"))
        middle = decimal_of(record.get("value"))
        ends = [number for number in (low, middle, high) if number is not None]
        if ends != sorted(ends):
            yield Fault(here, "the least, the usual and the most are not in rising order", "put the smallest first")


def _records(value: object, at: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Give every object within a value, with its path."""
    if isinstance(value, dict):
        yield at, value
        for name, item in value.items():
            yield from _records(item, f"{at}.{name}" if at else name)
    elif isinstance(value, list):
        for n, item in enumerate(value):
            yield from _records(item, f"{at}[{n}]")
