"""The catalogue says a sentence whole or not at all, keeps what stands in its places, and refuses what is ambiguous."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.sentences import Sentences, SentencesError, read_template, shipped_sentences

TABLE = """english,sw
there is no port {port},hakuna mlango {port}
the file is cut short,faili imekatika
no receipt was written: {message},hakuna risiti iliyoandikwa: {message}
{field}: {message},{field}: {message}
{file} is not here,{file} haipo hapa
{file} is not here ({cause}),{file} haipo hapa ({cause})
the month {month} of {year},mwaka {year} mwezi {month}
{a} and {a} are the same,{a} na {a} ni sawa
put it between {{ and }},iweke kati ya {{ na }}
only in English {n},
"""
PLAIN = st.text(st.characters(exclude_characters="\r\n", exclude_categories=["Cs"]), min_size=1, max_size=12)


@pytest.fixture(scope="module")
def sentences() -> Sentences:
    return Sentences([TABLE])


@pytest.mark.parametrize(
    ("english", "kiswahili"),
    [
        ("there is no port 80", "hakuna mlango 80"),
        ("the file is cut short", "faili imekatika"),
        ("no receipt was written: the file is cut short", "hakuna risiti iliyoandikwa: faili imekatika"),
        ("title: the file is cut short", "title: faili imekatika"),
        ("there is no port 80 (the file is cut short)", "hakuna mlango 80 (faili imekatika)"),
        ("title: the file is cut short; there is no port 3", "title: faili imekatika; hakuna mlango 3"),
        ("the month 3 of 2026", "mwaka 2026 mwezi 3"),
        ("a.csv is not here (gone)", "a.csv haipo hapa (gone)"),  # the one that says more itself
        ("x and x are the same", "x na x ni sawa"),
        ("put it between { and }", "iweke kati ya { na }"),
    ],
)
def test_a_sentence_is_said_in_the_language_asked_for(sentences: Sentences, english: str, kiswahili: str) -> None:
    assert sentences.say(english, "sw") == kiswahili
    assert sentences.say(english, "sw-KE") == kiswahili


@pytest.mark.parametrize(
    "text",
    [
        "",
        "there is no port ",  # an empty place is another sentence
        "There is no port 80",
        "the file is cut short today",
        "title: something that nobody wrote down",  # a frame around what is not known
        "x and y are the same",
        "only in English 3",
        "there is no port " + "x" * 20_000,
    ],
)
def test_what_the_catalogue_does_not_hold_is_not_said(sentences: Sentences, text: str) -> None:
    assert sentences.say(text, "sw") is None


def test_a_language_that_is_not_there_says_nothing(sentences: Sentences) -> None:
    assert sentences.say("there is no port 80", "fr") is None


@given(value=PLAIN)
def test_what_stands_in_a_place_comes_back_unchanged(value: str) -> None:
    template = read_template("the file {file} cannot be read")
    assert template.values(f"the file {value} cannot be read") == {"file": value}


@given(first=PLAIN, second=PLAIN)
def test_two_values_fill_the_sentence_that_they_were_read_from(first: str, second: str) -> None:
    template = read_template("{first} is set aside: {second}")
    text = template.filled({"first": first, "second": second})
    values = template.values(text)
    assert values is not None
    assert template.filled(values) == text


@given(text=st.text(max_size=300))
def test_any_text_is_answered(text: str) -> None:
    assert shipped_sentences().say(text, "sw") != text


def test_a_long_hostile_text_is_answered_in_time_that_grows_with_its_length() -> None:
    table = "english,sw\n{a} is {b} is {c} is {d} is {e}!,{e} {d} {c} {b} {a}!\n"
    sentences = Sentences([table])
    text = "x is " * 3_900
    begun = time.perf_counter()
    assert sentences.say(text, "sw") is None
    assert time.perf_counter() - begun < 5  # a search that goes back and forth takes centuries for this


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("{a} is here,{a} yupo\n{b} is here,{b} yuko", "twice"),
        ("{a} is here,yupo", "other places"),
        ("here,{a} yupo", "other places"),
        ("{a}{b} touch,{a} {b}", "touch"),
        ("a brace { alone,a", "brace alone"),
        ("{0} is here,{0} yupo", "plain name"),
        ("{a:d} is here,{a} yupo", "plain name"),
        ("{a.b} is here,{a.b} yupo", "plain name"),
    ],
)
def test_a_catalogue_that_could_be_misread_is_refused(row: str, why: str) -> None:
    with pytest.raises(SentencesError, match=why):
        Sentences([f"english,sw\n{row}\n"])


def test_the_catalogue_that_comes_with_the_program_can_be_read() -> None:
    for english, said in shipped_sentences():
        assert "".join(english.literals).strip()
        assert all(template.literals for template in said.values())
