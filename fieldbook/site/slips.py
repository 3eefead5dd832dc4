"""The papers of practices that begin here, as values: slips with their answers, what happened, what is in use.

They stand in the notebook and never leave. Not the judging (``review.starting``). Its one rule: a paper that newer
software wrote is read as far as it is known, and what is not known counts as not answered.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.notebook import Record
    from fieldbook.review.lapsing import Lapse
    from fieldbook.review.slip_table import Question
    from fieldbook.review.starting import Outcome

SLIP, EVENT, BEGUN = "slip", "event", "begun"  # the kinds of record
PLACE_MAX = 60  # characters: what tells places of one site apart
_LABEL_BETWEEN = r"[\s./-]?"  # people write B3, B 3 and b-3
_TELLING = re.compile(r"(?:\d[\s./-]?){6,}|@")  # a telephone, a card or coordinates have no place in it


@dataclass(frozen=True)
class Slip:
    """What a place answered for one exact edition.

    Attributes:
        number: of the record.
        entry: the entry's id.
        edition: the exact edition's.
        place: words that tell places of this site apart; never an address or a person.
        answers: by the code of the question, as text.
        said_on: for a role that was asked the day of its word.
        day: when it was answered; None where the clock was in doubt.
        exchanges: how many exchanges this site had had then.
        events_seen: the number of the last event that was known then.
        by: the person who answered, by label.
    """

    number: int
    entry: str
    edition: str
    place: str
    answers: Mapping[str, str]
    said_on: Mapping[str, dt.date]
    day: dt.date | None
    exchanges: int
    events_seen: int
    by: str

    @property
    def given_on(self) -> dt.date | None:
        """The day of the oldest word in it, where any day is known."""
        return min((*self.said_on.values(), *([self.day] if self.day else [])), default=None)


@dataclass(frozen=True)
class JudgedSlip:
    """A slip as it stands now.

    Attributes:
        slip: what was answered.
        questions: what its edition asks.
        outcome: what the answers come to.
        lapse: why they no longer hold, or None.
        standing: why its edition may not be begun at all, a clause; empty where nothing stands against it.
        limits: what its reviewers allowed it with.
    """

    slip: Slip
    questions: tuple[Question, ...]
    outcome: Outcome
    lapse: Lapse | None
    standing: str
    limits: tuple[str, ...]

    @property
    def may_begin(self) -> bool:
        """True where nothing stands against beginning."""
        return self.outcome.may_begin and self.lapse is None and not self.standing

    @property
    def against(self) -> str:
        """The first thing that stands against beginning, a clause; empty where there is none."""
        if self.standing or self.lapse is not None:
            return self.standing or ("" if self.lapse is None else self.lapse.words)
        return self.outcome.reasons[0].words if self.outcome.reasons else ""

    def as_document(self) -> dict[str, Any]:
        """The slip and what it comes to, as JSON."""
        slip = self.slip
        return {
            "slip": slip.number,
            "entry": slip.entry,
            "edition": slip.edition,
            "place": slip.place,
            "answers": dict(slip.answers),
            "said_on": {role: day.isoformat() for role, day in slip.said_on.items()},
            "answered_on": None if slip.day is None else slip.day.isoformat(),
            **self.outcome.as_document(),
            "may_begin": self.may_begin,
            "lapsed": None if self.lapse is None else {"by": self.lapse.by, "words": self.lapse.words},
            "standing": self.standing,
            "limits": list(self.limits),
        }


@dataclass(frozen=True)
class Event:
    """That something happened here which may have changed places: a code of `EVENTS`, where, and when it was said.

    ``place`` is empty where it concerns all of the site; ``day`` is None where the clock was in doubt.
    """

    number: int
    event: str
    place: str
    day: dt.date | None


@dataclass(frozen=True)
class Begun:
    """A practice in use at a place of this site.

    Attributes:
        number: of the record; never given again.
        entry: the entry's id.
        edition: the exact edition's.
        place: the words of its slip.
        day: when it was begun; None where the clock was in doubt: then that day is day 0 and people count by hand.
        slip: the number of its slip.
        stop: why nothing of it is due any more, a clause: withdrawn since, paused, sent back, out of date, stopped by a
            rule, or known here no more; empty where it may be gone on with.
        size: the size in which it was begun, as it was kept; None where it is made as the entry says.
    """

    number: int
    entry: str
    edition: str
    place: str
    day: dt.date | None
    slip: int
    stop: str = ""
    size: Mapping[str, Any] | None = None


def place_words(text: str) -> str:
    """The words for a place, checked.

    Raises:
        SiteError: there are none, they are too long, or they tell more than a place.
    """
    words = " ".join(text.split())
    if not words:
        raise SiteError(
            "no place was named", hint="write a few words that tell it apart here, such as: roof of block C"
        )
    if len(words) > PLACE_MAX:
        raise SiteError("the words for the place are too long", hint=f"keep them to {PLACE_MAX} characters")
    if _TELLING.search(words):
        raise SiteError(
            "the words for the place hold a long number or an address",
            hint="write words that only this site understands, such as: roof of block C",
        )
    return words


def is_at(happened: str, place: str) -> bool:
    """Whether what happened at one place concerns another's slip: the same words, or a stake's label that it names.

    Args:
        happened: where it happened, such as ``B3``; empty for everywhere.
        place: the words of a slip, such as ``two sacks beside bed b 3``.
    """
    there, words = happened.casefold(), place.casefold()
    label = re.fullmatch(r"([a-z]{1,2})([0-9]{1,3})", there)
    if not there or there == words or label is None:
        return there in {"", words}
    return re.search(rf"(?<![a-z0-9]){label[1]}{_LABEL_BETWEEN}{label[2]}(?![0-9])", words) is not None


def slip_of(record: Record) -> Slip:
    """A slip from its record."""
    kept = record.document
    said_on = {role: day for role, text in dict(kept.get("said_on") or {}).items() if (day := day_of(text)) is not None}
    return Slip(
        number=record.number,
        entry=str(kept.get("entry", record.about)),
        edition=str(kept.get("edition", "")),
        place=str(kept.get("place", "")),
        answers=MappingProxyType({str(code): str(said) for code, said in dict(kept.get("answers") or {}).items()}),
        said_on=MappingProxyType({role: day for role, day in said_on.items() if role in ROLES_HERE}),
        day=day_of(kept.get("day")),
        exchanges=int(kept.get("exchanges", 0)),
        events_seen=int(kept.get("events_seen", 0)),
        by=str(kept.get("by", "")),
    )


def event_of(record: Record) -> Event:
    """An event from its record."""
    kept = record.document
    return Event(record.number, str(kept.get("event", "")), str(kept.get("place", "")), day_of(kept.get("day")))


def begun_of(record: Record, *, stop: str = "") -> Begun:
    """A practice in use from its record."""
    kept = record.document
    return Begun(
        number=record.number,
        entry=record.about,
        edition=str(kept.get("edition", "")),
        place=str(kept.get("place", "")),
        day=day_of(kept.get("day")),
        slip=int(kept.get("slip", 0)),
        stop=stop,
        size=None if kept.get("size") is None else MappingProxyType(_parts(kept["size"])),
    )


def _parts(kept: Any) -> dict[str, Any]:
    return dict(kept) if isinstance(kept, dict) else {}


def day_of(text: Any) -> dt.date | None:
    """A day as it is kept, or None."""
    try:
        return dt.date.fromisoformat(text) if isinstance(text, str) else None
    except ValueError:
        return None
