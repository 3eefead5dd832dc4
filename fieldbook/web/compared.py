"""What comparisons of a practice come to, as its page shows it: heading, sentences, a picture with its table, methods.

Not the sums and not their words (``fieldbook.trials``). Its one rule: whichever way a comparison came out, it has the
same place and the same size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.languages import direction, pick
from fieldbook.site.known_trials import item_words
from fieldbook.sum_pictures import Span, spans_picture
from fieldbook.trials.evidence import LEVEL_WORDS
from fieldbook.trials.figures import rounded
from fieldbook.trials.judging import MANY_SITES, POOLED
from fieldbook.trials.wording import CAUTION, COUNTS, HINT, METHOD, RESULT, lines_of, lines_of_all
from fieldbook.web.compare_words import COMPARISON_WORDS, QUESTION_WORDS, unit_words
from fieldbook.web.here import reader_languages, site
from fieldbook.web.words import counted, told

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from fieldbook.trials.comparing import Compared
    from fieldbook.trials.judging import Group, SiteShown
    from fieldbook.web.words import Told

    Say = Callable[[Any], str]

GROUPS_MOST = 2  # on the page of an entry, which stays small; the others have a page of their own
PICTURE_MOST = 12  # sites drawn beneath one another: more do not fit a phone's screen


@dataclass(frozen=True)
class SiteRow:
    """One line of the table beside a picture; a figure that the counts do not allow is empty."""

    site: str
    statement: str
    units: str
    difference: str
    low: str
    high: str

    @property
    def likely(self) -> str:
        """The range, as it stands in a table."""
        return f"{self.low} to {self.high}"


@dataclass(frozen=True)
class GroupShown:
    """Comparisons that stand together, as a page shows them.

    Attributes:
        heading: what was asked, of what, beside what.
        picture: an SVG of the ranges; empty where there is none.
        rows: a line for each comparison, and one for all sites where they are put together.
        units: for comparisons without a range: the label, way and mean of every unit that was counted.
        results, hints, counts, cautions, methods: what is said, each a sentence.
        together: how many of the results are of all sites together; 0 where each site stands by itself.
    """

    heading: str
    picture: str
    rows: tuple[SiteRow, ...]
    units: tuple[tuple[str, str, str], ...]
    results: tuple[Told, ...]
    hints: tuple[Told, ...]
    counts: tuple[Told, ...]
    cautions: tuple[Told, ...]
    methods: tuple[Told, ...]
    together: int

    @property
    def in_short(self) -> tuple[Told, ...]:
        """What is said on the page of an entry: of all sites together where they are, since the table has each."""
        return self.results[: self.together] if self.together else self.results


@dataclass(frozen=True)
class EvidenceShown:
    """What a page says of how far a practice was tried.

    Attributes:
        level: the level of evidence, a sentence.
        groups: comparisons that stand together, in an order that has nothing to do with what came out.
        more: how many such groups are not among them.
        said: what is said once of all comparisons; nothing where there is none.
    """

    level: Told
    groups: tuple[GroupShown, ...]
    more: int
    said: tuple[Told, ...]


def evidence_shown(entry: str, *, most: int | None = GROUPS_MOST) -> EvidenceShown:
    """How far an entry was tried, for whoever asks.

    Args:
        entry: its id.
        most: of how many groups all is said; None for all.
    """
    trials = site().trials
    judged = trials.judged(entry)
    groups = judged.groups[:most]
    return EvidenceShown(
        level=told(LEVEL_WORDS[trials.level(entry)]),
        groups=tuple(_shown(number, group, _say) for number, group in enumerate(groups, 1)),
        more=len(judged.groups) - len(groups),
        said=tuple(told(line.words) for line in lines_of_all(judged)) if trials.about(entry) else (),
    )


def _say(item: Any) -> str:
    """Words of a comparison in the reader's language; those that run from right to left in an isolate of their own."""
    words = item_words(item)
    if isinstance(words, str):
        return words
    tag, text = pick(words, reader_languages())
    return f"\u2068{text}\u2069" if direction(tag) == "rtl" else text


