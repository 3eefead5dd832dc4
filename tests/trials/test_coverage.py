"""How often the ranges hold the truth, in invented sites whose truth is known.

IntHout, Ioannidis and Borm (2014, BMC Medical Research Methodology 14:25, abstract) find that at a level of 5 of 100 the
usual range of DerSimonian and Laird misses the truth in over 30 of 100 at worst, and one by t in at most twice the 5.
"""

from __future__ import annotations

import statistics
from decimal import Decimal
from random import Random

import pytest

from fieldbook.trials.pooling import Effect, Pooled, pool
from fieldbook.trials.student import NORMAL_975

SETS = 250
TRUTH = -10


def invented_site(chance: Random, *, apart: float) -> Effect:
    """Give what a site finds with 5 sacks each way, where sites differ by `apart` (a standard deviation) around the truth."""
    here = chance.gauss(TRUTH, apart)
    sprayed = [Decimal(round(chance.gauss(40 + here, 6))) for _ in range(5)]
    water = [Decimal(round(chance.gauss(40, 6))) for _ in range(5)]
    estimate = statistics.mean(sprayed) - statistics.mean(water)
    return Effect(estimate, (statistics.variance(sprayed) + statistics.variance(water)) / 5)


def sets(k: int, *, apart: float) -> list[Pooled]:
    chance = Random(k)
    return [pool([invented_site(chance, apart=apart) for _ in range(k)]) for _ in range(SETS)]


@pytest.mark.parametrize("k", [3, 4, 6])
def test_the_range_holds_the_truth_as_often_as_it_says_where_the_usual_one_does_not(k: int) -> None:
    found = sets(k, apart=8)
    ours = sum(one.low <= TRUTH <= one.high for one in found)
    usual = sum(abs(one.estimate - TRUTH) <= NORMAL_975 * one.se for one in found)
    assert ours >= 0.93 * SETS
    assert usual < ours
    assert k > 4 or usual < 0.9 * SETS


def test_a_new_site_lies_where_it_is_expected() -> None:
    chance = Random(9)
    held = 0
    for one in sets(6, apart=8):
        assert one.new_low is not None
        assert one.new_high is not None
        held += one.new_low <= Decimal(chance.gauss(TRUTH, 8)) <= one.new_high
    assert held >= 0.9 * SETS
