"""Recovery phrases: written on paper by one person, typed back by another, years later."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync.errors import LocalError
from sync.phrase import PHRASE_WORDS, invent_phrase, read_phrase
from sync.words import WORDS

PHRASE = invent_phrase(lambda size: bytes(range(0, size * 19, 19)))
SECRETS = st.binary(min_size=13, max_size=13)


def test_a_phrase_holds_at_least_a_hundred_random_bits_in_words_of_the_list() -> None:
    asked: list[int] = []
    phrase = invent_phrase(lambda size: asked.append(size) or bytes(size))  # type: ignore[func-returns-value]
    assert sum(asked) * 8 >= 100
    assert len(phrase.split()) == PHRASE_WORDS == 14
    assert set(phrase.split()) <= set(WORDS)


def test_a_phrase_never_changes() -> None:
    assert invent_phrase(bytes) == " ".join(["acorn"] * 13 + [FROZEN_CHECK])


@given(SECRETS)
def test_two_secrets_never_give_one_phrase_and_each_is_read_back(secret: bytes) -> None:
    phrase = invent_phrase(lambda _: secret)
    assert bytes(WORDS.index(word) for word in phrase.split()[:13]) == secret
    assert read_phrase(phrase) == phrase


@given(SECRETS, st.randoms(use_true_random=False))
def test_capitals_spaces_numbers_and_line_ends_do_not_matter(secret: bytes, chance: object) -> None:
    phrase = invent_phrase(lambda _: secret)
    words = phrase.split()
    numbered = "\r\n".join(f" {place}. {word.title()}," for place, word in enumerate(words, start=1))
    assert read_phrase(numbered) == read_phrase(phrase.upper()) == read_phrase(phrase.replace(" ", "")) == phrase
    parted = "".join(letter + (" " if chance.random() < 0.3 else "") for letter in phrase)  # type: ignore[attr-defined]
    if len(re.findall("[a-z]+", parted)) != PHRASE_WORDS:
        assert read_phrase(parted) == phrase


def test_of_each_word_the_first_three_letters_are_enough() -> None:
    assert read_phrase(" ".join(word[:3] for word in PHRASE.split())) == PHRASE
    assert read_phrase(" ".join(word + "s" for word in PHRASE.split())) == PHRASE


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "has 14 words, here are 0"),
        (PHRASE.rpartition(" ")[0], "has 14 words, here are 13"),
        (f"{PHRASE} acorn", "has 14 words, here are 15"),
        (PHRASE.replace(PHRASE.split()[2], "qqqqq", 1), "word 3 of the recovery phrase is none of the list"),
        ("\ud800\N{ARABIC LETTER BEH}", "has 14 words, here are 0"),
        (" ".join(PHRASE.split()[::-1]), "one is wrong, or two changed places"),
    ],
)
def test_what_is_no_phrase_is_refused_with_the_place_of_the_fault(typed: str, said: str) -> None:
    with pytest.raises(LocalError, match=said) as caught:
        read_phrase(typed)
    assert "sheet" in caught.value.hint


def test_a_word_read_wrongly_is_noticed_almost_always_before_any_file_is_opened() -> None:
    """One check word of 256 lets one slip in 256 through; that one then opens no file."""
    words = PHRASE.split()
    wrong = [" ".join([*words[:4], other, *words[5:]]) for other in WORDS if other != words[4]]
    unseen = 0
    for typed in wrong:
        try:
            read_phrase(typed)
        except LocalError:
            continue
        unseen += 1
    assert unseen <= 5


FROZEN_CHECK = "pocket"
