"""The bed book and what is due from a terminal."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from icalendar import Calendar

from fieldbook.tasks.days import date_words
from tests.cli.terminal import refused

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def test_a_bed_is_written_in_noted_and_shown(terminal: Terminal) -> None:
    """7 CFR 205.203(c)(1)(ii): 120 days after the dung; the terminal goes by the clock of this machine."""
    assert terminal.at("C", "bed").done().out == "Nothing stands in the bed book yet.\n"
    today = dt.date.fromisoformat(terminal.asked("C", "due")["today"])
    before, first = today - dt.timedelta(days=30), date_words(today + dt.timedelta(days=90))
    terminal.at("C", "bed", "B3", "--add", "bed", "--day", before, "--area", "2").done()
    out = terminal.at("C", "bed", "B3", "--note", "dung", "--day", before).done().out
    assert f"not before {first} (120 days after dung on {date_words(before)}; cfr205-c1-ii)" in out
    terminal.at("C", "bed", "B3", "--note", "planted", "--crop", "kale", "--raised", "seedling").done()
    document = terminal.asked("C", "bed", "B3")
    assert document["plantings"][0]["first_picking"] == first
    assert [one["what"] for one in document["history"]] == ["dung", "planted"]
    assert [one["label"] for one in terminal.asked("C", "bed")["spots"]] == ["B3"]
    terminal.at("C", "bed", "B3", "--note", "spray", "--said", "soap", "--wait", "3").done()
    terminal.at(
        "C", "bed", "B3", "--note", "officer", "--said", "health officer", "--until", (today + dt.timedelta(days=200))
    ).done()


def test_a_picking_in_a_wait_is_refused_with_the_earliest_day(terminal: Terminal) -> None:
    terminal.at("C", "bed", "B3", "--add", "bed", "--by-hand").done()
    terminal.at("C", "bed", "B3", "--note", "dung").done()
    terminal.at("C", "bed", "B3", "--note", "planted", "--crop", "maize", "--raised", "seed", "--clear").done()
    terminal.at("C", "bed", "B3", "--mark", "89", "--sure").done()
    refused(terminal.at("C", "bed", "B3", "--note", "picked"), "dung on day 0 asks for 90 days", "wait until day 90")
    terminal.at("C", "bed", "B3", "--mark", "90").done()
    terminal.at("C", "bed", "B3", "--note", "picked").done()
    refused(terminal.at("C", "bed", "B9"), "there is no 'B9' in the bed book")


def test_what_is_due_is_listed_and_written_as_a_calendar_file(terminal: Terminal) -> None:
    today = terminal.asked("C", "due")["today"]
    terminal.at("C", "bed", "B3", "--add", "bed", "--day", today).done()
    terminal.at("C", "bed", "B3", "--note", "pond_water", "--day", today).done()
    assert "The wait after pond water over leaves ends" in terminal.at("C", "due").done().out
    assert [one["at"] for one in terminal.asked("C", "due", "--weeks", "2")["ahead"]] == ["B3"]
    assert terminal.asked("C", "due", "--weeks", "1")["ahead"] == []
    for weeks in ("9999", "0", "-1", "two"):
        refused(terminal.at("C", "due", f"--weeks={weeks}"), f"'{weeks}' is no number of weeks from 1 to 52", code=2)
    file = terminal.folder / "due.ics"
    terminal.at("C", "due", "--ics", file).done()
    assert len(Calendar.from_ical(file.read_bytes()).walk("VEVENT")) == 1
    refused(terminal.at("C", "due", "--day", "2027-02-30"), "there is no day '2027-02-30'")
