"""Several sites brought together into one figure.

Not which trials may be brought together, nor whether the figure may be shown (``judging``). Its one rule: few sites
never look surer than they are; where they happen to agree, the range is not made narrower for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.trials.digits import in_34_digits, total
from fieldbook.trials.errors import CountsError
from fieldbook.trials.student import LIKELY, student_t_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

POOLED_WORDS: Final = (
    "sites together: weights of DerSimonian and Laird, range of Knapp and Hartung in its modified form, 95 of 100"
)


@dataclass(frozen=True, slots=True, order=True)
class Effect:
    """What one site found.

    Attributes:
        estimate: The difference, in the unit of what was counted.
        variance: Of that estimate, above nought.
    """

    estimate: Decimal
    variance: Decimal


@dataclass(frozen=True, slots=True)
class Pooled:
    """What several sites found together.

    Attributes:
        k: How many sites.
        cochran_q: How far they lie apart, weighted.
        tau2: The variance between sites; nought where they lie no further apart than by chance.
        estimate: The mean of sites, in the unit of what was counted.
        se: Its standard error, in the same unit.
        spread: The weighted square of their distances from the mean, over k - 1; below 1 it is not used.
        low: The lower end of the range of 95 of 100.
        high: The upper end.
        new_low: The lower end of what a new site is likely to find; None for fewer than three sites.
        new_high: The upper end.
    """

    k: int
    cochran_q: Decimal
    tau2: Decimal
    estimate: Decimal
    se: Decimal
    spread: Decimal
    low: Decimal
    high: Decimal
    new_low: Decimal | None = None
    new_high: Decimal | None = None


@in_34_digits
def one_site(effects: Sequence[Effect]) -> Effect:
    """Several comparisons of one site as one effect, each weighted by how sure it is.

    Args:
        effects: one or more of the same site.

    Source: arithmetic. Valid: variances above nought. One site stays one site, however often it tries.
    """
    _check(effects, 1)
    weight = total(1 / each.variance for each in effects)
    return Effect(total(each.estimate / each.variance for each in effects) / weight, 1 / weight)


@in_34_digits
def pool(effects: Sequence[Effect]) -> Pooled:
    """Bring sites together.

    Args:
        effects: one for each site.

    Raises:
        CountsError: fewer than two sites, or a variance that is not above nought.

    Source: dersimonian1986; rover2015. Valid: two or more sites; for two the figures are right, but no screen shows
        them.
    """
    _check(effects, 2)
    k = len(effects)
    fixed = [1 / each.variance for each in effects]
    weight = total(fixed)
    mean = total(each.estimate / each.variance for each in effects) / weight
    q = total((each.estimate - mean) ** 2 / each.variance for each in effects)
    between = (q - (k - 1)) / (weight - total(w * w for w in fixed) / weight)
    tau2 = max(Decimal(0), between)
    weights = [(each, 1 / (each.variance + tau2)) for each in effects]
    weight = total(w for _, w in weights)
    mean = total(w * each.estimate for each, w in weights) / weight
    se = (1 / weight).sqrt()
    spread = total(w * (each.estimate - mean) ** 2 for each, w in weights) / (k - 1)
    half = student_t_quantile(probability=LIKELY, df=Decimal(k - 1)) * se * max(Decimal(1), spread).sqrt()
    found = Pooled(k, q, tau2, mean, se, spread, mean - half, mean + half)
    return found if k < 3 else _at_a_new_site(found)


def _at_a_new_site(found: Pooled) -> Pooled:
    """Source: higgins2009."""
    reach = student_t_quantile(probability=LIKELY, df=Decimal(found.k - 2)) * (found.tau2 + found.se**2).sqrt()
    return replace(found, new_low=found.estimate - reach, new_high=found.estimate + reach)


def _check(effects: Sequence[Effect], least: int) -> None:
    if len(effects) < least:
        raise CountsError(f"{len(effects)} sites are too few to bring together", hint="show each site by itself")
    if any(each.variance <= 0 for each in effects):
        raise CountsError("a site has no range, so it cannot be weighed", hint="show that site by itself")
