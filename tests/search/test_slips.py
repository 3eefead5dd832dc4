"""One slip is forgiven in words of five letters or more; a slow and plain distance is the second opinion."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbook.search.slips import LONGEST_LETTERS, Lexicon
from fieldbook.search.words import words_of
from tests.search.corpus import practices

KNOWN = sorted(
    {w for d in practices() for t in d.texts.values() for w in words_of(f"{t.title} {t.summary}") if len(w) >= 5}
)


def slips_between(one: str, other: str) -> int:
    """Edit distance with swaps of neighbours (optimal string alignment), by the textbook table."""
    rows = [[i + j if not i * j else 0 for j in range(len(other) + 1)] for i in range(len(one) + 1)]
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            swapped = i > 1 and j > 1 and one[i - 1] == other[j - 2] and one[i - 2] == other[j - 1]
            rows[i][j] = min(
                rows[i - 1][j] + 1,
                rows[i][j - 1] + 1,
                rows[i - 1][j - 1] + (one[i - 1] != other[j - 1]),
                rows[i - 2][j - 2] + 1 if swapped else 99,
            )
    return rows[-1][-1]


@given(st.sampled_from(KNOWN), st.data())
def test_a_word_with_one_slip_leads_back_to_it(word: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(word) - 1))
    letter = data.draw(st.sampled_from(word))
    swapped = word[:at] + word[at : at + 2][::-1] + word[at + 2 :]
    typed = data.draw(
        st.sampled_from(
            [word[:at] + word[at + 1 :], word[:at] + letter + word[at:], word[:at] + letter + word[at + 1 :], swapped]
        )
    )
    assert typed == word or word in Lexicon(KNOWN).near(typed)


def test_near_words_are_just_those_that_a_plain_comparison_finds() -> None:
    pick = random.Random(3)
    letters = sorted({letter for word in KNOWN for letter in word})
    lexicon = Lexicon(KNOWN)
    for word in pick.sample(KNOWN, 40):
        typed = "".join(pick.choice(letters) if pick.random() < 0.1 else letter for letter in word)
        assert lexicon.near(typed) == {known for known in KNOWN if slips_between(typed, known) == 1}


@pytest.mark.parametrize(("typed", "known"), [("hem", "hen"), ("goats", "goat"), ("gaot", "goat"), ("kal", "kale")])
def test_short_words_are_taken_as_typed(typed: str, known: str) -> None:
    assert Lexicon([known]).near(typed) == frozenset()


def test_a_pasted_run_of_letters_is_no_word_with_a_slip() -> None:
    """The spellings one slip away of a run of 100,000 letters would take minutes to write out."""
    run = "x" * LONGEST_LETTERS
    assert Lexicon([run]).near(run[1:]) == {run}
    assert Lexicon([run * 2500]).near("x" * 100_000) == frozenset()
