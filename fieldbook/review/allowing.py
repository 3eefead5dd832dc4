"""What a place allows, computed from its answers: weight, dung, waiting, room, water.

Not a permission: each figure stands beside the one that somebody stated or published, with what comes on top of it. Its
one rule: the sums are those of ``quantities``, and what is rounded is rounded to the careful side.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.numbers import decimal_of
from fieldbook.quantities import (
    NITROGEN_CEILING_G_M2_YEAR,
    batch,
    most_dung_kg_m2_year,
    pens,
    ponds,
    wet_load_kg_m2,
)
from fieldbook.review.case import cases
from fieldbook.review.dressing import contact, dressings, is_raw, reaches_food, shown_waits_d
from fieldbook.review.slip_answers import bed_m2, number_of, room_m2
from fieldbook.review.slip_questions import (
    birds_over_water,
    dung_kinds,
    hangs_on_wall,
    is_on_roof,
    species_of,
    stated_depth_cm,
)
from fieldbook.review.slip_table import ANIMALS
from fieldbook.review.truth import all_of
from fieldbook.sources import SOURCES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices import Entry
    from fieldbook.review.case import Case

HEAVIEST_SOIL_KG_M3: Final = Decimal(1922)
"""Soaked garden soil, the heaviest medium that was read, 120 lb/ft³ [kg/m³]. Source: roof-media."""
_TOUCHING_D, _CLEAR_D, _URINE_D = 120, 90, 30  # cfr205-c1-ii, cfr205-c1-iii, who2006-v4
_CM = Decimal("0.1")
# kinds of dung by their names in the tables of nitrogen: after losses, and at most
_AFTER_LOSSES: Final = {"hen_manure": "hen", "cow_manure": "dairy cow"}
_AT_MOST: Final = {
    "goat_manure": "sheep-or-goat",
    "horse_manure": "horse",
    "rabbit_manure": "rabbit",
    "sheep_manure": "sheep-or-goat",
}


@dataclass(frozen=True)
class Allowance:
    """One thing that was computed: in words, the rule that asks for it, and what the figures rest on."""

    words: str
    rule: str
    source: str

    def as_document(self) -> dict[str, Any]:
        """The allowance as JSON."""
        return dict(self.__dict__)


def allowances(entry: Entry, answers: Mapping[str, str]) -> tuple[Allowance, ...]:
    """Give what can be computed from these answers, in the order of the rules.

    Args:
        entry: the exact edition.
        answers: as `slip_answers.read_answers` gave them.
    """
    parts = (_load, _wait, _dose, _room, _water)
    return tuple(one for part in parts for one in part(entry, answers))


def soil_kg_m3(entry: Entry) -> Decimal:
    """Give the density of the wet medium [kg/m³]: the heaviest that the entry names, else that of garden soil.

    Source: roof-media. Valid: soaked medium.
    """
    named = (case.number("density") for case in cases(entry, "structure"))
    return max((density for density in named if density is not None), default=HEAVIEST_SOIL_KG_M3)


def deepest_cm(entry: Entry, stated_kg_m2: Decimal) -> str:
    """Give the depth of wet soil that a stated figure bears on a roof, rounded down to a millimetre, in words [cm].

    Source: arithmetic; densities: roof-media. Valid: the medium alone; people, water, frames and plants come on top.
    """
    return _told((stated_kg_m2 * 100 / soil_kg_m3(entry)).quantize(_CM, rounding=ROUND_FLOOR))


def carried_kg_m2(entry: Entry, answers: Mapping[str, str]) -> Decimal | None:
    """Give what the place would carry when wet [kg/m²], or None where it cannot be known.

    On a roof from the depth at this place; on a wall what the entry states for each square metre of it.

    Source: arithmetic. Valid: the medium alone; people, water, frames and plants come on top.
    """
    depth = number_of(answers, "depth_cm")
    if is_on_roof(entry):
        return None if depth is None else wet_load_kg_m2(depth_cm=depth, density_kg_m3=soil_kg_m3(entry))
    return decimal_of(entry.document.get("space", {}).get("load_kg_m2_wet"))


def _load(entry: Entry, answers: Mapping[str, str]) -> Iterator[Allowance]:
    stated, load = number_of(answers, "safe_load_kg_m2"), carried_kg_m2(entry, answers)
    source = _cited("roof-media", "roof-live-load")
    if not (is_on_roof(entry) or hangs_on_wall(entry)):
        return
    if is_on_roof(entry):
        yield Allowance(f"{_told(soil_kg_m3(entry) / 100)} kg/m² for each cm of wet soil", "STR-02", source)
        if stated is not None:
            words = f"at most {deepest_cm(entry, stated)} cm of it for the {_told(stated)} kg/m² that were stated"
            yield Allowance(f"{words}, before people, water, frames and plants", "STR-02", source)
    depth = stated_depth_cm(entry)
    if load is None and depth is not None and is_on_roof(entry):
        of_entry = _told(_up(wet_load_kg_m2(depth_cm=depth, density_kg_m3=soil_kg_m3(entry))))
        yield Allowance(f"the {depth} cm of the practice entry weigh {of_entry} kg/m² when wet", "STR-02", source)
    if load is not None:
        yield Allowance(_held_against(load, stated), "STR-02", source)
        bed = bed_m2(answers)
        if bed is not None and is_on_roof(entry):
            yield Allowance(f"the whole bed of {_told(bed)} m² weighs {_told(_up(load * bed))} kg", "STR-02", source)


def _held_against(load: Decimal, stated: Decimal | None) -> str:
    said = f"wet it weighs {_told(_up(load))} kg/m²"
    if stated is None:
        return f"{said}; ask what this place may carry besides what it bears already"
    how = "above" if load > stated else "not above"
    return f"{said}: {how} the {_told(stated)} kg/m² that were stated"


def days_after_dung(entry: Entry) -> int | None:
    """Give the days between dung and the first picking that an entry calls for, or None where it has no dung.

    The longest of the law's wait for each dressing and of the waits that the entry itself names.

    Source: cfr205-c1-ii; cfr205-c1-iii; who2006-v4. Valid: raw dung, dung water and stored human urine.
    """
    needed = [_days(case) for case in dressings(entry)]
    called_for = [days for days in needed if days]
    shown = [int(days) for _, days in shown_waits_d(entry)] if called_for else []
    return max((*called_for, *shown), default=None)


def _days(case: Case) -> int:
    if all_of(is_raw(case), reaches_food(case)) is not False:
        return _CLEAR_D if contact(case) == "edible_none" else _TOUCHING_D
    return _URINE_D if case.said("kind") == "human_urine" and reaches_food(case) is not False else 0


def _wait(entry: Entry, answers: Mapping[str, str]) -> Iterator[Allowance]:
    days, said = days_after_dung(entry), answers.get("applied_on", "")
    if days is None:
        return
    source = _cited("cfr205-c1-ii", "cfr205-c1-iii")
    if said[:1].isdigit():
        earliest = date.fromisoformat(said) + timedelta(days=days)
        words = f"dung on {said}: nothing is picked to be eaten before {earliest}, {days} days later"
        yield Allowance(words, "MAN-01", source)
    else:
        yield Allowance(f"{days} days between the last dung and the first picking", "MAN-01", source)


def most_dung_kg_m2(kind: str) -> tuple[Decimal, str] | None:
    """Give the dung of a kind that brings just the nitrogen of the ceiling [kg/m²/year], with what it rests on.

    By the nitrogen after losses where that was read, else by the most that was read for such dung.

    Source: 91-676-eec; nrcs-manure; usda-1962; rabbit-dung-page. Valid: a soft ceiling; it limits a holding, not a bed.
    """
    if kind in _AFTER_LOSSES:
        return most_dung_kg_m2_year(_AFTER_LOSSES[kind]), _cited("91-676-eec", "nrcs-manure")
    if kind not in _AT_MOST:
        return None
    grams = batch.nitrogen_at_most_g(_AT_MOST[kind], dung_kg=Decimal(1))
    return NITROGEN_CEILING_G_M2_YEAR / grams, _cited("91-676-eec", "usda-1962", "rabbit-dung-page")


def _dose(entry: Entry, answers: Mapping[str, str]) -> Iterator[Allowance]:
    bed = bed_m2(answers)
    for kind in dung_kinds(entry):
        found, dung = most_dung_kg_m2(kind), kind.replace("_manure", " dung").replace("manure", "this dung")
        if found is None:
            words = f"no figure was read for the nitrogen of {dung}: give little; the rest to the shared heap"
            yield Allowance(words, "MAN-07", _cited("91-676-eec"))
            continue
        most, source = found
        words = f"at most {_told(_down(most))} kg of {dung} on each m² in a year"
        if bed is not None:
            words = f"{words}: {_told(_down(most * bed))} kg on this bed of {_told(bed)} m²"
        yield Allowance(f"{words}; the rest to the shared heap", "MAN-07", source)


def _room(entry: Entry, answers: Mapping[str, str]) -> Iterator[Allowance]:
    for species in species_of(entry):
        each_m2, source = floor_of_one_m2(entry, species, number_of(answers, f"{species}_weight_kg"))
        room, count = room_m2(answers, species), number_of(answers, f"{species}_n")
        if count is not None:
            needed = _told((count * each_m2).quantize(Decimal("0.01"), rounding=ROUND_CEILING))
            yield Allowance(f"{count} {ANIMALS[species]} need {needed} m² of floor that they can use", "ANI-01", source)
        if room is not None:
            most = int((room / each_m2).to_integral_value(rounding=ROUND_FLOOR))
            words = f"at most {most} {ANIMALS[species]} on the {_told(room)} m² that are there"
            yield Allowance(words, "ANI-01", source)


def floor_of_one_m2(entry: Entry, species: str, weight_kg: Decimal | None) -> tuple[Decimal, str]:
    """Give the least floor of one animal of a practice [m²], with what it rests on.

    Args:
        entry: the practice; deep litter asks the roomier figure of hens.
        species: a key of `ANIMALS`.
        weight_kg: of the heaviest rabbit [kg]; None where it is not known.

    Source: 1999-74-ec; fao-small-poultry; ec-organic; us-awa. Valid: floor that they can use.
    """
    if species == "hen":
        hens = (case for case in cases(entry, "animals") if case.said("species") == species)
        roomy = any(case.said("litter") == "deep_litter" for case in hens)
        return pens.hens_floor_m2(count=1, deep_litter=roomy), _cited("1999-74-ec", "fao-small-poultry")
    if species == "goat":
        return pens.goats_floor_m2(count=1), _cited("ec-organic")
    heavy = Decimal("5.4") if weight_kg is None else weight_kg  # without a weight a heavy one is meant
    return pens.rabbit_floor_m2(weight_kg=heavy, with_litter=False), _cited("us-awa")


def _water(entry: Entry, answers: Mapping[str, str]) -> Iterator[Allowance]:
    surface = number_of(answers, "water_area_m2")
    if surface is None:
        return
    fish = _told(_down(ponds.fish_kg_supported(surface_m2=surface)))
    yield Allowance(
        f"{_told(surface)} m² of still water bear {fish} kg of fish, all together", "FSH-02", _cited("tp362")
    )
    if birds_over_water(entry):
        most = _told(_down(ponds.birds_supported(surface_m2=surface)))
        yield Allowance(f"and {most} birds over it", "FSH-01", _cited("pond-poultry", "ac155e"))


def _told(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _down(number: Decimal) -> Decimal:
    return number.quantize(Decimal("0.01") if number < 1 else _CM, rounding=ROUND_FLOOR)


def _up(number: Decimal) -> Decimal:
    return number.quantize(_CM, rounding=ROUND_CEILING)


def _cited(*keys: str) -> str:
    return "; ".join(f"{SOURCES[key].words} ({SOURCES[key].mark})" for key in keys)
