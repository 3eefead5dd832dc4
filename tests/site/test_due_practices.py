"""Practices that were begun at a place: their steps and the days to call back are due, until the practice is stopped."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from fieldbook.tasks.days import TaskError
from tests.orrendal import NOON, copy_of_circle, fast_folder
from tests.roofs import ANSWERS, PLACE, roof_bed
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site import Site
    from tests.orrendal import Circle

TODAY = NOON.date()
STEPS = [
    {"say": {"en": "Shake the sack.", "fr": "Secouez le sac."}, "day_offset": 3},
    {"say": {"en": "Thin it, 1 part to 2 of water."}, "day_offset": 10},
    {"say": {"en": "Refill the cups."}, "day_offset": 7, "repeat": {"every_days": 7, "until": "season-end"}},
]


@pytest.fixture
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


def begun(circle: Circle) -> str:
    """A practice begun on the roof of block C; its edition."""
    edition = circle.write(
        "C1", roof_bed({"en": "A bed on a roof", "fr": "Un bac sur le toit"}) | {"steps": STEPS, "unread": ["en", "fr"]}
    )
    starting, signer = circle["C"].starting, circle.signer("C1")
    slip = starting.answer(edition, place=PLACE, answers=ANSWERS, signer=signer)
    starting.begin(slip.slip.number, signer=signer)
    return edition


def due(site: Site, today: dt.date | None = TODAY, days: int = 40) -> list[tuple[str, str]]:
    return [(line.when, line.said["en"]) for line in site.due.ahead(today, days=days)]


def test_the_steps_of_a_practice_get_dates_and_the_days_to_call_back(circle: Circle) -> None:
    """Shaken on day 3, thinned on day 10, refilled each week; called back on day 7, 14 and 30 (ours)."""
    begun(circle)
    found = due(circle["C"])
    assert found[:4] == [
        ("28 November 2026", "Shake the sack."),
        ("2 December 2026", "Refill the cups."),
        ("2 December 2026", "Call back: is it still done, was it changed, did it fail?"),
        ("5 December 2026", "Thin it, 1 part to 2 of water."),
    ]
    called = [when for when, words in found if words.startswith("Call back")]
    assert called == ["2 December 2026", "9 December 2026", "25 December 2026"]
    assert [when for when, words in found if words.startswith("Refill")][-1] == "30 December 2026"
    events = Calendar.from_ical(circle["C"].due.calendar_file(TODAY)).walk("VEVENT")
    assert any(str(one["summary"]) == f"{PLACE}: Shake the sack." for one in events)


def test_a_step_that_comes_back_is_ticked_for_its_day_alone(circle: Circle) -> None:
    begun(circle)
    lines = [line for line in circle["C"].due.ahead(TODAY, days=20) if line.said["en"].startswith("Refill")]
    assert circle["C"].due.tick([lines[0].name], today=TODAY) == 1
    again = [line for line in circle["C"].due.ahead(TODAY, days=20) if line.said["en"].startswith("Refill")]
    assert [line.due.done for line in again] == [True, False]
    with pytest.raises(TaskError, match="is not due here any more"):
        circle["C"].due.tick([f"{lines[0].place.about}/step-2@8"], today=TODAY)


def test_of_a_practice_that_was_withdrawn_or_ended_nothing_is_due(circle: Circle) -> None:
    edition = begun(circle)
    circle.carry("CL")
    circle.recall("L2", edition)
    circle.carry("LC")
    assert due(circle["C"]) == []
    assert circle["C"].due.waiting(dt.date(2026, 12, 20)) == ()


def test_what_was_begun_without_a_clock_is_counted_by_hand(circle: Circle) -> None:
    circle.open("C", clock=lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC))
    begun(circle)
    site = circle["C"]
    assert due(site, None, days=5) == [("day 3", "Shake the sack.")]
    (place,) = site.due.places(None)
    visitor = visitor_of(circle).sit("C1")
    visitor.get("/due/")
    assert read_page(visitor.page).judged() == []
    visitor.post("/due/mark", {"about": place.about, "day": "6"})
    assert "day 7" in visitor.words()
    assert "Refill the cups." in visitor.words()
    assert due(site, None, days=5)[0] == ("day 7", "Refill the cups.")
    visitor.post("/due/mark", {"about": place.about, "day": "soon"})
    assert (visitor.status, "'soon' is no day number" in visitor.words()) == (422, True)
    with pytest.raises(TaskError, match="its days are not marked by hand here"):
        site.due.mark("begun-999", "3")


def test_words_of_a_step_are_shown_in_the_readers_language(circle: Circle) -> None:
    begun(circle)
    reader = visitor_of(circle)
    reader.get("/due/?language=fr")
    assert 'lang="fr"' in reader.page
    assert "Secouez le sac." in reader.words()
    reader.get("/due/strips")
    assert (reader.status, read_page(reader.page).judged()) == (200, [])
