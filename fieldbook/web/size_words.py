"""A practice for one's own size as a page shows it: what can be compared, round and exact amounts, dated steps.

Not the reckoning (``practices.scaling``). Its one rule: the words of a step stay those of the entry; a figure that no
longer holds is struck through, and what does stands beside it in brackets.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import TYPE_CHECKING, Any, Final

from fieldbook.errors import FieldbookError
from fieldbook.practices.numbers import kept_number
from fieldbook.practices.own_ground import plants_on_own, wet_weight_kg
from fieldbook.practices.scaled import amount_words as said
from fieldbook.practices.scaling import bases, scale_to_kept
from fieldbook.quantities import Input, number
from fieldbook.quantities.calculator import note
from fieldbook.quantities.measures import converted, in_measure, kind_of
from fieldbook.web.here import WebError
from fieldbook.web.said import Said, in_language, isolated
from fieldbook.web.season_words import MONTHS
from fieldbook.web.sum_said import drawn
from fieldbook.web.sum_words import mix_bar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from fieldbook.practices import Entry
    from fieldbook.practices.scaled import Base, Scaled, ScaledStep, ScaledThing
    from fieldbook.quantities.measures import LocalMeasure
    from fieldbook.site.sums import KeptSize

UNITS_TYPED: Final = ("L", "mL", "kg", "g", "m²", "m", "cm", "pieces")
SIZE_INPUTS: Final = (
    Input("amount", "", "How much of it", "a number", most=1_000_000, above=True),
    Input("across", "", "And across, for ground", "", most=100_000, above=True, may_lack=True),
)
_FIRST, _LAST = dt.date(2020, 1, 1), dt.date(2089, 12, 31)  # a day outside was not meant
_SPOKEN_MOST: Final = 2  # ways in a site's own measures beside an amount; more are a wall of words


@dataclass(frozen=True)
class Choice:
    """One thing of an entry that a reader may have: its key, its words, and how much the entry says."""

    key: str
    thing: Said
    amount: str


@dataclass(frozen=True)
class Row:
    """One amount for one's own size: round, exact where that differs, in the site's own measures, and the entry's."""

    thing: Said
    near: str
    exact: str
    spoken: tuple[str, ...]
    was: str


@dataclass(frozen=True)
class Part:
    """A piece of a step's words: ``held``, ``changed`` with what is mine, or ``own`` to the entry's size."""

    text: str
    kind: str = "held"
    mine: str = ""


@dataclass(frozen=True)
class StepLine:
    """One step: its words in their language, cut at the figures that no longer hold."""

    number: int
    say: Said
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Day:
    """The steps of one day; ``when`` is its date or number, or empty."""

    when: str
    steps: tuple[StepLine, ...]


def choices_of(bases: Sequence[Base], preferred: Sequence[str]) -> tuple[Choice, ...]:
    """What of an entry can be compared with what a reader has."""
    found = ((base, in_language(base.item, preferred)) for base in bases)
    return tuple(Choice(base.key, thing, said(base.amount, base.unit)) for base, thing in found if thing is not None)


@dataclass(frozen=True)
class SizeLine:
    """A size that this site keeps: its number, what is compared, how much, and what its page is asked for."""

    number: int
    thing: Said
    much: str
    asks: Mapping[str, str]


def size_lines(entry: Entry, kept: Iterable[KeptSize], preferred: Sequence[str]) -> tuple[SizeLine, ...]:
    """The sizes that are kept for an edition, as a page names them; those of what it does not have are left out."""
    words = {base.key: in_language(base.item, preferred) for base in bases(entry)}
    return tuple(
        SizeLine(one.number, thing, said(one.amount, one.unit), asked_of(one.base, one.amount, one.unit))
        for one in kept
        if (thing := words.get(one.base)) is not None
    )


def asked_of(base: str, amount: Decimal, unit: str) -> dict[str, str]:
    """What the page of a size is asked for."""
    return {"base": base, "amount": str(kept_number(amount)), "in": unit}


@dataclass(frozen=True)
class SizeInUse:
    """The size in which a practice is in use, as a page shows it.

    Attributes:
        thing: what of the entry is compared.
        much: how much of it there is here.
        amounts: each material with the round amount to measure by.
        mixing: stock and water; None where it is not thinned by volume.
        asks: what the page of this size is asked for.
    """

    thing: Said
    much: str
    amounts: tuple[Row, ...]
    mixing: tuple[str, str] | None
    asks: Mapping[str, str]


def size_in_use(
    entry: Entry, kept: Mapping[str, Any], preferred: Sequence[str], measures: Sequence[LocalMeasure]
) -> SizeInUse | None:
    """The size in which a practice was begun; None where it cannot be reckoned any more."""
    try:
        scaled = scale_to_kept(entry, kept)
    except FieldbookError:
        return None
    thing = in_language(scaled.base.item, preferred) or Said("en", "its size")
    return SizeInUse(
        thing=thing,
        much=said(scaled.amount, scaled.unit),
        amounts=rows_of(scaled, preferred, measures),
        mixing=mixing_of(scaled),
        asks=asked_of(scaled.base.key, scaled.amount, scaled.unit),
    )


