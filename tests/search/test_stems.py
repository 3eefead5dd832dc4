"""Forms of one word meet; the pairs are from memory of each language, unchecked by a speaker."""

from __future__ import annotations

import pytest

from fieldbook.search.stems import stems_of

MEET = {
    "sw": [
        ("kidukari", "vidukari"), ("kiwavi", "viwavi"), ("mdudu", "wadudu"), ("kiazi", "viazi"), ("boga", "maboga"),
        ("jani", "majani"), ("mche", "miche"), ("bustani", "bustanini"), ("kambi", "kambini"),
        ("kufa", "wanakufa"), ("kunyunyiza", "nikinyunyiza"), ("kupanda", "nipande"), ("kuoza", "zinaoza"),
        ("kugeuka", "yanageuka"), ("kufika", "hayafiki"), ("kusubiri", "nisubiri"), ("kuzaliana", "wanazaliana"),
        ("kuvimba", "limevimba"), ("kukauka", "zimekauka"), ("kumwagilia", "ninamwagilia"), ("kula", "wanakula"),
    ],
    "ar": [
        ("طماطم", "الطماطم"), ("فلفل", "والفلفل"), ("دجاجه", "الدجاج"), ("حشره", "حشرات"), ("ماء", "بالماء"), ("سقي", "لسقي"),
        ("بيض", "البيض"), ("ورقه", "الورقه"), ("نبات", "للنبات"),
    ],
    "fr": [("arroser", "arrosee"), ("chenille", "chenilles"), ("jaune", "jaunes"), ("lapin", "lapins")],
    "en": [("tomato", "tomatoes"), ("spraying", "sprayed"), ("seedling", "seedlings")],
    "es": [("hoja", "hojas"), ("gallina", "gallinas")],
}  # fmt: skip

PAIRS = [(language, one, other) for language, pairs in MEET.items() for one, other in pairs]


@pytest.mark.parametrize(("language", "one", "other"), PAIRS)
def test_two_forms_of_a_word_share_a_stem(language: str, one: str, other: str) -> None:
    assert stems_of(one, [language]) & stems_of(other, [language])


@pytest.mark.parametrize(
    ("language", "one", "other"),
    [
        ("sw", "mbuzi", "mboga"),
        ("sw", "kuku", "kunde"),
        ("sw", "maji", "mbegu"),
        ("sw", "mbu", "mbuzi"),
        ("ar", "بصل", "بيض"),
        ("fr", "chou", "chenille"),
        ("en", "hen", "heat"),
    ],
)
def test_two_words_of_different_meaning_stay_apart(language: str, one: str, other: str) -> None:
    assert not stems_of(one, [language]) & stems_of(other, [language])


def test_stems_of_two_languages_never_meet() -> None:
    assert not stems_of("mange", ["fr"]) & stems_of("mange", ["en"])


def test_a_word_of_another_script_and_a_language_without_a_stemmer_give_nothing() -> None:
    assert stems_of("طماطم", ["en", "fr", "sw"]) == frozenset()
    assert stems_of("tomato", ["ar", "hi"]) == frozenset()
    assert stems_of("baradho", ["so"]) == frozenset()
