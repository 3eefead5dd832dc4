"""How much is shown follows from how many sites counted; what may not stand together never does."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldbook.search.names import shipped_names_table
from fieldbook.trials import read_trial
from fieldbook.trials.comparing import compare_units
from fieldbook.trials.errors import CountsError
from fieldbook.trials.intervals import Interval
from fieldbook.trials.judging import BAD, GOOD, UNCLEAR, Judged, Tried, judge_trials, one_text, side_of
from tests.trials.kale import THREE_SITES, halves, kale

FEW = settings(max_examples=40, deadline=None)


def tried(body: dict[str, Any], site: str, *, name: str = "", edition: str = "e1", person: str = "") -> Tried:
    return Tried(read_trial(body), name or f"{site}-{hash_of(body)}", edition, site, person or f"{site}2")


def hash_of(body: dict[str, Any]) -> str:
    return str(sum(ord(letter) * n for n, letter in enumerate(repr(body), 1)))


def judged(*bodies: dict[str, Any], sites: str = "CLSTABDE") -> Judged:
    return judge_trials(tried(body, site) for body, site in zip(bodies, sites, strict=False))


def sites_that_fell(k: int) -> list[dict[str, Any]]:
    return [kale([3 + n, 1, 2], [14, 20, 9 + n]) for n in range(k)]


@pytest.mark.parametrize(
    ("k", "shown", "together"),
    [(1, "one-site", False), (2, "two-sites", False), (3, "few-sites", True), (4, "few-sites", True),
     (5, "many-sites", True), (7, "many-sites", True)],
)  # fmt: skip
def test_what_is_shown_follows_from_how_many_sites_there_are(k: int, shown: str, *, together: bool) -> None:
    (group,) = judged(*sites_that_fell(k)).groups
    assert (group.shown, group.k, group.pooled is not None) == (shown, k, together)


def test_below_three_units_of_a_way_there_is_a_list_and_no_range() -> None:
    (group,) = judged(kale([3, 1], [14, 20, 9])).groups
    assert group.shown == "units"
    assert [compared.lacks for compared in group.compared] == ["few"]
    assert [label for label, _ in group.compared[0].tried.units] == ["1", "2"]


def test_a_site_with_few_units_is_listed_beside_the_others_and_not_counted_as_one() -> None:
    (group,) = judged(*sites_that_fell(2), kale([3], [9])).groups
    assert (group.shown, group.k, len(group.sites)) == ("two-sites", 2, 3)


def test_many_trials_of_one_site_are_one_site() -> None:
    """Else whoever tries often would look like many."""
    trials = [tried(body, "C") for body in sites_that_fell(5)]
    (group,) = judge_trials(trials).groups
    assert (group.shown, group.k) == ("one-site", 1)


def test_three_sites_of_the_scenario_are_what_scipy_works_out() -> None:
    """Plants averaged per sack, Welch's variance of each site, weights by moments, t with two degrees of freedom."""
    (group,) = judged(*(kale(a, b, before=c) for a, b, c in THREE_SITES)).groups
    y, v = [], []
    for sprayed, water, _ in THREE_SITES:
        one, other = (np.array([np.mean(sack) for sack in arm]) for arm in (sprayed, water))
        y.append(one.mean() - other.mean())
        v.append(one.var(ddof=1) / len(one) + other.var(ddof=1) / len(other))
    effect, variance = np.array(y), np.array(v)
    fixed = 1 / variance
    q = float(np.sum(fixed * (effect - np.average(effect, weights=fixed)) ** 2))
    tau2 = max(0.0, (q - 2) / (fixed.sum() - np.sum(fixed**2) / fixed.sum()))
    w = 1 / (variance + tau2)
    mean = float(np.average(effect, weights=w))
    spread = float(np.sum(w * (effect - mean) ** 2)) / 2
    half = stats.t.ppf(0.975, 2) * math.sqrt(max(1, spread) / w.sum())
    assert group.pooled is not None
    assert group.shown == "few-sites"
    assert group.side == (GOOD if mean + half < 0 else UNCLEAR)
    ours = (group.pooled.estimate, group.pooled.low, group.pooled.high, group.pooled.tau2)
    assert [float(one) for one in ours] == pytest.approx([mean, mean - half, mean + half, tau2], abs=1e-9)


def test_plants_are_averaged_to_their_sack_however_many_there_are() -> None:
    (by_plant,) = judged(kale([[2, 4], [1, 1, 1], 5], [9, [8, 12], 7])).groups
    (by_sack,) = judged(kale([3, 1, 5], [9, 10, 7])).groups
    assert by_plant.compared[0].interval == by_sack.compared[0].interval


