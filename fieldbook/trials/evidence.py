"""How far the evidence for an entry goes, from being told to being better at three sites.

Not typed by anybody. Its one rule: a trial that failed or harmed raises nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from fieldbook.trials.judging import BAD, GOOD, judge_trials
from fieldbook.trials.line import Line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from fieldbook.trials.judging import Tried

LEVEL_WORDS: Final = {
    0: "told, not tried by anyone as far as is known",
    1: "done by the author, who measured what it gave",
    2: "repeated by another person at the same site",
    3: "repeated at another site",
    4: "compared with the usual way at three sites or more, and better there",
}


def evidence_level(
    trials: Iterable[Tried],
    *,
    author: str,
    author_site: str,
    yield_measured: bool,
    harm_open: bool,
    named: Callable[[Any], str] | None = None,
) -> int:
    """How far the evidence for an entry goes, 0 to 4, a key of `LEVEL_WORDS`: the highest of which the condition holds.

    Args:
        trials: every trial of the entry.
        author: who wrote it, as shown.
        author_site: the site of its author, as shown.
        yield_measured: whether the entry states a yield that its author measured.
        harm_open: whether somebody says that it harmed, and no reviewer has answered.
        named: as in `judge_trials`.

    A trial that did not work, or harmed, repeats nothing. While harm is open, or while a pooled range lies on the bad
    side, the highest level is not given.
    Source: ours.
    """
    known = tuple(trials)
    worked = [one for one in known if one.trial.outcome in {"worked", "partly"}]
    groups = judge_trials(known, named=named).groups
    if not harm_open and any(g.side == GOOD for g in groups) and not any(g.side == BAD for g in groups):
        return 4
    if any(one.site != author_site for one in worked):
        return 3
    if any(one.person not in {"", author} for one in worked):
        return 2
    return 1 if yield_measured else 0


def level_line(level: int) -> Line:
    """Say a level of evidence: its number and what it means."""
    return Line(f"evidence {level} of 4: {LEVEL_WORDS[level]}", "hint")
