"""What is due at a site: by day and bed, ticked, and as a file for a phone's calendar."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from fieldbook.tasks.days import TaskError
from tests.orrendal import NOON, Circle, copy_of_circle, fast_folder

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site import Site

TODAY = NOON.date()


@pytest.fixture(scope="module")
def shared() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def site(shared: Circle) -> Iterator[Site]:
    """Cloudstep with a nursery of kale for B3, sown on 28 October: to be planted out from 25 November."""
    site = shared["C"]
    site.beds.add("B3", kind="bed", day_zero="2026-10-28")
    site.beds.write_down("B3", "planted", "2026-10-28", crop="kale", raised="nursery")
    yield site
    site.clock = lambda: NOON
    for record in (r for kind in ("spot", "happening", "tick") for r in site.notebook.records(kind)):
        site.notebook.remove_record(record)


def test_what_is_due_today_is_told_with_its_last_day(site: Site) -> None:
    (line,) = site.due.ahead(TODAY, days=7)
    assert (line.place.label, line.when, line.until) == ("B3", "25 November 2026", "9 December 2026")
    assert line.said["en"].startswith("Plant out the seedlings: Kale")


def test_what_was_not_done_waits_and_is_late_after_its_last_day(site: Site) -> None:
    (line,) = site.due.waiting(dt.date(2026, 12, 1))
    assert (line.late, site.due.ahead(dt.date(2026, 12, 1), days=7)) == (False, ())
    (line,) = site.due.waiting(dt.date(2026, 12, 10))
    assert line.late


def test_a_tick_marks_one_thing_and_moves_nothing(site: Site) -> None:
    before = [(one.key, one.day) for place in site.due.places(TODAY) for one in place.tasks]
    (line,) = site.due.ahead(TODAY, days=7)
    assert site.due.tick([line.name, line.name], today=TODAY) == 1
    assert site.due.tick([line.name], today=TODAY) == 0
    assert [one.due.done for one in site.due.ahead(TODAY, days=7)] == [True]
    assert site.due.waiting(dt.date(2026, 12, 10)) == ()
    assert [(one.key, one.day) for place in site.due.places(TODAY) for one in place.tasks] == before
    site.due.untick(line.name)
    assert [one.due.done for one in site.due.ahead(TODAY, days=7)] == [False]


@pytest.mark.parametrize("name", ["spot-999/h1-out", "spot-1", "", "h1/", "\x00/\x00"])
def test_only_what_is_due_here_can_be_ticked_and_else_nothing_is(site: Site, name: str) -> None:
    (line,) = site.due.ahead(TODAY, days=7)
    with pytest.raises(TaskError, match="is not due here any more"):
        site.due.tick([line.name, name], today=TODAY)
    with pytest.raises(TaskError, match="is not due here any more"):
        site.due.tick([f"{line.name}@3"], today=TODAY)
    assert not site.due.ahead(TODAY, days=7)[0].due.done


def test_the_calendar_file_has_the_same_names_each_time_and_no_person(site: Site) -> None:
    first, again = (Calendar.from_ical(site.due.calendar_file(TODAY)) for _ in range(2))
    events = first.walk("VEVENT")
    assert [str(one["uid"]) for one in events] == [str(one["uid"]) for one in again.walk("VEVENT")]
    assert [(one.decoded("dtstart"), str(one["summary"]).partition(":")[0]) for one in events][:2] == [
        (dt.date(2026, 11, 25), "B3"),
        (dt.date(2027, 1, 9), "B3"),
    ]
    assert events[0].decoded("dtend") == dt.date(2026, 12, 10)
    site.due.tick([site.due.ahead(TODAY, days=1)[0].name], today=TODAY)
    assert len(Calendar.from_ical(site.due.calendar_file(TODAY)).walk("VEVENT")) == len(events) - 1


def test_without_a_clock_there_is_no_calendar_file_and_beds_counted_by_hand_go_on(site: Site) -> None:
    site.beds.add("B4", kind="bed", by_hand=True)
    site.beds.write_down("B4", "pond_water", "0")
    site.beds.mark("B4", "10")
    assert {
        str(one["summary"]).partition(":")[0]
        for one in Calendar.from_ical(site.due.calendar_file(TODAY)).walk("VEVENT")
    } == {"B3"}
    site.clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    with pytest.raises(TaskError, match="so it can make no calendar"):
        site.due.calendar_file(TODAY)
    today = site.beds.today()
    assert today is None
    assert [(one.place.label, one.when) for one in site.due.ahead(today, days=7)] == [("B4", "day 12")]
    assert site.due.unknown(today) == ("B3",)
    assert {one.place.label for one in site.due.ahead(site.beds.today("2026-11-25"), days=7)} == {"B3", "B4"}


def test_a_line_can_be_read_by_a_machine(site: Site) -> None:
    (line,) = site.due.ahead(TODAY, days=7)
    document = line.as_document()
    assert (document["at"], document["date"], document["until"]) == ("B3", "2026-11-25", "9 December 2026")
    assert (document["done"], document["late"]) == (False, False)