OTHER = [
    {"question": "more-harvest"},
    {"comparison": "nothing"},
    {"unit": "bed"},
    {"crop": "cabbage"},
    {"thing": "whitefly"},
    {"counted_per": "leaf"},
    {"measured_in": "mass-gram"},
]


@pytest.mark.parametrize("other", OTHER, ids=lambda other: next(iter(other)))
def test_what_asks_something_else_stands_apart(other: dict[str, Any]) -> None:
    found = judged(*sites_that_fell(2), kale([3, 1, 2], [14, 20, 9], **other))
    assert len(found.groups) == 2


@pytest.mark.parametrize(("day", "together"), [(4, True), (10, True), (3, False), (11, False)])
def test_counts_of_another_time_stand_apart(day: int, *, together: bool) -> None:
    found = judged(kale([3, 1, 2], [14, 20, 9]), kale([3, 1, 2], [14, 20, 9], day=day))
    assert (len(found.groups) == 1) is together


def test_a_trial_belongs_to_the_day_on_which_most_of_it_was_counted() -> None:
    body = kale([3, 1, 2], [14, 20, 9], day=10)
    body["units"][0]["day"] = body["units"][3]["day"] = 12
    assert judged(body).groups[0].asked.days == (4, 10)


def test_a_range_that_ends_at_nought_is_on_no_side() -> None:
    at_nought = Interval("welch", Decimal(-2), Decimal(-4), Decimal(0), Decimal(1), Decimal(4))
    assert side_of("less-pest", at_nought) == UNCLEAR
    assert side_of("less-pest", replace(at_nought, low=Decimal(0), high=Decimal(4))) == UNCLEAR


def test_halves_of_pairs_stand_with_side_by_side() -> None:
    (group,) = judged(*sites_that_fell(2), halves([(3, 9), (2, 11), (4, 8)])).groups
    assert (group.shown, [c.interval.method for c in group.compared if c.interval]) == (
        "few-sites",
        ["welch", "welch", "pairs"],
    )


def test_before_and_after_is_kept_and_never_put_together() -> None:
    body = kale([4, 2, 1], [], before=[9, 8, 9], design="before-after")
    body["arms"] = body["arms"][:1]
    with pytest.raises(CountsError, match="these counts are not of two ways"):
        compare_units(read_trial(body))
    found = judged(*sites_that_fell(2), body)
    assert [(one.site, reason) for one, reason in found.apart] == [("S", "one-way")]
    assert found.groups[0].k == 2


def test_counts_that_do_not_fit_each_other_are_kept_and_never_put_together() -> None:
    body = dict(read_trial(kale([3, 1, 2], [14, 20, 9])).document) | {"question": "sweeter"}
    newer = Tried(read_trial(body, strict=False), "n", "e1", "C", "C2")
    found = judge_trials([newer])
    assert found.groups == ()
    assert [reason for _, reason in found.apart] == ["not-comparable"]


def test_the_same_counts_typed_twice_count_once() -> None:
    body = kale([3, 1, 2], [14, 20, 9], outcome="no")
    found = judge_trials([tried(body, "C", name="a"), tried(body, "C", name="b"), tried(body, "C", name="a")])
    assert [reason for _, reason in found.apart] == ["duplicate"]
    assert found.outcomes["no"] == 1
    assert len(found.groups[0].compared) == 1


def test_alike_counts_never_look_sure() -> None:
    (group,) = judged(kale([2, 2, 2], [9, 9, 9])).groups
    assert (group.shown, group.compared[0].lacks, group.compared[0].interval) == ("units", "alike", None)


def test_whole_units_that_lived_or_not_are_compared_as_shares_and_never_of_no_width() -> None:
    body = kale([1, 1, 1, 1], [0, 0, 1, 0], question="survives")
    for row in body["units"]:
        row["out_of"] = 1
    (group,) = judged(body).groups
    interval = group.compared[0].interval
    assert interval is not None
    assert (interval.method, interval.estimate) == ("newcombe", Decimal("0.75"))
    assert interval.low < interval.estimate < 1 == interval.high or interval.high < 1


def test_yes_or_no_in_pairs_gives_no_range() -> None:
    body = halves([(1, 0), (1, 0), (0, 0), (1, 1)], question="survives")
    for row in body["units"]:
        row["out_of"] = 1
    (group,) = judged(body).groups
    assert (group.compared[0].lacks, sum(group.compared[0].pairs)) == ("yes-no-pairs", 2)


def test_half_a_pair_is_in_no_figure() -> None:
    body = halves([(3, 9), (2, 11), (4, 8), (9, 9)])
    body["units"][7] = {"label": "4", "arm": 1, "pair": 4, "lost": "stolen"}
    (group,) = judged(body).groups
    assert len(group.compared[0].pairs) == 3


