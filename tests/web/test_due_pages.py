"""What is due by page: seen, ticked, printed as six weeks, carried to a phone; and the four changes."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from fieldbook.climate.year import MONTH_NAMES
from fieldbook.site.season import crop_table
from tests.climate.records import DATA
from tests.orrendal import NOON, copy_of_circle, fast_folder
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor


@pytest.fixture(scope="module")
def shared() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def visitor(shared: Circle) -> Iterator[Visitor]:
    """A reader at Cloudstep on 25 November 2026: kale for B3 is to be planted out, amaranth in B4 soon to be picked."""
    site = shared["C"]
    beds = site.beds
    beds.add("B3", kind="bed", day_zero="2026-10-28")
    beds.write_down("B3", "planted", "2026-10-28", crop="kale", raised="nursery")
    beds.add("B4", kind="bed", day_zero="2026-11-08", area_m2="2")
    beds.write_down("B4", "planted", "2026-11-08", crop="amaranth", raised="seed")
    yield visitor_of(shared)
    site.clock = lambda: NOON
    for record in (r for kind in ("spot", "happening", "tick", "event") for r in site.notebook.records(kind)):
        site.notebook.remove_record(record)


def names(visitor: Visitor) -> list[str]:
    boxes = [named for tag, named in read_page(visitor.page).tags if tag == "input" and named.get("name") == "done"]
    return [one["value"] or "" for one in boxes]


def test_what_is_due_is_shown_by_day_and_bed(visitor: Visitor) -> None:
    visitor.get("/due/")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "Today is 25 November 2026." in visitor.words()
    assert "25 November 2026 B3 Plant out the seedlings: Kale" in visitor.words()
    assert "29 November 2026 B4 Look whether it can be picked: Amaranth" in visitor.words()
    assert names(visitor) == []


def test_a_tick_is_kept_and_shown_as_done(visitor: Visitor) -> None:
    visitor.sit("C1").get("/due/")
    first, *_ = names(visitor)
    visitor.post("/due/", {"done": first})
    assert "Kept: 1 thing done." in visitor.words()
    assert "Plant out the seedlings: Kale / collard / sukuma wiki. Until 9 December 2026. Done." in visitor.words()
    assert f'<option value="{first}">25 November 2026, B3: Plant out the seedlings' in visitor.page
    visitor.post("/due/not-done", {"name": first})
    assert first in names(visitor)
    assert "Ticked by mistake?" not in visitor.words()
    visitor.post("/due/", {"done": "spot-0/h0-out"})
    assert (visitor.status, "What was ticked is not due here any more." in visitor.words()) == (422, True)
    visitor.get("/due/")
    visitor.post("/due/", {})
    assert "Nothing was ticked." in visitor.words()


def test_the_ticks_of_last_week_are_typed_in(visitor: Visitor) -> None:
    visitor.site.clock = lambda: dt.datetime(2026, 11, 30, tzinfo=dt.UTC)
    visitor.get("/due/week")
    assert (visitor.status, names(visitor)) == (200, [])
    visitor.sit("C1").get("/due/week")
    assert read_page(visitor.page).judged() == []
    assert "25 November 2026 B3 Plant out the seedlings" in visitor.words()
    typed = names(visitor)
    assert len(typed) == 2
    visitor.post("/due/", {"done": typed})
    assert "Kept: 2 things done." in visitor.words()
    visitor.get("/due/week")
    assert (names(visitor), visitor.words().count("Done.")) == ([], 2)


def test_what_is_late_is_said_in_words(visitor: Visitor) -> None:
    visitor.site.clock = lambda: dt.datetime(2026, 12, 20, tzinfo=dt.UTC)
    visitor.get("/due/")
    assert "Begun, and not done yet" in visitor.words()
    assert "Late." in visitor.words()


def test_without_a_clock_the_day_is_asked_for(visitor: Visitor) -> None:
    visitor.site.clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    visitor.get("/due/")
    assert "Not shown, since nobody knows which day it is there: B3 and B4." in visitor.words()
    visitor.get("/due/?day=2026-11-25")
    assert "B3 Plant out the seedlings" in visitor.words()
    visitor.get("/due/?day=2026-02-30")
    assert (visitor.status, "There is no day '2026-02-30'." in visitor.words()) == (422, True)
    visitor.get("/due/calendar.ics")
    assert (visitor.status, "it can make no calendar" in visitor.words()) == (404, True)
    visitor.sit("C1").get("/due/?day=2026-11-25")
    visitor.post("/due/", {"done": names(visitor)[0], "day": "2026-11-25"})
    assert "Kept: 1 thing done." in visitor.words()


def test_six_weeks_stand_on_a_strip_with_a_box_for_each_time(visitor: Visitor) -> None:
    visitor.get("/due/strips")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "from 25 Nov" in visitor.words()
    assert "from 30 Dec" in visitor.words()
    assert visitor.page.count("<i></i>") >= 2
    visitor.get("/due/strips?at=B4")
    assert ("B4 What to do" in visitor.words(), "B3 What to do" in visitor.words()) == (True, False)


def test_a_phone_gets_a_calendar_file(visitor: Visitor) -> None:
    response = visitor.get("/due/calendar.ics")
    assert response.mimetype == "text/calendar"
    events = Calendar.from_ical(response.get_data(as_text=True)).walk("VEVENT")
    assert str(events[0]["summary"]).startswith("B3: Plant out the seedlings: Kale")
    assert "due-C.ics" in response.headers["Content-Disposition"]


def test_an_empty_book_says_where_what_is_due_comes_from(visitor: Visitor) -> None:
    for record in visitor.site.notebook.records("spot"):
        visitor.site.notebook.remove_record(record)
    for path in ("/due/", "/due/strips", "/beds/", "/beds/stakes"):
        visitor.get(path)
        assert (path, visitor.status, read_page(visitor.page).judged()) == (path, 200, [])
    visitor.get("/due/")
    assert "Nothing stands in the bed book yet." in visitor.words()


# when things change


def test_less_water_puts_the_beds_in_order_and_names_what_it_cannot_reckon(visitor: Visitor) -> None:
    visitor.site.beds.add("B5", kind="bed", day_zero="2026-11-01")
    visitor.site.beds.write_down("B5", "planted", "2026-11-01", crop="okra", raised="seed")
    visitor.get("/due/change/less-water")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    visitor.get("/due/change/less-water?litres=40")
    assert read_page(visitor.page).judged() == []
    assert "B4 Amaranth" in visitor.words()
    assert "evaporation by FAO-56 Penman-Monteith (Eq 6)" in visitor.words()
    assert "B3, Kale / collard / sukuma wiki: it is still in the nursery" in visitor.words()
    assert "B5, Okra / lady's finger: nobody measured the bed" in visitor.words()
    visitor.get("/due/change/less-water?litres=much")
    assert (visitor.status, "'much' is no amount of water." in visitor.words()) == (422, True)


def test_late_rain_says_until_when_each_crop_is_sown_again(visitor: Visitor) -> None:
    visitor.get("/due/change/rain-late")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "Amaranth (leaf) / mchicha / callaloo 1 December 6 days B4" in visitor.words()
    assert "it takes ten seasons of daily rain from this place" in visitor.words()


def test_late_rain_tells_the_odds_where_the_log_has_ten_seasons_and_more(visitor: Visitor) -> None:
    """The open daily record of Hyderabad, 2000 to 2010, as Cloudstep's log; the onset rule is ours."""
    weather = visitor.site.weather
    weather.bring_in((DATA / "hyderabad.csv").read_text(encoding="utf-8"), whose="an open record")
    weeks = weather.onsets(weather.record())[0].weeks
    start = dt.date(2027, 1, 1) + dt.timedelta(days=weeks[2].start_day - 1)
    visitor.get(f"/due/change/rain-late?day={start.isoformat()}")
    assert f"the rains had begun in {weeks[2].begun} of {weeks[2].of} seasons" in visitor.words()
    assert read_page(visitor.page).judged() == []
    for kind in ("weather-year", "weather-brought"):
        for paper in visitor.site.notebook.records(kind):
            visitor.site.notebook.remove_record(paper)


