"""From an entry to one's own vessel, ground or heap: every amount times one factor, and what does not scale, said.

Not a judgement: the rules of safety look at the entry and at the place. Its one rule: one factor for all that is used
up, none for days, strengths, depth, spacing or room for animals; a step's words are marked, never rewritten.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal, localcontext
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.limits_of_scale import what_does_not_scale
from fieldbook.practices.numbers import decimal_of, kept_number
from fieldbook.practices.scaled import Base, Scaled, ScaledStep, ScaledThing, ScalingError, kept_size
from fieldbook.practices.step_amounts import Named, marks_in, words_of
from fieldbook.quantities import measures
from fieldbook.quantities.dilution import dilute

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices.entry import Entry

UNIT_NAMES: Final = {
    "area-square-meter": "m²",
    "concentr-item": "pieces",
    "length-centimeter": "cm",
    "length-meter": "m",
    "length-millimeter": "mm",
    "mass-gram": "g",
    "mass-kilogram": "kg",
    "volume-liter": "L",
    "volume-milliliter": "mL",
}
THINNED: Final = frozenset({"manure", "pest-deterrent"})
FACTOR_MOST: Final = Decimal(100)
"""Further from the entry than a hundred times or a hundredth nothing is scaled. Source: ours."""
_DIGITS: Final = 34


def bases(entry: Entry) -> tuple[Base, ...]:
    """What a reader's own can be compared with: container, ground, what one batch gives, and each material."""
    return tuple(_bases(entry.document))


def _bases(document: Mapping[str, Any]) -> Iterator[Base]:
    vessel = _first((document.get("facts") or {}).get("vessel"))
    volume = decimal_of(vessel.get("volume_l"))
    if volume:
        yield Base("container", "the container", volume, "L")
    area = _amount((document.get("space") or {}).get("area_m2"), "area-square-meter")
    if area is not None:
        yield Base("ground", "the ground", *area)
    found = document.get("yield") or {}
    amount = _amount(found.get("qty"))
    if amount is not None and found.get("per") == "batch":
        yield Base("batch", "what one batch gives", *amount)
    for number, material in enumerate(document.get("materials") or ()):
        amount = _amount(material.get("qty"))
        if amount is not None:
            yield Base(f"material-{number}", material["item"], *amount)


def _first(group: Any) -> Mapping[str, Any]:
    if isinstance(group, list):
        return group[0] if group else {}
    return group or {}


def _amount(value: Any, unit: str = "") -> tuple[Decimal, str] | None:
    """The amount of a quantity with its unit as people write it; None where there is none, or it cannot be scaled."""
    quantity = value if isinstance(value, dict) else {"value": value, "unit": unit}
    number, named = decimal_of(quantity.get("value")), UNIT_NAMES.get(str(quantity.get("unit")))
    return (number, named) if number and named is not None else None


def scale(entry: Entry, *, base: str, amount: Decimal, unit: str) -> Scaled:
    """Recompute an entry for what somebody has.

    Args:
        entry: the practice.
        base: the key of one of its `bases`.
        amount: what they have of it, above 0.
        unit: of that amount, of the kind of the base.

    Raises:
        ScalingError: the entry has no such amount, or it is too far from what was tried.
        QuantityError: the unit is of another kind.

    Source: arithmetic; ours (one factor). Valid: a hundredth to a hundred times the entry.
    """
    document = entry.document
    one = next((each for each in _bases(document) if each.key == base), None)
    if one is None:
        raise ScalingError("this practice entry has no such amount", hint="choose one of the amounts that it names")
    with localcontext() as context:
        context.prec, context.rounding = _DIGITS, ROUND_HALF_EVEN
        mine = measures.converted(amount, from_unit=unit, to_unit=one.unit)
        factor = mine / one.amount
        if not 1 / FACTOR_MOST <= factor <= FACTOR_MOST:
            raise ScalingError(
                "that is too far from what this practice entry was tried at",
                hint="choose from a hundredth to a hundred times its own amounts",
            )
        things = tuple(_things(document, factor))
        return Scaled(
            base=one,
            amount=amount,
            unit=unit,
            factor=factor,
            things=things,
            gives=_gives(document, factor),
            mixing=_mixing(document, factor),
            steps=tuple(_steps(document, things, tuple(_grounds(document, factor)))),
            stays=what_does_not_scale(entry, factor=factor, container_l=_container_l(one, mine, document, factor)),
        )


