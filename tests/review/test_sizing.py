"""A kept size against the answers of a place: soil on a roof, dung and urine by nitrogen, fish, birds, animals.

The figures by hand: wet garden soil 1,922 kg/m³ (120 lb/ft³, green roof media table), so 300 kg/m² bear 15.6 cm; 17 g of
nitrogen on a square metre in a year (91/676/EEC, Annex III); rabbit droppings 2.7 % (a web page) and urine 10.5 g/L (AER
Journal 4(1)); 1 kg of fish and 0.5 birds a square metre of still water (FAO TP 362; a pond page); 9 and 3 hens a square
metre (1999/74/EC; FAO small-scale poultry).
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import Entry, read_entry
from fieldbook.practices.scaling import scale
from fieldbook.review.sizing import judge_size
from tests.starters import entry_of

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=60)
ROOF, STEEP, URINE, FISH, HENS = (
    read_entry(entry_of(name))
    for name in ("coop-roof-bed", "dung-steep", "rabbit-dung-urine", "fish-hen-garden", "five-hens")
)
ON_ROOF = {"safe_load_kg_m2": "300", "depth_cm": "15", "bed_length_cm": "200", "bed_width_cm": "60"}
IN_BED = {"bed_length_cm": "100", "bed_width_cm": "320", "dung_kg_year": "2"}
WITH_HENS = {"hen_n": "10", "hen_floor_length_cm": "200", "hen_floor_width_cm": "200"}


def against(entry: Entry, answers: dict[str, str], base: str, amount: str, unit: str) -> list[tuple[str, str, str]]:
    reasons = judge_size(entry, answers, scale(entry, base=base, amount=Decimal(amount), unit=unit))
    return [(one.rule, one.value, one.limit) for one in reasons]


def test_soil_that_lies_25_cm_deep_is_refused_on_a_roof_of_300_with_the_depth_that_fits() -> None:
    """Soil for 2 m² at 15 cm is 300 L; on the bed of 1.2 m² it lies 25 cm deep: 0.25 · 1,922 = 480.5 kg/m²."""
    assert against(ROOF, ON_ROOF, "ground", "2", "m²") == [("STR-02", "25 cm, 480.5 kg/m²", "15.6 cm, 300 kg/m²")]
    assert against(ROOF, ON_ROOF, "material-2", "150", "L")[0][1:] == ("25 cm, 480.5 kg/m²", "15.6 cm, 300 kg/m²")
    assert against(ROOF, ON_ROOF, "ground", "1.2", "m²") == []
    assert against(ROOF, ON_ROOF | {"bed_length_cm": "400"}, "ground", "2", "m²") == []


def test_a_size_is_judged_by_its_own_soil_and_not_by_a_thinner_answer() -> None:
    """The place answered 10 cm for 200 kg/m²; the soil of the entry for the same bed lies 15 cm: 288.3 kg/m²."""
    thin = ON_ROOF | {"safe_load_kg_m2": "200", "depth_cm": "10"}
    assert against(ROOF, thin, "ground", "1.2", "m²") == [("STR-02", "15 cm, 288.3 kg/m²", "10.4 cm, 200 kg/m²")]
    assert against(ROOF, thin, "ground", "0.8", "m²") == []


def test_a_roof_bed_that_nobody_measured_stands_against_every_size() -> None:
    unmeasured = {name: value for name, value in ON_ROOF.items() if name != "bed_width_cm"}
    reasons = judge_size(ROOF, unmeasured, scale(ROOF, base="ground", amount=Decimal("0.5"), unit="m²"))
    assert [one.words for one in reasons] == [
        "it cannot be reckoned how deep the soil of this size lies on the bed here"
    ]


@given(st.decimals("0.05", "100", places=2), st.integers(50, 2000))
@_QUICK
def test_a_roof_bears_a_size_exactly_where_its_soil_weighs_no_more_than_was_stated(area: Decimal, stated: int) -> None:
    reasons = against(ROOF, ON_ROOF | {"safe_load_kg_m2": str(stated)}, "ground", str(area), "m²")
    assert bool(reasons) is (area * 15 / Decimal("1.2") * Decimal("19.22") > stated)


def test_more_dung_than_the_bed_bears_or_than_was_answered_is_refused() -> None:
    """2 kg of droppings hold at most 54 g; 3.2 m² bear 54.4 g. Twice that is too much, and 2 kg fit: 54.4 / 27."""
    assert against(STEEP, IN_BED, "material-0", "2", "kg") == []
    assert against(STEEP, IN_BED, "material-0", "4", "kg") == [("MAN-07", "4 kg, 33.8 g N/m²", "2 kg, 17 g N/m²")]
    assert against(STEEP, IN_BED | {"dung_kg_year": "1"}, "material-0", "2", "kg") == [("MAN-07", "2 kg", "1 kg")]


def test_urine_and_droppings_on_one_bed_are_reckoned_together() -> None:
    """2.5 L · 10.5 g + 0.9 kg · 27 g = 50.55 g; 3 m² bear 51 g, 2.9 m² bear 49.3 g."""
    bed = {"bed_length_cm": "100", "dung_kg_year": "0.9"}
    assert against(URINE, bed | {"bed_width_cm": "300"}, "ground", "3", "m²") == []
    assert against(URINE, bed | {"bed_width_cm": "290"}, "ground", "3", "m²") == [
        ("MAN-07", "0.9 kg, 17.5 g N/m²", "0.8 kg, 17 g N/m²")
    ]


def test_more_fish_than_the_water_bears_or_than_was_answered_is_refused() -> None:
    """A drum of 0.255 m² bears 0.255 kg, whatever its litres."""
    drum = {"water_area_m2": "0.255", "fish_kg": "0.255"}
    assert against(FISH, drum, "container", "200", "L") == []
    assert against(FISH, drum, "container", "400", "L") == [("FSH-02", "0.6 kg", "0.255 kg")]
    assert against(FISH, {"water_area_m2": "1", "fish_kg": "0.3"}, "container", "400", "L") == [
        ("FSH-02", "0.51 kg", "0.3 kg")
    ]


@pytest.mark.parametrize(
    ("hens", "answers", "refused"),
    [
        ("10", WITH_HENS, []),
        ("13", WITH_HENS | {"hen_n": "13"}, [("ANI-01", "13", "12")]),
        ("12", WITH_HENS, [("ANI-01", "12", "10")]),
    ],
)
def test_hens_keep_the_floor_that_was_measured_and_the_number_that_was_said(
    hens: str, answers: dict[str, str], refused: list[Any]
) -> None:
    """4 m² of deep litter at 3 a square metre hold 12; half a hen is none."""
    assert against(HENS, answers, "material-0", hens, "pieces") == refused
    assert against(HENS, WITH_HENS, "material-0", "10.9", "pieces") == []


def test_rabbits_that_are_too_many_are_sent_to_a_wider_hutch_and_not_to_one_for_hens() -> None:
    rabbits = read_entry(entry_of("rabbits"))
    answers = {
        "rabbit_n": "4",
        "rabbit_weight_kg": "4",
        "rabbit_floor_length_cm": "100",
        "rabbit_floor_width_cm": "100",
    }
    size = scale(rabbits, base="material-8", amount=Decimal(4), unit="pieces")
    (reason,) = judge_size(rabbits, answers, size)  # 0.37 m² each for 4 kg and more (US rule, a state page)
    assert (reason.value, reason.limit) == ("4", "2")
    assert "Give one rabbit" in str(reason.instead[0])


def test_nothing_is_said_of_what_an_entry_does_not_have() -> None:
    aphids = read_entry(entry_of("aphid-soap"))
    assert against(aphids, {}, "batch", "500", "L") == []
