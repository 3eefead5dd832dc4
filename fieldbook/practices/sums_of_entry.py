"""Which sums an entry leads to, with what it says of its own filled in.

Not the sums. Its one rule: a figure is filled in only where the entry holds it; nothing is supposed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fieldbook.practices.numbers import decimal_of, kept_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices.entry import Entry


@dataclass(frozen=True)
class OpenedSum:
    """One calculator and what of its inputs an entry gives, as JSON."""

    name: str
    given: dict[str, Any] = field(default_factory=dict)


def sums_of(entry: Entry) -> tuple[OpenedSum, ...]:
    """The sums that belong to a practice, in the order of its parts."""
    document = entry.document
    return tuple(OpenedSum(name, _filled(given)) for name, given in _sums(document, document.get("facts") or {}))


def _filled(given: Mapping[str, Any]) -> dict[str, Any]:
    """What the entry holds, as whole numbers, decimal strings or words."""
    kept = {name: (number, decimal_of(number)) for name, number in given.items() if number is not None}
    return {name: value if exact is None else kept_number(exact) for name, (value, exact) in kept.items()}


def _sums(document: Mapping[str, Any], facts: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from _mixes(document, facts)
    yield from _beds(document, facts)
    yield from _waters(document, facts)
    yield from _creatures(facts)


def _mixes(document: Mapping[str, Any], facts: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    ratio = next((one for one in document.get("ratios") or () if one.get("by") == "volume"), None)
    amount = (document.get("yield") or {}).get("qty") or {}
    litres = amount.get("value") if amount.get("unit") == "volume-liter" else None
    soap = _one(facts, "spray").get("soap_g_l")
    if document.get("kind") in {"manure", "pest-deterrent"} and (ratio is not None or soap is not None):
        parts = {} if ratio is None else {"parts_stock": 1, "parts_water": ratio.get("value")}
        yield "dilution", {"total_l": litres, **parts, "dose_g_l": soap}
    if "tea" in facts:
        dung: Mapping[str, Any] = next(
            (one for one in facts.get("inputs") or () if one.get("amount_kg") is not None), {}
        )
        yield (
            "manure-batch",
            {
                "dung_kg": dung.get("amount_kg"),
                "parts_water": None if ratio is None else ratio.get("value"),
                "container_l": _one(facts, "vessel").get("volume_l"),
            },
        )
    if "compost" in facts:
        yield "compost-mix", {"goal_carbon_nitrogen_ratio": _one(facts, "compost").get("cn_start")}
        yield "compost-heat", {"turnings": _one(facts, "compost").get("turnings")}
    if any(str(one.get("kind", "")).endswith("_manure") for one in facts.get("inputs") or ()):
        area = next((one.get("area_m2") for one in facts["inputs"] if one.get("area_m2") is not None), None)
        yield "manure-nitrogen", {"area_m2": area}


def _beds(document: Mapping[str, Any], facts: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    bed, built, space = _one(facts, "bed"), _one(facts, "structure"), document.get("space") or {}
    if bed or ("crop" in facts and built.get("kind") in {"bed", "box", "roof_bed"}):
        yield "plants-that-fit", {name: bed.get(name) for name in ("length_mm", "width_mm", "spacing_mm", "pattern")}
    density = built.get("density")
    if built.get("kind") == "bottle_wall":
        yield "bottle-wall", {"wet_density_kg_m3": density}
    if built.get("kind") in {"sack", "tower", "tyre"}:
        kind = {"sack": "sack", "tyre": "tyres"}.get(built["kind"], "bricks")
        sizes = {f"{side}_mm": _millimetres(built.get(f"{side}_cm")) for side in ("diameter", "height")}
        yield "tower", {"kind": kind, **sizes, "wet_density_kg_m3": density}
    if density is not None or space.get("roof") or space.get("wall"):
        sides = {side: bed.get(side) for side in ("length_mm", "width_mm")}
        yield "load", {"depth_cm": built.get("depth_cm"), "wet_density_kg_m3": density, **sides}


def _waters(document: Mapping[str, Any], facts: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    if "wick" in facts:
        area = _plain((document.get("space") or {}).get("area_m2"))
        yield "wick", {"lift_mm": _millimetres(_one(facts, "wick").get("rise_cm")), "area_m2": area}
    if "fish" in facts:
        vessel, fish, animals = (_one(facts, group) for group in ("vessel", "fish", "animals"))
        over = animals.get("n") if animals.get("over_water") else 0
        yield (
            "linked-system",
            {
                "tank_m2": vessel.get("area_m2"),
                "tank_litres": vessel.get("volume_l"),
                "fish_kg": fish.get("kg"),
                "birds": over,
            },
        )


def _creatures(facts: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    animals = _one(facts, "animals")
    kind = {"hen": "laying-hen", "rabbit": "rabbit", "goat": "goat"}.get(animals.get("species", ""))
    if kind is not None:
        weight = animals.get("weight_kg")
        yield (
            "animal-space",
            {"kind": kind, "count": animals.get("n"), "floor_m2": animals.get("area_m2"), "weight_kg": weight},
        )
    if "crop" in facts:
        yield "seedlings", {}
    if "spray" in facts:
        yield "pest-effect", {}


def _one(facts: Mapping[str, Any], group: str) -> Mapping[str, Any]:
    found = facts.get(group) or {}
    return found[0] if isinstance(found, list) else found


def _plain(value: Any) -> Any:
    return value.get("value") if isinstance(value, dict) else value


def _millimetres(centimetres: Any) -> int | str | None:
    found = decimal_of(centimetres)
    return None if found is None else kept_number(found * 10)
