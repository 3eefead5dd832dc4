"""A practice entry as a page shows it: amounts, steps by day, waiting, signs, dangers, sources.

What it is: pure functions from an entry document to plain values for a template. What it is not: who approved it or who
may see it (``site``), or a check. Its one rule: nothing of the document that a reader needs to stay safe is left out,
whatever language the reader chose.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from fieldbook.web import code_words as say
from fieldbook.web.said import Said, all_in_language, amount, amount_in, days, duration, in_language, languages_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    Languages = Sequence[str]


@dataclass(frozen=True)
class Amount:
    """One row of the amounts box: a thing, how much, what to know about it.

    ``instead`` are other things, each with the verdict on it and whether it may be used at all.
    """

    thing: Said
    amount: str
    notes: tuple[str, ...]
    instead: tuple[tuple[Said, str, bool], ...]


@dataclass(frozen=True)
class Mixing:
    """1 part of ``a`` to ``parts`` of ``b``."""

    a: Said
    b: Said
    parts: str
    by: str
    source: str


@dataclass(frozen=True)
class Step:
    """One step; ``picture`` is a photo of the entry."""

    number: int
    say: Said
    do_not: Said | None
    success: Said | None
    stop_if: Said | None
    notes: str
    picture: Mapping[str, Any] | None


@dataclass(frozen=True)
class Day:
    """The steps that begin on one day; ``label`` is empty where the entry gives no days."""

    label: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Waiting:
    """How long to wait before what, when that holds, and how it is known."""

    before: str
    days: str
    condition: Said | None
    source: str


@dataclass(frozen=True)
class Failure:
    """A sign of failure with its likely cause and the first thing to do."""

    sign: Said
    cause: Said | None
    action: Said | None


@dataclass(frozen=True)
class Source:
    """A source with its number on the page."""

    number: int
    citation: str
    place: str
    mark: str


@dataclass(frozen=True)
class ShownEntry:
    """Everything of an entry that a page shows, in the reader's language where it has it."""

    title: Said
    summary: Said | None
    kind: str
    languages: tuple[str, ...]
    unread: tuple[str, ...]
    photos: tuple[Mapping[str, Any], ...]
    needs: tuple[tuple[str, str], ...]
    not_for: tuple[Said, ...]
    amounts: tuple[Amount, ...]
    mixings: tuple[Mixing, ...]
    measures: tuple[tuple[Said, str], ...]
    tools: tuple[Said, ...]
    days: tuple[Day, ...]
    waiting: tuple[Waiting, ...]
    storage: tuple[Said, ...]
    harvest: str
    protect: tuple[str, ...]
    demands: tuple[str, ...]
    controls: Mapping[str, tuple[Said, ...]]
    first_aid: Said | None
    disposal: Said | None
    signs: tuple[Said, ...]
    failures: tuple[Failure, ...]
    companions: tuple[tuple[Said, str, Said, str], ...]
    sources: tuple[Source, ...]


def show_entry(document: Mapping[str, Any], preferred: Languages) -> ShownEntry:
    """Lay out an entry for a page.

    Args:
        document: the entry as it stands in its edition.
        preferred: the languages of the reader, the dearest first; what is missing there is shown in any.
    """
    sources = _sources(document)
    numbered = {source.get("key", ""): f"source {n}" for n, source in enumerate(document.get("sources") or (), start=1)}

    def cited(item: Mapping[str, Any]) -> str:
        text = str(item.get("source", ""))
        return numbered.get(text, text)

    facts = document.get("facts") or {}
    return ShownEntry(
        title=in_language(document.get("title"), preferred) or Said("", "(no title)"),
        summary=in_language(document.get("summary"), preferred),
        kind=say.KIND_WORDS.get(str(document.get("kind")), ""),
        languages=languages_of(document),
        unread=tuple(document.get("unread") or ()),
        photos=_photos(document, preferred),
        needs=_needs(document),
        not_for=all_in_language([one.get("reason") for one in document.get("not_for") or ()], preferred),
        amounts=_amounts(document, preferred),
        mixings=_mixings(document, preferred, cited),
        measures=_measures(document, preferred),
        tools=all_in_language(document.get("tools"), preferred),
        days=_days(document, preferred),
        waiting=_waiting(document, preferred, cited),
        storage=all_in_language([(document.get("storage") or {}).get(name) for name in ("how", "label")], preferred),
        harvest=_harvest(document),
        protect=tuple(say.PROTECT_WORDS[code] for code in document.get("protect") or () if code in say.PROTECT_WORDS),
        demands=tuple(say.DEMAND_WORDS[code] for code in facts.get("demands") or () if code in say.DEMAND_WORDS),
        controls=_controls(document, preferred),
        first_aid=in_language(document.get("first_aid"), preferred),
        disposal=in_language(document.get("disposal"), preferred),
        signs=all_in_language(document.get("success_signs"), preferred),
        failures=_failures(document, preferred),
        companions=_companions(document, preferred, cited),
        sources=sources,
    )


