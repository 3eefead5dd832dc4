"""Whether a practice may begin at a place: what its answers allow, and every reason why it may not begin yet.

Not the questions (``slip_questions``) and not an engineer: what a competent person stated is compared with what is
computed, and nothing here is ever called without danger. Its one rule: a practice may begin only where each question
that it raises has its careful answer and no rule finds anything.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.numbers import kept_number
from fieldbook.review.allowing import Allowance, allowances, carried_kg_m2, deepest_cm, most_dung_kg_m2, soil_kg_m3
from fieldbook.review.engine import RULES, findings_at_start, source_words
from fieldbook.review.place import PlaceError, place_facts_wanted
from fieldbook.review.slip_answers import UNKNOWN, YES, SlipError, bed_m2, facts_of, number_of, place_facts
from fieldbook.review.slip_questions import dung_kinds, is_on_roof, questions_of
from fieldbook.review.ways import WAYS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Finding, Way
    from fieldbook.review.slip_table import Question

_RULES: Final = MappingProxyType({rule.id: rule for rule in RULES})
_ASKED_ABOUT: Final = MappingProxyType(  # by the first letters of a rule
    {
        "ANI": "animal-health-worker",
        "FSH": "animal-health-worker",
        "MAN": "health-officer",
        "MAT": "health-officer",
        "SOI": "health-officer",
        "STR": "builder",
        "URI": "health-officer",
        "ZOO": "animal-health-worker",
    }
)
_LOAD, _DOSE = "STR-02", "MAN-07"
_NOS = ("no", "none", UNKNOWN)  # how a finding shows a question that was answered with no


@dataclass(frozen=True)
class Reason:
    """Why a practice may not begin yet.

    Attributes:
        words: what is missing or wrong.
        rule: the rule, or the caution, behind it.
        ask: the role to ask, a code of `ROLES_HERE`; empty where whoever begins sees to it.
        source: what it rests on.
        instead: safe ways, each with its basis.
        value: what was found; empty where there is no figure.
        limit: what it was held against.
        question: the code of the question behind it; empty where a rule found it.
    """

    words: str
    rule: str
    ask: str = ""
    source: str = ""
    instead: tuple[Way, ...] = ()
    value: str = ""
    limit: str = ""
    question: str = field(default="", compare=False)

    def as_document(self) -> dict[str, Any]:
        """The reason as JSON."""
        return {**self.__dict__, "instead": [str(way) for way in self.instead]}


@dataclass(frozen=True)
class Outcome:
    """What the answers come to: every reason against beginning, and what was computed from them."""

    reasons: tuple[Reason, ...]
    allows: tuple[Allowance, ...]

    @property
    def may_begin(self) -> bool:
        """True where no reason stands against it."""
        return not self.reasons

    def as_document(self) -> dict[str, Any]:
        """The outcome as JSON."""
        reasons, allows = ([one.as_document() for one in group] for group in (self.reasons, self.allows))
        return {"may_begin": self.may_begin, "reasons": reasons, "allows": allows}


def judge(entry: Entry, answers: Mapping[str, str]) -> Outcome:
    """Hold the answers of a place against an entry.

    Args:
        entry: the exact edition.
        answers: as `read_answers` gave them.

    Raises:
        SlipError: the answers contradict each other.
    """
    lacking = [question for question in questions_of(entry) if not _is_met(question, answers)]
    reasons = [_lacking(question) for question in lacking]
    try:
        findings = findings_at_start(entry, place_facts(answers) | _soil(entry))
    except PlaceError as error:
        raise SlipError(error.faults) from error
    asked = {fact for question in lacking for fact in facts_of(question.code)}
    said = {reason.rule for reason in reasons}
    grounded = answers.get("on_ground") == YES
    reasons += [
        _found(finding)
        for finding in findings
        if not (
            _is_dosed(finding, answers)
            or _is_asked(finding, asked)
            or _is_repeated(finding, said)
            or (grounded and _asks_where(finding))
        )
    ]
    reasons += [*_overloaded(entry, answers, reasons), *_over_dosed(entry, answers, reasons)]
    told = (_with_depth(reason, entry, answers) for reason in reasons)
    return Outcome(tuple(dict.fromkeys(told)), allowances(entry, answers))


def _with_depth(reason: Reason, entry: Entry, answers: Mapping[str, str]) -> Reason:
    """Too much weight on a roof: with the depth of soil that the stated figure bears beside it."""
    stated = number_of(answers, "safe_load_kg_m2")
    if reason.rule != _LOAD or not reason.limit or stated is None or not is_on_roof(entry):
        return reason
    return replace(reason, limit=f"{reason.limit} ({deepest_cm(entry, stated)} cm)")


def _is_met(question: Question, answers: Mapping[str, str]) -> bool:
    """True where a yes-or-no question has its yes, and any other an answer."""
    said = answers.get(question.code, UNKNOWN)
    return said == YES if question.takes == "yes" else said != UNKNOWN


def _lacking(question: Question) -> Reason:
    rule = _RULES.get(question.rule)
    source = f"caution {question.rule}" if rule is None else source_words(rule)
    ways = tuple(WAYS[key] for key in question.instead)
    return Reason(question.reason, question.rule, question.ask, source, ways, question=question.code)


def _found(finding: Finding) -> Reason:
    ask = _ASKED_ABOUT.get(finding.rule.partition("-")[0], "")
    return Reason(finding.words, finding.rule, ask, finding.source, finding.instead, finding.value, finding.limit)


def _soil(entry: Entry) -> dict[str, Any]:
    """What the soil of a roof weighs, where the entry does not name it: as much as the heaviest that was read."""
    return {"density_kg_m3": kept_number(soil_kg_m3(entry))} if is_on_roof(entry) else {}


def _is_asked(finding: Finding, asked: set[str]) -> bool:
    """True where all that a finding lacks is what an unanswered question asks for."""
    wanted = (place_facts_wanted((replace(finding, missing=(one,)),)) for one in finding.missing)
    return finding.result == "unknown" and all(not asked.isdisjoint(facts) for facts in wanted)


def _is_repeated(finding: Finding, said: set[str]) -> bool:
    """True where a rule stops at the no that stands as a reason already."""
    return finding.rule in said and finding.value in _NOS


def _is_dosed(finding: Finding, answers: Mapping[str, str]) -> bool:
    """True where a rule lacks the nitrogen of a dung that it has no figure for; ``_over_dosed`` judges it instead."""
    known = bed_m2(answers) is not None and number_of(answers, "dung_kg_year") is not None
    return finding.rule == _DOSE and finding.result == "unknown" and known


def _asks_where(finding: Finding) -> bool:
    """True where a rule only lacks on what a thing stands."""
    fields = finding.missing
    return finding.result == "unknown" and all(one == "facts.structure" or one.endswith(".on_roof") for one in fields)


def _overloaded(entry: Entry, answers: Mapping[str, str], so_far: list[Reason]) -> Iterator[Reason]:
    """A wall is judged by what the entry says that it weighs; of a roof the rule has judged already."""
    stated, load = number_of(answers, "safe_load_kg_m2"), carried_kg_m2(entry, answers)
    if stated is not None and load is not None and load > stated:
        yield from _by_rule(_LOAD, f"{load:.1f} kg/m²", f"{stated} kg/m²", so_far)


def _over_dosed(entry: Entry, answers: Mapping[str, str], so_far: list[Reason]) -> Iterator[Reason]:
    """Dung of which only the most nitrogen was read is judged here; of hens and cows the rule has judged already."""
    given, bed = number_of(answers, "dung_kg_year"), bed_m2(answers)
    doses = [found[0] for kind in dung_kinds(entry) if (found := most_dung_kg_m2(kind)) is not None]
    if given is not None and bed is not None and doses and given > min(doses) * bed:
        yield from _by_rule(_DOSE, f"{given} kg in a year", f"{min(doses) * bed:.1f} kg in a year", so_far)


def _by_rule(rule_id: str, value: str, limit: str, so_far: list[Reason]) -> Iterator[Reason]:
    """A reason in the words of a rule, where that rule has given none."""
    if not any(reason.rule == rule_id for reason in so_far):
        yield reason_by_rule(rule_id, value, limit)


def reason_by_rule(rule_id: str, value: str = "", limit: str = "", *, words: str = "") -> Reason:
    """Give a reason with whom to ask, the sources and the ways of a rule.

    Args:
        rule_id: the rule's id.
        value: what was found; empty where there is no figure.
        limit: what it was held against.
        words: in place of those of the rule.
    """
    rule = _RULES[rule_id]
    ways = tuple(WAYS[key] for key in rule.instead)
    ask = _ASKED_ABOUT[rule_id.partition("-")[0]]
    return Reason(words or rule.words, rule_id, ask, source_words(rule), ways, value, limit)
