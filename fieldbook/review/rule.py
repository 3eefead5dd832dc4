"""A safety rule as data, and what the engine makes of it.

Not the rules. Its one rule: a rule yields what it found and what it could not know, and is silent on what passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from fieldbook.review.case import cases
from fieldbook.review.truth import Truth, Unsaid

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from fieldbook.practices import Entry
    from fieldbook.review.case import Case

Result = Literal["stop", "answer", "note", "unknown"]


@dataclass(frozen=True)
class Way:
    """A safe way to do instead.

    Attributes:
        words: what to do.
        basis: what it rests on.
        change: the name of the change that it makes to a draft (``changing.CHANGES``); empty where people must do it.
    """

    words: str
    basis: str
    change: str = ""

    def __str__(self) -> str:
        """The way with its basis, as one line."""
        return f"{self.words} ({self.basis})"


@dataclass(frozen=True)
class Finding:
    """What one rule says about one entry.

    Attributes:
        rule: the rule's id.
        result: ``stop``, ``answer``, ``note``, or ``unknown`` (said on screens as "not said").
        words: what the author and the reviewer read.
        source: where the rule and its number come from, and whom the source binds.
        instead: safe ways, each with its basis; empty where none is known.
        field: the field that it is about.
        value: what was found there; empty where nothing is said.
        limit: what it was held against; empty where there is no number.
        missing: for ``unknown``, every field that is not said.
    """

    rule: str
    result: Result
    words: str
    source: str
    instead: tuple[Way, ...] = ()
    field: str = ""
    value: str = ""
    limit: str = ""
    missing: tuple[str, ...] = ()

    def as_document(self) -> dict[str, Any]:
        """The finding as JSON."""
        return {**self.__dict__, "instead": [str(way) for way in self.instead], "missing": list(self.missing)}


@dataclass(frozen=True)
class Hit:
    """That a rule fires on a field.

    Attributes:
        field: where.
        value: what was found.
        limit: what it was held against.
        result: in place of the rule's own result, for rules of two levels.
        ask: what the entry must itself ask for before anyone starts.
        caution: the key of a caution that is missing.
        dose: how much would be right.
    """

    field: str
    value: str = ""
    limit: str = ""
    result: Result | None = None
    ask: str = ""
    caution: str = ""
    dose: str = ""


Outcome = Hit | Unsaid


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One rule.

    Attributes:
        id: for example ``MAN-01``.
        hazard: what it guards against.
        result: what it gives when it fires.
        words: what is read then.
        look: the condition: gives what it found in an entry and what it could not know.
        sources: keys of works.
        binds: whom the source binds, where it is a law or an official advice.
        whose: whether the number is the source's (``theirs``), partly ours (``part``) or ours (``ours``).
        instead: keys of safe ways.
        figure: the number or judgement in it that is our own, and needs a competent person's word.
        judged: ``review``, or ``start`` where a fact of the place decides: the entry must ask for it, and the rule is
            judged again with what the place answers.
    """

    id: str
    hazard: str
    result: Result
    words: str
    look: Callable[[Entry], Iterable[Outcome]]
    sources: tuple[str, ...]
    whose: Literal["theirs", "part", "ours"]
    binds: str = ""
    instead: tuple[str, ...] = ()
    figure: str = ""
    judged: Literal["review", "start"] = "review"


def each(group: str, condition: Callable[[Case], Iterable[Outcome]]) -> Callable[[Entry], Iterator[Outcome]]:
    """Look at each item of a group: nothing where the group is ruled out, not said where it is missing."""

    def look(entry: Entry) -> Iterator[Outcome]:
        if entry.facts.not_said(group):
            yield Unsaid((f"facts.{group}",))
        for case in cases(entry, group):
            yield from condition(case)

    return look


def fires(truth: Truth, hit: Hit) -> Iterator[Outcome]:
    """Give the hit where the condition is true, and what is missing where it cannot be known."""
    if isinstance(truth, Unsaid):
        yield truth
    elif truth:
        yield hit


def asked_at_start(entry: Entry, code: str, field: str, *, ask: str) -> Iterator[Outcome]:
    """For a fact of the place that is missing: not said at the start; before it, the entry itself must ask for it."""
    if entry.facts.at_place:
        yield Unsaid((field,))
    elif code not in entry.facts.demands:
        yield Hit(field=field, result="answer", ask=ask)
