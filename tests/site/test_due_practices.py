"""Practices that were begun at a place: their steps and the days to call back are due, until the practice is stopped."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from fieldbook.tasks.days import TaskError
from tests.orrendal import NOON, copy_of_circle, fast_folder, practice
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


def stopped(circle: Circle) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.begun.stop, one.said) for one in circle["C"].due.stopped()]


def pages_say(circle: Circle, *said: str) -> None:
    """The page of what is due, the strips and the practice's own bed say so; readers without a name too."""
    circle["C"].beds.add("B3", kind="bed", day_zero="2026-11-01", area_m2="1")
    reader = visitor_of(circle)
    for path in ("/due/", "/due/strips"):
        reader.get(path)
        assert all(words in reader.words() for words in (f"{PLACE} : stop.", *said))
        assert read_page(reader.page).judged() == []
    reader.get("/beds/B3")
    assert f"{PLACE} : stop." not in reader.words()


def test_of_a_withdrawn_practice_in_use_the_page_says_what_to_do_now_and_instead(circle: Circle) -> None:
    edition = begun(circle)
    circle.carry("CL")
    circle.recall("L2", edition)
    circle.carry("LC")
    assert stopped(circle) == [("it was withdrawn: do not use it", ("Pour it away.", "Use soap."))]
    pages_say(circle, "It was withdrawn: do not use it.", "Pour it away.", "Use soap.")


def test_nothing_is_due_of_what_is_paused_here_until_the_pause_ends(circle: Circle) -> None:
    edition = begun(circle)
    site, signer = circle["C"], circle.signer("C1")
    site.hold(edition, signer=signer, reason="A child's skin burnt.")
    assert due(site) == []
    assert stopped(circle) == [("it is paused at this site", ("A child's skin burnt.",))]
    pages_say(circle, "It is paused at this site.", "A child's skin burnt.")
    site.release(edition, signer=signer)
    assert stopped(circle) == []
    assert due(site)[0] == ("28 November 2026", "Shake the sack.")


def test_nothing_is_due_of_what_was_heard_over_a_radio_and_its_words_are_said(circle: Circle) -> None:
    edition = begun(circle)
    circle.carry("CL")
    circle.recall("L2", edition)
    (stop,) = circle["L"].stops.of(edition)
    circle["C"].hearing.hear(stop.lines.first, stop.lines.second, signer=circle.signer("C1"))
    assert due(circle["C"]) == []
    assert stopped(circle) == [("it is paused at this site", ("POUR IT AWAY",))]


def test_nothing_is_due_of_what_is_out_of_date_or_sent_back_and_what_takes_its_place_is_named(circle: Circle) -> None:
    edition = begun(circle)
    site, reviewer = circle["C"], circle.signer("C3")
    other = circle.write("C1", practice("A bed on posts"))
    site.send_back(edition, signer=reviewer, reason="Say how deep.")
    assert [why for why, _ in stopped(circle)] == ["it was sent back to its author"]
    site.retire(edition, signer=reviewer, reason="Posts carry more.", replaced_by=other)
    assert stopped(circle) == [("it is out of date", ("Posts carry more.",))]
    assert site.due.stopped()[0].instead == other
    assert due(site) == []
    pages_say(circle, "It is out of date.", "Posts carry more.", "what takes its place")


def test_nothing_is_due_of_what_was_taken_back(circle: Circle) -> None:
    edition = begun(circle)
    circle["C"].take_back(edition, signer=circle.signer("C1"))
    assert due(circle["C"]) == []
    assert stopped(circle) == [("its words are not here any more", ())]
    pages_say(circle, "Its words are not here any more.")


def test_a_bed_says_that_the_practice_whose_place_names_it_is_stopped(circle: Circle) -> None:
    edition = circle.write("C1", roof_bed())
    starting, signer = circle["C"].starting, circle.signer("C1")
    slip = starting.answer(edition, place="roof above bed b 3", answers=ANSWERS, signer=signer)
    starting.begin(slip.slip.number, signer=signer)
    circle["C"].hold(edition, signer=signer, reason="The beam bends.")
    circle["C"].beds.add("B3", kind="bed", day_zero="2026-11-01", area_m2="1")
    reader = visitor_of(circle)
    reader.get("/beds/B3")
    assert "roof above bed b 3 : stop. It is paused at this site. The beam bends." in reader.words()


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
