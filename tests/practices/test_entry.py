"""Reading an entry: all faults at once, by field, in plain words; what is kept, and how it is spelled."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fieldbook.practices import Entry, EntryError, read_entry
from fieldbook.practices.codes import TOPICS

PLAIN: dict[str, Any] = {"kind": "manure", "title": {"en": "A steep"}}


def faults(document: object, *, strict: bool = True) -> dict[str, str]:
    with pytest.raises(EntryError) as error:
        read_entry(document, strict=strict)
    return {fault.field: f"{fault.message}; {fault.hint}" for fault in error.value.faults}


def with_material(**quantity: Any) -> dict[str, Any]:
    return {**PLAIN, "materials": [{"item": "soap", "qty": {"value": 3, "unit": "mass-gram", **quantity}}]}


def test_an_entry_needs_little_to_be_kept() -> None:
    entry = read_entry(PLAIN)
    assert (entry.kind, dict(entry.title), entry.topics) == ("manure", {"en": "A steep"}, ())


def test_all_faults_come_at_once_each_with_its_field() -> None:
    found = faults(
        {
            "kind": "manur",
            "title": {},
            "summary": {"en": "x" * 201},
            "steps": [{"say": {"en": "word " * 26}, "dayoffset": 3}],
            "facts": {"inputs": [{"kind": "hen-manur", "wait_d": "soon"}], "demands": ["engineer"]},
            "licence": "free to use",
            "first_result_days": "many",
        }
    )
    assert set(found) == {
        "kind",
        "title",
        "summary.en",
        "steps[0].say.en",
        "steps[0].dayoffset",
        "facts.inputs[0].kind",
        "facts.inputs[0].wait_d",
        "facts.demands[0]",
        "licence",
        "first_result_days",
    }
    assert "did you mean manure?" in found["kind"]
    assert "did you mean day_offset?" in found["steps[0].dayoffset"]
    assert "26 words" in found["steps[0].say.en"]


def test_the_error_says_the_first_fault_and_how_many_there_are() -> None:
    with pytest.raises(EntryError, match=r"^kind: .*\(and 1 more\)$") as error:
        read_entry({"kind": "x", "title": {}})
    assert error.value.hint


@pytest.mark.parametrize("document", [None, [], "entry", 3, {}])
def test_what_is_no_entry_has_faults_and_no_traceback(document: object) -> None:
    assert faults(document)
    assert faults(document, strict=False)


@pytest.mark.parametrize("unit", ["spoon", "volume-cup", "volume-tablespoon", "handful", "matchbox"])
def test_a_household_measure_is_no_unit_of_a_dose(unit: str) -> None:
    found = faults(with_material(unit=unit))
    assert "millilitres or grams" in found["materials[0].qty.unit"]
    assert "name a household measure beside them only" in found["materials[0].qty.unit"]


@pytest.mark.parametrize("unit", ["mass-pound", "volume-gallon", "litre", "g", ""])
def test_a_unit_that_we_do_not_keep_is_a_fault(unit: str) -> None:
    assert "materials[0].qty.unit" in faults(with_material(unit=unit))


def test_a_unit_of_another_dimension_is_a_fault() -> None:
    found = faults({**PLAIN, "space": {"area_m2": {"value": 2, "unit": "length-meter"}}})
    assert found == {"space.area_m2.unit": "“length-meter” is not a word we know here; use one of: area-square-meter"}


@pytest.mark.parametrize(
    ("given", "kept"),
    [(3, 3), ("3", 3), ("3.0", 3), ("2.50", "2.50"), ("007.5", "7.5"), ("1e-3", "0.001"), ("0.25", "0.25")],
)
def test_numbers_are_kept_as_integers_or_decimal_strings(given: int | str, kept: int | str) -> None:
    document = read_entry(with_material(value=given)).document
    assert document["materials"][0]["qty"]["value"] == kept


@pytest.mark.parametrize(
    ("more", "kept"),
    [
        ({"protect": ["wash hands"]}, {"protect": ["wash-hands"]}),
        ({"water_kind": ["Re-used kitchen"]}, {"water_kind": ["re-used-kitchen"]}),
        (
            {"waiting": [{"before": "eating_raw", "days_min": 9}]},
            {"waiting": [{"before": "eating-raw", "days_min": 9}]},
        ),
        ({"facts": {"spray": {"plants": ["Tagetes"]}}}, {"facts": {"spray": {"plants": ["tagetes"]}}}),
        (
            {"facts": {"spray": {"plants": ["marigold"], "ppe": ["gloves"]}}},
            {"facts": {"spray": {"plants": ["tagetes"], "ppe": ["hands"]}}},
        ),
        ({"facts": {"crop": {"part": "leaves"}}}, {"facts": {"crop": {"part": "leaf"}}}),
        ({"facts": {"inputs": {"kind": "chicken droppings"}}}, {"facts": {"inputs": [{"kind": "hen_manure"}]}}),
        (
            {"facts": {"inputs": [{"kind": "dung tea", "treatment": "fresh"}]}},
            {"facts": {"inputs": [{"kind": "manure_tea", "treatment": "raw"}]}},
        ),
        ({"materials": [{"item": "tin", "reclaimed": "yes"}]}, {"materials": [{"item": "tin", "reclaimed": True}]}),
        ({"people": {"hours": {"value": "1.5", "unit": "duration-hour"}}}, {"people": {"hours": "1.5"}}),
        (
            {"space": {"load_kg_m2_wet": {"value": 90, "unit": "kilogram-per-square-meter"}}},
            {"space": {"load_kg_m2_wet": 90}},
        ),
    ],
)
def test_an_author_may_spell_a_code_a_flag_or_a_plain_number_as_they_like(
    more: dict[str, Any], kept: dict[str, Any]
) -> None:
    assert read_entry({**PLAIN, **more}).document == {**PLAIN, **kept}


def test_on_arrival_a_code_is_kept_as_it_came() -> None:
    document = {**PLAIN, "protect": ["wash hands"]}
    assert read_entry(document, strict=False).document == document


def test_a_plain_number_in_another_unit_or_with_a_range_is_a_fault() -> None:
    assert "people.hours.unit" in faults({**PLAIN, "people": {"hours": {"value": 90, "unit": "duration-minute"}}})
    ranged = {"value": 2, "low": 1, "unit": "duration-hour"}
    assert "a group of names is not a number" in faults({**PLAIN, "people": {"hours": ranged}})["people.hours"]


def test_half_a_character_is_a_fault_since_nobody_could_sign_it() -> None:
    assert "control character" in faults({**PLAIN, "title": {"en": "a\ud800"}})["title.en"]


@pytest.mark.parametrize("given", [2.5, True, "two", "1,5", "NaN", "Infinity", "1e999999", "", None, [1]])
def test_what_is_no_number_is_a_fault(given: object) -> None:
    assert "materials[0].qty.value" in faults(with_material(value=given))


def test_text_is_kept_composed_and_without_override_characters() -> None:
    """Unicode NFC; a right-to-left override would show 1:10 as 10:1."""
    entry = read_entry({**PLAIN, "title": {"fr": "Fumier se\u0301che\u0301"}})
    assert entry.title["fr"] == "Fumier s\u00e9ch\u00e9"
    assert "control character" in faults({**PLAIN, "title": {"ar": "\u202e1:10"}})["title.ar"]


def test_line_ends_of_a_form_become_plain_line_ends() -> None:
    assert (
        read_entry({**PLAIN, "disposal": {"en": "Bury it.\r\nWash."}}).document["disposal"]["en"] == "Bury it.\nWash."
    )


def test_the_marks_that_arabic_needs_stay() -> None:
    words = "\u200fسماد 1:10\u200f"
    assert read_entry({**PLAIN, "title": {"ar": words}}).title["ar"] == words


def test_an_entry_has_no_dates_of_harvest() -> None:
    found = faults(
        {**PLAIN, "facts": {"inputs": [{"applied_on": "2026-03-01"}], "harvest": {"harvest_on": "2026-06-28"}}}
    )
    assert "wait_d" in found["facts.inputs[0].applied_on"]
    assert "wait_d" in found["facts.harvest.harvest_on"]


@pytest.mark.parametrize("name", ["state", "limits", "approved_by", "evidence_level", "recall", "trials"])
def test_what_others_say_later_does_not_stand_in_an_entry(name: str) -> None:
    assert "later statements" in faults({**PLAIN, name: "x"})[name]


def test_a_name_that_newer_software_wrote_is_kept_as_it_came() -> None:
    document = {
        **PLAIN,
        "moon": {"phase": "new"},
        "topics": ["tides"],
        "facts": {"vessel": {"cover": "balls", "volume_l": "7"}},
    }
    assert read_entry(document, strict=False).document == document
    assert set(faults(document)) == {"moon", "topics[0]", "facts.vessel.cover"}


def test_a_wrong_type_is_not_understood_even_on_arrival() -> None:
    assert "steps" in faults({**PLAIN, "steps": "mix it"}, strict=False)
    assert "title.en" in faults({**PLAIN, "title": {"en": 3}}, strict=False)
    assert "facts" in faults({**PLAIN, "facts": []}, strict=False)


def test_reading_what_was_kept_changes_nothing() -> None:
    once = read_entry(with_material(value="3.0")).document
    assert read_entry(once).document == once
    assert json.loads(json.dumps(once)) == once


def test_the_languages_are_those_of_its_words() -> None:
    entry = read_entry(
        {**PLAIN, "title": {"sw": "Mbolea", "en": "Steep"}, "disposal": {"en": "Bury it."}, "unread": ["sw"]}
    )
    assert entry.languages == ("sw", "en")
    assert entry.unread == {"sw"}


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"steps": [{"say": {"en": "Mix."}, "picture": "sack"}]}, "steps[0].picture"),
        ({"photos": [{"name": "a"}, {"name": "a"}]}, "photos[1].name"),
        ({"facts": {"none": ["fish"], "fish": {"n": 3}}}, "facts.none[0]"),
        ({"facts": {"none": ["fish", "inputs"]}}, "facts.none[1]"),
        ({"unread": ["fr"]}, "unread[0]"),
        ({"disposal": {"fr": "Enterrer."}}, "disposal.fr"),
        ({"steps": [{"n": 1, "say": {"en": "a"}}, {"n": 3, "say": {"en": "b"}}]}, "steps[1].n"),
        ({"companions": [{"crop": "kale", "with": "onion", "effect": "helps"}]}, "companions"),
        ({"materials": [{"item": "x", "qty": {"value": 5, "low": 6, "unit": "mass-gram"}}]}, "materials[0].qty"),
        ({"ratios": [{"a": "x", "b": "y", "by": "mass", "value": 5, "high": 4}]}, "ratios[0]"),
        (
            {"materials": [{"item": "x", "qty": {"value": 5, "unit": "mass-gram", "measure_id": "tin"}}]},
            "materials[0].qty.measure_id",
        ),
    ],
)
def test_fields_that_cannot_both_be_true_are_faults(more: dict[str, Any], field: str) -> None:
    assert list(faults({**PLAIN, **more})) == [field]


def test_a_photo_may_come_without_words_and_a_household_measure_beside_grams() -> None:
    tin = {"id": "tin", "name": {"en": "match tin"}, "equals": {"value": 20, "unit": "mass-gram"}}
    document = {**with_material(measure_id="tin"), "measures": [tin], "photos": [{"name": "sack", "alt": {}}]}
    assert isinstance(read_entry(document), Entry)


def test_each_topic_stands_once_in_its_list() -> None:
    assert len(TOPICS) == len(set(TOPICS)) == 70


@pytest.mark.parametrize("document", [{"n": 1}, {"value": 3}], ids=["a group", "a quantity without unit"])
def test_the_inner_fault_of_a_quantity_is_named_where_it_lies(document: dict[str, Any]) -> None:
    assert "water_l_day.unit" in faults({**PLAIN, "water_l_day": document})


def test_facts_of_one_thing_may_be_an_object_or_a_list() -> None:
    one = read_entry({**PLAIN, "facts": {"vessel": {"volume_l": 3}}}).facts
    two = read_entry({**PLAIN, "facts": {"vessel": [{"volume_l": 3}, {"volume_l": 4}]}}).facts
    assert one.items("vessel") == ({"volume_l": 3},)
    assert [two.path("vessel", n) for n in (0, 1)] == ["facts.vessel[0]", "facts.vessel[1]"]
    assert one.path("vessel", 0) == "facts.vessel"


def test_a_group_is_ruled_out_only_by_saying_so() -> None:
    facts = read_entry({**PLAIN, "facts": {"none": ["fish"], "spray": {}}}).facts
    assert [facts.ruled_out(name) for name in ("fish", "spray", "wick")] == [True, False, False]
    assert [facts.not_said(name) for name in ("fish", "spray", "wick")] == [False, False, True]
