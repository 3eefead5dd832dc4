"""A small world seen whole: at most four actors, every order in which their statements can arrive.

Each set of statements that may be here is judged by definition, and one more statement is taken in on top of
every smaller set: if each such step comes out as the whole would, then so does every order of arrival.
"""

from __future__ import annotations

from itertools import combinations

from sync.charter import Judgement, judge, judge_more
from tests.sync.charter_model import model
from tests.sync.charter_scene import KINDS, Circle, Kept, key

PHOTO = "f0" * 32


def walk_every_order(circle: Circle) -> Judgement:
    """Take every step from every set to every next one; give the judgement at the end."""
    judged = {frozenset[str](): judge(circle.network, KINDS, [])}
    for size in range(1, len(circle.said) + 1):
        for here in combinations(circle.said, size):
            ids = frozenset(statement.id for statement in here)
            judged[ids] = judge(circle.network, KINDS, here)
            defined = model(circle.network, KINDS, here)
            assert {each: verdict.state for each, verdict in judged[ids].verdicts.items()} == defined.states
            assert judged[ids].redacted == defined.redacted
            assert judged[ids].files_gone == defined.files
            for last in here:
                assert judge_more(judged[ids - {last.id}], KINDS, Kept(here), [last]) == judged[ids]
    return judged[frozenset(statement.id for statement in circle.said)]


def test_grants_come_out_the_same_in_every_order() -> None:
    circle = Circle("C1", "L1", threshold=2)
    edition = circle.edition("T2")
    approval = circle.say("T3", "fieldbook/approval", after=[edition])
    circle.grant_reviewer("C1", "T3")
    circle.grant_reviewer("L1", "T3")
    circle.name_person("T2")
    circle.grant_site("L1", "T")
    circle.say("T3", "fieldbook/recall", after=[approval])
    circle.grant_site("C1", "L", after=[approval])
    end = walk_every_order(circle)
    assert {verdict.state for verdict in end.verdicts.values()} == {"accepted"}
    assert end.charter.roles_of(key("T3")) == {"reviewer"}


def test_revocations_with_different_cuts_come_out_the_same_in_every_order() -> None:
    circle = Circle("C1", "L1", threshold=2)
    circle.name_person("C2")
    editions = [circle.edition("C2") for _ in range(2)]
    forked = circle.edition("C2", previous=editions[0].id)
    first = circle.revoke("C1", "C2", editions[1])
    second = circle.revoke("L1", "C2", forked)
    circle.adopt("L1", editions[1])
    for by in ("C1", "L1"):
        circle.reinstate(by, first)
    end = walk_every_order(circle)
    assert end.charter.revoked == {key("C2"): ((forked.id,),)}
    assert [end.verdicts[each.id].rule for each in (*editions, forked)] == ["", "adopted", ""]
    assert second.id in end.verdicts


def test_a_stopped_steward_comes_out_the_same_in_every_order() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    grant = circle.grant_site("L1", "T")
    named = circle.name_person("T2")
    edition = circle.edition("T2")
    stopping = circle.revoke("C1", "L1")
    counter = circle.revoke("L1", "C1", circle.say("C1", "sync/heartbeat"))
    circle.state_version(circle.version(2, "C1", "S1", threshold=2, before=("C1", "S1")), ("C1", "S1"))
    end = walk_every_order(circle)
    assert end.verdicts[stopping.id].state == "accepted"
    assert [end.verdicts[each.id].state for each in (grant, named, edition, counter)] == [
        "quarantined",
        *("waiting",) * 3,
    ]


def test_rival_stewards_come_out_the_same_in_every_order() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    early = circle.grant_site("L1", "T")
    one = circle.state_version(circle.version(2, "C1", "L1", threshold=2, before=("L1",)), ("C1", "L1"))
    other = circle.state_version(circle.version(2, "L1", "S1", threshold=2, before=("L1",)), ("L1", "S1"))
    under_one = circle.grant_site("C1", "S")
    ending = circle.version(3, "C1", "L1", threshold=2, before=("L1",))
    circle.state_version(ending, ("C1", "L1", "S1"), one[0], other[0])
    end = walk_every_order(circle)
    assert end.charter.alarm == ()
    assert end.verdicts[early.id].state == end.verdicts[under_one.id].state == "accepted"
    assert {steward.name for steward in end.charter.stewards} == {"C1", "L1"}


def test_a_stop_under_rivals_and_its_lifting_come_out_the_same_in_every_order() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    edition = circle.edition("C2")
    for labels in (("C1", "L1"), ("L1", "C1", "S1")):
        circle.state_version(circle.version(2, *labels, threshold=2), ("C1", "L1"))
    stop = circle.revoke("L1", "C2")
    liftings = [circle.reinstate(by, stop) for by in ("C1", "L1", "S1")]
    end = walk_every_order(circle)
    assert len(end.charter.alarm) == 2
    assert end.charter.revoked == {}  # lifted by two who stand in both lists
    assert circle.state(edition, without=liftings[:1]) == "quarantined"  # S1 stands in one of them only


def test_things_taken_back_come_out_the_same_in_every_order() -> None:
    circle = Circle("C1")
    circle.name_person("C2")
    circle.name_person("C3")
    edition = circle.edition("C2", attachments=[PHOTO])
    copied = circle.edition("C3", edition, attachments=[PHOTO])
    own = circle.take_back("C2", edition, files=[PHOTO])
    circle.take_back("C1", copied)
    circle.revoke("C1", "C2", own)
    circle.revoke("C1", "C3")
    circle.adopt("C1", copied)
    end = walk_every_order(circle)
    assert end.redacted == {edition.id, copied.id}
    assert end.files_gone == {PHOTO}
