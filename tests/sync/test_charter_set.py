"""The charter is a function of the set: of no order, repetition or partition; and it is the one by definition."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st

from sync.charter import Judgement, judge, judge_more
from sync.charter.forms import ROLE_KINDS
from tests.sync.charter_histories import History
from tests.sync.charter_model import model
from tests.sync.charter_scene import KINDS, Circle, Kept, key

if TYPE_CHECKING:
    from sync.statement import Statement


seeds = st.integers(0, 2**32)
words = st.one_of(
    st.none(), st.booleans(), st.integers(-2, 3), st.sampled_from(["", "site", "C1", key("C1"), "ab" * 32])
)
values = st.recursive(words, lambda v: st.lists(v, max_size=2) | st.dictionaries(st.just(key("C1")), v, max_size=1))
fields = st.sampled_from(
    ["key", "letter", "name", "role", "scope", "site", "last", "version", "stewards", "threshold", "before"]
)


def roles_given(judgement: Judgement) -> set[tuple[str, str]]:
    return {(holder, role) for holder, roles in judgement.footing.roles.items() for role in roles}


def assert_as_defined(circle: Circle, statements: list[Statement]) -> None:
    judgement, defined = judge(circle.network, KINDS, statements), model(circle.network, KINDS, statements)
    assert {each: verdict.state for each, verdict in judgement.verdicts.items()} == defined.states
    assert roles_given(judgement) == defined.roles
    assert judgement.redacted == defined.redacted
    assert judgement.files_gone == defined.files
    assert judgement.sites_taken == defined.taken
    assert len(judgement.charter.heads) == len(defined.heads)


@settings(max_examples=250, deadline=None)
@given(seeds, st.integers(5, 30))
def test_the_charter_is_the_one_that_the_rules_define(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    assert_as_defined(circle, circle.said)
    assert_as_defined(circle, [each for each in circle.said if random.random() < 0.85])


@settings(max_examples=100, deadline=None)
@given(seeds, st.integers(5, 40))
def test_no_order_and_no_repetition_changes_the_judgement(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    again = [*circle.said, *random.choices(circle.said, k=5)]
    random.shuffle(again)
    assert judge(circle.network, KINDS, again) == circle.judged()


@settings(max_examples=100, deadline=None)
@given(seeds, st.integers(5, 40))
def test_no_partition_changes_the_judgement(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    coming = list(circle.said)
    random.shuffle(coming)
    judgement = judge(circle.network, KINDS, [])
    here: list[Statement] = []
    while coming:
        part = [coming.pop() for _ in range(min(len(coming), random.choice((1, 1, 2, 5))))]
        if random.random() < 0.2:  # bodies come later
            part = [each.without_body() for each in part]
            coming = [*coming, *(each for each in circle.said if each.id in {p.id for p in part})]
        here.extend(part)
        judgement = judge_more(judgement, KINDS, Kept(here), part)
    assert judgement == circle.judged()


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(sorted(ROLE_KINDS)),
    st.dictionaries(fields, values),
    st.sampled_from(["site", "reviewer", "trainer"]),
)
def test_no_body_whatever_it_says_stops_the_judging(kind: str, body: dict[str, Any], role: str) -> None:
    circle = Circle("C1")
    for by, said in (("C1", body), ("C", body), ("C1", body | {"role": role}), ("C", body | {"role": role})):
        circle.say(by, kind, said)
    assert len(circle.judged().verdicts) == 4