def rows_of(scaled: Scaled, preferred: Sequence[str], measures: Sequence[LocalMeasure]) -> tuple[Row, ...]:
    """The materials for one's own size."""
    found = ((thing, in_language(thing.item, preferred)) for thing in scaled.things)
    return tuple(_row(thing, words, measures) for thing, words in found if words is not None)


def _row(thing: ScaledThing, words: Said, measures: Sequence[LocalMeasure]) -> Row:
    near, exact = said(thing.near, thing.unit), said(thing.exact, thing.unit)
    was = said(Decimal(str(thing.was)), thing.was_unit)
    if thing.unit == "pieces" and thing.exact != thing.exact.to_integral_value():
        whole = int(thing.exact)
        near = f"{whole} or {whole + 1}" if whole else "up to 1"
    return Row(words, near, "" if near == exact else exact, tuple(_spoken(thing, measures))[:_SPOKEN_MOST], was)


def _spoken(thing: ScaledThing, measures: Sequence[LocalMeasure]) -> Iterator[str]:
    """The amount in each measure of the site that fits, whole ones first and then what is left."""
    for measure in measures:
        if measure.kind == kind_of(thing.unit):
            whole, rest = in_measure(thing.near, thing.unit, measure)
            if whole:
                left = f" and {said(rest.quantize(Decimal(1)), measure.unit)}" if rest >= 1 else ""
                yield f"{whole} × {measure.name}{left}"


def ground_lines(entry: Entry, scaled: Scaled, sides_mm: tuple[int, int] | None) -> tuple[str, ...]:
    """What the reader's own ground takes, where they compared ground.

    Raises:
        QuantityError: it is smaller than one spacing.
    """
    if scaled.base.key != "ground":
        return ()
    lines = []
    plants = None if sides_mm is None else plants_on_own(entry, length_mm=sides_mm[0], width_mm=sides_mm[1])
    if plants is not None:
        lines.append(
            note(
                f"Plants that fit {plants.spacing_mm} mm apart: {plants.square} in squares, "
                f"{plants.triangular} in triangles."
            )
        )
    area = converted(scaled.amount, from_unit=scaled.unit, to_unit="m²")
    weight = wet_weight_kg(entry, area_m2=area)
    if weight is not None:
        each, whole = (number(kg, places=1) for kg in weight)
        lines.append(
            note(f"When wet it weighs about {whole} kg, {each} kg on each square metre: ask a competent builder first.")
        )
    return tuple(lines)


def gives_of(scaled: Scaled) -> str:
    """What a batch gives, round; empty where the entry does not say it by the batch."""
    return "" if scaled.gives is None else said(scaled.gives.near, scaled.gives.unit)


def mixing_of(scaled: Scaled) -> tuple[str, str] | None:
    """Stock and water of the batch; None where it is not thinned by volume."""
    return None if scaled.mixing is None else (said(scaled.mixing[0], "L"), said(scaled.mixing[1], "L"))


def batch_picture(scaled: Scaled) -> str:
    """The thinned batch as a divided bar; empty where it is not thinned by volume."""
    if scaled.mixing is None:
        return ""
    stock, water = (number(litres, places=3) for litres in scaled.mixing)
    return mix_bar(drawn("The batch by volume"), [(drawn("stock"), stock, "L"), (drawn("water"), water, "L")])


def days_of(
    scaled: Scaled, document: Mapping[str, Any], preferred: Sequence[str], begun: dt.date | None
) -> tuple[Day, ...]:
    """The steps by day: by its date where a first day is given, else by its number."""
    steps = document.get("steps") or ()
    found = ((one, in_language(steps[one.number - 1].get("say"), preferred)) for one in scaled.steps)
    lines = [
        (
            when(one.day_offset, begun),
            StepLine(one.number, words, tuple(_parts(steps[one.number - 1]["say"], one, words))),
        )
        for one, words in found
        if words is not None
    ]
    return tuple(Day(day, tuple(line for _, line in group)) for day, group in groupby(lines, key=lambda pair: pair[0]))


def _parts(say: Any, step: ScaledStep, words: Said) -> Iterator[Part]:
    """The words as their author wrote them, each figure that no longer holds with what does."""
    text = say[words.tag] if isinstance(say, dict) else str(say)
    end, rtl = 0, words.direction == "rtl"
    for mark in step.marks.get(words.tag, ()):
        before = text[end : mark.start]
        yield Part(isolated(before) if rtl else before)
        kind, mine = ("own", "") if mark.thing is None else ("changed", mark.thing.mine)
        yield Part(text[mark.start : mark.end], kind, mine)
        end = mark.end
    yield Part(isolated(text[end:]) if rtl else text[end:])


def when(day_offset: int | None, begun: dt.date | None) -> str:
    """A step's day as people read it; empty where the entry gives none."""
    if day_offset is None:
        return ""
    if begun is None:
        return f"Day {day_offset}"
    day = begun + dt.timedelta(days=day_offset)
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def day_of(text: str) -> dt.date | None:
    """A first day as it was typed; None where it is empty.

    Raises:
        WebError: it is no day, or none that a practice can begin on.
    """
    try:
        day = dt.date.fromisoformat(text) if text else None
    except ValueError:
        day = _FIRST - dt.timedelta(days=1)
    if day is not None and not _FIRST <= day <= _LAST:
        raise WebError("that is no day", hint="write year, month and day, as 2027-03-01, or leave it empty")
    return day
