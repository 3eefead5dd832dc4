"""What is said of a group of trials, line by line, in plain words.

Not how a page lays it out. Its one rule: a range is rounded outwards and never inwards, each figure has its method
under it, and what may have gone wrong is said beside what came out, whichever way that was. No line holds a p-value.

How to use it: ``lines_of(group, say=...)`` gives the lines of one group in order, each with what it is `about`, so that
a page may set results large and methods small; ``lines_of_all`` gives what is said once of all trials of an entry.
Lines begin small and end without a full stop, as errors do, and are said again in other languages by the catalogue.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, Final

from fieldbook.trials.comparing import ALIKE, FEW, LEAST_UNITS, YES_NO_PAIRS
from fieldbook.trials.figures import Difference, likely, number_of, percents, result
from fieldbook.trials.heard import heard_from
from fieldbook.trials.intervals import METHOD_WORDS, WILSON
from fieldbook.trials.judging import (
    BAD,
    DUPLICATE,
    FEW_SITES,
    GOOD,
    MANY_SITES,
    NEWER,
    ONE_SITE,
    ONE_WAY,
    TWO_SITES,
    UNCLEAR,
    side_of,
)
from fieldbook.trials.line import Line
from fieldbook.trials.pooling import POOLED_WORDS
from fieldbook.trials.shape import NOT_HEARD

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from fieldbook.trials.comparing import Compared
    from fieldbook.trials.judging import Group, Judged

    Say = Callable[[Any], str]

RESULT, HINT, COUNTS, CAUTION, METHOD = "result", "hint", "counts", "caution", "method"
SHOWN_WORDS: Final = {
    ONE_SITE: "one site: elsewhere it may be otherwise",
    TWO_SITES: "two sites: each is shown by itself, since two cannot tell how far sites differ",
    FEW_SITES: "few sites: a hint, not a proof",
}
LACKS_WORDS: Final = {
    FEW: "too few were counted for a range: here are the counts alone",
    ALIKE: "the counts of each way were all alike, which gives no range: here are the counts alone",
    YES_NO_PAIRS: "yes or no in pairs gives no range here: count the pairs in which the ways differed",
}
SIDE_WORDS: Final = {
    GOOD: "the counts speak for the practice",
    BAD: "the counts speak against the practice",
    UNCLEAR: "the counts do not tell which way is better",
}
APART_WORDS: Final = {
    ONE_WAY: "before and after without the usual way beside it: kept, and put together with nothing",
    NEWER: "written by newer software, or its counts do not fit each other: kept, and put together with nothing",
    DUPLICATE: "the same counts of the same site once more: taken once",
}


def lines_of(group: Group, *, say: Say) -> tuple[Line, ...]:
    """Give all that is said of one group: results, what they are worth, counts, cautions, methods.

    Args:
        group: of ``judge_trials``.
        say: gives a reader's words for an id of the names table, or for words by language.
    """
    return (
        *_results(group, say),
        *_hints(group),
        *_counts(group, say),
        *_cautions(group),
        *_methods(group),
    )


def lines_of_all(judged: Judged) -> tuple[Line, ...]:
    """Give what is said once: every outcome with its number, and the silent."""
    said = judged.outcomes
    outcome = (
        f"growers say: worked {said['worked']}, partly {said['partly']}, did not work {said['no']}, "
        f"harmed {said['harmed']}"
    )
    lines = [Line(outcome, COUNTS)]
    if judged.silent:
        lines.append(Line(f"nobody heard again of {judged.silent}; they are in no figure", CAUTION))
    lines += [Line(APART_WORDS[reason], CAUTION) for reason in sorted({reason for _, reason in judged.apart})]
    return tuple(lines)


def _difference(group: Group, say: Say, compared: Compared) -> Difference:
    asked = group.asked
    return Difference(
        question=asked.question,
        unit=asked.unit,
        per=asked.counted_per or asked.unit,
        thing=say(compared.trial.document["thing"]),
        arm=say(compared.tried.arm.name),
        measured_in=asked.measured_in,
        share=asked.share,
    )


def _results(group: Group, say: Say) -> Iterator[Line]:
    """The figure of all sites where there is one, then each site's own."""
    if group.pooled is not None:
        first = _difference(group, say, group.compared[0])
        pooled = group.pooled
        yield Line(result(f"in {group.k} sites", first, pooled.estimate, pooled.low, pooled.high), RESULT)
        if group.shown == MANY_SITES and pooled.new_low is not None and pooled.new_high is not None:
            expected = likely(first, pooled.new_low, pooled.new_high)
            yield Line(f"at a new site: {expected}", RESULT)
    for site in group.sites:
        for _, compared in site.trials:
            where = "at one site" if group.shown == ONE_SITE else f"at {site.site}"
            if compared.interval is not None:
                one = compared.interval
                of = _difference(group, say, compared)
                yield Line(result(where, of, one.estimate, one.low, one.high), RESULT)


