"""Every outside check of comparisons in one table: published value, source, ours, difference, how far it may lie off.

`python -m tests.trials.checks` prints it; `test_checks.py` holds each line to its tolerance.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.trials.heard import heard_from
from fieldbook.trials.intervals import log_ratio, newcombe, paired, unit_mean, welch, wilson
from fieldbook.trials.pooling import Effect, pool
from fieldbook.trials.student import LIKELY, student_t_quantile
from tests.climate.checks import Check
from tests.trials import published as of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

D = Decimal
ONE_TRIAL, SITES = 2e-6, 1e-5  # how far a line may lie off


def numbers(values: Sequence[Any]) -> list[D]:
    return [D(value) for value in values]


def sites(*which: int) -> list[Effect]:
    """Give the vaccine trials of these rows as effects."""
    return [Effect(*map(D, of.VACCINE[n])) for n in which]


def all_vaccines() -> list[Effect]:
    """Give the thirteen vaccine trials as log ratios of risks."""
    return [
        Effect((D(a) / (a + b) / (D(c) / (c + d))).ln(), D(1) / a - D(1) / (a + b) + D(1) / c - D(1) / (c + d))
        for a, b, c, d in of.VACCINES
    ]


def all_checks() -> Iterator[Check]:
    """Give every line."""
    yield from _shares()
    yield from _means()
    yield from _pairs_and_plates()
    for df, value in of.T_975.items():
        yield line(
            of.APART, f"t below which 97.5 of 100 lie, df {df}", value, student_t_quantile(probability=LIKELY, df=D(df))
        )
    yield from _pooled("three sites", of.POOLED_THREE, sites(0, 1, 2))
    yield from _pooled("two sites", of.POOLED_TWO, sites(0, 2))
    many = pool(all_vaccines())
    for what, value in of.ALL_VACCINES.items():
        yield line(of.VIECHTBAUER, f"thirteen sites: {what}", value, getattr(many, what), 0.0006)
    heard = heard_from(handed=30, heard=20, worked=12)
    for what, value, ours in (
        ("low", "0.386582", heard.of_heard.low),
        ("high", "0.781193", heard.of_heard.high),
        ("at least of all", "0.4", heard.at_least),
        ("at most of all", "0.733333", heard.at_most),
    ):
        yield line(of.APART, f"handed to 30, heard from 20, worked for 12: {what}", value, ours)


def line(source: str, what: str, published: str, computed: D, within: float = ONE_TRIAL) -> Check:
    return Check(source, what, float(published), float(computed), within)


def _shares() -> Iterator[Check]:
    for (had, all_), (low, high, source) in of.SHARES.items():
        found = wilson(had=D(had), of=D(all_))
        yield line(source, f"{had} of {all_}: low", low, found.low)
        yield line(source, f"{had} of {all_}: high", high, found.high)
    for (a, b, c, d), (low, high) in of.DIFFERENCES.items():
        found = newcombe(had=D(a), of=D(b), had_usual=D(c), of_usual=D(d))
        yield line(of.NEWCOMBE, f"{a}/{b} less {c}/{d}: low", low, found.low)
        yield line(of.NEWCOMBE, f"{a}/{b} less {c}/{d}: high", high, found.high)


def _means() -> Iterator[Check]:
    for (one, other), values in of.WELCH.items():
        found = welch(numbers(of.SPRAYS[one]), numbers(of.SPRAYS[other]))
        ours = (found.estimate, found.variance.sqrt(), found.df or D(0), found.low, found.high)
        for what, value, our in zip(("difference", "se", "df", "low", "high"), values, ours, strict=True):
            yield line(of.BEALL, f"sprays {one} less {other}: {what}", value, our)
    ratio = log_ratio(numbers(of.SPRAYS["C"]), numbers(of.SPRAYS["A"]))
    for what, our in (
        ("ratio", ratio.estimate),
        ("variance", ratio.variance),
        ("low", ratio.low),
        ("high", ratio.high),
    ):
        yield line(of.BEALL, f"sprays C over A: {what}", of.RATIO[what], our)
    yield line(of.BEALL, "sprays C over A: df", of.RATIO["df"], ratio.df or D(0))


def _pairs_and_plates() -> Iterator[Check]:
    maize = paired(numbers(of.MAIZE))
    for what, value, our in (
        ("mean", "20.933333", maize.estimate),
        ("t", "2.147987", maize.estimate / maize.variance.sqrt()),
        ("low", "0.031193", maize.low),
        ("high", "41.835473", maize.high),
    ):
        yield line(of.DARWIN, f"pairs of maize: {what}", value, our)
    first, second = (numbers(each) for each in of.SLEPT)
    pairs, apart = paired([b - a for a, b in zip(first, second, strict=True)]), welch(second, first)
    yield line(of.SLEEP, "sleep in pairs: low", "0.700114", pairs.low)
    yield line(of.SLEEP, "sleep in pairs: high", "2.459886", pairs.high)
    yield line(of.SLEEP, "the same as if not in pairs: low", "-0.205483", apart.low)
    yield line(of.SLEEP, "the same as if not in pairs: high", "3.365483", apart.high)
    had, seeds = of.PLATES
    plates = unit_mean([D(a) / D(b) for a, b in zip(had, seeds, strict=True)])
    yield line(of.CROWDER, "seeds, averaged by plate: mean", "0.371406", plates.estimate)
    yield line(of.CROWDER, "seeds, averaged by plate: low", "0.240905", plates.low)
    yield line(of.CROWDER, "seeds, averaged by plate: high", "0.501907", plates.high)
    wrong = wilson(had=D(sum(had)), of=D(sum(seeds)))
    yield line(of.CROWDER, "seeds as if each were a try: low", "0.309054", wrong.low)
    yield line(of.CROWDER, "seeds as if each were a try: high", "0.422676", wrong.high)


def _pooled(name: str, values: Mapping[str, str], effects: list[Effect]) -> Iterator[Check]:
    found = pool(effects)
    for what, value in values.items():
        yield line(of.BCG, f"{name}: {what}", value, getattr(found, what), SITES)


def main() -> list[Check]:
    """Print the table, and how many of its lines hold."""
    checks = list(all_checks())
    print(f"{'published':>12} {'ours':>14} {'difference':>12} {'may be':>8}   what; source")
    for one in checks:
        mark = "" if one.holds else "   DOES NOT HOLD"
        print(
            f"{one.published:>12.6f} {one.computed:>14.8f} {one.difference:>+12.8f} {one.within:>8g}   {one.what}; {one.source}{mark}"
        )
    print(f"{sum(one.holds for one in checks)} of {len(checks)} hold")
    return checks


if __name__ == "__main__":
    main()