def test_a_flood_bars_every_bed_that_it_reached_or_none(visitor: Visitor) -> None:
    """FLD-01: what the water touched is not eaten; the bed counts as raw-dunged on that day (ours)."""
    visitor.sit("C1").get("/due/change/flooded")
    assert read_page(visitor.page).judged() == []
    visitor.post("/due/change/flooded", {"day": "2026-11-25", "bed": ["B3", "B9"], "water": "flood"})
    assert (visitor.status, "There is no 'B9' in the bed book." in visitor.words()) == (422, True)
    visitor.get("/due/change/flooded")
    visitor.post("/due/change/flooded", {"day": "2026-12-25", "bed": ["B3", "B4"], "water": "flood"})
    assert visitor.status == 422
    assert [visitor.site.beds.bars(spot) for spot in visitor.site.beds.spots()] == [(), ()]
    visitor.get("/due/change/flooded")
    visitor.post("/due/change/flooded", {"day": "2026-11-24", "water": "flood"})
    assert "No bed was named." in visitor.words()
    visitor.get("/due/change/flooded")
    visitor.post("/due/change/flooded", {"day": "2026-11-24", "bed": ["B3", "B4"], "water": "drain"})
    assert "Noted at B3 and B4" in visitor.words()
    assert "B3 and B4: nothing eaten before 24 March 2027" in visitor.words()
    days = {crop.common_name: crop.eaten_after_days or 0 for crop in crop_table()}
    follows = re.findall(r"<li>([^<]+): sow (?:now|from (\d+) (\w+) (\d+))</li>", visitor.page)
    assert len(follows) == 8
    for crop, day, month, year in follows:  # in its season, and first bite after the wait, as the crop table says it
        sown = dt.date(int(year), MONTH_NAMES.index(month) + 1, int(day))
        name = crop.replace("&#39;", "'")
        assert sown + dt.timedelta(days=days[name]) >= dt.date(2027, 3, 24)
        windows = [one for one in visitor.site.calendar().windows if one.name == name]
        assert any(one.start <= f"{sown:%m-%d}" <= one.end for one in windows)
    assert {visitor.site.beds.bars(spot)[0].because.what for spot in visitor.site.beds.spots()} == {"drain"}


