"""Folding and cutting, in scripts that engines break; the spellings are common knowledge of each language."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.search.words import fold, words_of


@pytest.mark.parametrize(
    ("written", "typed"),
    [
        ("Épinard arrosé", "epinard arrose"),
        ("Œillet d’Inde", "oeillet d'inde"),
        ("ñandú", "NANDU"),
        ("ng’ombe", "ng'ombe"),
        ("ng'ombe", "ngombe"),
        ("أرض", "ارض"),
        ("إلى الأرض", "الي الارض"),
        ("مؤسسة", "موسسه"),
        ("قَطِيفَةٌ", "قطيفه"),
        ("قطيـــفة", "قطيفة"),
        ("مَنّ", "من"),
        ("ی ک", "ي ك"),
        ("٢٠ لتر", "20 لتر"),
        ("۲۰", "20"),
        ("ﻛﻴﺲ", "كيس"),
        ("ＫＡＬＥ", "kale"),
        ("Straße", "strasse"),
        ("chou\u00adfleur", "choufleur"),
    ],
)
def test_what_is_written_with_care_and_what_is_typed_in_haste_are_the_same(written: str, typed: str) -> None:
    assert words_of(written) == words_of(typed)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("l'eau d'arrosage", ["l", "eau", "d", "arrosage"]),
        ("qu'est-ce", ["qu", "est", "ce"]),
        ("lady's finger", ["lady", "finger"]),
        ("ri' iyo riyo", ["ri", "iyo", "riyo"]),
        ("पानी की कमी", ["पानी", "की", "कमी"]),
        ("তরকারি", ["তরকারি"]),
        ("தக்காளி", ["தக்காளி"]),
        ("ዘር መዝራት", ["ዘር", "መዝራት"]),
        ("C-14, 1:10 & 20 L!", ["c", "14", "1", "10", "20", "l"]),
        ("", []),
        ("?!… —", []),
        ("\ue000\ue001", ["\ue000\ue001"]),
    ],
)
def test_words_keep_their_marks_and_lose_only_what_parts_them(text: str, words: list[str]) -> None:
    assert words_of(text) == [unicodedata.normalize("NFC", word) for word in words]


def test_a_run_of_burmese_is_found_by_any_two_of_its_syllables() -> None:
    assert set(words_of("ဆန်စပါး")) >= {"ဆန်စပါး", "စပါး"}


@given(st.text())
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_words_are_never_empty_and_hold_nothing_that_parts_fields(text: str) -> None:
    for word in words_of(text):
        assert word
        assert not set(word) & set(" :'\n\t")


@given(st.text(alphabet=st.characters(codec="utf-8", categories=["L", "N", "Zs"])))
def test_composed_and_decomposed_spellings_are_one(text: str) -> None:
    assert words_of(unicodedata.normalize("NFD", text)) == words_of(unicodedata.normalize("NFC", text))
