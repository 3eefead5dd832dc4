"""Approving one exact edition: what stands in the way, and what is signed with it."""

from __future__ import annotations

from typing import Any

import pytest

from fieldbook.review import RULES_VERSION, ApprovalError, approval_body, approval_faults, body_faults, findings_of
from fieldbook.review.approval import in_form
from tests.review.practice import LETTUCE, practice

OPEN_MESH = {"vessel": {"cover": "mesh", "prior_use": "food", "age_water_d": 1}}
TWO_CANS = {"vessel": [{"cover": "lid", "age_water_d": 1}, {"cover": "lid", "age_water_d": 1}]}
ASKED = {"MAT-01": "We take oil tins only, and look at the label."}
HAZARD = {"hazards": [{"code": "C04"}]}


def refusal(document: dict[str, Any], answers: dict[str, str], **groups: Any) -> list[str]:
    with pytest.raises(ApprovalError) as error:
        approval_body(practice({**HAZARD, **document}, **groups), answers=answers)
    return [f"{fault.field}: {fault.message}" for fault in error.value.faults]


def test_an_entry_without_findings_is_approved_with_the_rules_version() -> None:
    body = approval_body(practice(HAZARD), answers={})
    assert body == {"rules": RULES_VERSION, "findings": [], "answers": {}, "limits": []}
    assert body_faults("fieldbook/approval", body) == ()
    assert in_form(body)


def test_a_stop_cannot_be_answered_away() -> None:
    faults = refusal({}, {"DRN-01": "Our children are careful."}, **OPEN_MESH)
    assert [fault for fault in faults if fault.startswith("DRN-01: stop")]


def test_what_asks_for_an_answer_needs_words_of_the_reviewer() -> None:
    assert refusal({}, {}, **TWO_CANS) == ["MAT-01: needs the reviewer's words"]


@pytest.mark.parametrize("blank", ["", "   ", "\n\t", "\u00a0"])
def test_an_answer_of_spaces_is_no_answer(blank: str) -> None:
    assert refusal({}, {"MAT-01": blank}, **TWO_CANS) == ["MAT-01: was answered with nothing"]


def test_one_answer_covers_all_findings_of_its_rule_and_is_signed_with_them() -> None:
    body = approval_body(practice(HAZARD, **TWO_CANS), answers=ASKED, limits=["only  with oil tins"])
    assert [one["field"] for one in body["findings"]] == ["facts.vessel[0].prior_use", "facts.vessel[1].prior_use"]
    assert body["answers"] == ASKED
    assert body["limits"] == ["only with oil tins"]


def test_what_is_not_said_needs_words_too_and_stays_apart() -> None:
    entry = practice(HAZARD, vessel={"cover": "none", "prior_use": "food"}, demands=["cover"])
    assert "MOS-01" in {one.rule for one in findings_of(entry) if one.result == "unknown"}
    can = {"cover": "lid", "age_water_d": 1, "prior_use": "food"}
    fish = {"purpose": "food", "aeration": True, "manure_fed": False}
    said = {"FSH-02": "At most 1 kg on a square metre.", "FSH-05": "A tank of 1,000 L."}
    body = approval_body(practice(HAZARD, fish=fish, vessel=can), answers=said)
    assert [one["result"] for one in body["findings"]] == ["unknown", "answer"]


def test_an_answer_to_no_rule_is_a_typing_error() -> None:
    assert refusal({}, {**ASKED, "MAT-1": "x"}, **TWO_CANS) == ["MAT-1: is no rule"]


def test_words_for_a_rule_that_finds_nothing_are_not_signed() -> None:
    assert approval_body(practice(HAZARD), answers={"MAN-01": "It is fine."})["answers"] == {}


@pytest.mark.parametrize(
    ("document", "groups", "missing"),
    [
        ({"kind": "manure"}, {"inputs": [{"kind": "leaf_steep"}]}, {"ratios", "waiting"}),
        ({}, {"irrigation": {"source": "greywater", "mode": "foot"}}, {"waiting"}),
        ({"space": {"wall": True}}, {}, {"space.load_kg_m2_wet"}),
        ({"hazards": []}, {}, {"hazards"}),
    ],
)
def test_a_needed_field_that_is_missing_blocks_whatever_is_answered(
    document: dict[str, Any], groups: dict[str, Any], missing: set[str]
) -> None:
    entry = practice({**HAZARD, **document}, **groups, crop=LETTUCE)
    answers = {finding.rule: "I have looked at it." for finding in findings_of(entry)}
    blocked = {fault.field for fault in approval_faults(entry, findings_of(entry), answers)}
    assert missing <= blocked


def test_nobody_approves_their_own_and_only_within_their_scope() -> None:
    entry = practice(HAZARD)
    assert approval_faults(entry, (), {}, reviewer="c3", author="c1") == ()
    assert "own work" in approval_faults(entry, (), {}, reviewer="c3", author="c3")[0].message
    assert "animal only" in approval_faults(entry, (), {}, scope=("animal",))[0].message
    assert approval_faults(entry, (), {}, scope=("teaching",)) == ()


def test_a_second_word_says_who_by_office_and_when() -> None:
    word = {"role": "builder", "words": "The roof carries 120 kg/m².", "on": "2026-11-20", "about": ["C07"]}
    assert approval_body(practice(HAZARD), answers={}, second_word=word)["second_word"] == word
    for wrong in ({"role": "neighbour"}, {"on": "yesterday"}, {"words": " "}):
        with pytest.raises(ApprovalError):
            approval_body(practice(HAZARD), answers={}, second_word={**word, **wrong})


GOOD = {
    "rules": "9",
    "findings": [{"rule": "MAT-01", "result": "answer"}],
    "answers": {"MAT-01": "Looked."},
    "limits": [],
}


@pytest.mark.parametrize(
    "change",
    [
        {"answers": {}},
        {"answers": {"MAT-01": "  "}},
        {"answers": {"MAT-01": 3}},
        {"answers": "none"},
        {"findings": [{"rule": "MAT-01", "result": "stop"}]},
        {"findings": [{"rule": "MAT-01"}]},
        {"findings": 5},
        {"limits": None},
        {"second_word": {"role": "builder"}},
    ],
)
def test_an_approval_that_arrives_out_of_form_does_not_count(change: dict[str, Any]) -> None:
    assert in_form(GOOD)
    assert not in_form({**GOOD, **change})


def test_names_that_newer_software_adds_do_not_hurt_an_approval() -> None:
    assert in_form({**GOOD, "weather": "fair"})
    assert [fault.field for fault in body_faults("fieldbook/approval", {**GOOD, "wether": 1})] == ["wether"]