def _shown(number: int, group: Group, say: Say) -> GroupShown:
    lines = lines_of(group, say=say)
    said = {about: tuple(told(line.words) for line in lines if line.about == about) for about in _KINDS}
    rows = _rows(group)
    heading = _heading(group, say)
    return GroupShown(
        heading=heading,
        picture=_picture(f"spans{number}", heading, group, rows),
        rows=rows,
        units=tuple(unit for one in group.compared if one.lacks for unit in _units(one, say)),
        results=said[RESULT],
        hints=said[HINT],
        counts=said[COUNTS],
        cautions=said[CAUTION],
        methods=said[METHOD],
        together=0 if group.pooled is None else 1 + (group.shown == MANY_SITES),
    )


_KINDS = (RESULT, HINT, COUNTS, CAUTION, METHOD)


def _heading(group: Group, say: Say) -> str:
    asked, one = group.asked, group.compared[0].trial.document
    question = QUESTION_WORDS.get(asked.question, asked.question)
    beside = COMPARISON_WORDS.get(asked.comparison, asked.comparison)
    first, last = asked.days
    what = f"{say(one['thing'])} on {say(one['crop'])} in {unit_words(asked.unit)}"
    return f"{question[0].upper()}{question[1:]}? {what}, beside {beside}, after {first} to {last} days"


def _rows(group: Group) -> tuple[SiteRow, ...]:
    rows = [_row(site, n, group) for site in group.sites for n in range(len(site.trials))]
    if group.shown in POOLED and group.pooled is not None:
        pooled = group.pooled
        figures = _figures(group, pooled.estimate, pooled.low, pooled.high)
        rows.append(SiteRow("", "", counted(group.k, "site", "sites"), *figures))
    return tuple(rows)


def _row(site: SiteShown, number: int, group: Group) -> SiteRow:
    tried, compared = site.trials[number]
    units = f"{len(compared.tried.units)} and {len(compared.usual.units)}"
    if compared.interval is None:
        return SiteRow(site.site, tried.id, units, "", "", "")
    one = compared.interval
    return SiteRow(site.site, tried.id, units, *_figures(group, one.estimate, one.low, one.high))


def _figures(group: Group, estimate: Decimal, low: Decimal, high: Decimal) -> tuple[str, str, str]:
    by = 100 if group.asked.share else 1
    near, least, most = rounded(estimate * by, low * by, high * by)
    return _signed(near), _signed(least), _signed(most)


def _signed(value: Decimal) -> str:
    """A difference with its sign; nought has none."""
    text = f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if not value else text.replace("-", "−") if value < 0 else f"+{text}"


def _units(compared: Compared, say: Say) -> list[tuple[str, str, str]]:
    ways = (compared.tried, compared.usual)
    return [(label, say(way.arm.name), f"{value:.4g}") for way in ways for label, value in way.units]


def _picture(key: str, heading: str, group: Group, rows: tuple[SiteRow, ...]) -> str:
    """The ranges as a picture; none where no range was worked out, or there are too many to draw."""
    ranged = [row for row in rows if row.difference]
    if not ranged or len(ranged) > PICTURE_MOST:
        return ""
    spans = [_span(row, unit_words(group.asked.unit)) for row in ranged]
    return spans_picture(
        title=heading,
        description="The difference that each site counted, practice less usual way, with its likely range.",
        spans=spans,
        same=0,
        same_words="dashed: no difference",
        key=key,
    )


def _span(row: SiteRow, units: str) -> Span:
    low, middle, high = (float(text.replace("−", "-")) for text in (row.low, row.difference, row.high))
    words = f"{row.site}: {row.units} {units}" if row.site else f"{row.units} together"
    return Span(words, low, middle, high, together=not row.site)
