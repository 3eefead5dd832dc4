"""What all trials of one practice say together: which may stand together, and what is shown of each group.

Not words and not pages. Its one rule is the table `SHOWN`: how much is shown follows from how many sites counted, and
from nothing else; a group that speaks against the practice is shown in the same way as one that speaks for it.

How to use it: give every trial of an entry as a `Tried` to `judge_trials`; show all of `Judged.groups` in their order,
each through ``wording.lines_of``, then `Judged.apart` with its reasons, and `Judged.outcomes`.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.languages import primary
from fieldbook.trials.comparing import Compared, compare_units, is_comparable
from fieldbook.trials.pooling import Effect, Pooled, one_site, pool
from fieldbook.trials.shape import BEFORE_AFTER, LOWER, OUTCOMES, QUESTIONS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from fieldbook.trials.intervals import Interval
    from fieldbook.trials.record import Trial

UNITS_ALONE, ONE_SITE, TWO_SITES, FEW_SITES, MANY_SITES = "units", "one-site", "two-sites", "few-sites", "many-sites"
SHOWN: Final = MappingProxyType(  # by how many sites have a range: what is shown, whether in one figure
    {
        0: UNITS_ALONE,  # the list of units, no range
        1: ONE_SITE,  # its figure and range, and that it is one site
        2: TWO_SITES,  # both, no figure of both together
        3: FEW_SITES,  # together, and that few sites are a hint
        4: FEW_SITES,
        5: MANY_SITES,  # together, and what a new site may expect; for more sites too
    }
)
POOLED: Final = frozenset({FEW_SITES, MANY_SITES})
DAY_WINDOWS: Final = ((0, 3), (4, 10), (11, 21), (22, 45), (46, 90), (91, 180), (181, 1000))
"""Days from the start within which counts may stand together [days]. Source: ours."""
GOOD, BAD, UNCLEAR = "good", "bad", "unclear"
DUPLICATE, ONE_WAY, NEWER = "duplicate", "one-way", "not-comparable"


@dataclass(frozen=True)
class Tried:
    """A trial with what its statement says.

    Attributes:
        trial: what was counted.
        id: the statement's id.
        edition: the edition that was tried.
        site: the site where it was done, as it is shown: its letter, with more of its key where two have one letter.
        person: who signed it, as shown; empty where a site's key signed for somebody without a name.
    """

    trial: Trial
    id: str
    edition: str
    site: str
    person: str


@dataclass(frozen=True, order=True)
class Asked:
    """What trials must share to stand together.

    Attributes:
        question: A code.
        comparison: What the practice was compared with, a code.
        unit: What got its way as a whole, a code.
        crop: The crop, as one text.
        thing: What was counted, as one text.
        measured_in: Its unit, a CLDR id; empty for a plain count.
        counted_per: What each number was counted on, a code; empty for the whole unit.
        share: Whether counts are out of something.
        days: The first and the last day of its window [days].
    """

    question: str
    comparison: str
    unit: str
    crop: str
    thing: str
    measured_in: str
    counted_per: str
    share: bool
    days: tuple[int, int]


@dataclass(frozen=True)
class SiteShown:
    """One site of a group.

    Attributes:
        site: As it is shown.
        trials: Its trials with what each says, by id.
        effect: All of them as one; None where none has a range.
    """

    site: str
    trials: tuple[tuple[Tried, Compared], ...]
    effect: Effect | None


@dataclass(frozen=True)
class Group:
    """Trials that stand together, and what is shown of them.

    Attributes:
        asked: What they share.
        shown: What is shown, a value of `SHOWN`.
        sites: All of its sites, those without a range too.
        k: How many sites have a range.
        pooled: The sites in one figure; None unless `shown` is in `POOLED`.
        side: Where the pooled range lies: `good`, `bad` or `unclear`; empty where nothing is pooled.
    """

    asked: Asked
    shown: str
    sites: tuple[SiteShown, ...]
    k: int
    pooled: Pooled | None
    side: str

    @property
    def editions(self) -> tuple[str, ...]:
        """The editions that were tried in it; more than one is said beside the figure."""
        return tuple(sorted({tried.edition for site in self.sites for tried, _ in site.trials}))

    @property
    def compared(self) -> tuple[Compared, ...]:
        """What each of its trials says, by site."""
        return tuple(compared for site in self.sites for _, compared in site.trials)


@dataclass(frozen=True)
class Judged:
    """All trials of one practice.

    Attributes:
        groups: Those that can be compared, in an order that has nothing to do with what came out.
        apart: The others, each with its reason: `one-way` (before and after of one way, or nothing counted),
            `not-comparable` (fields that disagree, or newer software), `duplicate` (the same counts of one site again).
        outcomes: What growers say came of it, every outcome with its number, noughts too.
        silent: How many units nobody heard of again.
    """

    groups: tuple[Group, ...]
    apart: tuple[tuple[Tried, str], ...]
    outcomes: Mapping[str, int]
    silent: int

    @property
    def harmed(self) -> int:
        """In how many it harmed somebody or something."""
        return self.outcomes["harmed"]


def judge_trials(trials: Iterable[Tried], *, named: Callable[[Any], str] | None = None) -> Judged:
    """Say what all trials of one practice show; the order in which they are given changes nothing.

    Args:
        trials: all that are known, of any edition.
        named: gives one text for a crop or a thing counted, an id of the names table where the words name one row of it
            alone. Without it two sites that write in two languages, or aphid and aphids, stand apart.
    """
    known = sorted({one.id: one for one in trials}.values(), key=lambda one: (one.site, one.id))
    apart: list[tuple[Tried, str]] = []
    groups: dict[Asked, dict[str, list[tuple[Tried, Compared]]]] = defaultdict(lambda: defaultdict(list))
    seen: set[tuple[str, str]] = set()
    for one in known:
        reason = _apart(one, seen)
        if reason:
            apart.append((one, reason))
            continue
        compared = compare_units(one.trial)
        groups[_asked(one.trial, compared, named or one_text)][one.site].append((one, compared))
    again = {one.id for one, reason in apart if reason == DUPLICATE}
    counted = [one for one in known if one.id not in again]
    outcomes = Counter(one.trial.outcome for one in counted)
    return Judged(
        groups=tuple(_group(asked, groups[asked]) for asked in sorted(groups)),
        apart=tuple(apart),
        outcomes=MappingProxyType({code: outcomes[code] for code in OUTCOMES}),
        silent=sum(one.trial.silent for one in counted),
    )


def _apart(one: Tried, seen: set[tuple[str, str]]) -> str:
    trial = one.trial
    said = (one.site, json.dumps(trial.document, sort_keys=True))
    if said in seen:
        return DUPLICATE
    seen.add(said)
    if trial.disagreements:
        return NEWER
    if trial.design == BEFORE_AFTER or not is_comparable(trial):
        return ONE_WAY
    return ""


def _asked(trial: Trial, compared: Compared, named: Callable[[Any], str]) -> Asked:
    return Asked(
        question=trial.question,
        comparison=trial.comparison,
        unit=trial.unit,
        crop=named(trial.document["crop"]),
        thing=named(trial.document["thing"]),
        measured_in=trial.measured_in,
        counted_per=trial.counted_per,
        share=any(row.out_of for row in trial.rows),
        days=next(window for window in DAY_WINDOWS if compared.day <= window[1]),
    )


def one_text(item: Any) -> str:
    """An id of the names table as it is; of words by language the English ones, else the first by tag."""
    if not isinstance(item, dict):
        return " ".join(str(item).casefold().split())
    tag = next((tag for tag in sorted(item) if primary(tag) == "en"), min(item))
    return " ".join(str(item[tag]).casefold().split())


def _group(asked: Asked, by_site: Mapping[str, list[tuple[Tried, Compared]]]) -> Group:
    sites = tuple(_site(site, by_site[site]) for site in sorted(by_site))
    effects = [site.effect for site in sites if site.effect is not None]
    shown = SHOWN[min(len(effects), max(SHOWN))]
    pooled = pool(effects) if shown in POOLED else None
    return Group(asked, shown, sites, len(effects), pooled, side_of(asked.question, pooled) if pooled else "")


def _site(site: str, trials: list[tuple[Tried, Compared]]) -> SiteShown:
    effects = [
        Effect(compared.interval.estimate, compared.interval.variance)
        for _, compared in trials
        if compared.interval is not None
    ]
    return SiteShown(site, tuple(trials), one_site(effects) if effects else None)


def side_of(question: str, found: Pooled | Interval) -> str:
    """Where a whole range lies: `good`, `bad`, or `unclear` where it holds nought.

    Args:
        question: the code of a question that is known here.
        found: a difference, practice less usual, with its range.
    """
    if found.low <= 0 <= found.high:
        return UNCLEAR
    fell = found.high < 0
    return GOOD if fell == (QUESTIONS[question] == LOWER) else BAD
