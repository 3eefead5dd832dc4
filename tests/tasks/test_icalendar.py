"""What is due as a file for a phone's calendar, read back by a library that we did not write (icalendar)."""

from __future__ import annotations

import datetime as dt
import re

from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from fieldbook.tasks.icalendar import LINE_OCTETS, DayEvent, calendar_text

STAMP = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=120)


def event(summary: str = "B3: shake", first: dt.date = dt.date(2027, 2, 28), last: dt.date | None = None) -> DayEvent:
    return DayEvent("0123abcd", first, last or first, summary)


def read(*events: DayEvent, name: str = "What is due") -> Calendar:
    return Calendar.from_ical(calendar_text(events, stamp=STAMP, name=name))


def test_an_all_day_event_ends_on_the_day_after_its_last() -> None:
    """RFC 5545, 3.6.1: DTEND is not part of the event; values of type DATE (3.3.4) for all-day events."""
    (one,) = read(event(first=dt.date(2028, 2, 28), last=dt.date(2028, 2, 29))).walk("VEVENT")
    assert (one.decoded("dtstart"), one.decoded("dtend")) == (dt.date(2028, 2, 28), dt.date(2028, 3, 1))
    assert str(one["uid"]) == "0123abcd"
    assert one.decoded("dtstamp") == STAMP


def test_a_file_has_what_every_reader_demands() -> None:
    """RFC 5545, 3.4 and 3.6: one VCALENDAR with PRODID and VERSION; 3.6.1: UID and DTSTAMP in each event."""
    text = calendar_text([event()], stamp=STAMP, name="x")
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert read().walk("VEVENT") == []


def test_what_would_break_a_line_is_escaped() -> None:
    """RFC 5545, 3.3.11: backslash, semicolon, comma and line break in text."""
    text = calendar_text([event("a; b, c \\ d\ne")], stamp=STAMP, name="x")
    assert "SUMMARY:a\\; b\\, c \\\\ d\\ne\r\n" in text


@given(summary=WORDS, name=WORDS)
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_any_words_come_back_and_no_line_is_longer_than_75_octets(summary: str, name: str) -> None:
    """RFC 5545, 3.1: lines SHOULD NOT be longer than 75 octets, excluding the line break."""
    text = calendar_text([event(summary)], stamp=STAMP, name=name)
    assert max(len(line) for line in text.encode().split(b"\r\n")) <= LINE_OCTETS
    (one,) = read(event(summary), name=name).walk("VEVENT")
    assert str(one["summary"]) == summary


def test_arabic_words_are_not_cut_inside_a_letter() -> None:
    said = "قلّب الكومة " * 12
    text = calendar_text([event(said)], stamp=STAMP, name="x")
    assert all(line.decode() for line in text.encode().split(b"\r\n") if line)
    assert re.sub(r"\r\n ", "", text).count(said) == 1