def _hints(group: Group) -> Iterator[Line]:
    if group.shown in SHOWN_WORDS:
        yield Line(SHOWN_WORDS[group.shown], HINT)
    side = group.side or _side_of_one(group)
    if side:
        yield Line(SIDE_WORDS[side], HINT)


def _side_of_one(group: Group) -> str:
    """The side of a lone trial; several of one site, or two sites, are each looked at by themselves."""
    found = [one.interval for one in group.compared if one.interval is not None]
    return side_of(group.asked.question, found[0]) if len(found) == 1 else ""


def _counts(group: Group, say: Say) -> Iterator[Line]:
    for site in group.sites:
        for _, compared in site.trials:
            yield from _counts_of(site.site, compared, group, say)


def _counts_of(site: str, compared: Compared, group: Group, say: Say) -> Iterator[Line]:
    tried, usual = compared.tried, compared.usual
    name, other = say(tried.arm.name), say(usual.arm.name)
    shown = _difference(group, say, compared)
    a, b = number_of(tried.mean, shown), number_of(usual.mean, shown)
    yield Line(f"{site}: {len(tried.units)} {name}, mean {a}; {len(usual.units)} {other}, mean {b}", COUNTS)
    if tried.before is not None and usual.before is not None:
        yield Line(f"{site}, before: {number_of(tried.before, shown)} and {number_of(usual.before, shown)}", COUNTS)
    if compared.ratio is not None:
        ratio, low, high = percents(compared.ratio)
        yield Line(f"{site}: for every 100 of {other} there were {ratio} of {name} (likely {low} to {high})", COUNTS)
    if compared.lacks:
        yield Line(f"{site}: {LACKS_WORDS[compared.lacks]}", COUNTS)
    if compared.lacks == YES_NO_PAIRS:
        more, fewer = sum(each > 0 for each in compared.pairs), sum(each < 0 for each in compared.pairs)
        yield Line(
            f"{site}: of {len(compared.pairs)} pairs {more} had it with the practice alone, {fewer} without it alone",
            COUNTS,
        )
    if compared.is_yes_no and tried.lost.get(NOT_HEARD):
        yield from _silent_of(site, compared)


def _silent_of(site: str, compared: Compared) -> Iterator[Line]:
    """Say of a yes or no how far the silent could move it (only successes come back by themselves)."""
    silent = compared.tried.lost[NOT_HEARD]
    values = [int(value) for _, value in compared.tried.units]
    heard = heard_from(handed=len(values) + silent, heard=len(values), worked=sum(values))
    share, low, high = percents(heard.of_heard)
    least, most = (f"{100 * each:.0f}" for each in (heard.at_least, heard.at_most))
    words = (
        f"{site}: of 100 with the practice {share} did (likely {low} to {high}); "
        f"with the {silent} counted in that nobody heard of, between {least} and {most}"
    )
    yield Line(words, COUNTS)


def _cautions(group: Group) -> Iterator[Line]:
    compared = group.compared
    every = len(compared)
    by_choice = sum(not one.all_by_lot for one in compared)
    if by_choice:
        yield Line(f"not by lot in {by_choice} of {every}: whoever chose may have favoured one way", CAUTION)
    knew = sum(one.knew for one in compared)
    if knew:
        yield Line(
            f"in {knew} of {every} whoever counted knew the way, or nobody said: hopes can colour a count", CAUTION
        )
    uneven = sum(one.uneven_before for one in compared)
    if uneven:
        yield Line(
            f"in {uneven} of {every} the ways differed before anything was done: the rest may come from that", CAUTION
        )
    lost: Counter[str] = Counter()
    for one in compared:
        lost.update(one.tried.lost)
        lost.update(one.usual.lost)
    if lost:
        units = sum(len(one.trial.rows) for one in compared)
        yield Line(f"{lost.total()} of {units} were lost and are in no figure", CAUTION)
    if len(group.editions) > 1:
        yield Line(f"{len(group.editions)} editions were tried, and they may differ", CAUTION)


def _methods(group: Group) -> Iterator[Line]:
    if group.pooled is not None:
        yield Line(POOLED_WORDS, METHOD)
    used = {one.interval.method for one in group.compared if one.interval is not None}
    if any(one.is_yes_no and one.tried.lost.get(NOT_HEARD) for one in group.compared):
        used.add(WILSON)
    used |= {one.ratio.method for one in group.compared if one.ratio is not None}
    yield from (Line(METHOD_WORDS[method], METHOD) for method in sorted(used))
    if not used:
        yield Line(f"no range below {LEAST_UNITS} of each way", METHOD)
