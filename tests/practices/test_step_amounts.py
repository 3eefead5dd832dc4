"""Figures in the words of a step: which are a material's and change with the size, and which only a reader can judge."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.errors import FieldbookError
from fieldbook.practices import read_entry
from fieldbook.practices.scaling import scale
from tests.starters import FOLDERS, entry_of

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=40)


def marked(name: str, times: str, tag: str = "en") -> list[str]:
    """The steps of a starter entry as a page marks them: what changes in braces, the entry's own in underscores."""
    entry = read_entry(entry_of(name))
    area = Decimal(str(entry.document["space"]["area_m2"]["value"]))
    found = scale(entry, base="ground", amount=area * Decimal(times), unit="m²")
    return [
        shown(step["say"][tag], sized.marks[tag])
        for step, sized in zip(entry.document["steps"], found.steps, strict=True)
    ]


def shown(text: str, marks: Any) -> str:
    out, end = "", 0
    for mark in marks:
        figure = text[mark.start : mark.end]
        out += text[end : mark.start] + (f"_{figure}_" if mark.thing is None else f"{{{figure}: {mark.thing.mine}}}")
        end = mark.end
    return out + text[end:]


def test_the_most_that_a_person_lifts_never_grows_with_the_bed() -> None:
    """The bed has 10 kg of litter among its materials, and buckets of 10 kg at most: only one of them scales."""
    step = marked("coop-roof-bed", "2")[8]
    assert step == (
        "Lift {90 L: 180 L} of soil and {90 L: 180 L} of plant compost in buckets of _10 kg_ at most, two people."
    )


def test_an_amount_is_that_of_the_material_beside_it_and_not_of_another_with_the_same_figure() -> None:
    """10 L of sand and 10 L of water; 300 g of dry grass and 300 g of greens."""
    sack = marked("sack-garden", "2")
    assert sack[2] == "Mix {30 L: 60 L} of soil, {20 L: 40 L} of plant compost and {10 L: 20 L} of sand."
    assert sack[6].startswith("Pour _10 L_ of clean water slowly on the stones")
    assert marked("rabbits", "2")[9].startswith("Give dry grass all day, and about _300 g_ of wilted greens")


def test_dung_and_the_bed_that_it_goes_into_grow_together() -> None:
    step = marked("fish-hen-garden", "2")[6]
    assert step.startswith("Mix {6 kg: 12 kg} of hen dung into the empty bed of {5 square metres: 10 m²}")


def test_whoever_asks_the_builder_shows_the_weight_of_their_own_size() -> None:
    """288.3 kg on a square metre stay; of twice 1.2 m² they are 691.9 kg in all, told as 692 and never rounded down."""
    step = marked("coop-roof-bed", "2")[0]
    assert step.endswith("_288 kg_ per square metre wet, {346 kg: 692 kg} in all.")
    assert "{77 kg: 154 kg} of wet bottles" in marked("bottle-wall", "2")[0]


def test_counts_of_materials_change_and_counts_of_places_days_and_depths_do_not() -> None:
    assert marked("coop-roof-bed", "2")[10] == "Plant {16: 32} seedlings in 2 rows of 8, 25 cm apart."
    assert marked("nursery", "10")[5].startswith("Sow 1 seed in each place, 1 cm deep")
    assert marked("five-hens", "0.5")[5].startswith("Bring {5: 2–3} healthy hens from one flock; keep them away")


def test_the_sides_of_a_bed_are_left_to_the_reader() -> None:
    assert marked("onion-rows", "0.5")[1] == "Dig {12 L: 6 L} of plant compost into a bed of _240 cm by 100 cm_."
    assert marked("cutworm-rings", "2")[10].startswith("Dig where a seedling fell: 3 cm deep, 10 cm around")


@pytest.mark.parametrize("times", ["0.5", "2", "10"])
@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_every_starter_keeps_its_words_at_any_size_and_every_amount_in_them_is_marked(name: str, times: str) -> None:
    """Without the marks the words are those of the entry; a mark never says the old figure as the new one."""
    entry = read_entry(entry_of(name))
    area = Decimal(str(entry.document["space"]["area_m2"]["value"]))
    found = scale(entry, base="ground", amount=area * Decimal(times), unit="m²")
    for step, sized in zip(entry.document["steps"], found.steps, strict=True):
        for tag, text in step["say"].items():
            marks = sized.marks[tag]
            assert all(one.end <= other.start for one, other in pairwise(marks))
            said = [text[mark.start : mark.end] for mark in marks]
            amounts = [
                word
                for before, word in pairwise(text.split())
                if before[-1].isdigit() and word.strip(".,;:)") in {"L", "mL", "kg", "g"}
            ]
            assert len([one for one in said if one.endswith(("L", "g"))]) >= len(amounts)
            assert all(mark.thing is None or mark.thing.mine != text[mark.start : mark.end] for mark in marks)


@given(st.text(max_size=80))
@_QUICK
def test_any_words_can_be_marked(text: str) -> None:
    document = entry_of("dung-steep")
    steps = [{**document["steps"][0], "say": {"en": text or "x"}}]
    try:
        entry = read_entry(document | {"steps": steps})
    except FieldbookError:  # words that no entry may hold
        return
    marks = scale(entry, base="container", amount=Decimal(10), unit="L").steps[0].marks["en"]
    assert shown(text, marks).count("{") >= text.count("{")
