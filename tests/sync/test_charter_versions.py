"""Stewards follow stewards: the threshold of each version answered and of the new one; rivals; cuts by ``before``."""

from __future__ import annotations

from typing import Any

import pytest

from sync.charter import last_statements
from tests.sync.charter_scene import Circle, key

ALL = ("C1", "L1", "S1")


def names(circle: Circle) -> set[str]:
    """The stewards whose word counts now."""
    return {steward.name for steward in circle.judged().charter.stewards}


def rivals() -> tuple[Circle, Any, Any]:
    """Of C1, L1, S1 (two of three) a part moves on with T1, another with C2."""
    circle = Circle(*ALL, threshold=2)
    one = circle.version(2, "C1", "L1", "T1", threshold=2, before=ALL)
    other = circle.version(2, "C1", "S1", "C2", threshold=2, before=ALL)
    return circle, circle.state_version(one, ("C1", "L1")), circle.state_version(other, ("C1", "S1"))


def test_the_circle_of_the_scenario_grows_from_one_steward_to_three() -> None:
    circle = Circle("C1")
    circle.grant_site("C1", "L")
    circle.grant_site("C1", "S")
    body = circle.version(2, *ALL, threshold=2, before=("C1",))
    first = circle.state_version(body, ("C1",))
    assert circle.judged().verdicts[first[0].id].rule == "voices"
    second = circle.state_version(body, ("S1",))
    assert names(circle) == set(ALL)
    assert circle.state(first[0]) == circle.state(second[0]) == "accepted"
    assert circle.judged().charter.threshold == 2
    for by in ("L1", "S1"):
        circle.grant_reviewer(by, "L2")
    assert set(circle.judged().charter.reviewers) == {key("L2")}
    assert set(circle.judged().charter.sites) == {key("C"), key("L"), key("S")}


def test_the_threshold_of_the_old_version_alone_is_not_enough() -> None:
    circle = Circle("C1")
    circle.state_version(circle.version(2, *ALL, threshold=2), ("C1",))
    assert names(circle) == {"C1"}


def test_the_threshold_of_the_new_version_alone_is_not_enough() -> None:
    circle = Circle("C1")
    circle.state_version(circle.version(2, *ALL, threshold=2), ("L1", "S1"))
    assert names(circle) == {"C1"}


def test_a_steward_who_says_a_version_twice_is_counted_once() -> None:
    circle = Circle(*ALL, threshold=2)
    circle.state_version(circle.version(2, "C1", "T1", threshold=2), ("C1", "C1", "T1"))
    assert names(circle) == set(ALL)


@pytest.mark.parametrize("number", [0, 1, 3, 2**40])
def test_a_version_is_exactly_one_more_than_what_it_answers(number: int) -> None:
    circle = Circle(*ALL, threshold=2)
    said = circle.state_version(circle.version(number, "C1", "L1", threshold=2), ("C1", "L1"))
    assert names(circle) == set(ALL)
    assert {circle.state(each) for each in said} == {"quarantined"}


@pytest.mark.parametrize(
    "change",
    [
        {"threshold": 1},
        {"threshold": 3},
        {"threshold": 0},
        {"threshold": True},
        {"stewards": []},
        {"before": []},
        {"before": {"C1": []}},
        {"before": {"ab" * 32: ["C1"]}},
        {"version": True},
        {"stewards": [{"key": "ab" * 32, "name": "C1", "site": "ab" * 32}] * 2},
        {"stewards": [{"key": "ab" * 32, "name": "Amina", "site": "ab" * 32}], "threshold": 1},
    ],
)
def test_a_version_not_of_its_form_is_set_aside(change: dict[str, Any]) -> None:
    circle = Circle(*ALL, threshold=2)
    said = circle.state_version(circle.version(2, "C1", "L1", threshold=2) | change, ("C1", "L1"))
    assert {circle.state(each) for each in said} == {"quarantined"}
    assert names(circle) == set(ALL)


