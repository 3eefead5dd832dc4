"""What decisions come to: states, standings, recalls and liftings, in any order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.review import MOVES, STATES, Edition, EditionReview, StateError, Voice, entry_review, moved
from fieldbook.review.kinship import Kinship

APPROVED = {"rules": "1", "findings": [], "answers": {}, "limits": []}
SECOND = {**APPROVED, "second_word": {"role": "builder", "words": "It holds.", "on": "2026-11-20"}}
RECALL = {"harm": "Two children were sick.", "now": "Stop.", "instead": "Use soap."}
LIFT = {"reason": "It was another can."}
BODIES: dict[str, dict[str, Any]] = {
    "approval": APPROVED,
    "sent-back": {"reason": "No wait."},
    "retirement": {"reason": "Old."},
    "recall": RECALL,
    "lifting": LIFT,
    "hold": {"on": True, "reason": "Looks wrong."},
}
REVIEWER, TRAINER, STEWARD = frozenset({"reviewer", "trainer"}), frozenset({"trainer"}), frozenset({"steward"})
E1 = Edition("e1", "C1", (), "manure")
E2 = Edition("e2", "C1", ("e1",), "manure")
ADAPTED = Edition("a1", "T1", ("e2",), "manure", adaptation=True)
OTHER = Edition("o1", "S1", (), "fish")
ALL = {one.id: one for one in (E1, E2, ADAPTED, OTHER)}


def said(name: str, kind: str, by: str, *after: str, roles: frozenset[str] = REVIEWER, **more: Any) -> Voice:
    body = more.pop("body", BODIES[kind])
    return Voice(name, f"fieldbook/{kind}", by, by, by[0], roles, after, body, **more)


def fold(*voices: Voice, here: str | None = None) -> dict[str, EditionReview]:
    return entry_review(ALL, voices, here=here)


def states(*voices: Voice) -> str:
    reviews = fold(*voices)
    return " ".join(
        f"{name}:{reviews[name].state}" for name in ("e1", "e2", "a1", "o1") if reviews[name].state != "offered"
    )


def test_an_edition_of_which_nobody_spoke_is_offered_and_unchecked() -> None:
    review = fold()["e1"]
    assert (review.state, review.standing, review.entry) == ("offered", "unchecked", "e1")


def test_editions_belong_to_entries_and_adaptations_begin_their_own() -> None:
    reviews = fold()
    assert [reviews[name].entry for name in ("e1", "e2", "a1", "o1")] == ["e1", "e1", "a1", "o1"]


def test_parents_of_several_entries_begin_a_new_one() -> None:
    family = Kinship({"e1": ((), False), "o1": ((), False), "m1": (("e1", "o1"), False), "m2": (("m1",), False)})
    assert family.entry_of("m2") == "m1"
    assert family.reached("m2", ["o1"])
    assert not family.reached("o1", ["m2"])


def test_a_long_history_is_sorted_without_end_of_breath() -> None:
    chain = {f"e{n}": ((f"e{n - 1}",) if n else (), False) for n in range(5000)}
    assert Kinship(dict(reversed(chain.items()))).entry_of("e4999") == "e0"


def test_one_approval_checks_once_and_names_only_that_edition() -> None:
    reviews = fold(said("v1", "approval", "L2", "e1"))
    assert (reviews["e1"].state, reviews["e1"].standing) == ("approved", "checked-once")
    assert (reviews["e2"].state, reviews["e2"].standing) == ("offered", "unchecked")


def test_a_second_reviewer_checks_twice_and_the_same_one_does_not() -> None:
    first = said("v1", "approval", "L2", "e1")
    assert fold(first, said("v2", "approval", "C3", "e1"))["e1"].standing == "checked-twice"
    assert fold(first, said("v2", "approval", "L2", "e1"))["e1"].standing == "checked-once"


def test_a_licensed_local_word_counts_at_its_own_site_only() -> None:
    word = said("v1", "approval", "L2", "e1", body=SECOND)
    assert fold(word, here="L")["e1"].standing == "checked-twice"
    assert fold(word, here="S")["e1"].standing == fold(word)["e1"].standing == "checked-once"


@pytest.mark.parametrize(
    "void",
    [
        said("v1", "approval", "C1", "e1"),
        said("v1", "approval", "L2", "e1", roles=TRAINER),
        said("v1", "approval", "L2", "e1", scope=("fish",)),
        said("v1", "approval", "L2", "e1", body=None),
        said("v1", "approval", "L2", "e1", body={**APPROVED, "findings": [{"rule": "MAN-01", "result": "stop"}]}),
        said("v1", "sent-back", "T1", "e1", roles=TRAINER),
        said("v1", "retirement", "T1", "e1", roles=TRAINER),
        said("v1", "recall", "T1", "e1", roles=TRAINER),
        said("v1", "hold", "T1", "e1", roles=TRAINER, body={"on": "yes"}),
        Voice("v1", "fieldbook/applause", "L2", "L2", "L", REVIEWER, ("e1",), {}),
    ],
    ids=lambda voice: f"{voice.kind} by {voice.author}",
)
def test_what_may_not_be_said_or_is_out_of_form_changes_nothing(void: Voice) -> None:
    assert fold(void) == fold()


def test_an_author_may_send_back_their_own() -> None:
    assert states(said("v1", "sent-back", "C1", "e1", roles=TRAINER)) == "e1:sent-back"


def test_of_decisions_that_know_nothing_of_each_other_the_careful_one_holds() -> None:
    yes, no = said("v1", "approval", "L2", "e1"), said("v2", "sent-back", "C3", "e1")
    assert states(yes, no) == "e1:sent-back"
    assert fold(yes, no)["e1"].standing == "unchecked"
    assert states(yes, no, said("v3", "retirement", "C3", "e1")) == "e1:retired"


def test_a_decision_that_answers_another_replaces_it() -> None:
    no = said("v1", "sent-back", "C3", "e1")
    yes = said("v2", "approval", "C3", "e1", "v1", depth=2)
    review = fold(no, yes)["e1"]
    assert (review.state, review.standing) == ("approved", "checked-once")
    assert [voice.id for voice in review.decisions] == ["v2"]


def test_an_approval_that_was_answered_by_sending_back_no_longer_counts() -> None:
    first = said("v1", "approval", "L2", "e1")
    no = said("v2", "sent-back", "C3", "e1", "v1", depth=2)
    yes = said("v3", "approval", "C3", "e1", "v2", depth=3)
    assert fold(first, no, yes)["e1"].standing == "checked-once"


def test_all_limits_of_all_approvals_hold() -> None:
    one = said("v1", "approval", "L2", "e1", body={**APPROVED, "limits": ["only with clean water"]})
    two = said("v2", "approval", "C3", "e1", body={**APPROVED, "limits": ["not on roofs", "only with clean water"]})
    assert fold(one, two)["e1"].limits == ("only with clean water", "not on roofs")


def test_a_recall_stops_the_entry_and_what_was_made_from_it_and_nothing_else() -> None:
    recall = said("r1", "recall", "L2", "e1")
    assert states(recall) == "e1:recalled e2:recalled a1:recalled"
    assert fold(recall)["a1"].standing is None
    assert [voice.id for voice in fold(recall)["a1"].recalls] == ["r1"]


def test_a_recall_of_an_adaptation_does_not_reach_its_parent() -> None:
    assert states(said("r1", "recall", "L2", "a1")) == "a1:recalled"


def test_a_recall_beats_approvals_past_concurrent_and_later() -> None:
    recall = said("r1", "recall", "L2", "e1", depth=1)
    approvals = [said(f"v{n}", "approval", by, "e2", "r1", depth=n) for n, by in enumerate(("C3", "L2"))]
    assert "e2:recalled" in states(recall, *approvals)


def test_a_recall_whose_words_are_lost_or_cannot_be_read_still_stops() -> None:
    for body in (None, {}, {"harm": 3}):
        assert "e1:recalled" in states(said("r1", "recall", "L2", "e1", body=body))


def test_a_recall_is_remembered_until_its_target_arrives() -> None:
    recall = said("r1", "recall", "L2", "gone")
    later = {**ALL, "x1": Edition("x1", "C1", ("gone",), "manure", adaptation=True)}
    assert states(recall) == ""
    assert entry_review(later, [recall])["x1"].state == "recalled"


LIFTINGS = (said("l1", "lifting", "L2", "r1", "e1"), said("l2", "lifting", "S1", "r1", "e1", "e2", roles=STEWARD))


def test_two_liftings_of_two_sites_one_by_a_reviewer_allow_what_both_name() -> None:
    recall, approval = said("r1", "recall", "C3", "e1"), said("v1", "approval", "L2", "e1")
    reviews = fold(recall, approval, *LIFTINGS)
    assert (reviews["e1"].state, reviews["e1"].standing) == ("approved", "checked-once")
    assert (reviews["e2"].state, reviews["a1"].state) == ("recalled", "recalled")


@pytest.mark.parametrize(
    "liftings",
    [
        LIFTINGS[:1],
        LIFTINGS[1:],
        (LIFTINGS[0], replace(LIFTINGS[1], site="L")),
        tuple(replace(one, roles=STEWARD) for one in LIFTINGS),
        (LIFTINGS[0], replace(LIFTINGS[1], roles=TRAINER)),
        (LIFTINGS[0], replace(LIFTINGS[1], after=("e1",))),
        (LIFTINGS[0], replace(LIFTINGS[1], after=("r1",))),
        (LIFTINGS[0], replace(LIFTINGS[1], body=None)),
    ],
)
def test_anything_less_does_not_lift(liftings: tuple[Voice, ...]) -> None:
    assert "e1:recalled" in states(said("r1", "recall", "C3", "e1"), *liftings)


def test_each_recall_is_lifted_by_itself() -> None:
    recalls = [said("r1", "recall", "C3", "e1"), said("r2", "recall", "L2", "e1")]
    assert "e1:recalled" in states(*recalls, *LIFTINGS)


def test_a_hold_is_a_mark_of_one_site_over_any_state() -> None:
    hold = said("h1", "hold", "S1", "e1", roles=TRAINER)
    review = fold(hold, said("v1", "approval", "L2", "e1"))["e1"]
    assert (review.state, review.held_at("S"), review.held_at("L")) == ("approved", True, False)


def test_a_hold_ends_when_a_trainer_of_that_site_answers_it() -> None:
    hold = said("h1", "hold", "S1", "e1", roles=TRAINER)
    off = {"on": False, "reason": ""}
    ends = said("h2", "hold", "S1", "e1", "h1", roles=TRAINER, body=off)
    assert not fold(hold, ends)["e1"].held_at("S")
    for wrong in (
        replace(ends, site="L"),
        replace(ends, after=("e1",)),
        replace(ends, roles=frozenset({"site"})),
    ):
        assert fold(hold, wrong)["e1"].held_at("S")


def test_the_states_are_one_table_and_an_illegal_move_says_the_present_state() -> None:
    assert {move.after for move in MOVES.values()} <= set(STATES)
    assert moved("offered", "fieldbook/approval") == "approved"
    with pytest.raises(StateError, match="this edition is withdrawn, so it cannot be approved"):
        moved("recalled", "fieldbook/approval")
    with pytest.raises(StateError, match="is a draft"):
        moved("draft", "fieldbook/approval")


WRITERS = st.sampled_from(("C1", "C3", "L1", "L2", "S1", "T1"))
ROLES = st.sampled_from((REVIEWER, TRAINER, STEWARD, frozenset({"site"}), frozenset[str]()))
TARGETS = ("e1", "e2", "a1", "o1", "v0", "v1", "v2", "v3", "gone")


@st.composite
def any_voices(draw: st.DrawFn) -> list[Voice]:
    count = draw(st.integers(0, 8))
    voices = []
    for n in range(count):
        kind = draw(st.sampled_from(sorted(BODIES)))
        body = draw(st.sampled_from((BODIES[kind], SECOND, {"on": False}, {"on": True}, None)))
        after = draw(st.lists(st.sampled_from(TARGETS), min_size=1, max_size=4, unique=True))
        voices.append(said(f"v{n}", kind, draw(WRITERS), *after, roles=draw(ROLES), body=body))
    return voices


@settings(deadline=None)
@given(any_voices(), st.data())
def test_any_order_any_repetition_gives_one_result(voices: list[Voice], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(voices + voices[:3]))
    editions = dict(data.draw(st.permutations(list(ALL.items()))))
    assert entry_review(editions, shuffled, here="L") == fold(*voices, here="L")


@given(any_voices())
def test_whatever_is_said_a_standing_recall_leaves_nothing_of_the_entry_to_read(voices: list[Voice]) -> None:
    recall = said("zz", "recall", "L2", "e1")  # no lifting names it
    reviews = fold(*voices, recall)
    assert {reviews[name].state for name in ("e1", "e2", "a1")} == {"recalled"}
    assert {reviews[name].standing for name in ("e1", "e2", "a1")} == {None}


@given(any_voices())
def test_nobody_ever_approves_their_own(voices: list[Voice]) -> None:
    for name, review in fold(*voices).items():
        assert all(approval.author != ALL[name].author for approval in review.approvals)
