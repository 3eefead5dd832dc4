"""Which practices read alike: a plain copy has the mark of what it copies, whatever its name, capitals or order."""

from __future__ import annotations

import copy
import json
from itertools import combinations
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import likenesses
from fieldbook.practices.likeness import LETTERS_MIN, are_near, sketches
from tests.orrendal import practice
from tests.starters import FOLDERS, entry_of

EASILY = settings(derandomize=True, database=None, deadline=None, max_examples=60)
WORDS = st.lists(st.text(alphabet="abcdefghijklmnopqrstuvwxyz", min_size=3, max_size=8), min_size=16, max_size=60)
JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=4),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["steps", "say", "en", "facts", "ratios", "a", "materials"]), inner)
    ),
    max_leaves=10,
)


def spray(words: list[str], **fields: Any) -> dict[str, Any]:
    """A practice whose steps are these words, eight in a step."""
    steps = [{"say": {"en": " ".join(words[n : n + 8])}} for n in range(0, len(words), 8)]
    materials = [
        {"item": {"en": "Soft soap"}, "qty": {"value": "7.50", "unit": "mass-gram"}},
        {"item": "water", "qty": {"value": 1, "unit": "volume-liter"}},
    ]
    ratios = [{"a": {"en": "soap"}, "b": {"en": "water"}, "by": "mass", "value": 130}]
    waiting = [{"before": "harvest", "days_min": 1, "after": "spray"}]
    facts = {"none": ["fish"], "cautions": ["C18"], "spray": {"plants": ["soap"], "soap_g_l": "7.5"}}
    return practice(
        "Soap spray", steps=steps, materials=materials, ratios=ratios, waiting=waiting, facts=facts, **fields
    )


def typed_anew(document: dict[str, Any], chance: Random) -> dict[str, Any]:
    """The same matter as somebody else would type it: another name, capitals, spaces, order, spelling of numbers."""

    def shouted(value: Any) -> Any:
        if isinstance(value, dict):
            named = list(value.items())
            chance.shuffle(named)
            return {name: shouted(inner) for name, inner in named}
        if isinstance(value, list):
            return [shouted(inner) for inner in value]
        return value

    other = copy.deepcopy(document)
    for step in other["steps"]:
        step["say"] = {tag: f"  {said.upper().replace(' ', ',  ')}! " for tag, said in step["say"].items()}
    for name in ("materials", "ratios", "waiting"):
        chance.shuffle(other[name])
    other["materials"] = [
        {**one, "qty": {**one["qty"], "value": {"7.50": "7.5", 1: "1.0"}[one["qty"]["value"]]}}
        for one in other["materials"]
    ]
    other["facts"]["spray"] = [{"soap_g_l": "7.50", "plants": ["soap"]}]
    other["facts"] |= {"none": ["tea"], "cautions": []}
    found = shouted(other)
    assert isinstance(found, dict)
    return found | {"title": {"en": "A new way against lice"}, "summary": {"en": "It helps."}, "topics": []}


@EASILY
@given(WORDS, st.integers(0, 10_000))
def test_a_plain_copy_under_another_name_has_the_same_mark(words: list[str], seed: int) -> None:
    document = spray(words)
    marks = likenesses(document)
    assert len(marks) == 1
    assert likenesses(typed_anew(document, Random(seed))) == marks


@EASILY
@given(WORDS, st.integers(0, 10_000))
def test_one_word_that_differs_is_another_mark_and_yet_near(words: list[str], seed: int) -> None:
    place = Random(seed).randrange(len(words))
    other = [*words[:place], words[place][::-1] + "x", *words[place + 1 :]]
    one, two = spray(words), spray(other)
    assert likenesses(one).isdisjoint(likenesses(two))
    assert are_near(sketches(one), sketches(two))
    assert are_near(sketches(two), sketches(one))


@EASILY
@given(WORDS)
def test_another_amount_ratio_wait_or_fact_is_another_mark(words: list[str]) -> None:
    document = spray(words)
    marks = [likenesses(document)]
    for name, change in (
        ("ratios", [{**document["ratios"][0], "value": 160}]),
        ("waiting", [{**document["waiting"][0], "days_min": 7}]),
        ("materials", document["materials"][:1]),
        ("facts", {**document["facts"], "spray": {"plants": ["soap", "tobacco"], "soap_g_l": "7.5"}}),
    ):
        marks.append(likenesses({**document, name: change}))
    assert len({next(iter(one)) for one in marks}) == len(marks)


def test_a_copy_in_one_of_its_languages_is_known_and_their_order_does_not_count() -> None:
    document = json.loads(json.dumps(entry_of("aphid-soap")))
    whole = likenesses(document)
    assert len(whole) >= 2
    turned = dict(reversed(document.items()))
    assert likenesses(turned) == whole
    tag = next(iter(document["steps"][0]["say"]))
    for step in document["steps"]:
        step["say"] = {tag: step["say"][tag]}
    assert len(likenesses(document) & whole) == 1


def test_figures_of_any_script_accents_and_signs_do_not_count() -> None:
    said = "Pour 20 L of the café mixture to the foot of each plant, then wait 7 days."
    same = "pour ٢٠ l of the cafe mixture, to the foot of each plant; then wait ٧ days"
    one, two = (practice("x", steps=[{"say": {"en": words}}]) for words in (said, same))
    assert likenesses(one) == likenesses(two) != frozenset()


def test_what_says_too_little_has_no_mark() -> None:
    assert likenesses(practice("Onions")) == frozenset()
    short = "x" * (LETTERS_MIN - 1)
    assert likenesses(practice("Onions", steps=[{"say": {"en": short}}])) == frozenset()


@EASILY
@given(JUNK)
def test_whatever_a_document_holds_its_marks_can_be_read(value: object) -> None:
    assert all(len(mark) == 26 for mark in likenesses(value))


def test_no_two_starter_entries_are_near_one_another() -> None:
    found = {name: sketches(entry_of(name)) for name in sorted(FOLDERS)}
    assert all(found.values())
    assert [pair for pair in combinations(found, 2) if are_near(found[pair[0]], found[pair[1]])] == []