def test_stewards_not_sorted_by_key_are_set_aside() -> None:
    circle = Circle(*ALL, threshold=2)
    body = circle.version(2, *ALL, threshold=2)
    body["stewards"].reverse()
    assert {circle.state(each) for each in circle.state_version(body, ALL)} == {"quarantined"}


def test_somebody_who_is_a_steward_of_neither_version_has_no_voice() -> None:
    circle = Circle(*ALL, threshold=2)
    circle.state_version(circle.version(2, "C1", "L1", threshold=2), ("C1",))
    said = circle.state_version(circle.version(2, "C1", "L1", threshold=2), ("X9",))
    assert circle.state(said[0]) == "quarantined"
    assert names(circle) == set(ALL)


def test_a_version_waits_for_the_version_that_it_answers() -> None:
    circle = Circle(*ALL, threshold=2)
    second = circle.state_version(circle.version(2, "C1", "L1", "T1", threshold=2), ("C1", "L1"))
    third = circle.state_version(circle.version(3, "C1", "T1", threshold=2), ("C1", "L1", "T1"), second[1])
    assert names(circle) == {"C1", "T1"}
    assert circle.judged().charter.alarm == ()
    away = circle.judged(without=second[1:])
    assert [away.verdicts[each.id].state for each in third] == ["waiting"] * 3
    assert away.verdicts[third[0].id].missing == (second[1].id,)
    only_one_voice = circle.judged(without=second[:1])
    assert only_one_voice.verdicts[third[0].id].rule == "voices"
    assert {steward.name for steward in only_one_voice.charter.stewards} == set(ALL)


def test_a_version_that_answers_one_set_aside_is_set_aside() -> None:
    circle = Circle(*ALL, threshold=2)
    wrong = circle.state_version(circle.version(2, "C1", "L1", threshold=1), ("C1",))
    said = circle.state_version(circle.version(3, "C1", "L1", threshold=2), ("C1",), *wrong)
    assert circle.state(said[0]) == "quarantined"


def test_a_version_that_answers_one_asking_for_newer_software_waits() -> None:
    circle = Circle(*ALL, threshold=2)
    newer = circle.say(
        "C1", "sync/stewards", circle.version(2, "C1", "L1", threshold=2) | {"until": 1}, critical=["until"]
    )
    said = circle.state_version(circle.version(3, "C1", "L1", threshold=2), ("C1",), newer)
    assert circle.judged().verdicts[newer.id].rule == "newer"
    assert circle.state(said[0]) == "waiting"


def test_a_version_may_hold_fields_that_a_later_software_adds() -> None:
    circle = Circle(*ALL, threshold=2)
    circle.state_version(circle.version(2, "C1", "L1", threshold=2) | {"place": "under the tree"}, ("C1", "L1"))
    assert names(circle) == {"C1", "L1"}


def test_what_before_names_still_speaks_with_the_old_version() -> None:
    circle = Circle("C1")
    kept = circle.grant_site("C1", "L")
    body = circle.version(2, "L1", "S1", threshold=2, before=("C1",))
    late = circle.grant_site("C1", "T")
    circle.state_version(body, ("C1", "L1", "S1"))
    assert circle.state(kept) == "accepted"
    assert circle.state(late) == "waiting"
    assert set(circle.judged().charter.sites) == {key("C"), key("L")}


def test_a_steward_whom_before_does_not_name_keeps_nothing() -> None:
    circle = Circle("C1")
    grant = circle.grant_site("C1", "L")
    circle.state_version(circle.version(2, "L1", "S1", threshold=2), ("C1", "L1", "S1"))
    assert circle.state(grant) == "waiting"


