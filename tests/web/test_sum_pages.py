"""The pages of sums: one form and one answer each, in plain words, without scripts, on a small page."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest
from markupsafe import escape

from fieldbook.quantities import CALCULATORS
from fieldbook.sentences import shipped_sentences
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

HEAP = {
    "materials.0.material": "cattle manure",
    "materials.0.wet_kg": "10",
    "materials.1.material": "chicken manure",
    "materials.2.material": "straw",
    "goal_carbon_nitrogen_ratio": "30",
    "goal_moisture_percent": "55",
}
TYPED: dict[str, tuple[dict[str, str], str]] = {
    "dilution": ({"total_l": "15", "parts_stock": "1", "parts_water": "2", "sprayer_l": "10"}, "Stock 5 L"),
    "compost-mix": (HEAP, "straw 6.942 kg"),
    "compost-heat": ({"system": "turned-row", "hot_days": "15", "turnings": "4"}, "Counts as raw dung."),
    "manure-batch": (
        {"dung_kg": "2", "kind": "rabbit", "water_l_kg": "5", "parts_water": "2"},
        "Thinned, all together 30 L",
    ),
    "manure-nitrogen": (
        {"animals.0.kind": "laying-hen", "animals.0.count": "10", "area_m2": "200"},
        "Above the limit yes",
    ),
    "plants-that-fit": (
        {"length_mm": "1000", "width_mm": "1000", "spacing_mm": "300", "pattern": "triangular"},
        "Plants 8",
    ),
    "bottle-wall": (
        {
            "width_mm": "3000",
            "height_mm": "1650",
            "spacing_mm": "300",
            "pattern": "square",
            "pocket_l": "1.5",
            "wet_density_kg_m3": "1922",
        },
        "No limit was stated",
    ),
    "tower": (
        {"kind": "sack", "diameter_mm": "350", "height_mm": "800", "spacing_mm": "150", "wet_density_kg_m3": "1922"},
        "Holes in whole rings 35",
    ),
    "load": (
        {"depth_cm": "7", "wet_density_kg_m3": "1922", "stated_limit_kg_m2": "120"},
        "Above the limit you gave: do not put it there.",
    ),
    "wick": (
        {"pore_diameter_mm": "0.1", "usable_l": "60", "area_m2": "1", "use_l_m2_day": "3"},
        "The reservoir lasts 20 days",
    ),
    "linked-system": (
        {"tank_m2": "0.255", "tank_litres": "200", "birds": "1", "fish_kg": "0.2"},
        "No food-fish unit at this size",
    ),
    "animal-space": ({"kind": "laying-hen", "count": "20", "floor_m2": "2.20"}, "Enough by the least figure no"),
    "seedlings": ({"plants": "60", "share_up_percent": "80", "share_living_percent": "75"}, "Seeds each time 100"),
    "pest-effect": ({"untreated_after": "10", "treated_after": "20"}, "it did not help here"),
}
PAGE_MAX_BYTES = 30_000


def address(name: str, typed: dict[str, str]) -> str:
    return f"/sums/{name}?{urlencode(typed)}"


def test_every_calculator_has_its_page_and_each_is_named_on_the_index(visitor: Visitor) -> None:
    visitor.get("/sums/")
    assert read_page(visitor.page).judged() == []
    for calculator in CALCULATORS.values():
        assert calculator.title in visitor.words()
    assert set(TYPED) == set(CALCULATORS)


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_form_asks_in_plain_words_and_its_answer_stands_on_the_same_page(name: str, visitor: Visitor) -> None:
    typed, words = TYPED[name]
    visitor.get(f"/sums/{name}")
    assert visitor.status == 200
    assert read_page(visitor.page).judged() == []
    assert "Answer" not in visitor.words()
    visitor.get(address(name, typed))
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert words in visitor.words()
    assert len(visitor.page.encode()) <= PAGE_MAX_BYTES
    calculator, said = CALCULATORS[name], visitor.words()
    assert "From what you gave: " in said
    assert calculator.cautions[0] in said
    assert "General guidance" in said
    codes = [each.name for each in calculator.inputs if "_" in each.name]
    assert [code for code in codes if code in said] == []


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_empty_form_that_is_sent_marks_what_is_missing_without_field_names(name: str, visitor: Visitor) -> None:
    visitor.get(f"/sums/{name}?sent=1")
    assert visitor.status == 422
    assert read_page(visitor.page).judged() == []
    said = visitor.words()
    assert "Something is missing or cannot be." in said or "takes parts" in said
    assert not any(each.name in said for each in CALCULATORS[name].inputs if "_" in each.name)


@pytest.mark.parametrize(
    ("name", "changed", "words"),
    [
        ("load", {"depth_cm": "0"}, "Depth of the soil is 0; it must be above 0 and at most 500 cm."),
        ("load", {"depth_cm": "-7"}, "Depth of the soil is -7;"),
        ("load", {"depth_cm": "1e9"}, "Depth of the soil is not a number"),
        ("linked-system", {"ph": "3"}, "pH of the water is 3; it must be from 5 to 11"),
        ("linked-system", {"ph": "14"}, "pH of the water is 14;"),
        ("plants-that-fit", {"spacing_mm": "1200"}, "is smaller than one spacing of 1200 mm"),
        ("animal-space", {"kind": "camel"}, "is 'camel', not one of"),
        ("compost-mix", {"materials.1.material": "gold"}, "Material 2: Material is 'gold', not one of"),
        (
            "compost-mix",
            {"goal_carbon_nitrogen_ratio": "10", "goal_moisture_percent": "", "materials.1.material": "straw"},
            "add a material with a ratio below 10, such as chicken manure",
        ),
    ],
)
def test_what_cannot_be_is_said_in_words_and_keeps_what_was_typed(
    name: str, changed: dict[str, str], words: str, visitor: Visitor
) -> None:
    visitor.get(address(name, {**TYPED[name][0], **changed}))
    assert visitor.status == 422
    assert words.casefold() in visitor.words().casefold()
    assert read_page(visitor.page).judged() == []
    for value in changed.values():
        assert value in visitor.page


def test_the_fault_of_a_row_stands_at_its_row_though_one_before_it_is_empty(visitor: Visitor) -> None:
    typed = {
        "materials.0.material": "straw",
        "materials.0.wet_kg": "3",
        "materials.2.material": "leaves",
        "materials.2.wet_kg": "-1",
    }
    visitor.get(address("compost-mix", typed))
    assert 'id="materials.2.wet_kg-fault"' in visitor.page


def test_lengths_may_be_typed_in_metres_and_paces(planted: Circle, visitor: Visitor) -> None:
    pace = planted["C"].sums.add_measure({"name": "pace", "kind": "length", "holds": 750})
    bed = {"spacing_mm": "25", "spacing_mm.in": "cm", "pattern": "square", "width_mm": "0.6", "width_mm.in": "m"}
    visitor.get(address("plants-that-fit", {**bed, "length_mm": "2", "length_mm.in": f"measure-{pace.number}"}))
    assert "12 plants, 250 mm apart, on 1500 by 600 mm" in visitor.page


def test_more_rows_are_there_when_they_are_asked_for_and_nothing_is_judged_yet(visitor: Visitor) -> None:
    visitor.get(address("compost-mix", {**HEAP, "more": "1"}))
    assert visitor.status == 200
    assert "Material 5" in visitor.words()
    assert "Answer" not in visitor.words()


def test_a_drawing_stands_beside_its_table(visitor: Visitor) -> None:
    for name in ("compost-mix", "dilution", "manure-batch", "plants-that-fit", "bottle-wall", "linked-system"):
        visitor.get(address(name, TYPED[name][0]))
        assert "<svg" in visitor.page
    visitor.get(address("plants-that-fit", {**TYPED["plants-that-fit"][0], "spacing_mm": "10"}))
    assert "<svg" not in visitor.page


def test_evaporation_of_this_place_is_told_no_finer_than_half_a_millimetre(visitor: Visitor) -> None:
    visitor.get("/sums/wick")
    assert "Evaporation here" in visitor.words()
    told = re.findall(r"<th scope=\"row\">\w+</th><td>([\d.]+)</td>", visitor.page)
    assert len(told) == 12
    assert all(float(mm) * 2 == int(float(mm) * 2) for mm in told)


def test_a_sum_that_is_not_there_is_nothing_here(visitor: Visitor) -> None:
    visitor.get("/sums/gold-making")
    assert visitor.status == 404


# tins, buckets and paces


def test_a_trainer_notes_what_a_tin_holds_and_everybody_reads_it(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1").get("/sums/measures")
    assert read_page(visitor.page).judged() == []
    visitor.post("/sums/measures", {"name": "milk tin", "kind": "volume", "holds": "400"})
    assert "Noted: milk tin holds 400 mL." in visitor.words()
    (tin,) = planted["C"].sums.measures()
    visitor.get("/sums/dilution")
    assert f'<option value="measure-{tin.number}">milk tin</option>' in visitor.page
    visitor.get("/sums/measures")
    visitor.post(f"/sums/measures/{tin.number}/remove", {})
    assert planted["C"].sums.measures() == ()


def test_a_tin_that_was_not_measured_is_refused_at_its_box(visitor: Visitor) -> None:
    visitor.sit("C1").get("/sums/measures")
    visitor.post("/sums/measures", {"name": "milk tin", "kind": "volume", "holds": "full"})
    assert visitor.status == 422
    assert "It holds is not a number" in visitor.words()
    assert 'value="milk tin"' in visitor.page


def test_a_reader_without_a_name_notes_nothing(planted: Circle, visitor: Visitor) -> None:
    visitor.get("/sums/measures")
    assert "<form" not in visitor.page.partition("<main")[2]
    visitor.post("/sums/measures", {"name": "tin", "kind": "volume", "holds": "400"})
    assert planted["C"].sums.measures() == ()


def test_the_answer_of_an_address_is_the_same_bytes_each_time(visitor: Visitor) -> None:
    pages: set[Any] = set()
    for _ in range(2):
        visitor.get(address("compost-mix", HEAP))
        pages.add(visitor.page)
    assert len(pages) == 1


def test_digits_and_decimal_signs_of_any_keyboard_are_understood(planted: Circle, visitor: Visitor) -> None:
    """0.125 m of 1,922 kg/m³ are 240.25 kg/m²."""
    for depth in ("12.5", "۱۲٫۵", "12,5", " 12.5 ", "１２.５"):
        visitor.get(f"/sums/load?{urlencode({'depth_cm': depth, 'wet_density_kg_m3': '1922'})}")
        assert "240.25 kg" in visitor.words(), depth
    visitor.get(f"/sums/load?{urlencode({'depth_cm': '١٢٫٥', 'wet_density_kg_m3': '١٩٢٢'})}")
    assert "٢٤٠٫٢٥ kg" in visitor.words()  # in the digits that were typed
    visitor.get(f"/sums/load?{urlencode({'depth_cm': '1,922', 'wet_density_kg_m3': '1922'})}")
    assert visitor.status == 422


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_sum_asks_in_kiswahili_with_the_english_beneath(planted: Circle, visitor: Visitor, name: str) -> None:
    visitor.get(f"/sums/{name}", headers={"Accept-Language": "sw"})
    page, calculator, say = visitor.page, CALCULATORS[name], shipped_sentences().say
    assert (visitor.status, read_page(page).judged()) == (200, [])
    for text in (calculator.title, *calculator.cautions, *(one.label for one in calculator.inputs if not one.rows)):
        said = say(text, "sw")
        assert said is not None
        assert str(escape(said)) in page, said
        assert str(escape(text)) in page, text
    assert len(page.encode()) <= PAGE_MAX_BYTES


def test_an_answer_comes_in_kiswahili_with_its_verdict_figures_units_and_what_was_given(
    planted: Circle, visitor: Visitor
) -> None:
    given = {"depth_cm": "16", "wet_density_kg_m3": "1922", "stated_limit_kg_m2": "300"}
    visitor.get(f"/sums/load?{urlencode(given)}", headers={"Accept-Language": "sw"})
    words = visitor.words()
    assert "Juu ya kikomo ulichotoa: usikiweke hapo. Above the limit you gave: do not put it there." in words
    assert "Ndani ya kikomo ulichotoa Within the limit you gave hapana no" in words
    assert "Kutokana na ulichotoa: Kina cha udongo 16 cm; " in words
    assert "From what you gave: Depth of the soil 16 cm; " in words
    visitor.get(
        "/sums/wick?pore_diameter_mm=0.1&usable_l=60&area_m2=1&use_l_m2_day=3", headers={"Accept-Language": "sw"}
    )
    assert "Hifadhi hudumu The reservoir lasts 20 siku 20 days" in visitor.words()
    heap = {"materials.0.material": "straw", "materials.0.wet_kg": "10"}
    visitor.get(f"/sums/compost-mix?{urlencode(heap)}", headers={"Accept-Language": "sw"})
    assert "Kutokana na ulichotoa: Kitu 1, Kitu majani ya nafaka; Kitu 1, Uzito 10 kg." in visitor.words()
    assert '<option value="straw" selected>majani ya nafaka (straw)</option>' in visitor.page


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("compost-mix?materials.0.material=straw&materials.0.wet_kg=10", ("Rundo kwa uzito", "majani ya nafaka: 10 kg", "maji: ")),
        ("dilution?total_l=15&parts_stock=1&parts_water=2", ("Debe kwa ujazo", "dawa asili: 5 L", "maji: 10 L")),
        (
            "manure-batch?dung_kg=2&water_l_kg=5&parts_water=2",
            ("Maji ya kinyesi yaliyopunguzwa kwa ujazo", "maji ya kinyesi: 10 L", "maji ya kupunguza makali: 20 L"),
        ),
        (
            "plants-that-fit?length_mm=1000&width_mm=1000&spacing_mm=300&pattern=square",
            ("Mahali inaposimama, kwa kipimo", "mimea 9, nafasi ya 300 mm, kwenye 1000 kwa 1000 mm"),
        ),
        (
            "linked-system?tank_m2=5&tank_litres=5000&birds=2&fish_kg=5",
            (
                "Kinachozunguka",
                "ndege: wasiozidi 2.5",
                "kinyesi kikavu: chako 40 g kwa siku, na hubeba 50 g",
                "maji yenye samaki: 5 kg wasiozidi",
                "chakula 50 hadi 100 g kwa siku",
                "tuta la majani: 1 hadi 2.5 m²",
                "mimea 20 hadi 62",
                "maji ya zamani, kwenye shina la mimea",
                "Kurudi: majani mabichi kwa ndege.",
            ),
        ),
    ],
)  # fmt: skip
def test_a_drawing_speaks_the_language_of_its_reader(
    planted: Circle, visitor: Visitor, address: str, words: tuple[str, ...]
) -> None:
    visitor.get(f"/sums/{address}", headers={"Accept-Language": "sw"})
    drawing = visitor.page[visitor.page.index("<svg") : visitor.page.index("</svg>")]
    assert [one for one in words if str(escape(one)) not in drawing] == []