def test_sacks_that_differed_before_are_noticed() -> None:
    even = kale([3, 1, 2], [14, 20, 9], before=[40, 44, 38, 41, 39, 45])
    uneven = kale([3, 1, 2], [14, 20, 9], before=[4, 5, 3, 41, 39, 45])
    assert [judged(body).groups[0].compared[0].uneven_before for body in (even, uneven)] == [False, True]


def test_the_side_is_that_of_the_whole_range() -> None:
    sides = [
        judged(*(kale(*arms) for arms in bodies)).groups[0].side
        for bodies in (
            [([3, 1, 2], [14, 20, 9])] * 3,
            [([14, 20, 9], [3, 1, 2])] * 3,
            [([3, 1, 2], [1, 2, 4]), ([2, 1, 3], [3, 1, 1]), ([4, 1, 1], [2, 3, 1])],
        )
    ]
    assert sides == [GOOD, BAD, UNCLEAR]
    more = judged(*(kale([14, 20, 9], [3, 1, 2], question="more-harvest") for _ in range(3)))
    assert more.groups[0].side == GOOD


def test_every_outcome_has_its_number_and_the_silent_theirs() -> None:
    quiet = kale([3, 1, 2], [14, 20, 9], outcome="no")
    quiet["units"].append({"label": "9", "arm": 1, "lost": "not-heard"})
    found = judged(quiet, kale([3, 1, 2], [14, 20, 9], outcome="harmed", harm_note="Stinging eyes."))
    assert dict(found.outcomes) == {"harmed": 1, "no": 1, "partly": 0, "worked": 0}
    assert (found.silent, found.harmed) == (1, 1)


def test_words_that_name_one_row_of_the_names_table_stand_together() -> None:
    """Two sites write in two languages, or one says aphid and the other aphids."""
    words = [{"en": "aphids"}, {"en": "Aphid"}, {"fr": "puceron"}]
    trials = [
        tried(body | {"thing": thing}, site) for body, thing, site in zip(sites_that_fell(3), words, "CLS", strict=True)
    ]

    def named(item: Any) -> str:
        found = {shipped_names_table().only_row(text) for text in ([item] if isinstance(item, str) else item.values())}
        return next(iter(found - {None}), "") or one_text(item)

    assert [group.k for group in judge_trials(trials, named=named).groups] == [3]
    assert len(judge_trials(trials).groups) == 3


SACKS = st.lists(st.integers(0, 60), min_size=3, max_size=6)
BODIES = st.lists(st.builds(kale, SACKS, SACKS), min_size=1, max_size=7)


@FEW
@given(BODIES, st.randoms(use_true_random=False))
def test_neither_the_order_of_trials_nor_of_their_rows_changes_a_digit(bodies: list[Any], chance: Any) -> None:
    known = [tried(body, site, name=site) for body, site in zip(bodies, "CLSTABD", strict=False)]
    turned = [
        tried(body | {"units": sorted(body["units"], key=lambda _: chance.random())}, site, name=site)
        for body, site in zip(bodies, "CLSTABD", strict=False)
    ]
    chance.shuffle(turned)
    one, other = judge_trials(known), judge_trials(turned)
    assert [group.pooled for group in one.groups] == [group.pooled for group in other.groups]
    assert [[site.effect for site in group.sites] for group in one.groups] == [
        [site.effect for site in group.sites] for group in other.groups
    ]


@FEW
@given(BODIES)
def test_calling_the_usual_way_the_practice_mirrors_everything(bodies: list[Any]) -> None:
    def swapped(body: dict[str, Any]) -> dict[str, Any]:
        return body | {"arms": [one | {"usual_way": not one["usual_way"]} for one in body["arms"]]}

    here, there = judged(*bodies), judged(*map(swapped, bodies))
    mirror = {GOOD: BAD, BAD: GOOD, UNCLEAR: UNCLEAR, "": ""}
    assert [group.shown for group in here.groups] == [group.shown for group in there.groups]
    assert [mirror[group.side] for group in here.groups] == [group.side for group in there.groups]
    for one, other in zip(here.groups, there.groups, strict=True):
        if one.pooled and other.pooled:
            assert (one.pooled.low, one.pooled.high) == (
                other.pooled.high.copy_negate(),
                other.pooled.low.copy_negate(),
            )


@FEW
@given(BODIES)
def test_two_sites_never_have_a_figure_of_both(bodies: list[Any]) -> None:
    for group in judged(*bodies).groups:
        assert (group.pooled is None) == (group.k < 3)
