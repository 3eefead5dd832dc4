"""Between a form and a document: what is shown is read back, what is not shown stays, and each fault finds its box."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from werkzeug.datastructures import MultiDict

from fieldbook.practices import EntryError, read_entry
from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.practices.facts_shape import group_record
from fieldbook.web.boxes import Box, Rows, box_of_fault, plain_number
from fieldbook.web.entry_form import carried, carry, fill_form, free_name, new_document, parts, read_form
from fieldbook.web.fact_questions import NOUNS, QUESTIONS
from fieldbook.web.writing_desk import Desk
from tests.starters import entry_of, every_entry
from tests.web.gardens import copy_of

if TYPE_CHECKING:
    from collections.abc import Mapping


def sent_back(document: Mapping[str, Any], language: str, **changed: str | list[str]) -> MultiDict[str, str]:
    """What a browser sends for a form that was filled from a document, with some boxes changed."""
    values = fill_form(document, language=language)
    posted = [(f"{part.at}.rows", values[part.at][0]) for part in parts() if isinstance(part, Rows)]
    posted += [(f"{one.rows.at}.rows", str(max(1, int(values[one.rows.at][0])))) for one in QUESTIONS]
    for name, shown in (values | {n: [v] if isinstance(v, str) else v for n, v in changed.items()}).items():
        posted += [(name, text) for text in shown]
    return MultiDict(posted)


def written(document: Mapping[str, Any], language: str, **changed: str | list[str]) -> dict[str, Any]:
    return read_form(sent_back(document, language, **changed), document, language=language)


@every_entry
@pytest.mark.parametrize("language", ["en", "fr", "sw", "ar"])
def test_a_form_sent_back_unchanged_changes_nothing(name: str, language: str) -> None:
    """The document read from it is the entry itself, whatever language the form was shown in."""
    before = read_entry(copy_of(entry_of(name))).document
    document = copy_of(before)
    again = written(document, language)
    assert read_entry(again).document == before


def test_words_of_other_languages_stay_as_they_are() -> None:
    before = copy_of(read_entry(copy_of(entry_of("dung-steep"))).document)
    after = written(before, "fr", title="Purin", **{"steps[0].say": "Ramassez."})
    assert after["title"] == {"en": before["title"]["en"], "fr": "Purin"}
    assert after["steps"][0]["say"] == {"en": before["steps"][0]["say"]["en"], "fr": "Ramassez."}


def test_a_row_that_is_emptied_is_left_out_and_the_others_keep_what_no_box_shows() -> None:
    before = copy_of(read_entry(copy_of(entry_of("dung-steep"))).document)
    empty = {f"steps[0].{name}": "" for name in ("day_offset", "say", "do_not", "success_sign")}
    after = written(before, "en", **empty)
    assert len(after["steps"]) == len(before["steps"]) - 1
    assert after["steps"][0]["duration"] == "P14D"
    assert [step["n"] for step in after["steps"]] == list(range(1, len(after["steps"]) + 1))


def test_a_row_that_shows_nothing_in_this_language_is_kept() -> None:
    document = copy_of({"title": {"en": "a"}, "success_signs": [{"en": "Green."}, {"en": "Tall."}]})
    assert written(document, "sw")["success_signs"] == document["success_signs"]


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("2,5", "2.5"),
        ("0,75", "0.75"),
        ("2.5", "2.5"),
        ("١٢", "12"),
        ("٢٫٥", "2.5"),
        ("۱۲", "12"),
        ("1,000", "1,000"),  # may mean one or a thousand: it stays, and is found as a fault
        ("ten", "ten"),
    ],
)
def test_a_number_may_be_typed_as_on_any_keyboard(typed: str, read: str) -> None:
    """W27: digits and the decimal comma of the writer; what is not sure is not guessed."""
    assert plain_number(typed) == read


def test_every_fault_stands_at_its_box() -> None:
    document = copy_of({"kind": "cars", "title": {"en": "x" * 200}, "facts": {"fish": {"n": "many"}}})
    document["steps"] = [{"say": {"en": "a"}}, {"say": {"en": "word " * 40}, "day_offset": "soon"}]
    document["materials"] = [{"item": {"en": "soap"}, "qty": {"value": 1, "unit": "spoon"}}]
    with pytest.raises(EntryError) as raised:
        read_entry(document)
    desk = Desk(language="en", document=document).with_faults(raised.value.faults)
    assert set(desk.faults) == {
        "kind",
        "title",
        "facts.fish[0].n",
        "steps[1].say",
        "steps[1].day_offset",
        "materials[0].qty.unit",
    }
    assert desk.errors == ()


@pytest.mark.parametrize(
    ("field", "box"),
    [
        ("steps[0].say.en", "steps[0].say"),
        ("facts.fish.n", "facts.fish[0].n"),
        ("yield.qty", "yield.qty.value"),
        ("nothing.of.ours", None),
        ("", None),
    ],
)
def test_a_fault_finds_the_box_around_it_or_the_first_below(field: str, box: str | None) -> None:
    names = ["title", "steps", "steps[0].say", "facts.fish[0].n", "yield.qty.value", "yield.qty.unit"]
    assert box_of_fault(field, names) == box


def test_every_fact_that_the_rules_read_is_asked_in_words() -> None:
    asked = {question.group: {box.at for box in question.rows.boxes} for question in QUESTIONS}
    unasked = {name: set(group_record(name).fields) - asked[name] for name in FACT_GROUPS}
    assert {name: facts for name, facts in unasked.items() if facts} == {}
    assert set(NOUNS) == set(asked)


def test_no_means_known_not_to_be_there_and_yes_without_more_means_not_said() -> None:
    answers = {"ask.fish": "no", "ask.inputs": "yes", "ask.vessel": "yes", "ask.spray": ""}
    after = written(new_document(), "en", **answers)
    assert after["facts"] == {"none": ["fish"], "inputs": [{}], "vessel": {}}
    assert fill_form(after, language="en")["ask.vessel"] == ["yes"]


def test_a_fact_typed_under_a_question_left_open_is_not_lost() -> None:
    after = written(new_document(), "en", **{"facts.wick[0].rise_cm": "20"})
    assert after["facts"] == {"wick": {"rise_cm": "20"}}


@settings(max_examples=60)
@given(st.text(max_size=80), st.text(max_size=80))
def test_what_was_typed_comes_back_as_it_was_typed(title: str, amount: str) -> None:
    after = written(new_document(), "en", title=title, first_result_days=amount)
    shown = fill_form(after, language="en")
    assert (shown["title"] or [""])[0] == title.strip().replace("\r\n", "\n")
    assert (shown["first_result_days"] or [""])[0] == plain_number(amount.strip().replace("\r\n", "\n"))


@given(st.text(max_size=200))
def test_a_carried_document_that_was_tampered_with_is_none(text: str) -> None:
    found = carried(text)
    assert found is None or isinstance(found, dict)


def test_a_document_is_carried_whole() -> None:
    document = copy_of(entry_of("bottle-wall"))
    assert carried(carry(document)) == document


def test_a_photo_gets_a_plain_name_that_is_not_taken() -> None:
    assert free_name("IMG 0001.JPG", set()) == "img-0001"
    assert free_name("IMG 0001.JPG", {"img-0001"}) == "img-0001-2"
    assert free_name("صورة.png", set()) == "photo"


def test_every_box_has_a_label_and_every_choice_has_words() -> None:
    boxes = [box for part in parts() for box in ([part] if isinstance(part, Box) else part.boxes)]
    boxes += [box for question in QUESTIONS for box in question.rows.boxes]
    assert [box.at for box in boxes if not box.label] == []
    assert [box.at for box in boxes for _, words in box.choices if not words or words.startswith("volume-")] == []
