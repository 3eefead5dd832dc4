"""What a sum says besides its figures: each verdict and warning where it belongs, and in Kiswahili too."""

from __future__ import annotations

from typing import Any

import pytest

from fieldbook.quantities import CALCULATORS
from fieldbook.quantities.calculator import WORDY_UNITS
from fieldbook.quantities.materials import TYPICAL
from fieldbook.sentences import shipped_sentences

_LOAD = {"depth_cm": 10, "wet_density_kg_m3": 1922}
_WALL = {
    "width_mm": 1000, "height_mm": 1000, "spacing_mm": 250, "pattern": "square", "pocket_l": 1, "wet_density_kg_m3": 1922,
}  # fmt: skip
_WICK = {"pore_diameter_mm": "0.1", "usable_l": 60, "area_m2": 1, "use_l_m2_day": 3}
_POND = {"tank_m2": 5, "tank_litres": 5000, "birds": 0, "fish_kg": 5}
_WATER = {**_POND, "water_temperature_c": 28, "ph": 8}
_SACK = {"kind": "sack", "diameter_mm": 350, "height_mm": 700, "wet_density_kg_m3": 1922}
_STEEP = {"dung_kg": 2, "water_l_kg": 5, "parts_water": 2}
_HEAP = {"system": "turned-row", "hot_days": 15, "turnings": 5, "ratio_at_start": 30}
_COUNTS = {"untreated_after": 10, "treated_after": 5}


def _heap(*rows: tuple[str, int]) -> dict[str, Any]:
    return {"materials": [{"material": name, "wet_kg": kg} for name, kg in rows]}