def test_what_before_does_not_name_speaks_with_the_new_version() -> None:
    circle = Circle("C1")
    site = circle.grant_site("C1", "L")
    voice = circle.grant_reviewer("C1", "L2")
    assert circle.state(voice) == "accepted"
    circle.state_version(circle.version(2, "C1", "L1", "S1", threshold=2), ("C1", "L1"))
    assert circle.state(site) == "accepted"
    assert circle.judged().verdicts[voice.id].rule == "voices"
    circle.grant_reviewer("S1", "L2")
    assert circle.state(voice) == "accepted"


def test_voices_said_with_two_versions_do_not_add_up() -> None:
    circle = Circle(*ALL, threshold=2)
    circle.grant_reviewer("C1", "C3")
    circle.state_version(circle.version(2, *ALL, threshold=2, before=ALL), ("C1", "L1"))
    circle.grant_reviewer("L1", "C3")
    assert circle.judged().charter.reviewers == {}
    circle.grant_reviewer("S1", "C3")
    assert set(circle.judged().charter.reviewers) == {key("C3")}


def test_before_reaches_through_several_versions() -> None:
    circle = Circle("C1")
    grant = circle.grant_site("C1", "L")
    second = circle.state_version(circle.version(2, "L1", "S1", threshold=2, before=("C1",)), ALL)
    kept = circle.version(3, "S1", "T1", threshold=2, before=("C1", "L1", "S1"))
    circle.state_version(kept, ("L1", "S1", "T1"), second[0])
    assert circle.state(grant) == "accepted"
    assert names(circle) == {"S1", "T1"}


def test_a_later_version_that_drops_what_an_earlier_one_kept_takes_it_away() -> None:
    circle = Circle("C1")
    grant = circle.grant_site("C1", "L")
    second = circle.state_version(circle.version(2, "L1", "S1", threshold=2, before=("C1",)), ALL)
    circle.state_version(circle.version(3, "S1", "T1", threshold=2), ("L1", "S1", "T1"), second[0])
    assert circle.state(grant) == "waiting"


def test_what_lies_behind_a_gap_is_kept_once_the_gap_is_filled() -> None:
    circle = Circle("C1")
    first, between, last = circle.grant_site("C1", "L"), circle.say("C1", "a/kind"), circle.say("C1", "a/kind")
    assert last_statements(circle.said, key("C1")) == (last.id,)
    circle.state_version(circle.version(2, "L1", "S1", threshold=2, before=("C1",)), ALL)
    assert circle.state(first, without=[between]) == "waiting"
    assert circle.state(first) == "accepted"


def test_rivals_raise_the_alarm_and_only_what_counts_under_each_counts() -> None:
    circle, _, _ = rivals()
    charter = circle.judged().charter
    assert len(charter.alarm) == 2
    assert {steward.name for steward in charter.stewards} == {"C1"}
    assert circle.state(circle.grant_site("C1", "T")) == "accepted"
    assert circle.state(circle.grant_site("L1", "S")) == "waiting"
    assert circle.state(circle.grant_site("S1", "S")) == "waiting"
    assert circle.state(circle.revoke("S1", "L1")) == "waiting"


def test_rivals_cannot_make_a_reviewer_each_with_their_own_half() -> None:
    circle, _, _ = rivals()
    for by in ("L1", "T1", "S1", "C2", "C1"):
        circle.grant_reviewer(by, "C3")
    assert circle.judged().charter.reviewers == {}


def test_what_both_rivals_kept_from_before_still_counts() -> None:
    circle = Circle(*ALL, threshold=2)
    kept = circle.grant_site("L1", "T")
    one = circle.version(2, "C1", "L1", threshold=2, before=ALL)
    other = circle.version(2, "C1", "S1", threshold=2, before=("L1",))
    circle.state_version(one, ("C1", "L1"))
    circle.state_version(other, ("C1", "S1"))
    assert len(circle.judged().charter.alarm) == 2
    assert circle.state(kept) == "accepted"


