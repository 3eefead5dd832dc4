"""Rules on containers, building materials, brought soil, loads and tall things.

Not an engineer: a load is compared with what somebody else has stated, never called safe. Its one rule: what only the
place can tell (a can's past, what a roof carries), the entry must ask for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.practices.codes import FORBIDDEN_PRIOR_USES
from fieldbook.practices.numbers import decimal_of
from fieldbook.quantities import wet_load_kg_m2
from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.place import EntryAtPlace
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_
from fieldbook.review.waters import vessels_not_said

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from decimal import Decimal

    from fieldbook.practices import Entry

_TALL = ("sack", "tower", "tyre")
_POISONED_TIMBER = ("cca", "creosote", "painted", "railway")
LEAD_SOILS = ("battery", "dump", "roadside", "unknown")


def _poisoned(entry: Entry) -> Iterator[Outcome]:
    if vessels_not_said(entry):
        yield Unsaid(("facts.vessel",))
    for case in cases(entry, "vessel"):
        if case.said("prior_use") is None:
            ask = "to know what the container held; unknown means it may not be used"
            yield from asked_at_start(entry, "prior_use", case.path("prior_use"), ask=ask)
        else:
            hit = Hit(case.path("prior_use"), value=str(case.said("prior_use")), limit="food or drinking water")
            yield from fires(case.is_in("prior_use", *FORBIDDEN_PRIOR_USES), hit)


def on_roof(case: Case) -> Truth:
    """Whether a structure stands on a roof, by its own word or by the entry's `space`; one yes is enough."""
    space = case.entry.document.get("space", {}).get("roof")
    if space is True or case.said("kind") == "roof_bed":
        return True
    return case.filled_in(on_roof=space).flag("on_roof")


def each_structure(condition: Callable[[Case], Iterator[Outcome]]) -> Callable[[Entry], Iterator[Outcome]]:
    """Look at each structure; an entry whose `space` is a roof has one, whatever the facts say."""

    def look(entry: Entry) -> Iterator[Outcome]:
        structures = list(cases(entry, "structure"))
        if not structures and entry.document.get("space", {}).get("roof") is True:
            structures = [Case(entry, "structure", {"on_roof": True}, "facts.structure")]
        if not structures and entry.facts.not_said("structure"):
            yield Unsaid(("facts.structure",))
        for case in structures:
            yield from condition(case)

    return look


def _unchecked_roof(case: Case) -> Iterator[Outcome]:
    roof = on_roof(case)
    if roof is not True:
        yield from fires(roof, Hit(case.path("on_roof")))
    elif case.said("engineer_ok") is False:
        yield Hit(case.path("engineer_ok"), value="no", limit="a licensed or competent person's word")
    elif not (case.entry.facts.at_place and case.said("engineer_ok")):
        ask = "a licensed or competent person's written word on this roof"
        yield from asked_at_start(case.entry, "engineer_ok", case.path("engineer_ok"), ask=ask)


def _overloaded(case: Case) -> Iterator[Outcome]:
    roof = on_roof(case)
    load = load_kg_m2(case)
    safe = case.number("safe_load_kg_m2")
    if roof is not True:
        yield from fires(roof, Hit(case.path("on_roof")))
    elif load is None:
        yield Unsaid(tuple(case.path(name) for name in ("depth_cm", "density") if case.number(name) is None))
    elif safe is None:
        ask = (
            f"the load that the roof was stated to carry, against {load:.0f} kg/m² of wet soil without people and water"
        )
        yield from asked_at_start(case.entry, "safe_load", case.path("safe_load_kg_m2"), ask=ask)
    elif load > safe:
        yield Hit(case.path("depth_cm"), value=f"{load:.0f} kg/m²", limit=f"{safe} kg/m²")


def load_kg_m2(case: Case) -> Decimal | None:
    """Give the wet weight of a structure [kg/m²], computed from its depth, or the larger one that the entry states.

    Where a place has said how deep it is there, what the entry states of another depth counts no more.
    """
    depth, density = case.number("depth_cm"), case.number("density")
    stated = decimal_of(case.entry.document.get("space", {}).get("load_kg_m2_wet"))
    computed = None if depth is None or density is None else wet_load_kg_m2(depth_cm=depth, density_kg_m3=density)
    if computed is not None and isinstance(case.entry, EntryAtPlace) and "depth_cm" in case.entry.place:
        return computed
    return max((load for load in (stated, computed) if load is not None), default=None)


def _topples(case: Case) -> Iterator[Outcome]:
    height, diameter = case.number("height_cm"), case.number("diameter_cm")
    missing = tuple(case.path(name) for name in ("height_cm", "diameter_cm") if case.number(name) is None)
    tall: Truth = Unsaid(missing) if height is None or diameter is None else height > 2 * diameter
    hit = Hit(case.path("height_cm"), value=f"{height} cm on {diameter} cm", limit="2 times its width")
    yield from fires(all_of(case.is_in("kind", *_TALL), tall, not_(case.flag("braced"))), hit)