def test_on_a_move_it_says_what_to_pick_to_carry_and_to_leave(visitor: Visitor) -> None:
    beds = visitor.site.beds
    beds.add("U2", kind="can", holds="urine")
    beds.add("P1", kind="pen")
    beds.add("X1", kind="box")
    beds.write_down("B3", "flood", "2026-11-20")
    visitor.sit("C1").get("/due/change/we-move")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    for words in (
        "Pick before you go: Amaranth (leaf) / mchicha / callaloo, from 29 November 2026.",
        "Do not pick: Kale / collard / sukuma wiki, not before 20 March 2027.",
        "Carry it closed",
        "Carry the animals",
        "its wait goes with its soil",
        "Leave it with its stake in the soil",
    ):
        assert words in visitor.words()
    visitor.post("/due/change/we-move", {"day": "2026-11-25", "bed": ["B3"]})
    assert "Noted: B3 stay behind." in visitor.words()
    assert not [line for line in visitor.site.due.ahead(NOON.date(), days=300) if line.place.label == "B3"]
    assert beds.bars(beds.spot("B3"))
    assert visitor.site.starting.events()[-1].place == ""
    visitor.post("/due/change/we-move", {"day": "2026-11-25"})
    assert "Noted: you move, and nothing stays behind." in visitor.words()
    visitor.post("/due/change/we-move", {"day": "2026-11-25", "bed": ["B9"]})
    assert visitor.status == 422


def test_the_changes_can_be_looked_at_without_a_clock(visitor: Visitor) -> None:
    visitor.site.clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    for path in ("less-water?litres=40", "rain-late", "flooded", "we-move"):
        visitor.get(f"/due/change/{path}")
        assert (path, visitor.status, read_page(visitor.page).judged()) == (path, 200, [])
        assert "does not know which day it is" in visitor.words()
        visitor.get(f"/due/change/{path.partition('?')[0]}?day=never")
        assert (path, visitor.status) == (path, 422)
