"""Slips as pages and paper show them: the questions by whom to ask, faults at their boxes, one line for each place.

Pure; not the judging. Its one rule: a question keeps its own words everywhere, in the reader's language where we have
them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.tasks.days import date_words
from fieldbook.web.boxes import plain_number
from fieldbook.web.said import Said, in_language
from fieldbook.web.size_words import SizeInUse, size_in_use
from fieldbook.web.words import Told, retold, told

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.practices import Entry, Fault
    from fieldbook.quantities.measures import LocalMeasure
    from fieldbook.review.allowing import Allowance
    from fieldbook.review.slip_table import Question
    from fieldbook.site import Begun, JudgedSlip

LOOK = ""  # the role of whoever begins: they look for themselves


@dataclass(frozen=True)
class Asked:
    """The questions for one role; ``heading`` says whom to ask."""

    role: str
    heading: str
    questions: tuple[tuple[Question, Told], ...]


@dataclass(frozen=True)
class SlipLine:
    """A slip in a list: where it stands, of what, and how it stands."""

    number: int
    place: str
    title: Any
    stands: Told


@dataclass(frozen=True)
class UseLine:
    """A practice in use: ``since`` is its day in words, ``stands`` what is wrong with its answers now, if anything."""

    number: int
    place: str
    title: Any
    since: str
    stands: Told | None
    slip: int | None
    edition: str


@dataclass(frozen=True)
class UseHere:
    """A practice in use at a spot; ``sized`` are its amounts in a size of this site, None where none can be told."""

    begun: Begun
    title: Said
    since: str
    sized: SizeInUse | None


def asked_groups(questions: Sequence[Question]) -> list[Asked]:
    """The questions by the role that is asked, those to look at oneself last."""
    roles = [*(role for role in ROLES_HERE if any(one.ask == role for one in questions)), LOOK]
    found = []
    for role in roles:
        of_role = tuple((one, retold(one.words)) for one in questions if one.ask == role)
        if of_role:
            found.append(Asked(role, f"Ask the {ROLES_HERE[role]}" if role else "Look for yourself", of_role))
    return found


def said_by_form(form: Mapping[str, str], questions: Iterable[Question]) -> tuple[dict[str, str], dict[str, str]]:
    """What a form says: the answers by code, and the day of each role's word, digits of any script as ASCII ones."""
    asked = list(questions)
    answers = {one.code: plain_number(form.get(one.code, "").strip()) for one in asked}
    days = {one.ask: plain_number(form.get(f"said_on.{one.ask}", "").strip()) for one in asked if one.ask}
    return answers, days


def fault_places(faults: Iterable[Fault], questions: Iterable[Question]) -> dict[str, Told]:
    """Each fault at its box; what belongs to none stands at the top, under ``place``."""
    boxes = {one.code for one in questions}
    found: dict[str, Told] = {}
    for one in faults:
        known = one.field in boxes or one.field.startswith("said_on.")
        found.setdefault(one.field if known else "place", told(one.message, one.hint))
    return found


def sources_once(allows: Iterable[Allowance]) -> list[str]:
    """What computed figures rest on, each work once."""
    return list(dict.fromkeys(work for one in allows for work in one.source.split("; ")))


def slip_line(judged: JudgedSlip, title: Any) -> SlipLine:
    """One slip in a list."""
    words = judged.against
    stands = retold("may begin") if judged.may_begin else retold(words, where="Not yet")
    return SlipLine(judged.slip.number, judged.slip.place, title, stands)


def use_line(begun: Begun, title: Any, slips: Iterable[JudgedSlip]) -> UseLine:
    """One practice in use."""
    judged = next((slip for slip in slips if slip.slip.number == begun.slip), None)
    stands = None
    if begun.stop:
        stands = retold(begun.stop, where="Stop")
    elif judged is not None and not judged.may_begin:
        stands = retold(judged.against, where="Ask again")
    number = None if judged is None else judged.slip.number
    return UseLine(begun.number, begun.place, title, _since(begun), stands, number, begun.edition)


def use_here(begun: Begun, entry: Entry, preferred: Sequence[str], measures: Sequence[LocalMeasure]) -> UseHere:
    """One practice in use at a spot of the bed book, with its amounts where it was begun in a size of this site."""
    sized = None if begun.size is None else size_in_use(entry, begun.size, preferred, measures)
    title = in_language(entry.title, preferred) or Said("en", "a practice entry")
    return UseHere(begun=begun, title=title, since=_since(begun), sized=sized)


def _since(begun: Begun) -> str:
    return "on a day that no clock here could tell" if begun.day is None else f"on {date_words(begun.day)}"
