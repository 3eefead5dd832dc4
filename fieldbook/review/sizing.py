"""A size that a site keeps, held against what its place answered: soil on a roof, dung and urine, fish, animals.

Not the answers by themselves (``starting``). Its one rule: a size begins only where what it brings is within what the
place answered and bears; each refusal names what would fit, rounded to the careful side.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.practices.codes import RAW_DUNG_KINDS
from fieldbook.practices.numbers import decimal_of
from fieldbook.quantities import NITROGEN_CEILING_G_M2_YEAR, ponds, wet_load_kg_m2
from fieldbook.quantities.batch import RABBIT_URINE_NITROGEN_G_L
from fieldbook.review.allowing import floor_of_one_m2, most_dung_kg_m2, soil_kg_m3
from fieldbook.review.case import cases
from fieldbook.review.slip_answers import bed_m2, number_of, room_m2
from fieldbook.review.slip_questions import birds_over_water, is_on_roof, species_of, stated_depth_cm
from fieldbook.review.slip_table import QUESTIONS
from fieldbook.review.starting import Reason, reason_by_rule
from fieldbook.review.ways import WAYS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from fieldbook.practices import Entry
    from fieldbook.practices.scaled import Scaled

_TENTH: Final = Decimal("0.1")
_LOAD, _DOSE, _FISH, _BIRDS, _ROOM = "STR-02", "MAN-07", "FSH-02", "FSH-01", "ANI-01"


def judge_size(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> tuple[Reason, ...]:
    """Hold a size against the answers of a place that may begin.

    Args:
        entry: the exact edition.
        answers: as `slip_answers.read_answers` gave them.
        scaled: the edition in that size.

    Returns:
        Every reason against it; empty where the answers hold for it.
    """
    parts = (_on_roof, _dung, _fish, _birds, _animals)
    return tuple(one for part in parts for one in part(entry, answers, scaled))


def _on_roof(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> Iterator[Reason]:
    """The soil of this size on the bed that was measured here: as deep as it then lies."""
    if not is_on_roof(entry):
        return
    stated, bed, density = number_of(answers, "safe_load_kg_m2"), bed_m2(answers), soil_kg_m3(entry)
    space = entry.document.get("space", {})
    ground, depth = _value(space.get("area_m2")), stated_depth_cm(entry) or _value(space.get("depth_cm"))
    if not (stated and bed and ground and depth):
        yield _of_rule(_LOAD, "it cannot be reckoned how deep the soil of this size lies on the bed here")
        return
    deep = depth * ground * scaled.factor / bed
    load = wet_load_kg_m2(depth_cm=deep, density_kg_m3=density)
    if load > stated:
        fits = stated * 100 / density
        yield reason_by_rule(
            _LOAD,
            f"{_up(deep)} cm, {_up(load)} kg/m²",
            f"{_down(fits)} cm, {_told(stated)} kg/m²",
        )


def _dung(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> Iterator[Reason]:
    """The dung and urine of this size in a year, by their nitrogen, on the bed that was measured here."""
    bed, answered = bed_m2(answers), number_of(answers, "dung_kg_year")
    kg, grams = (each * scaled.factor for each in _dung_of_entry(entry))
    if bed and grams > NITROGEN_CEILING_G_M2_YEAR * bed:
        here, most = grams / bed, NITROGEN_CEILING_G_M2_YEAR
        fits = kg * most * bed / grams
        amount, fitting = (f"{_up(kg)} kg, ", f"{_down(fits)} kg, ") if kg else ("", "")
        yield reason_by_rule(_DOSE, f"{amount}{_up(here)} g N/m²", f"{fitting}{_told(most)} g N/m²")
    elif answered is not None and kg > answered:
        words = "this size brings more dung in a year than was answered"
        yield _of_rule(_DOSE, words, f"{_up(kg)} kg", f"{_told(answered)} kg")


def _dung_of_entry(entry: Entry) -> tuple[Decimal, Decimal]:
    """Raw dung that the entry gives in a year [kg], and the nitrogen at most of it and of its urine [g]."""
    kg, grams = Decimal(0), Decimal(0)
    for case in cases(entry, "inputs"):
        kind, times = str(case.said("kind")), case.number("times_a_year") or Decimal(1)
        if kind in RAW_DUNG_KINDS:
            given = (case.number("amount_kg") or Decimal(0)) * times
            bears = most_dung_kg_m2(kind)
            kg += given
            grams += given * NITROGEN_CEILING_G_M2_YEAR / bears[0] if bears else Decimal(0)
        if kind == "animal_urine":
            grams += (case.number("amount_l") or Decimal(0)) * times * RABBIT_URINE_NITROGEN_G_L
    return kg, grams


def _fish(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> Iterator[Reason]:
    surface, answered = number_of(answers, "water_area_m2"), number_of(answers, "fish_kg")
    kg = _sum(case.number("kg") for case in cases(entry, "fish")) * scaled.factor
    if surface is not None and kg > ponds.fish_kg_supported(surface_m2=surface):
        borne = ponds.fish_kg_supported(surface_m2=surface)
        yield reason_by_rule(_FISH, f"{_up(kg)} kg", f"{_told(borne)} kg")
    elif answered is not None and kg > answered:
        words = "this size has more fish than was answered"
        yield _of_rule(_FISH, words, f"{_told(kg)} kg", f"{_told(answered)} kg")


def _birds(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> Iterator[Reason]:
    surface = number_of(answers, "water_area_m2")
    if surface is not None:
        over = sum(_count(entry, species, scaled) for species in birds_over_water(entry))
        borne = ponds.birds_supported(surface_m2=surface)
        if over > borne:
            yield reason_by_rule(_BIRDS, str(over), _down(borne))


def _animals(entry: Entry, answers: Mapping[str, str], scaled: Scaled) -> Iterator[Reason]:
    for species in species_of(entry):
        count, answered = _count(entry, species, scaled), number_of(answers, f"{species}_n")
        room, weight_kg = room_m2(answers, species), number_of(answers, f"{species}_weight_kg")
        each_m2, _ = floor_of_one_m2(entry, species, weight_kg)
        if room is not None and count * each_m2 > room:
            words = "this size has more animals than the floor here can hold"
            yield _roomier(species, _of_rule(_ROOM, words, str(count), str(int(room / each_m2))))
        elif answered is not None and count > answered:
            words = "this size has more animals than was answered"
            yield _roomier(species, _of_rule(_ROOM, words, str(count), _told(answered)))


def _roomier(species: str, reason: Reason) -> Reason:
    """The reason with the ways for these animals, not those of the rule, which are for hens."""
    return replace(reason, instead=tuple(WAYS[key] for key in QUESTIONS[f"{species}_floor_length_cm"].instead))


def _count(entry: Entry, species: str, scaled: Scaled) -> int:
    """The animals of this size: whole ones, of two numbers the smaller, as the page of the size says."""
    counted = _sum(case.number("n") for case in cases(entry, "animals") if case.said("species") == species)
    return int((counted * scaled.factor).to_integral_value(rounding=ROUND_FLOOR))


def _of_rule(rule: str, words: str, value: str = "", limit: str = "") -> Reason:
    return reason_by_rule(rule, value, limit, words=words)


def _sum(numbers: Iterable[Decimal | None]) -> Decimal:
    return sum((number for number in numbers if number is not None), Decimal(0))


def _value(quantity: object) -> Decimal | None:
    return decimal_of(quantity.get("value") if isinstance(quantity, dict) else quantity)


def _told(number: Decimal) -> str:
    return f"{number.quantize(Decimal('0.001')).normalize():f}"


def _up(number: Decimal) -> str:
    return f"{number.quantize(_TENTH, rounding=ROUND_CEILING).normalize():f}"


def _down(number: Decimal) -> str:
    return f"{number.quantize(_TENTH, rounding=ROUND_FLOOR).normalize():f}"
