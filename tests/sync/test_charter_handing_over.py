"""What a next list of stewards keeps, how far voices are, and what would come of a word before it is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from sync.charter import Supposed, Tally, suppose, words_kept
from tests.sync.charter_scene import KINDS, Circle, Kept, key

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sync.statement import Statement


def state_next(circle: Circle, number: int, labels: tuple[str, ...], by: Iterable[str], *, threshold: int) -> None:
    """Steward after steward states the next version, which keeps what is to be kept."""
    charter = circle.judged().charter
    kept = words_kept(charter, Kept(circle.said), staying={key(label) for label in labels})
    body = circle.version(number, *labels, threshold=threshold) | {"before": kept}
    answered = [each for each in circle.said if each.id in charter.answers()]
    circle.state_version(body, by, *answered)


def states(circle: Circle, *statements: Statement) -> list[str]:
    verdicts = circle.judged().verdicts
    return [verdicts[each.id].state for each in statements]


def test_what_a_steward_granted_stands_when_they_left_long_ago() -> None:
    circle = Circle("C1")
    grant = circle.grant_site("C1", "L")
    state_next(circle, 2, ("L1", "S1"), ("C1", "L1", "S1"), threshold=2)
    late = circle.grant_site("C1", "T")
    state_next(circle, 3, ("L1", "T1"), ("L1", "S1", "T1"), threshold=2)
    assert states(circle, grant, late) == ["accepted", "waiting"]
    state_next(circle, 4, ("T1",), ("L1", "T1"), threshold=1)
    assert states(circle, grant, late) == ["accepted", "waiting"]


def test_of_a_stopped_steward_who_leaves_only_what_stands_before_the_cut_is_kept() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    good = circle.grant_site("L1", "L")
    stolen = [circle.grant_site("L1", "T"), circle.revoke("L1", "C1"), circle.revoke("L1", "S1")]
    circle.revoke("C1", "L1", good)
    assert circle.judged().charter.revoked.keys() == {key("C1"), key("L1"), key("S1")}
    state_next(circle, 2, ("C1", "S1"), ("C1", "S1"), threshold=2)  # stopped as they are, these two can still do this
    assert states(circle, good, *stolen) == ["accepted", "quarantined", "waiting", "waiting"]
    assert circle.judged().charter.revoked.keys() == {key("L1")}


@pytest.mark.parametrize("by", [("C1", "S1"), ("S1", "C1")])
def test_of_a_steward_stopped_twice_who_leaves_only_what_both_cuts_leave_is_kept(by: tuple[str, str]) -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    good = circle.grant_site("L1", "L")
    doubted = circle.grant_site("L1", "T")
    for who, last in zip(by, (doubted, good), strict=True):
        circle.revoke(who, "L1", last)
    state_next(circle, 2, ("C1", "S1"), ("C1", "S1"), threshold=2)
    charter = circle.judged().charter
    assert states(circle, good, doubted) == ["accepted", "quarantined"]
    assert words_kept(charter, Kept(circle.said), staying={key("C1"), key("S1")}).get(key("L1")) == [good.id]


def test_a_stopped_steward_who_stays_loses_nothing_by_the_new_list() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    circle.grant_site("C1", "L")
    voices = [circle.grant_reviewer(by, "L2") for by in ("L1", "S1")]
    circle.revoke("C1", "S1", voices[1])
    state_next(circle, 2, ("L1", "S1"), ("C1", "L1", "S1"), threshold=2)
    assert states(circle, *voices) == ["accepted", "accepted"]


def test_of_rivals_what_counted_under_both_goes_on_counting() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    early = circle.grant_site("C1", "L")
    lists = [("C1", "L1"), ("L1", "S1")]
    bodies = []
    for labels in lists:
        kept = words_kept(circle.judged().charter, Kept(circle.said), staying={key(label) for label in labels})
        bodies.append(circle.version(2, *labels, threshold=2) | {"before": kept})
    for labels, body in zip(lists, bodies, strict=True):
        circle.state_version(body, labels)
    alone = circle.grant_site("C1", "T")  # counts under one of the lists only
    assert len(circle.judged().charter.alarm) == 2
    state_next(circle, 3, ("L1",), ("C1", "L1", "S1"), threshold=1)
    assert circle.judged().charter.alarm == ()
    assert states(circle, early, alone) == ["accepted", "waiting"]


def test_an_end_that_is_not_here_yet_is_kept_as_the_version_before_kept_it() -> None:
    circle = Circle("C1")
    early = circle.grant_site("C1", "L")
    last = circle.say("C1", "sync/heartbeat")
    state_next(circle, 2, ("L1",), ("C1", "L1"), threshold=1)
    charter = circle.judged(without=[last]).charter
    here = [each for each in circle.said if each is not last]
    assert words_kept(charter, Kept(here), staying={key("L1")})[key("C1")] == [last.id]
    assert early.id in {each.id for each in here}


def test_the_voices_for_a_reviewer_are_counted_and_those_of_an_earlier_list_have_to_be_said_again() -> None:
    circle = Circle("C1", "L1", "S1", threshold=2)
    circle.grant_site("C1", "L")
    one = circle.grant_reviewer("C1", "L2")
    assert circle.judged().tallies == {one.id: Tally((key("C1"),), (), 1)}
    state_next(circle, 2, ("C1", "L1", "S1", "T1"), ("C1", "L1", "T1"), threshold=3)
    other = circle.grant_reviewer("L1", "L2")
    tally = Tally((key("L1"),), (key("C1"),), 2)
    assert circle.judged().tallies == {one.id: tally, other.id: tally}
    for by in ("C1", "S1"):
        circle.grant_reviewer(by, "L2")
    assert circle.judged().tallies == {}
    assert key("L2") in circle.judged().charter.reviewers


def test_the_voices_for_lifting_a_stop_are_counted_for_each_stop() -> None:
    circle = Circle("C1", "L1", threshold=2)
    circle.name_person("C2")
    stops = [circle.revoke(by, "C2") for by in ("C1", "L1")]
    circle.reinstate("L1", stops[0])
    circle.reinstate("T2", *stops)  # nobody whose voice counts
    judgement = circle.judged()
    assert judgement.stops == {key("C2"): tuple(sorted(stop.id for stop in stops))}
    assert judgement.tallies[stops[0].id] == Tally((key("L1"),), (), 1)
    assert judgement.tallies[stops[1].id] == Tally((), (), 2)
    circle.reinstate("C1", *stops)
    circle.reinstate("L1", *stops)
    assert (circle.judged().stops, circle.judged().tallies) == ({}, {})


@pytest.mark.parametrize("whole", [True, False])
def test_what_is_supposed_comes_out_as_it_would_if_it_were_said(*, whole: bool) -> None:
    circle = Circle("C1")
    circle.name_person("C2")
    editions = [circle.edition("C2") for _ in range(2)]
    last = () if whole else (editions[0],)
    before = circle.judged()
    body = {"key": key("C2"), "last": [each.id for each in last]}
    supposed = suppose(before, KINDS, Kept(circle.said), [Supposed(key("C1"), "sync/revocation", body)])
    assert circle.judged() == before  # nothing has been said
    circle.revoke("C1", "C2", *last)
    said = circle.judged()
    assert supposed.charter == said.charter
    assert [supposed.verdicts[each.id] for each in editions] == [said.verdicts[each.id] for each in editions]
