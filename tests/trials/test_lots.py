"""Lots are fair, balanced, and the same for the same chance."""

from __future__ import annotations

from collections import Counter
from random import Random

from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from fieldbook.trials.lots import draw_lots


@given(st.integers(0, 40), st.integers(2, 4), st.integers(0, 9))
def test_each_way_gets_as_many_units_as_can_be(units: int, arms: int, seed: int) -> None:
    lots = Counter(draw_lots(["x"] * units, arms=arms, below=Random(seed).randrange))
    counts = [lots[arm] for arm in range(arms)]
    assert sum(counts) == units
    assert max(counts) - min(counts) <= 1


@given(st.integers(1, 20), st.integers(0, 9))
def test_each_pair_gets_each_way_once(pairs: int, seed: int) -> None:
    lots = draw_lots([str(n) for n in range(2 * pairs)], paired=True, below=Random(seed).randrange)
    assert all({lots[at], lots[at + 1]} == {0, 1} for at in range(0, 2 * pairs, 2))


def test_the_same_chance_draws_the_same_lots() -> None:
    assert draw_lots("abcdef", below=Random(4).randrange) == draw_lots("abcdef", below=Random(4).randrange)


def test_every_sack_is_as_likely_to_get_either_way_and_all_orders_come() -> None:
    """Of four sacks two get each way in six orders; a chi-squared test (scipy) finds them alike."""
    chance = Random(11)
    seen = Counter(tuple(draw_lots("abcd", below=chance.randrange)) for _ in range(1800))
    assert len(seen) == 6
    assert stats.chisquare(list(seen.values())).pvalue > 0.001
    odd = Counter(sum(draw_lots("abc", below=chance.randrange)) for _ in range(900))
    assert stats.chisquare([odd[1], odd[2]]).pvalue > 0.001
