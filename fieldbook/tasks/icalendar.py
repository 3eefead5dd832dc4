"""What is due as an iCalendar file, for the calendar of a phone.

What it is: the few lines of RFC 5545 that all-day events need. What it is not: a reader, time zones, alarms. Its one
rule: nothing personal stands in it, and the same thing to do has the same name in every file, so that a phone puts the
new one in the place of the old.

Source: RFC 5545, sections 3.1 (lines, folding), 3.3.11 (text), 3.4 (object), 3.6.1 (event), 3.8.4.7 (names).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

LINE_OCTETS = 75  # RFC 5545, 3.1: without the break
_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n", "\r": None})


@dataclass(frozen=True, slots=True)
class DayEvent:
    """One all-day event.

    Attributes:
        uid: Its name, the same in every file.
        first: Its first day.
        last: Its last day.
        summary: What to do.
    """

    uid: str
    first: dt.date
    last: dt.date
    summary: str


def calendar_text(events: Iterable[DayEvent], *, stamp: dt.datetime, name: str) -> str:
    """A whole iCalendar file.

    Args:
        events: What stands in it.
        stamp: When it was made, in UTC.
        name: What the calendar is called.

    Returns:
        The text, with the line breaks and folds of the standard.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Tried Ground//What is due//EN", f"NAME:{_text(name)}"]
    for event in events:
        lines += _event(event, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _event(event: DayEvent, stamp: dt.datetime) -> list[str]:
    after = event.last + dt.timedelta(days=1)  # the end of an all-day event is the day after its last (3.6.1)
    return [
        "BEGIN:VEVENT",
        f"UID:{event.uid}",
        f"DTSTAMP:{stamp.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{event.first:%Y%m%d}",
        f"DTEND;VALUE=DATE:{after:%Y%m%d}",
        f"SUMMARY:{_text(event.summary)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _text(words: str) -> str:
    return words.translate(_ESCAPED)


def _folded(line: str) -> Iterator[str]:
    """The pieces of a line: at most 75 octets, no character cut, a space before all but the first."""
    piece, size = "", 0
    for character in line:
        width = len(character.encode())
        if size + width > LINE_OCTETS:
            yield piece
            piece, size = " ", 1
        piece, size = piece + character, size + width
    yield piece
