"""The order in which a reviewer looks at what waits: harm, then use, then how long it waited."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.review import findings_of
from fieldbook.review.queueing import REVIEW_MIN, Weight, how_many_fit, in_order, weight_of
from tests.review.practice import practice

FEW = settings(derandomize=True, database=None, deadline=None, max_examples=50)
COUNT = st.integers(0, 3)
WEIGHTS = st.builds(
    Weight,
    harmed=COUNT,
    stops=COUNT,
    stakes=st.sampled_from([(), ("germs",), ("germs", "load")]),
    answers=COUNT,
    unsaid=COUNT,
    in_use=COUNT,
    waited_days=st.one_of(st.none(), COUNT),
)


def test_what_hurt_somebody_comes_before_all_else() -> None:
    """Complaints go to the top of the queue (common practice of complaint handling)."""
    weights = {"a": Weight(stops=3, stakes=("germs", "poison")), "b": Weight(harmed=1)}
    assert in_order(weights) == ["b", "a"]


def test_each_reason_weighs_more_than_all_that_come_after_it() -> None:
    ladder = [
        Weight(harmed=1),
        Weight(stops=1),
        Weight(stakes=("load",)),
        Weight(answers=1),
        Weight(unsaid=1),
        Weight(in_use=1),
        Weight(waited_days=400),
        Weight(),
    ]
    named = {f"{len(ladder) - n}": weight for n, weight in enumerate(ladder)}
    assert in_order(named) == list(named)


@FEW
@given(st.dictionaries(st.sampled_from("abcdefgh"), WEIGHTS))
def test_nothing_is_left_out_and_the_order_of_asking_does_not_matter(weights: dict[str, Weight]) -> None:
    ordered = in_order(weights)
    assert sorted(ordered) == sorted(weights)
    assert in_order(dict(reversed(weights.items()))) == ordered
    ranks = [weights[name].harmed for name in ordered]
    assert ranks == sorted(ranks, reverse=True)


def test_an_unbelieved_clock_counts_as_no_wait_and_gives_no_reason() -> None:
    assert in_order({"a": Weight(waited_days=None), "b": Weight(waited_days=1)}) == ["b", "a"]
    assert Weight(waited_days=None).reasons() == ()


def test_six_fit_into_twenty_minutes_and_one_fits_into_none() -> None:
    assert (how_many_fit(20), how_many_fit(REVIEW_MIN), how_many_fit(0)) == (6, 1, 1)


def test_reasons_name_what_was_found_the_heaviest_first() -> None:
    entry = practice({"hazards": [{"code": "C04"}]}, vessel={"cover": "mesh", "prior_use": "food", "age_water_d": 1})
    weight = weight_of(entry, findings_of(entry), harmed=2, in_use=1, waited_days=9)
    assert [code for code, _ in weight.reasons()][:4] == ["harmed", "stops", "germs", "poison"]
    assert dict(weight.reasons())["waited"] == 9
    assert "open-water" in dict(weight.reasons())
