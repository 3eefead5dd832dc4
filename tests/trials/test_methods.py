"""Each method agrees with another library on numbers of any kind, and keeps the symmetries that a comparison has."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldbook.trials.errors import CountsError
from fieldbook.trials.heard import heard_from
from fieldbook.trials.intervals import log_ratio, newcombe, paired, unit_mean, welch, wilson
from fieldbook.trials.pooling import Effect, one_site, pool
from fieldbook.trials.student import DF_MOST, NORMAL_975, student_t_quantile
from tests.check import ROOT

D = Decimal
FEW = settings(max_examples=40, deadline=None)
COUNTS = st.lists(st.decimals(0, 500, places=1), min_size=2, max_size=9)
SPREAD = COUNTS.filter(lambda counts: len(set(counts)) > 1)
EFFECTS = st.lists(
    st.builds(Effect, st.decimals(-40, 40, places=2), st.decimals("0.01", 60, places=2)), min_size=3, max_size=8
)


def close(ours: D | None, theirs: float, within: float = 1e-9) -> bool:
    return ours is not None and math.isclose(float(ours), theirs, rel_tol=within, abs_tol=within)


# Student's t, against scipy


@FEW
@given(st.decimals(1, 3000, places=6), st.decimals("0.0005", "0.9995", places=5))
def test_t_is_what_scipy_says_for_any_degrees_of_freedom(df: D, share: D) -> None:
    assert close(student_t_quantile(probability=share, df=df), stats.t.ppf(float(share), float(df)), 1e-8)


def test_t_is_exact_where_it_is_known_exactly() -> None:
    """One degree of freedom: the tangent of 0.475 pi; two: 0.95 sqrt(2 / (1 - 0.95²)); many: the normal one."""
    tangent = D("12.7062047361747046460216799788405")
    assert abs(student_t_quantile(probability=D("0.975"), df=D(1)) - tangent) < D("1e-20")
    two = D("0.95") * (2 / (1 - D("0.95") ** 2)).sqrt()
    assert abs(student_t_quantile(probability=D("0.975"), df=D(2)) - two) < D("1e-20")
    assert close(NORMAL_975, float(stats.norm.ppf(0.975)), 1e-15)
    assert student_t_quantile(probability=D("0.975"), df=D(DF_MOST)) > NORMAL_975


@pytest.mark.parametrize(("share", "df"), [("0.975", "0.99"), ("0.975", "1000001"), ("0.9996", "5"), ("0.0004", "5")])
def test_out_of_range_is_an_error_that_says_what_to_do(share: str, df: str) -> None:
    with pytest.raises(CountsError) as error:
        student_t_quantile(probability=D(share), df=D(df))
    assert error.value.hint == "count at least two units of each way"


# means, against scipy


@FEW
@given(SPREAD, SPREAD)
def test_two_means_differ_by_what_scipy_says(one: list[D], other: list[D]) -> None:
    ours = welch(one, other)
    a, b = np.array(one, float), np.array(other, float)
    theirs = stats.ttest_ind(a, b, equal_var=False).confidence_interval(0.95)
    assert close(ours.low, theirs.low, 1e-7)
    assert close(ours.high, theirs.high, 1e-7)


@FEW
@given(SPREAD)
def test_the_mean_of_pairs_is_what_scipy_says(differences: list[D]) -> None:
    theirs = stats.ttest_1samp(np.array(differences, float), 0).confidence_interval(0.95)
    for ours in (paired(differences), unit_mean(differences)):
        assert close(ours.low, theirs.low, 1e-7)
        assert close(ours.high, theirs.high, 1e-7)


@FEW
@given(SPREAD, SPREAD)
def test_swapping_the_ways_mirrors_the_range_to_the_last_digit(one: list[D], other: list[D]) -> None:
    here, there = welch(one, other), welch(other, one)
    assert (here.estimate, here.low, here.high) == tuple(
        each.copy_negate() for each in (there.estimate, there.high, there.low)
    )
    if min(sum(one), sum(other)):
        ratio, turned = log_ratio(one, other), log_ratio(other, one)
        assert close(ratio.low * turned.high, 1)


@FEW
@given(SPREAD, SPREAD, st.integers(2, 30))
def test_counting_in_smaller_units_scales_the_difference_and_leaves_the_ratio(
    one: list[D], other: list[D], times: int
) -> None:
    def scaled(counts: list[D]) -> list[D]:
        return [each * times for each in counts]

    here, larger = welch(one, other), welch(scaled(one), scaled(other))
    assert close(larger.low, float(here.low) * times)
    assert close(larger.high, float(here.high) * times)
    if min(sum(one), sum(other)):
        assert close(log_ratio(scaled(one), scaled(other)).high, float(log_ratio(one, other).high))


@FEW
@given(SPREAD, SPREAD, st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_no_digit(one: list[D], other: list[D], chance: object) -> None:
    turned = sorted(one, key=lambda _: chance.random())  # type: ignore[attr-defined]
    assert welch(one, other) == welch(turned, other)


@pytest.mark.parametrize("counts", [([1], [2, 3]), ([], []), ([2, 2, 2], [5, 5, 5])])
def test_too_few_or_alike_counts_give_no_range(counts: tuple[list[int], list[int]]) -> None:
    one, other = ([D(each) for each in some] for some in counts)
    with pytest.raises(CountsError):
        welch(one, other)


def test_no_ratio_to_a_mean_of_nought() -> None:
    with pytest.raises(CountsError, match="one of the means is nought"):
        log_ratio([D(1), D(2)], [D(0), D(0)])


# shares, against scipy


@FEW
@given(st.integers(1, 60).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_a_share_has_the_range_that_scipy_says(counts: tuple[int, int]) -> None:
    had, of = counts
    ours = wilson(had=D(had), of=D(of))
    theirs = stats.binomtest(had, of).proportion_ci(0.95, method="wilson")
    assert close(ours.low, theirs.low)
    assert close(ours.high, theirs.high)


@FEW
@given(st.integers(1, 20), st.integers(1, 20), st.data())
def test_a_difference_of_shares_mirrors_and_is_never_of_no_width(of: int, of_usual: int, data: st.DataObject) -> None:
    had, had_usual = data.draw(st.integers(0, of)), data.draw(st.integers(0, of_usual))
    here = newcombe(had=D(had), of=D(of), had_usual=D(had_usual), of_usual=D(of_usual))
    there = newcombe(had=D(had_usual), of=D(of_usual), had_usual=D(had), of_usual=D(of))
    assert close(here.low, -float(there.high))
    assert -1 <= here.low <= here.estimate <= here.high <= 1
    assert here.low < here.high
    assert here.variance > 0


def test_none_of_any_begins_at_nought_and_all_of_any_ends_at_one_exactly() -> None:
    assert wilson(had=D(0), of=D(20)).low == 0
    assert wilson(had=D(5), of=D(5)).high == 1


@pytest.mark.parametrize(("had", "of"), [(-1, 5), (6, 5), (0, 0)])
def test_what_is_no_share_is_refused(had: int, of: int) -> None:
    with pytest.raises(CountsError, match="is no share"):
        wilson(had=D(had), of=D(of))


@pytest.mark.parametrize("counts", [(30, 31, 2), (30, 20, 21), (30, 0, 0), (3, 2, -1)])
def test_slips_that_cannot_be_are_refused(counts: tuple[int, int, int]) -> None:
    with pytest.raises(CountsError, match="that cannot be"):
        heard_from(handed=counts[0], heard=counts[1], worked=counts[2])


# several sites, against the same written anew with numpy and scipy


def other_pool(effects: list[Effect]) -> tuple[float, float, float, float, float, float]:
    """Give mean, tau², and the ends of both ranges by the matrix of the method of moments (two hands, no line shared)."""
    y = np.array([float(e.estimate) for e in effects])
    v = np.array([float(e.variance) for e in effects])
    k, w = len(y), np.diag(1 / v)
    x = np.ones((k, 1))
    p = w - w @ x @ np.linalg.inv(x.T @ w @ x) @ x.T @ w
    tau2 = max(0.0, (y @ p @ y - (k - 1)) / np.trace(p))
    mean = np.average(y, weights=1 / (v + tau2))
    se = math.sqrt(1 / np.sum(1 / (v + tau2)))
    spread = max(1.0, float(np.sum((y - mean) ** 2 / (v + tau2))) / (k - 1))
    half = stats.t.ppf(0.975, k - 1) * se * math.sqrt(spread)
    reach = stats.t.ppf(0.975, k - 2) * math.sqrt(tau2 + se * se)
    return float(mean), tau2, mean - half, mean + half, mean - reach, mean + reach


@FEW
@given(EFFECTS)
def test_sites_together_are_what_another_hand_works_out(effects: list[Effect]) -> None:
    ours = pool(effects)
    found = (ours.estimate, ours.tau2, ours.low, ours.high, ours.new_low, ours.new_high)
    assert all(close(one, other, 1e-6) for one, other in zip(found, other_pool(effects), strict=True))


@FEW
@given(EFFECTS, st.randoms(use_true_random=False))
def test_the_order_of_sites_changes_no_digit(effects: list[Effect], chance: object) -> None:
    turned = sorted(effects, key=lambda _: chance.random())  # type: ignore[attr-defined]
    assert pool(effects) == pool(turned)
    assert one_site(effects) == one_site(turned)


@FEW
@given(EFFECTS)
def test_the_range_is_never_narrower_than_the_plain_one_of_t(effects: list[Effect]) -> None:
    """Sites that agree by chance prove no more than their own counts do (Röver, Knapp and Friede 2015)."""
    ours = pool(effects)
    plain = student_t_quantile(probability=D("0.975"), df=D(len(effects) - 1)) * ours.se
    assert close(max(ours.high - ours.estimate, plain), float(ours.high - ours.estimate))


@FEW
@given(EFFECTS)
def test_sites_mirror_too(effects: list[Effect]) -> None:
    here, there = pool(effects), pool([Effect(-each.estimate, each.variance) for each in effects])
    assert here.new_low is not None
    assert (here.low.copy_negate(), here.high.copy_negate(), here.new_low.copy_negate()) == (
        *(there.high, there.low),
        there.new_high,
    )


def test_one_site_that_tries_twice_stays_one_site() -> None:
    both = one_site([Effect(D(2), D(4)), Effect(D(5), D(4))])
    assert both == Effect(D("3.5"), D(2))


def test_a_site_without_a_range_cannot_be_weighed() -> None:
    with pytest.raises(CountsError, match="has no range"):
        pool([Effect(D(1), D(0)), Effect(D(1), D(1))])
    with pytest.raises(CountsError, match="1 sites are too few"):
        pool([Effect(D(1), D(1))])


# the same bytes everywhere

KEPT = "eefd43bdc105d6cc"
FIGURES = """
import hashlib
from decimal import Decimal as D
from fieldbook.trials import Tried, judge_trials, lines_of, read_trial
from fieldbook.trials.intervals import welch
from fieldbook.trials.pooling import Effect, pool
from tests.trials.kale import THREE_SITES, kale
from tests.trials.published import SPRAYS, VACCINES
effects = [
    Effect((D(a) / (a + b) / (D(c) / (c + d))).ln(), D(1) / a - D(1) / (a + b) + D(1) / c - D(1) / (c + d))
    for a, b, c, d in VACCINES
]
trials = [Tried(read_trial(kale(*counts[:2], before=counts[2])), site, "e", site, "") for counts, site in zip(THREE_SITES, "SLC")]
(group,) = judge_trials(trials).groups
lines = [line.words for line in lines_of(group, say=str)]
found = [welch([D(n) for n in SPRAYS["C"]], [D(n) for n in SPRAYS["A"]]), pool(effects), group.pooled, lines]
print(hashlib.sha256(repr(found).encode()).hexdigest()[:16])
"""


@pytest.mark.parametrize(("seed", "locale"), [("0", "C"), ("77", "de_DE.UTF-8")])
def test_all_digits_are_the_ones_kept_under_any_hash_seed_and_locale(seed: str, locale: str) -> None:
    """A digest that comes out different is an answer that changed: say so in the commit, and write the new one here."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "LC_ALL": locale}
    said = subprocess.run(
        [sys.executable, "-c", FIGURES], cwd=ROOT, env=env, capture_output=True, text=True, check=True
    )
    assert said.stdout.strip() == KEPT