def _photos(document: Mapping[str, Any], preferred: Languages) -> tuple[Mapping[str, Any], ...]:
    photos = document.get("photos") or ()
    return tuple(
        {**photo, "alt": in_language(photo.get("alt"), preferred), "anchor": f"photo-{number}"}
        for number, photo in enumerate(photos, start=1)
        if "ref" in photo
    )


def _needs(document: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    space, people = document.get("space") or {}, document.get("people") or {}
    rows = (
        ("Ground", amount_in(space.get("area_m2"), "area-square-meter")),
        ("Depth of soil", amount_in(space.get("depth_cm"), "length-centimeter")),
        ("Height", amount_in(space.get("height_cm"), "length-centimeter")),
        ("Where", ", ".join(name for name in ("roof", "wall", "floor", "window") if space.get(name))),
        ("Weight when wet", _with(space.get("load_kg_m2_wet"), "kg on each m²")),
        ("Sun", _range(document.get("sun_h"), "hours a day")),
        ("Water", _with(amount_in(document.get("water_l_day"), "volume-liter"), "a day")),
        ("Kind of water", ", ".join(_word(say.WATER_WORDS, code) for code in document.get("water_kind") or ())),
        ("People", _people(people)),
        ("May a child help?", _word(say.CHILD_WORDS, people.get("can_child"))),
        ("Money", _word(say.COST_WORDS, (document.get("cost") or {}).get("class"))),
        ("First result", _with(document.get("first_result_days"), "days after beginning")),
    )
    return tuple((label, value) for label, value in rows if value)


def _word(table: Mapping[str, str], code: Any) -> str:
    return table.get(code, "") if isinstance(code, str) else ""


def _with(value: Any, unit: str) -> str:
    return f"{value} {unit}" if value not in {None, ""} else ""


def _range(value: Any, unit: str) -> str:
    if not isinstance(value, dict):
        return ""
    low, high = value.get("low"), value.get("high")
    if low is not None and high is not None:
        return f"{low} to {high} {unit}"
    return f"at least {low} {unit}" if low is not None else _with(high, f"{unit} at most")


def _people(people: Mapping[str, Any]) -> str:
    hands, hours = people.get("hands"), people.get("hours")
    parts = (
        ("1 person" if hands == 1 else f"{hands} people") if hands else "",
        ("1 hour" if hours == 1 else f"{hours} hours") if hours else "",
        _word(say.STRENGTH_WORDS, people.get("strength")),
    )
    return ", ".join(part for part in parts if part)


def _amounts(document: Mapping[str, Any], preferred: Languages) -> tuple[Amount, ...]:
    measures = {one.get("id"): in_language(one.get("name"), preferred) for one in document.get("measures") or ()}
    rows = []
    for material in document.get("materials") or ():
        thing = in_language(material.get("item"), preferred)
        if thing is None:
            continue
        quantity = material.get("qty") or {}
        measure = measures.get(quantity.get("measure_id"))
        held = [say.HELD_WORDS[code] for code in material.get("must_not_have_held") or () if code in say.HELD_WORDS]
        notes = (
            f"as much as: {measure.text}" if measure else "",
            "found or used before" if material.get("reclaimed") else "",
            f"must never have held {_or(held)}" if held else "",
        )
        instead = _instead(material, preferred)
        rows.append(Amount(thing, amount(quantity), tuple(note for note in notes if note), instead))
    return tuple(rows)


def _or(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _instead(material: Mapping[str, Any], preferred: Languages) -> tuple[tuple[Said, str, bool], ...]:
    found = []
    for other in material.get("substitutions") or ():
        thing = in_language(other.get("item"), preferred)
        verdict = _word(say.VERDICT_WORDS, other.get("verdict"))
        times = other.get("ratio")
        if thing is not None:
            words = verdict if times in {None, 1, "1"} else f"{verdict}, {times} times as much"
            found.append((thing, words, other.get("verdict") != "forbidden"))
    return tuple(found)


def _mixings(document: Mapping[str, Any], preferred: Languages, cited: Callable[..., str]) -> tuple[Mixing, ...]:
    found = []
    for ratio in document.get("ratios") or ():
        a, b = in_language(ratio.get("a"), preferred), in_language(ratio.get("b"), preferred)
        if a is not None and b is not None:
            parts = str(ratio.get("value"))
            if "low" in ratio and "high" in ratio:
                parts = f"{parts} ({ratio['low']} to {ratio['high']})"
            found.append(Mixing(a, b, parts, _word(say.BY_WORDS, ratio.get("by")), cited(ratio)))
    return tuple(found)


def _measures(document: Mapping[str, Any], preferred: Languages) -> tuple[tuple[Said, str], ...]:
    pairs = ((in_language(one.get("name"), preferred), one) for one in document.get("measures") or ())
    return tuple((name, amount(one.get("equals"))) for name, one in pairs if name is not None)


def _days(document: Mapping[str, Any], preferred: Languages) -> tuple[Day, ...]:
    """The steps in the order of the entry, drawn together where they begin on one day."""
    pictures = {photo["name"]: photo for photo in _photos(document, preferred)}
    steps = [
        (one.get("day_offset"), _step(number, one, preferred, pictures))
        for number, one in enumerate(document.get("steps") or (), start=1)
    ]
    return tuple(
        Day("" if day is None else f"Day {day}", tuple(step for _, step in group if step is not None))
        for day, group in groupby(steps, key=lambda pair: pair[0])
    )


def _step(
    number: int, step: Mapping[str, Any], preferred: Languages, pictures: Mapping[str, Mapping[str, Any]]
) -> Step | None:
    words = in_language(step.get("say"), preferred)
    if words is None:
        return None
    return Step(
        number=number,
        say=words,
        do_not=in_language(step.get("do_not"), preferred),
        success=in_language(step.get("success_sign"), preferred),
        stop_if=in_language(step.get("stop_if"), preferred),
        notes=_step_notes(step),
        picture=pictures.get(step.get("picture", "")),
    )


def _step_notes(step: Mapping[str, Any]) -> str:
    repeat = step.get("repeat") or {}
    every, times = repeat.get("every_days"), repeat.get("times")
    parts = (
        f"takes {duration(step.get('duration'))}" if duration(step.get("duration")) else "",
        _word(say.TIME_WORDS, step.get("time_of_day", "")),
        ("every day" if every == 1 else f"every {every} days") if every else "",
        f"{times} times" if times else "",
        _word(say.UNTIL_WORDS, repeat.get("until")),
    )
    return ", ".join(part for part in parts if part)


def _waiting(document: Mapping[str, Any], preferred: Languages, cited: Callable[..., str]) -> tuple[Waiting, ...]:
    return tuple(
        Waiting(
            _word(say.BEFORE_WORDS, one.get("before")),
            days(one.get("days_min")),
            in_language(one.get("condition"), preferred),
            cited(one),
        )
        for one in document.get("waiting") or ()
    )


def _harvest(document: Mapping[str, Any]) -> str:
    found = document.get("yield") or {}
    if not found.get("qty"):
        return ""
    parts = (
        amount(found["qty"]),
        _word(say.PER_WORDS, found.get("per")),
        f"in {duration(found.get('during'))}" if duration(found.get("during")) else "",
        f"({say.BASIS_WORDS[found['basis']]})" if found.get("basis") in say.BASIS_WORDS else "",
    )
    return " ".join(part for part in parts if part)


def _controls(document: Mapping[str, Any], preferred: Languages) -> dict[str, tuple[Said, ...]]:
    """What the entry does about each danger, by the key of its caution."""
    found: dict[str, tuple[Said, ...]] = {}
    for hazard in document.get("hazards") or ():
        words = in_language(hazard.get("control"), preferred)
        key = str(hazard.get("code"))
        found[key] = (*found.get(key, ()), *((words,) if words is not None else ()))
    return found


def _failures(document: Mapping[str, Any], preferred: Languages) -> tuple[Failure, ...]:
    found = []
    for one in document.get("failure_signs") or ():
        sign = in_language(one.get("sign"), preferred)
        if sign is not None:
            cause, action = (in_language(one.get(name), preferred) for name in ("likely_cause", "first_action"))
            found.append(Failure(sign, cause, action))
    return tuple(found)


def _companions(
    document: Mapping[str, Any], preferred: Languages, cited: Callable[..., str]
) -> tuple[tuple[Said, str, Said, str], ...]:
    found = []
    for one in document.get("companions") or ():
        crop, beside = in_language(one.get("crop"), preferred), in_language(one.get("with"), preferred)
        if crop is not None and beside is not None:
            found.append((crop, _word(say.EFFECT_WORDS, one.get("effect")), beside, cited(one)))
    return tuple(found)


def _sources(document: Mapping[str, Any]) -> tuple[Source, ...]:
    return tuple(
        Source(number, str(one.get("citation", "")), str(one.get("place", "")), _word(say.MARK_WORDS, one.get("mark")))
        for number, one in enumerate(document.get("sources") or (), start=1)
    )


def caution_keys(document: Mapping[str, Any]) -> tuple[str, ...]:
    """The keys of all cautions that stand with an entry: named in its facts, or by one of its dangers."""
    named = (document.get("facts") or {}).get("cautions") or ()
    dangers = [hazard.get("code") for hazard in document.get("hazards") or ()]
    return tuple(sorted({str(key) for key in (*named, *dangers)}))