def test_a_version_that_answers_both_rivals_ends_the_alarm() -> None:
    circle, one, other = rivals()
    said_by_one = circle.grant_site("L1", "T")
    assert circle.state(said_by_one) == "waiting"
    body = circle.version(3, "C1", "L1", "S1", threshold=2, before=("C1", "L1", "S1"))
    circle.state_version(body, ("C1", "L1", "S1"), one[0], other[1])
    charter = circle.judged().charter
    assert charter.alarm == ()
    assert names(circle) == set(ALL)
    assert circle.state(said_by_one) == "accepted"


def test_a_version_that_answers_both_rivals_needs_the_threshold_of_each() -> None:
    circle, one, other = rivals()
    body = circle.version(3, "C1", "L1", threshold=2)
    circle.state_version(body, ("C1", "L1"), one[0], other[0])
    assert len(circle.judged().charter.alarm) == 2
    circle.state_version(body, ("S1",), one[1], other[1])
    assert circle.judged().charter.alarm == ()


def test_a_version_that_answers_one_rival_leaves_the_other_a_head() -> None:
    circle, one, _ = rivals()
    circle.state_version(circle.version(3, "C1", "L1", threshold=2), ("C1", "L1"), one[0])
    charter = circle.judged().charter
    assert sorted(head.number for head in charter.heads) == [2, 3]
    assert charter.next_version() == 4


def test_the_same_words_answering_other_versions_are_another_version() -> None:
    circle, one, other = rivals()
    body = circle.version(3, "C1", "L1", threshold=2)
    circle.state_version(body, ("C1",), one[0])
    circle.state_version(body, ("L1",), one[0], other[0])
    assert sorted(head.number for head in circle.judged().charter.heads) == [2, 2]


def test_the_charter_says_what_the_next_version_answers() -> None:
    circle = Circle("C1")
    assert circle.judged().charter.answers() == ()
    assert circle.judged().charter.next_version() == 2
    rival, one, other = rivals()
    answers = rival.judged().charter.answers()
    assert len(answers) == 2
    assert {min(s.id for s in one), min(s.id for s in other)} == set(answers)


def test_the_charter_says_which_next_versions_lack_voices_whatever_voice_they_name() -> None:
    circle = Circle(*ALL, threshold=2)
    second = circle.state_version(circle.version(2, "C1", "L1", threshold=2), ("C1", "L1"))
    stated = circle.state_version(circle.version(3, *ALL, threshold=2), ("C1",), second[0])
    older = circle.state_version(circle.version(2, "C1", "S1", threshold=2), ("S1",))
    assert [version.voices for version in circle.judged().charter.proposed] == [(stated[0].id,)]
    circle.state_version(circle.version(3, *ALL, threshold=2), ("L1",), second[1])
    assert circle.judged().charter.proposed == ()
    assert names(circle) == set(ALL)
    assert circle.state(older[0]) == "waiting"


def test_a_version_whose_body_is_not_here_waits_for_it() -> None:
    circle = Circle("C1")
    said = circle.state_version(circle.version(2, "C1", threshold=1), ("C1",))
    circle.said[-1] = said[0].without_body()
    assert circle.judged().verdicts[said[0].id].rule == "body"
    assert circle.judged().charter.next_version() == 2


def test_what_else_a_version_answers_only_has_to_be_here() -> None:
    circle = Circle("C1")
    waiting = circle.edition("X9")
    said = circle.state_version(circle.version(2, "C1", "L1", "S1", threshold=2), ("C1", "L1"), waiting)
    assert names(circle) == set(ALL)
    assert circle.state(said[0], without=[waiting]) == "waiting"


def test_with_rivals_the_larger_threshold_is_shown() -> None:
    circle = Circle("C1", "L1", threshold=2)
    for labels, threshold in ((("C1", "L1"), 2), (("C1", "L1", "S1", "T1"), 3)):
        circle.state_version(circle.version(2, *labels, threshold=threshold), ("C1", "L1", "S1")[:threshold])
    assert len(circle.judged().charter.alarm) == 2
    assert circle.judged().charter.threshold == 3