TOLD: tuple[tuple[str, dict[str, Any], str], ...] = (
    (
        "dilution",
        {"total_l": 15, "parts_stock": 1, "parts_water": 2},
        "if “1:2” was meant as one part in 2",
    ),
    (
        "compost-mix",
        _heap(("cattle manure", 10)),
        "too wet: the ratio alone is not enough; add something dry, or let it drain",
    ),
    ("compost-mix", _heap(("straw", 10)), "too dry without the water named"),
    ("compost-mix", _heap(("straw", 10)), "outside the 25 to 40 that the rule for treated compost asks at the start"),
    (
        "compost-mix",
        _heap(("sawdust", 10)),
        "sawdust: its figures imply 88 % carbon, more than plants hold; nitrogen or ratio is rounded or off",
    ),
    ("compost-heat", _HEAP | {"system": "other"}, "the rule knows no such heap: count it as raw dung"),
    ("compost-heat", _HEAP | {"hot_days": 12}, "3 more days in a row at 55 to 77 °C all through"),
    ("compost-heat", _HEAP | {"turnings": 3}, "2 more turnings within the hot days"),
    ("compost-heat", _HEAP | {"ratio_at_start": None}, "the ratio at the start was not said; the rule asks 25 to 40"),
    ("compost-heat", _HEAP | {"ratio_at_start": 20}, "the ratio at the start lay outside 25 to 40"),
    ("compost-heat", _HEAP, "Counts as treated, if the heat was measured all through."),
    ("compost-heat", _HEAP | {"turnings": 4}, "Counts as raw dung."),
    ("manure-batch", _STEEP, "without the animal its nitrogen is not known: keep to a large area"),
    ("manure-batch", _STEEP | {"kind": "rabbit"}, "rabbit: reckoned as if it were dry, the careful side"),
    ("manure-batch", _STEEP | {"kind": "sheep-or-goat"}, "goat: by the figure for sheep (ours)"),
    (
        "manure-batch",
        _STEEP | {"kind": "hen", "dose_l_m2": 100},
        "more nitrogen than the careful limit on that ground: spread it wider, or use less dung",
    ),
    (
        "manure-nitrogen",
        {"animals": [{"kind": "rabbit", "count": 1}], "area_m2": 500},
        "rabbit: a doe with her young of a year, as excreted, since no loss was read; a single one leaves less",
    ),
    (
        "manure-nitrogen",
        {"animals": [{"kind": "goat", "count": 1}], "area_m2": 500},
        "goat: droppings alone, by sheep's nitrogen (ours, the careful side); urine holds about as much again",
    ),
    (
        "plants-that-fit",
        {"length_mm": 1000, "width_mm": 1000, "spacing_mm": 300, "pattern": "square"},
        "along the length",
    ),
    (
        "tower",
        _SACK | {"height_mm": 701},
        "higher than twice its width: brace it, or make it lower (our rule of thumb)",
    ),
    (
        "tower",
        _SACK | {"kind": "tyres"},
        "tyres may give off poisons: line them, or grow flowers; never burn or cut them to shreds",
    ),
    ("tower", _SACK | {"kind": "bricks"}, "loose bricks slide: tie them with wire or a band, and let a builder look"),
    ("load", _LOAD, "No limit was stated: ask a competent builder or engineer before anything is carried up."),
    (
        "load",
        _LOAD | {"stated_limit_kg_m2": 300},
        "Below the limit you gave, before people, water, frames and plants; ask a competent person.",
    ),
    (
        "load",
        _LOAD | {"stated_limit_kg_m2": 300, "other_kg_m2": 75},
        "Below the limit you gave, with the water and the rest that you counted; ask a competent person.",
    ),
    ("load", _LOAD | {"stated_limit_kg_m2": 192}, "Above the limit you gave: do not put it there."),
    (
        "bottle-wall",
        _WALL | {"stated_limit_kg": 100},
        "Below the limit you gave, before frame, water and wind; ask a competent person.",
    ),
    ("wick", _WICK | {"lift_mm": 301}, "above the 300 mm that guides allow: water the top until roots reach down"),
    ("wick", _WICK | {"soil_above_mm": 321}, "more than the 320 mm of soil above the water that guides allow"),
    (
        "wick",
        _WICK | {"reservoir_mm": 301},
        "a reservoir deeper than the 300 mm that guides allow: the lowest water stays below",
    ),
    (
        "linked-system",
        _POND | {"tank_litres": 999},
        "no food-fish unit at this size: for holding or showing; small bodies of water do not scale down",
    ),
    (
        "linked-system",
        _POND | {"birds": 5},
        "too many birds, 2 times the 2.5 that it bears: keep their dung out of the water",
    ),
    (
        "linked-system",
        _POND | {"fish_kg": "5.001"},
        "more fish than still water of this surface bears: they suffocate at night without air and exchange",
    ),
    ("linked-system", _POND, "ammonia was not judged: it takes the water's warmth, its pH and a test kit"),
    (
        "linked-system",
        _WATER | {"total_ammonia_mg_l": 40},
        "this much un-ionised ammonia kills: change water now, stop feeding, take no dung near it",
    ),
    (
        "linked-system",
        _WATER | {"total_ammonia_mg_l": 1},
        "this much un-ionised ammonia harms: change part of the water, feed less",
    ),
    (
        "linked-system",
        _WATER | {"total_ammonia_mg_l": 2},
        "change it in several goes over some days: fish do not bear a sudden change",
    ),
    ("linked-system", _WATER | {"ph": "8.6"}, "pH outside 6.5 to 8.5: fish and filter suffer"),
    (
        "pest-effect",
        _COUNTS | {"treated_after": 11},
        "More pests with the treatment than without: it did not help here.",
    ),
    ("pest-effect", _COUNTS, "Fewer pests with the treatment. One trial is a hint; say how many plants were counted."),
)


def texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for one in inside for text in texts(one)]


@pytest.mark.parametrize(("name", "given", "words"), TOLD, ids=[words for _, _, words in TOLD])
def test_it_is_said_where_it_belongs_and_in_kiswahili_too(name: str, given: dict[str, Any], words: str) -> None:
    assert words in texts(CALCULATORS[name].run(given))
    said = shipped_sentences().say(words, "sw")
    assert said is not None
    assert said != words
    figures = [word for word in words.replace("“1:", " ").replace("”", "").split() if word.isdigit()]
    assert all(figure in said for figure in figures)


@pytest.mark.parametrize("name", CALCULATORS)
def test_all_that_a_calculator_asks_and_answers_is_known_in_kiswahili(name: str) -> None:
    calculator, say = CALCULATORS[name], shipped_sentences().say
    asked = [one for each in calculator.inputs for one in (each, *each.rows)]
    told = [one for each in calculator.outputs for one in (each, *each.rows)]
    words = [calculator.title, calculator.purpose, calculator.method, calculator.valid, *calculator.cautions]
    words += [text for one in asked for text in (one.label, one.about, *one.says)]
    words += [one.words for one in told if one.words]
    assert [text for text in words if say(text, "sw") is None] == []
    described = str(calculator.described())
    assert all(one.label in described for one in calculator.inputs)


def test_materials_and_units_in_words_are_known_in_kiswahili() -> None:
    say = shipped_sentences().say
    assert [text for text in (*TYPICAL, *WORDY_UNITS) if say(text, "sw") is None] == []