def scale_to_kept(entry: Entry, kept: Mapping[str, Any]) -> Scaled:
    """Recompute an entry for a size that was kept.

    Args:
        entry: the exact edition for which it was kept.
        kept: its document.

    Raises:
        ScalingError: it cannot be read, or the entry has no such amount.
        QuantityError: its unit is of another kind.

    Source: arithmetic; as `scale`. Valid: as `scale`.
    """
    base, amount, unit = kept_size(dict(kept))
    return scale(entry, base=base, amount=amount, unit=unit)


def _things(document: Mapping[str, Any], factor: Decimal) -> Iterator[ScaledThing]:
    for number, material in enumerate(document.get("materials") or ()):
        amount = _amount(material.get("qty"))
        if amount is not None:
            yield _thing(number, material["item"], *amount, factor)


def _thing(number: int, item: Any, amount: Decimal, unit: str, factor: Decimal) -> ScaledThing:
    exact, in_unit = measures.readable(amount * factor, unit)
    near = exact if measures.kind_of(unit) == "count" else measures.round_figure(exact)
    return ScaledThing(number, item, kept_number(amount), unit, exact, near, in_unit)


def _gives(document: Mapping[str, Any], factor: Decimal) -> ScaledThing | None:
    found = document.get("yield") or {}
    amount = _amount(found.get("qty"))
    return _thing(-1, "", *amount, factor) if amount is not None and found.get("per") == "batch" else None


def _mixing(document: Mapping[str, Any], factor: Decimal) -> tuple[Decimal, Decimal] | None:
    """Stock and water [L] of the last thinning, where the batch is counted in litres and thinned by volume."""
    found = document.get("yield") or {}
    amount = _amount(found.get("qty"))
    ratio = next((each for each in document.get("ratios") or () if each.get("by") == "volume"), None)
    if document.get("kind") not in THINNED:
        return None
    parts = None if ratio is None else decimal_of(ratio.get("value"))
    if amount is None or amount[1] != "L" or found.get("per") != "batch" or parts is None:
        return None
    made = dilute(parts_stock=Decimal(1), parts_water=parts, total_l=amount[0] * factor)
    return made.stock_l, made.water_l


def _steps(
    document: Mapping[str, Any], things: tuple[ScaledThing, ...], grounds: tuple[ScaledThing, ...]
) -> Iterator[ScaledStep]:
    """Each step with the figures of its words that change; amounts of no material are left as the entry's own."""
    named: dict[str, tuple[Named, ...]] = {}
    for number, step in enumerate(document.get("steps") or (), start=1):
        said = {tag: text for tag, text in (step.get("say") or {}).items() if isinstance(text, str)}
        named |= {tag: _named(document, tag, things) for tag in said if tag not in named}
        marks = {tag: marks_in(text, named[tag], grounds) for tag, text in said.items()}
        found = [mark for each in marks.values() for mark in each]
        changing = {(one.number, one.was): one for mark in found if (one := mark.thing) is not None}
        yield ScaledStep(
            number,
            step.get("day_offset"),
            tuple(changing.values()),
            any(mark.thing is None for mark in found),
            MappingProxyType(marks),
        )


def _named(document: Mapping[str, Any], tag: str, things: tuple[ScaledThing, ...]) -> tuple[Named, ...]:
    """Every material by its words in a language, with what becomes of it."""
    mine = {thing.number: thing for thing in things}
    items = (material.get("item") or {} for material in document.get("materials") or ())
    return tuple(
        Named(words_of(item.get(tag, "") if isinstance(item, dict) else str(item)), mine.get(number))
        for number, item in enumerate(items)
    )


def _grounds(document: Mapping[str, Any], factor: Decimal) -> Iterator[ScaledThing]:
    """What grows with the ground: its area, what dung and compost are spread on, and the wet weight in all."""
    inputs = (document.get("facts") or {}).get("inputs") or ()
    areas = [(document.get("space") or {}).get("area_m2"), *(one.get("area_m2") for one in inputs)]
    for amount in (_amount(area, "area-square-meter") for area in areas):
        if amount is not None:
            yield _thing(-2, "", *amount, factor)
    load, ground = (
        decimal_of((document.get("space") or {}).get("load_kg_m2_wet")),
        _amount(areas[0], "area-square-meter"),
    )
    if load and ground is not None:
        kg = load * ground[0]
        mine = (kg * factor).to_integral_value(rounding=ROUND_CEILING)  # a weight is never told lighter
        yield ScaledThing(-2, "", int(kg.to_integral_value()), "kg", kg * factor, mine, "kg")


def _container_l(base: Base, mine: Decimal, document: Mapping[str, Any], factor: Decimal) -> Decimal | None:
    """The litres of the reader's container; where they named something else, those that the factor gives."""
    if base.key == "container":
        return mine
    volume = decimal_of(_first((document.get("facts") or {}).get("vessel")).get("volume_l"))
    return None if volume is None else volume * factor