def _grows_food(entry: Entry, *parts: str) -> Truth:
    """Whether a crop is eaten, or one whose root or leaf is."""
    return in_any(entry, "crop", lambda crop: crop.is_in("part", *parts) if parts else not_(crop.is_in("part", "none")))


def _poisoned_timber(case: Case) -> Iterator[Outcome]:
    state = case.is_in("treatment", *_POISONED_TIMBER)
    if case.said("treatment") == "unknown":
        state = case.unsaid("treatment")
    truth = all_of(case.is_in("kind", "timber"), _grows_food(case.entry), state)
    yield from fires(truth, Hit(case.path("treatment"), value=str(case.said("treatment")), limit="clean wood"))


def _bare_tyres(entry: Entry) -> Iterator[Outcome]:
    built_of = [case for case in cases(entry, "structure") if case.said("kind") == "tyre"]
    tyres = [case for case in cases(entry, "materials") if case.is_in("kind", "tyre") is not False]
    if entry.facts.not_said("materials") or (built_of and not tyres):
        yield Unsaid(("facts.materials",))
    for case in tyres:
        food = _grows_food(entry, "leaf", "root")
        shredded = case.said("treatment") == "shredded"
        hit = Hit(case.path("liner"), value="shredded" if shredded else "no lining", limit="whole and lined")
        yield from fires(all_of(case.is_in("kind", "tyre"), food, any_of(shredded, not_(case.flag("liner")))), hit)


def _lead_in_soil(case: Case) -> Iterator[Outcome]:
    food = _grows_food(case.entry, "leaf", "root")
    if case.said("source") is None:
        if food is not False:
            ask = "to know where the soil comes from, and a test where that is a road, a dump or unknown"
            yield from asked_at_start(case.entry, "soil_source", case.path("source"), ask=ask)
        return
    hit = Hit(case.path("source"), value=str(case.said("source")), limit="clean or tested soil")
    yield from fires(all_of(case.is_in("source", *LEAD_SOILS), food), hit)


RULES = (
    Rule(
        id="MAT-01",
        hazard="poison",
        result="stop",
        words="A container that held pesticide, fuel, paint or an unknown chemical is never for food, water or feed, "
        "however well it was rinsed. Not knowing counts the same.",
        look=_poisoned,
        sources=("pds7",),
        binds="It advises governments on pesticide containers; fuel and paint are our choice.",
        whose="part",
        figure="fuel, paint and not knowing count like pesticide",
        instead=("swap-container", "collection-point"),
        judged="start",
    ),
    Rule(
        id="STR-01",
        hazard="collapse",
        result="stop",
        words="A licensed or competent person must check the roof first. The local code comes first.",
        look=each_structure(_unchecked_roof),
        sources=("roof-live-load",),
        binds="The figure binds builders in the US; wet soil comes on top of it, not out of it.",
        whose="part",
        figure="which work on a roof needs a competent person",
        instead=("ask-builder", "posts", "trellis"),
        judged="start",
    ),
    Rule(
        id="STR-02",
        hazard="collapse",
        result="stop",
        words="The wet weight is above the stated limit, before people, frames and standing water.",
        look=each_structure(_overloaded),
        sources=("roof-media", "roof-live-load"),
        binds="The figure binds builders in the US; wet soil comes on top of it, not out of it.",
        whose="theirs",
        instead=("posts", "trellis", "ask-builder"),
        judged="start",
    ),
    Rule(
        id="STR-03",
        hazard="toppling",
        result="answer",
        words="It is taller than twice its width: widen the foot or brace it.",
        look=each("structure", _topples),
        sources=("ours",),
        whose="ours",
        figure="twice its width",
        instead=("wide-foot",),
    ),
    Rule(
        id="MAT-02",
        hazard="poison",
        result="stop",
        words="Green-tinted, tarry, railway or painted wood may give off poison: use clean wood, brick or stone.",
        look=each("materials", _poisoned_timber),
        sources=("timber-pages",),
        binds="It is advice of agencies to households.",
        whose="theirs",
        instead=("clean-wood",),
    ),
    Rule(
        id="MAT-03",
        hazard="poison",
        result="answer",
        words="Tyres are not for roots and leaves that are eaten unless they are lined; never shredded.",
        look=_bare_tyres,
        sources=("tyre-note",),
        binds="It is advice of an agronomist.",
        whose="part",
        figure="which crops and which tyres it is asked for",
        instead=("tyre-flowers", "sack-in-tyre", "tower-of-brick"),
    ),
    Rule(
        id="SOI-01",
        hazard="lead",
        result="answer",
        words="Soil from a roadside, a battery place, a dump or from nobody knows where may hold lead: ask for a test, "
        "use clean soil, wash and peel.",
        look=each("soil", _lead_in_soil),
        sources=("soil-lead",),
        binds="It is a study of gardens in New York.",
        whose="part",
        figure="which soils it is asked for",
        instead=("clean-raised-soil", "fruit-there"),
        judged="start",
    ),
)
