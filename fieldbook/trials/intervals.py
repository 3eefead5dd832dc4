"""What the counts of one comparison allow: an estimate, and the range in which the truth likely lies (95 of 100).

Not what is shown of it. Its one rule: a method that cannot answer says so; no range is ever of no width because the
counts happened to be alike. The plain range of a share is not here: it says 1 to 1 for five of five.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.trials.digits import in_34_digits, total
from fieldbook.trials.errors import CountsError
from fieldbook.trials.student import LIKELY, NORMAL_975, student_t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

WILSON, NEWCOMBE, WELCH, RATIO, PAIRS, UNIT_MEAN = "wilson", "newcombe", "welch", "ratio", "pairs", "unit-mean"
METHOD_WORDS: Final = {  # printed under a result
    WILSON: "share: Wilson's range, 95 of 100",
    NEWCOMBE: "difference of two shares: Newcombe's range from two of Wilson's, 95 of 100",
    WELCH: "difference of two means: Welch's t, 95 of 100",
    RATIO: "ratio of two means: Welch's t on logarithms, 95 of 100",
    PAIRS: "mean of the differences within pairs: Student's t, 95 of 100",
}


@dataclass(frozen=True, slots=True)
class Interval:
    """An estimate and its range.

    Attributes:
        method: A key of `METHOD_WORDS`, or `unit-mean`.
        estimate: The middle of what is known, in the unit of what was counted; a share or a ratio has none.
        low: The lower end of the range of 95 of 100.
        high: The upper end.
        variance: Of the estimate, for bringing sites together; of a ratio, that of its logarithm.
        df: Degrees of freedom; None for shares.
    """

    method: str
    estimate: Decimal
    low: Decimal
    high: Decimal
    variance: Decimal
    df: Decimal | None = None


@in_34_digits
def wilson(*, had: Decimal, of: Decimal) -> Interval:
    """The share of units that had something.

    Args:
        had: how many units had it [n].
        of: how many there were [n].

    Raises:
        CountsError: none at all, or more than all.

    Source: wilson1927. Valid: 0 to `of` of 1 or more.
    """
    if not (of >= 1 and 0 <= had <= of):
        raise CountsError(f"{had} of {of} is no share", hint="count again: some of all, and at least one in all")
    z2 = NORMAL_975 * NORMAL_975
    share = had / of
    middle = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = NORMAL_975 * (share * (1 - share) / of + z2 / (4 * of * of)).sqrt() / (1 + z2 / of)
    low = middle - half if had else Decimal(0)
    high = middle + half if had < of else Decimal(1)
    return Interval(WILSON, share, low, high, (half / NORMAL_975) ** 2)


@in_34_digits
def newcombe(*, had: Decimal, of: Decimal, had_usual: Decimal, of_usual: Decimal) -> Interval:
    """The share of units with the practice less the share with the usual way.

    Args:
        had: how many with the practice had it [n].
        of: of how many [n].
        had_usual: how many with the usual way had it [n].
        of_usual: of how many [n].

    Raises:
        CountsError: one of the two is no share.

    Source: newcombe1998. Valid: as `wilson`. The variance is that which a range of this width would come from (ours):
        the usual one is nought for five of five beside none of five.
    """
    one, other = wilson(had=had, of=of), wilson(had=had_usual, of=of_usual)
    difference = one.estimate - other.estimate
    low = difference - ((one.estimate - one.low) ** 2 + (other.high - other.estimate) ** 2).sqrt()
    high = difference + ((one.high - one.estimate) ** 2 + (other.estimate - other.low) ** 2).sqrt()
    return Interval(NEWCOMBE, difference, low, high, ((high - low) / (2 * NORMAL_975)) ** 2)


@in_34_digits
def welch(tried: Sequence[Decimal], usual: Sequence[Decimal]) -> Interval:
    """The mean of the units with the practice less the mean with the usual way.

    Args:
        tried: one number for each unit with the practice, in the unit of what was counted.
        usual: the same with the usual way.

    Raises:
        CountsError: fewer than two units of either, or all units of each were alike.

    Source: welch1947. Valid: two or more units each, not all alike; each number is of one unit that got its way as a
        whole.
    """
    mean, part = _mean_and_variance(tried)
    mean_usual, part_usual = _mean_and_variance(usual)
    df = _welch_df((part, len(tried)), (part_usual, len(usual)))
    return _around(WELCH, mean - mean_usual, part + part_usual, df)


@in_34_digits
def log_ratio(tried: Sequence[Decimal], usual: Sequence[Decimal]) -> Interval:
    """The mean with the practice as a multiple of the mean with the usual way.

    Args:
        tried: one number for each unit with the practice, in the unit of what was counted.
        usual: the same with the usual way.

    Raises:
        CountsError: a mean is nought, fewer than two units of either, or all units of each were alike.

    Source: hedges1999. Valid: as `welch`, both means above nought.
    """
    mean, part = _mean_and_variance(tried)
    mean_usual, part_usual = _mean_and_variance(usual)
    if mean <= 0 or mean_usual <= 0:
        raise CountsError("one of the means is nought, so there is no ratio", hint="look at the difference alone")
    part, part_usual = part / mean**2, part_usual / mean_usual**2
    df = _welch_df((part, len(tried)), (part_usual, len(usual)))
    logarithm = _around(RATIO, (mean / mean_usual).ln(), part + part_usual, df)
    return replace(logarithm, estimate=logarithm.estimate.exp(), low=logarithm.low.exp(), high=logarithm.high.exp())


@in_34_digits
def paired(differences: Sequence[Decimal]) -> Interval:
    """The mean difference within pairs.

    Args:
        differences: of each pair the practice less the usual way, in the unit of what was counted.

    Raises:
        CountsError: fewer than two pairs, or all differences alike.

    Source: student-t. Valid: two or more pairs, not all alike.
    """
    mean, part = _mean_and_variance(differences)
    return _around(PAIRS, mean, part, Decimal(len(differences) - 1))


@in_34_digits
def unit_mean(units: Sequence[Decimal]) -> Interval:
    """The mean of units; plants or leaves were averaged to their unit before.

    Args:
        units: one number for each unit, in the unit of what was counted.

    Raises:
        CountsError: fewer than two units, or all alike.

    Source: student-t. Valid: two or more units, not all alike.
    """
    mean, part = _mean_and_variance(units)
    return _around(UNIT_MEAN, mean, part, Decimal(len(units) - 1))


def _mean_and_variance(units: Sequence[Decimal]) -> tuple[Decimal, Decimal]:
    """The mean, and the variance of that mean."""
    n = len(units)
    if n < 2:
        raise CountsError("there are too few counts for a range", hint="count at least two units of each way")
    mean = total(units) / n
    return mean, total((each - mean) ** 2 for each in units) / (n - 1) / n


def _welch_df(one: tuple[Decimal, int], other: tuple[Decimal, int]) -> Decimal:
    both = one[0] + other[0]
    if not both:
        return Decimal(1)  # refused in `_around`
    return both**2 / (one[0] ** 2 / (one[1] - 1) + other[0] ** 2 / (other[1] - 1))


def _around(method: str, estimate: Decimal, variance: Decimal, df: Decimal) -> Interval:
    if variance <= 0:
        hint = "show the counts as they are: alike counts do not make a sure result"
        raise CountsError("all units of each way were alike, so they give no range", hint=hint)
    half = student_t_quantile(probability=LIKELY, df=df) * variance.sqrt()
    return Interval(method, estimate, estimate - half, estimate + half, variance, df)
