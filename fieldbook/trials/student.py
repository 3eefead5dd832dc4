"""Student's t: how far an average of few may lie off, as a multiple of its standard error.

Not a table: degrees of freedom with a fraction are usual where two groups differ. Its one rule: decimals all the way
(``digits``), no library, so that two sites never show two answers.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Final

from fieldbook.trials.digits import in_34_digits
from fieldbook.trials.errors import CountsError

DF_MOST: Final = 1_000_000
LIKELY: Final = Decimal("0.975")  # the upper end of a range that holds 95 of 100
NORMAL_975: Final = Decimal("1.959963984540054235524594430521")
_PI: Final = Decimal("3.141592653589793238462643383279502884")
_SMALL: Final = Decimal("1E-30")
_ENOUGH: Final = Decimal("1E-25")
_STIRLING: Final = (  # B(2n) / (2n (2n - 1)), n from 1
    (1, 12), (-1, 360), (1, 1260), (-1, 1680), (1, 1188), (-691, 360360), (1, 156), (-3617, 122400), (43867, 244188),
    (-174611, 125400),
)  # fmt: skip


@lru_cache(maxsize=2000)
@in_34_digits
def student_t_quantile(*, probability: Decimal, df: Decimal) -> Decimal:
    """The t below which that share of all values lies, to 20 digits.

    Args:
        probability: the share [share].
        df: degrees of freedom; they may have a fraction.

    Raises:
        CountsError: out of range.

    Source: student-t. Valid: df 1 to 1,000,000; share 0.0005 to 0.9995.
    """
    if not (1 <= df <= DF_MOST and Decimal("0.0005") <= probability <= Decimal("0.9995")):
        raise CountsError("there are too few counts for a range", hint="count at least two units of each way")
    if probability < Decimal("0.5"):
        return -student_t_quantile(probability=1 - probability, df=df)
    return +_upper(2 * (1 - probability), df)


def _upper(both_tails: Decimal, df: Decimal) -> Decimal:
    """Bring the two tails beyond t to a given share, by Newton's steps kept within a bracket."""
    scale = _log_beta(df / 2, Decimal("0.5"))
    low, high = Decimal(0), Decimal(1)
    while _tails(high, df, scale) > both_tails:
        low, high = high, high * 2
    t = (low + high) / 2
    for _ in range(200):
        off = _tails(t, df, scale) - both_tails
        low, high = (t, high) if off > 0 else (low, t)
        # the density of both tails, so that t is moved to where the tangent meets the share that is asked
        slope = 2 * (-((df + 1) / 2) * (1 + t * t / df).ln() - scale - df.ln() / 2).exp()
        nearer = t + off / slope
        nearer = nearer if low <= nearer <= high else (low + high) / 2
        if abs(nearer - t) <= _ENOUGH * max(Decimal(1), t):
            return nearer
        t = nearer
    return t


def _tails(t: Decimal, df: Decimal, scale: Decimal) -> Decimal:
    """The share beyond -t and t: the regularised incomplete beta function of df / (df + t²)."""
    x = df / (df + t * t)
    a, b = df / 2, Decimal("0.5")
    if x < (a + 1) / (a + b + 2):
        return _front(x, a, b, scale) * _fraction(x, a, b) / a
    other = t * t / (df + t * t)
    return 1 - _front(other, b, a, scale) * _fraction(other, b, a) / b if other else Decimal(1)


def _front(x: Decimal, a: Decimal, b: Decimal, scale: Decimal) -> Decimal:
    return (a * x.ln() + b * (1 - x).ln() - scale).exp()


def _fraction(x: Decimal, a: Decimal, b: Decimal) -> Decimal:
    """The continued fraction of the incomplete beta function, evaluated forwards (Lentz's way).

    Source: incomplete-beta.
    """
    c, d = Decimal(1), 1 / (1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 100_000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        step = Decimal(1)
        for coefficient in (even, odd):
            d = 1 / (1 + coefficient * d)
            c = 1 + coefficient / c
            step = c * d
            value *= step
        if abs(step - 1) < _SMALL:
            return value
    return value


def _log_beta(a: Decimal, b: Decimal) -> Decimal:
    return _log_gamma(a) + _log_gamma(b) - _log_gamma(a + b)


def _log_gamma(x: Decimal) -> Decimal:
    """The logarithm of the gamma function, by Stirling's series beyond 40, to some 25 digits.

    Source: stirling.
    """
    product = Decimal(1)
    while x < 40:
        product *= x
        x += 1
    series = sum((Decimal(top) / bottom / x ** (2 * n + 1) for n, (top, bottom) in enumerate(_STIRLING)), Decimal(0))
    return (x - Decimal("0.5")) * x.ln() - x + (2 * _PI).ln() / 2 + series - product.ln()
