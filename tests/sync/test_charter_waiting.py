"""A statement waits for its author's role and for what it answers; waits pass on; what is set aside has arrived."""

from __future__ import annotations

import pytest

from sync.charter import judge, judge_more
from sync.charter.verdict import Verdict
from sync.errors import LocalError
from tests.sync.charter_scene import KINDS, Circle, Kept, key

AWAY = "ab" * 32


@pytest.fixture
def circle() -> Circle:
    """C1 is the steward, C2 a trainer."""
    circle = Circle("C1")
    circle.name_person("C2")
    return circle


def test_a_statement_waits_for_what_it_answers_and_says_what_is_missing(circle: Circle) -> None:
    first = circle.edition("C2")
    second = circle.edition("C2", first, AWAY)
    verdict = circle.judged().verdicts[second.id]
    assert verdict == Verdict("waiting", "it answers something that is not here yet", (AWAY,), "after")


def test_waits_pass_on(circle: Circle) -> None:
    first = circle.edition("C2")
    second = circle.edition("C2", first)
    third = circle.edition("C2", second)
    verdicts = circle.judged(without=[first]).verdicts
    assert verdicts[second.id].missing == (first.id,)
    assert verdicts[third.id] == Verdict("waiting", "it answers a statement that is itself waiting", rule="after")
    assert circle.state(third) == "accepted"


def test_what_is_set_aside_counts_as_arrived(circle: Circle) -> None:
    circle.grant_site("C1", "T")
    circle.name_person("T2")
    bad = circle.edition("T2")
    answer = circle.edition("C2", bad)
    circle.revoke("C1", "T2")
    assert circle.state(bad) == "quarantined"
    assert circle.state(answer) == "accepted"


def test_an_author_without_a_role_waits_and_still_says_what_is_missing(circle: Circle) -> None:
    said = circle.edition("X9", AWAY)
    verdict = circle.judged().verdicts[said.id]
    assert (verdict.state, verdict.rule, verdict.missing) == ("waiting", "role", (AWAY,))


def test_a_grant_waits_for_what_it_answers(circle: Circle) -> None:
    grant = circle.grant_site("C1", "T", after=[AWAY])
    assert circle.state(grant) == "waiting"
    assert key("T") not in circle.judged().charter.sites


def test_a_role_given_after_it_was_needed_settles_what_waited_and_what_answers_that(circle: Circle) -> None:
    edition = circle.edition("T2")
    answer = circle.edition("C2", edition)
    named = circle.name_person("T2")
    grant = circle.grant_site("C1", "T", after=[circle.said[0]])
    assert [circle.state(each) for each in (grant, named, edition, answer)] == ["accepted"] * 4


def test_a_grant_that_answers_what_it_alone_could_allow_waits_for_ever(circle: Circle) -> None:
    edition = circle.edition("T2")
    named = circle.name_person("T2")
    grant = circle.grant_site("C1", "T", after=[edition])
    assert [circle.state(each) for each in (grant, named, edition)] == ["waiting"] * 3


def test_every_verdict_but_accepted_gives_a_reason_in_one_plain_sentence(circle: Circle) -> None:
    circle.edition("X9", AWAY)
    circle.edition("C2", AWAY)
    circle.grant_site("C1", "T", body={"letter": "t"})
    circle.revoke("C1", "C2")
    for verdict in circle.judged().verdicts.values():
        assert (verdict.state == "accepted") == (verdict.reason == "")
        assert not verdict.reason.endswith(".")
        assert verdict.reason[:1] == verdict.reason[:1].lower()


def test_statements_come_one_by_one_and_settle_as_if_they_had_come_together(circle: Circle) -> None:
    for _ in range(6):
        circle.edition("C2", *circle.said[-1:])
    judgement = judge(circle.network, KINDS, circle.said[:1])
    for statement in reversed(circle.said):
        judgement = judge_more(judgement, KINDS, Kept(circle.said), [statement])
    assert judgement == circle.judged()


def test_what_waited_for_two_is_settled_when_both_come_together(circle: Circle) -> None:
    first, second = circle.edition("C2"), circle.edition("C2")
    both = circle.edition("C2", first, second)
    before = circle.judged(without=[first, second])
    assert before.verdicts[both.id].missing == tuple(sorted((first.id, second.id)))
    more = judge_more(before, KINDS, Kept(circle.said), [first, second])
    assert more.verdicts[both.id].state == "accepted"
    assert more == circle.judged()


def test_what_asks_for_newer_software_still_does_when_what_it_answers_comes(circle: Circle) -> None:
    first = circle.edition("C2")
    newer = circle.say("C1", "sync/heartbeat", after=[first], critical=["root"])
    more = judge_more(circle.judged(without=[first]), KINDS, Kept(circle.said), [first])
    assert more.verdicts[newer.id].rule == "newer"
    assert more == circle.judged()


def test_nothing_new_changes_nothing(circle: Circle) -> None:
    judgement = circle.judged()
    assert judge_more(judgement, KINDS, Kept(circle.said), circle.said) is judgement


def test_a_store_that_lost_what_it_had_judged_is_told_so(circle: Circle) -> None:
    first = circle.edition("C2")
    lost = circle.edition("C2", first)
    judgement = circle.judged(without=[first])
    with pytest.raises(LocalError, match="not among those known"):
        judge_more(judgement, KINDS, Kept(circle.said, lost=[lost]), [first])


def test_what_an_ordinary_statement_calls_critical_is_for_the_rooms_above(circle: Circle) -> None:
    assert circle.state(circle.edition("C2", critical=["a-later-field"])) == "accepted"


def test_a_statement_that_a_cut_does_not_reach_opens_no_gap_in_it(circle: Circle) -> None:
    circle.revoke("C1", "C2")
    late = circle.edition("C2", previous=AWAY)
    before = circle.judged(without=[late])
    assert judge_more(before, KINDS, Kept([]), [late]) == circle.judged()
    assert circle.judged().footing.gaps == frozenset()


def test_only_what_is_not_here_is_a_gap(circle: Circle) -> None:
    first = circle.edition("C2", previous=AWAY)
    second = circle.edition("C2", previous=first.id)
    circle.revoke("C1", "C2", second)
    assert circle.judged().footing.gaps == {AWAY}
    assert circle.judged(without=[second]).footing.gaps == {second.id}


def test_what_somebody_said_counts_once_the_naming_of_them_has_arrived_however_late(circle: Circle) -> None:
    first = circle.edition("C2")
    body = {"key": key("C3"), "name": "C3", "role": "trainer"}
    circle.say("C", "sync/person", body, after=[first])
    early = circle.edition("C3")
    said = [early, *(each for each in circle.said if each is not early)]
    for order in (said, said[::-1]):  # the naming waits for what it answers, and what waits for the naming came before
        assert judge(circle.network, KINDS, order).verdicts[early.id].state == "accepted"
