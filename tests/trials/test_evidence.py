"""The level of evidence is worked out, never typed, and a failure raises nothing."""

from __future__ import annotations

from typing import Any

import pytest

from fieldbook.trials.evidence import LEVEL_WORDS, evidence_level
from fieldbook.trials.judging import Tried
from tests.trials.kale import kale
from tests.trials.test_judging import sites_that_fell, tried

ONE = kale([3], [9])


def level(*trials: Tried, yield_measured: bool = False, harm_open: bool = False) -> int:
    return evidence_level(trials, author="C1", author_site="C", yield_measured=yield_measured, harm_open=harm_open)


def with_outcome(outcome: str) -> dict[str, Any]:
    return kale([3], [9], outcome=outcome, harm_note="Eyes.")


def test_a_practice_that_nobody_tried_is_told() -> None:
    assert level() == 0
    assert level(yield_measured=True) == 1


def test_another_person_at_the_same_site_repeats_it_and_the_author_does_not() -> None:
    assert level(tried(ONE, "C", person="C2")) == 2
    assert level(tried(ONE, "C", person="C1")) == 0


def test_somebody_without_a_name_at_the_same_site_may_be_the_author() -> None:
    nameless = Tried(tried(ONE, "C").trial, "x", "e1", "C", "")
    assert level(nameless) == 0


def test_another_site_repeats_it() -> None:
    assert level(tried(ONE, "L")) == 3


@pytest.mark.parametrize("outcome", ["no", "harmed"])
def test_what_failed_or_harmed_repeats_nothing(outcome: str) -> None:
    assert level(tried(with_outcome(outcome), "L"), tried(with_outcome(outcome), "C")) == 0


def three_sites(**other: Any) -> list[Tried]:
    return [tried(body | other, site) for body, site in zip(sites_that_fell(3), "CLS", strict=True)]


def test_three_sites_whose_range_lies_on_the_good_side_are_the_highest() -> None:
    assert level(*three_sites()) == 4
    assert level(*three_sites()[:2]) == 3


def test_three_sites_that_name_one_thing_in_three_ways_are_one_group_where_the_names_are_known() -> None:
    words = ["aphid", {"en": "aphids"}, {"fr": "puceron"}]
    trials = [
        tried(body | {"thing": thing}, site) for body, thing, site in zip(sites_that_fell(3), words, "CLS", strict=True)
    ]
    known: dict[str, Any] = {"author": "C1", "author_site": "C", "yield_measured": False, "harm_open": False}
    assert evidence_level(trials, **known) == 3
    assert evidence_level(trials, **known, named=lambda item: "aphid" if item != "kale" else "kale") == 4


def test_harm_that_nobody_answered_keeps_it_from_the_highest() -> None:
    assert level(*three_sites(), harm_open=True) == 3


def test_less_harvest_at_three_sites_keeps_fewer_pests_from_the_highest() -> None:
    worse = three_sites(question="more-harvest", thing="leaves", measured_in="mass-gram")
    assert level(*three_sites(), *worse) == 3


def test_each_level_has_words() -> None:
    assert sorted(LEVEL_WORDS) == [0, 1, 2, 3, 4]
