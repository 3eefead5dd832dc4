"""The twelve first questions: a no is a known fact, do not know is nothing, and some things are never ruled out."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import read_entry
from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.practices.first_answers import TWELVE, facts_from_first_answers
from fieldbook.review import RULES, findings_of

ALL_NO = dict.fromkeys(TWELVE, False)
NEVER_RULED_OUT = {"bed", "compost", "crop", "evidence", "harvest", "inputs", "nutrition", "task"}
FEW = settings(derandomize=True, database=None, deadline=None, max_examples=60)


def entry_with(facts: dict[str, Any]) -> Any:
    return read_entry({"kind": "teaching", "title": {"en": "x"}, "facts": facts})


def unknown(facts: dict[str, Any]) -> set[str]:
    return {one.rule for one in findings_of(entry_with(facts)) if one.result == "unknown"}


def test_there_are_twelve() -> None:
    assert len(TWELVE) == len(set(TWELVE)) == 12


def test_no_to_all_makes_most_of_the_rules_not_applicable() -> None:
    left = unknown(facts_from_first_answers(ALL_NO))
    assert len(left) < len(RULES) / 2
    assert {"CMP-03", "HUM-01", "GAS-01", "PLT-01", "NUT-01"} <= left


def test_compost_human_waste_pits_nightshade_and_food_values_are_never_ruled_out() -> None:
    """The second mend."""
    none = set(facts_from_first_answers(ALL_NO)["none"])
    assert none == set(FACT_GROUPS) - NEVER_RULED_OUT


def test_nothing_answered_makes_nothing_known() -> None:
    assert facts_from_first_answers({}) == {}


@given(st.dictionaries(st.sampled_from(TWELVE), st.booleans()))
@FEW
def test_a_group_is_ruled_out_only_by_noes_and_never_where_a_yes_shows_it(answers: dict[str, bool]) -> None:
    facts = facts_from_first_answers(answers)
    none = set(facts.get("none", ()))
    assert none.isdisjoint(set(facts) - {"none"})
    yes_alone = {name: said for name, said in answers.items() if said}
    assert "none" not in facts_from_first_answers(yes_alone)
    assert none <= set(facts_from_first_answers({**answers, **ALL_NO})["none"])
    entry_with(facts)


@given(st.dictionaries(st.sampled_from(TWELVE), st.booleans()))
@FEW
def test_more_noes_bring_no_stop_and_nothing_new_that_is_not_said(answers: dict[str, bool]) -> None:
    before = unknown(facts_from_first_answers(answers))
    after = facts_from_first_answers({**ALL_NO, **answers})
    assert unknown(after) <= before | {"MAN-01"}
    stops = {one.rule for one in findings_of(entry_with(after)) if one.result == "stop"}
    assert stops <= {"GEN-02"}, "only a caution may be missing: nothing was said yet"


@pytest.mark.parametrize(
    ("answers", "group"),
    [
        ({"open_water": False}, "vessel"),
        ({"found_things": False}, "vessel"),
        ({"roof": False}, "structure"),
        ({"animals": False}, "area"),
    ],
)
def test_what_two_questions_are_about_needs_both_noes(answers: dict[str, bool], group: str) -> None:
    assert group not in facts_from_first_answers(answers).get("none", ())
    assert group in facts_from_first_answers(ALL_NO)["none"]


def test_nothing_eaten_raw_and_nothing_sold_are_kept_as_facts() -> None:
    facts = facts_from_first_answers({"eaten_raw": False, "urine": True, "sold": False})
    assert facts == {"crop": {"eaten_raw": False}, "inputs": [{"eaten_by_others": False}]}
