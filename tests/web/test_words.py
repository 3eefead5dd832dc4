"""No raw code and no raw unit reaches a page: each has its words."""

from __future__ import annotations

import pytest

from fieldbook.practices import codes
from fieldbook.web import code_words
from fieldbook.web.caution_words import TEXTS, caution
from fieldbook.web.differences import place_words, value_at, value_words
from fieldbook.web.said import amount, days, duration
from fieldbook.web.words import counted, joined, sentence

TABLES = {
    "ENTRY_KINDS": code_words.KIND_WORDS,
    "UNITS": code_words.UNIT_WORDS,
    "WATER_KINDS": code_words.WATER_WORDS,
    "MARKS": code_words.MARK_WORDS,
    "DEMANDS": code_words.DEMAND_WORDS,
    "CAUTIONS": TEXTS,
    "TIMES_OF_DAY": code_words.TIME_WORDS,
}


@pytest.mark.parametrize("name", TABLES)
def test_each_code_of_a_closed_list_has_its_words(name: str) -> None:
    assert set(TABLES[name]) == set(getattr(codes, name))


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        ({"value": 2, "unit": "mass-kilogram"}, "2 kg"),
        ({"value": "0.5", "unit": "volume-liter"}, "0.5 L"),
        ({"value": 3, "unit": "concentr-item"}, "3"),
        ({"value": 1, "unit": "duration-week"}, "1 week"),
        ({"value": 4, "low": 3, "high": 5, "unit": "volume-milliliter"}, "4 (3 to 5) mL"),
        ({"value": 20, "unit": "concentr-percent"}, "20 %"),
        ({"value": 7, "unit": "unit-of-later"}, "7"),
        (None, ""),
    ],
)
def test_an_amount_is_said_with_its_unit(quantity: dict[str, object] | None, said: str) -> None:
    assert amount(quantity) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [("P14D", "14 days"), ("PT30M", "30 minutes"), ("P1W", "1 week"), ("P1DT2H", "1 day 2 hours"), ("soon", "")],
)
def test_a_duration_is_said_in_words(text: str, said: str) -> None:
    assert duration(text) == said


def test_waiting_days_are_said_in_words() -> None:
    assert [days(1), days(120), days("none published")] == ["1 day", "120 days", "none published"]


def test_a_caution_of_newer_software_still_warns() -> None:
    assert "Ask a trainer first" in caution("C99").text


def test_sentences_begin_large_and_end_with_a_stop() -> None:
    assert [sentence("a b"), sentence("A?"), sentence("")] == ["A b.", "A?", ""]
    assert [joined([]), joined(["a"]), joined(["a", "b", "c"])] == ["", "a", "a, b and c"]
    assert [counted(1, "file", "files"), counted(2, "file", "files")] == ["1 file", "2 files"]


def test_a_place_in_an_entry_is_named_as_the_form_names_it() -> None:
    assert place_words("steps[3].say.en") == "Step 4: What to do: English"
    assert place_words("facts.fish.n") == "the fish: How many"
    assert place_words("waiting[0].days_min") == "Wait 1: At least [days]"


def test_a_composed_value_is_said_line_by_line() -> None:
    assert value_words({"en": "Soap", "n": 2}) == "English: Soap\nn: 2"
    assert value_words([True, "x"]) == "yes\nx"
    assert value_words(None) is None


def test_a_composed_value_is_read_in_the_words_of_the_form() -> None:
    said = value_at("waiting[0]", {"before": "harvest", "days_min": 120, "after": "tea"})
    assert said is not None
    assert said.startswith("Before: picking\n")
    assert "days min" not in said
    assert value_at("facts.inputs[1].mode", "soil_surface") == "laid on the soil"
