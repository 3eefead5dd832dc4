"""The engine: every rule looks at an entry, and what it found is said in plain words with its source.

Not a verdict: an empty list is never a "safe". Its one rule: what is not said is a finding of its own, never a pass.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from fieldbook.review.cautions import NAMES
from fieldbook.review.cautions import RULES as CAUTIONS
from fieldbook.review.claims import RULES as CLAIMS
from fieldbook.review.composting import RULES as COMPOSTING
from fieldbook.review.creatures import RULES as CREATURES
from fieldbook.review.dung import RULES as DUNG
from fieldbook.review.fishes import RULES as FISHES
from fieldbook.review.place import at_place
from fieldbook.review.rule import Finding, Hit, Rule
from fieldbook.review.sprays import RULES as SPRAYS
from fieldbook.review.things import RULES as THINGS
from fieldbook.review.truth import Unsaid
from fieldbook.review.watering import RULES as WATERING
from fieldbook.review.waters import RULES as WATERS
from fieldbook.review.ways import WAYS
from fieldbook.sources import SOURCES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from fieldbook.practices import Entry

RULES: tuple[Rule, ...] = (
    *DUNG,
    *COMPOSTING,
    *WATERING,
    *WATERS,
    *FISHES,
    *THINGS,
    *SPRAYS,
    *CREATURES,
    *CLAIMS,
    *CAUTIONS,
)
RULES_VERSION = "2026-12"
MOST_WAYS = 3

_WHOSE = {
    "theirs": "",
    "part": "The source gives the fact; how hard it bites here is our choice.",
    "ours": "The number is our own choice and needs a competent person's word.",
}
GROUP_WORDS = {
    "animals": "the animals",
    "area": "the surroundings",
    "bed": "the bed",
    "compost": "the compost",
    "crop": "the crop",
    "evidence": "the trials behind it",
    "fish": "the fish",
    "harvest": "the harvest",
    "inputs": "what goes on soil or plants",
    "irrigation": "the watering",
    "materials": "the building materials",
    "nutrition": "the food values",
    "soil": "the soil",
    "spray": "the spray",
    "structure": "what it stands in or on",
    "task": "the work and who does it",
    "tea": "the tea",
    "vessel": "the containers",
    "waiting": "the waiting times",
    "water": "the water",
    "wick": "the wick",
}
_ORDER = ("stop", "unknown", "answer", "note")


def findings_of(entry: Entry) -> tuple[Finding, ...]:
    """Give what the rules find in an entry; rules that pass or do not apply give nothing.

    Returns:
        The findings: stops first, then what is not said, answers and notes; each group by rule and field.
    """
    return _in_order(finding for rule in RULES for finding in _judged(rule, entry))


def rules_of_ours() -> tuple[Rule, ...]:
    """Give the rules with a number or a judgement of our own: `Rule.figure` says it, and it needs somebody's word.

    Those that are ours altogether come first, then those whose source gives the fact and we how hard it bites.
    """
    mine = [rule for rule in RULES if rule.whose != "theirs"]
    return tuple(sorted(mine, key=lambda rule: (rule.whose != "ours", rule.id)))


def findings_at_start(entry: Entry, place_facts: Mapping[str, Any]) -> tuple[Finding, ...]:
    """Give what the rules that a place decides find, where a site is about to begin a practice.

    Args:
        entry: the exact edition.
        place_facts: what the place answered, by the names of `PLACE_FACTS`; what is missing is not said, never a yes.

    Returns:
        The findings in the order of `findings_of`; each place fact that is wanted and not said is an ``unknown``.

    Raises:
        PlaceError: the facts are not understood, or contradict each other.
    """
    here = at_place(entry, place_facts)
    return _in_order(finding for rule in RULES if rule.judged == "start" for finding in _judged(rule, here))


def _in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(found, key=lambda one: (_ORDER.index(one.result), one.rule, one.field)))


def _judged(rule: Rule, entry: Entry) -> Iterator[Finding]:
    outcomes = list(rule.look(entry))
    yield from dict.fromkeys(_finding(rule, hit) for hit in outcomes if isinstance(hit, Hit))
    missing = dict.fromkeys(field for one in outcomes if isinstance(one, Unsaid) for field in one.fields)
    if missing:
        yield _not_said(rule, missing)


def _finding(rule: Rule, hit: Hit) -> Finding:
    return Finding(
        rule=rule.id,
        result=hit.result or rule.result,
        words=_words(rule, hit),
        source=source_words(rule),
        instead=tuple(WAYS[key] for key in _ways(rule, hit)),
        field=hit.field,
        value=hit.value,
        limit=hit.limit,
    )


def _ways(rule: Rule, hit: Hit) -> tuple[str, ...]:
    """The ways of a rule; where the entry need only ask, that comes first."""
    return ("ask-first", *rule.instead[: MOST_WAYS - 1]) if hit.ask else rule.instead


def _words(rule: Rule, hit: Hit) -> str:
    if hit.ask:
        return f"{rule.words} The entry must itself ask for this before anyone starts: {hit.ask}."
    if hit.caution:
        return f"{rule.words} Missing: {hit.caution}, {NAMES[hit.caution]}."
    return f"{rule.words} Dose: {hit.dose}." if hit.dose else rule.words


def _not_said(rule: Rule, missing: Iterable[str]) -> Finding:
    fields = list(missing)
    things = dict.fromkeys(map(_in_plain_words, fields))
    words = f"Not said: {'; '.join(things)}. So this cannot be judged: {rule.words}"
    ways = tuple(WAYS[key] for key in rule.instead)
    return Finding(rule.id, "unknown", words, source_words(rule), ways, field=fields[0], missing=tuple(fields))


def _in_plain_words(field: str) -> str:
    return GROUP_WORDS[re.split(r"[.\[]", field.removeprefix("facts."))[0]]


def source_words(rule: Rule) -> str:
    """Say where a rule comes from, how far we saw it, whose its number is, and whom it binds."""
    works = "; ".join(f"{SOURCES[key].words} ({SOURCES[key].mark})" for key in rule.sources)
    return " ".join(part for part in (f"{works}.", rule.binds, _WHOSE[rule.whose]) if part)
