"""The bed book by page: written in, noted, refused in a wait, struck out, printed; by dates and by hand."""

from __future__ import annotations

import datetime as dt
import gzip
from typing import TYPE_CHECKING

import pytest

from fieldbook.tasks.spots import WHATS
from tests.orrendal import NOON
from tests.web.gardens import planted_copy, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

KIB = 1024


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Circle]:
    place: Path = tmp_path_factory.mktemp("beds")
    circle = planted_copy(place / "circle")
    yield circle
    circle.close()


@pytest.fixture
def visitor(shared: Circle) -> Iterator[Visitor]:
    """A reader at Cloudstep, whose bed book is empty."""
    site = shared["C"]
    yield visitor_of(shared)
    site.clock = lambda: NOON
    for record in (r for kind in ("spot", "happening", "tick") for r in site.notebook.records(kind)):
        site.notebook.remove_record(record)


@pytest.fixture
def keeper(visitor: Visitor) -> Visitor:
    """The same, signed in."""
    return visitor.sit("C1")


def begin(keeper: Visitor, label: str = "B3", **typed: str) -> None:
    keeper.get("/beds/new")
    form = {"label": label, "kind": "bed", "day_zero": "2026-10-01", "counted": "dates", **typed}
    keeper.post("/beds/new", form)
    assert (keeper.status, f"{label} stands in the bed book" in keeper.words()) == (200, True)


def note(keeper: Visitor, what: str, day: str = "2026-10-01", label: str = "B3", **typed: str) -> None:
    keeper.get(f"/beds/{label}/note/{what}")
    keeper.post(f"/beds/{label}/note/{what}", {"day": day, **typed})


def well_formed(visitor: Visitor, *paths: str) -> None:
    for path in paths:
        visitor.get(path)
        assert (path, visitor.status, read_page(visitor.page).judged()) == (path, 200, [])
        assert len(gzip.compress(visitor.page.encode())) <= 30 * KIB
        assert len(visitor.page.encode()) <= 60 * KIB


def test_dung_is_noted_and_the_page_says_from_when_leaves_are_eaten(keeper: Visitor) -> None:
    """7 CFR 205.203(c)(1)(ii), (iii): 120 and 90 days from 1 October 2026 are 29 January 2027 and 30 December 2026."""
    begin(keeper)
    note(keeper, "dung")
    assert "not before 29 January 2027, 120 days after dung on 1 October 2026" in keeper.words()
    assert "not before 30 December 2026, 90 days after dung" in keeper.words()
    assert "US organic rule, 7 CFR 205.203, (c)(1)(ii)" in keeper.words()
    assert "bind farms that sell as organic" in keeper.words()
    keeper.get("/beds/")
    assert "29 January 2027" in keeper.words()


def test_a_picking_in_the_wait_is_refused_on_the_form_with_the_earliest_day(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "dung")
    note(keeper, "planted", crop="kale", raised="seedling")
    assert "first picking not before 29 January 2027, because of dung" in keeper.words()
    note(keeper, "picked", "2026-11-25")
    assert keeper.status == 422
    assert "Wait until 29 January 2027; what was picked already is not eaten: note it as a loss." in keeper.words()
    assert 'value="2026-11-25"' in keeper.page
    keeper.get("/beds/B3")
    assert (
        "Something was picked"
        not in keeper.words()
        .partition("What happened")[2]
        .partition("Nothing")[0]
        .replace("Something was picked Take", "")
        .partition("About")[0]
        .partition("1 October 2026")[2]
    )


def test_a_plan_is_refused_inside_a_wait_and_else_shown_with_its_first_picking(keeper: Visitor) -> None:
    """Crop table: amaranth is eaten 21 days after sowing; 29 January 2027 less 21 days is 8 January."""
    begin(keeper)
    note(keeper, "dung")
    note(keeper, "planned", "2026-12-01", crop="amaranth", raised="seed")
    assert (keeper.status, "Choose 8 January 2027 or later, or a crop that is eaten later." in keeper.words()) == (
        422,
        True,
    )
    note(keeper, "planned", "2027-01-08", crop="amaranth", raised="seed")
    assert (
        "To come: Amaranth (leaf) / mchicha / callaloo on 8 January 2027, first picking about 29 January"
        in keeper.words()
    )


def test_dung_that_is_noted_late_warns_of_what_was_picked(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "planted", crop="amaranth", raised="seed")
    note(keeper, "picked", "2026-11-20")
    assert keeper.status == 200
    note(keeper, "dung", "2026-10-15")
    assert "This lies inside a wait that was noted later. Do not eat what is left of it" in keeper.words()


@pytest.mark.parametrize(
    ("what", "typed", "said"),
    [
        ("dung", {"day": "2027-02-30"}, "There is no day '2027-02-30'."),
        ("dung", {"day": "2099-01-01"}, "The year 2099 cannot be right."),
        ("dung", {"day": "2026-12-24"}, "24 December 2026 is yet to come."),
        ("dung", {"day": ""}, "There is no day ''."),
        ("planted", {"crop": "stone", "raised": "seed"}, "The crop table has no 'stone'."),
        ("planted", {"crop": "kale", "raised": "seed", "contact": "edible_none"}, "it cannot be said that"),
        ("picked", {"day": "2026-09-01"}, "Nothing to pick stood in B3 on 1 September 2026."),
        ("urine", {"can": "U9"}, "There is no 'U9' in the bed book."),
        ("spray", {"said": " "}, "It is not said what was sprayed."),
        ("spray", {"said": "soap", "wait_days": "soon"}, "Soon is no number of days to wait."),
        ("officer", {"until": "2026-01-01", "said": "health officer"}, "names no day after 1 October 2026"),
        ("meteor", {}, "is no thing that happens at B3"),
    ],
)
def test_what_cannot_be_noted_comes_back_with_a_sentence(
    keeper: Visitor, what: str, typed: dict[str, str], said: str
) -> None:
    begin(keeper)
    keeper.post(f"/beds/B3/note/{what}", {"day": "2026-10-01", **typed})
    assert (keeper.status, said in keeper.words()) == (422, True), keeper.words()
    assert read_page(keeper.page).judged() == []
    assert keeper.site.beds.history(keeper.site.beds.spot("B3")) == ()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"label": "B" * 40}, "is no letter with a number"),
        ({"label": "B4", "kind": "lake"}, "There is no such thing as a 'lake' here."),
        ({"label": "U1", "kind": "can"}, "It is not said what U1 holds."),
        ({"label": "B4", "area_m2": "wide"}, "'wide' is no area."),
        ({"label": "B4", "day_zero": "2026-02-30"}, "There is no day '2026-02-30'."),
        ({"label": "B3"}, "There is a B3 already."),
    ],
)
def test_a_bed_that_cannot_be_is_not_written_in(keeper: Visitor, typed: dict[str, str], said: str) -> None:
    begin(keeper)
    keeper.get("/beds/new")
    keeper.post("/beds/new", {"kind": "bed", "day_zero": "2026-10-01", "counted": "dates", **typed})
    assert (keeper.status, said in keeper.words()) == (422, True), keeper.words()
    assert [spot.label for spot in keeper.site.beds.spots()] == ["B3"]


def test_a_spray_takes_the_waiting_time_of_its_practice_and_invents_none(keeper: Visitor) -> None:
    """The starter entry on aphids publishes no wait before harvest; one that a label names is kept as typed."""
    begin(keeper)
    keeper.get("/beds/B3/note/spray")
    (edition,) = [card.edition for card in keeper.site.cards("pest-deterrent")]
    assert "(no waiting time is published)" in keeper.words()
    note(keeper, "spray", practice=edition)
    assert "No waiting time is published for “Vidukari kwenye sukuma wiki" in keeper.words()
    assert "wash each leaf and fruit well" in keeper.words()
    note(keeper, "spray", said="leaf-smoke water", wait_days="45")
    assert "not before 15 November 2026" not in keeper.words()  # that day is over
    assert [one.wait_days for one in keeper.site.beds.history(keeper.site.beds.spot("B3"))] == [None, 45]


def test_what_was_noted_by_mistake_is_struck_out_and_stays_readable(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "lost", said="goats")
    (lost,) = keeper.site.beds.history(keeper.site.beds.spot("B3"))
    path = f"/beds/B3/strike/{lost.number}"
    well_formed(keeper, path)
    keeper.post(path, {"reason": " "})
    assert (keeper.status, "It is not said why this is struck out." in keeper.words()) == (422, True)
    keeper.get(path)
    keeper.post(path, {"reason": "it was <b>B4</b>"})
    assert "Struck out: it was <b>B4</b>" in keeper.words()
    keeper.get(path)
    assert "strike it out?" not in keeper.words()


def test_a_wait_ends_by_two_people_and_is_shown_until_then(shared: Circle, keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "dung")
    note(keeper, "dung", "2026-09-20")
    newest = keeper.site.beds.history(keeper.site.beds.spot("B3"))[0]
    path = f"/beds/B3/strike/{newest.number}"
    keeper.get(path)
    assert "Without it: Leaves, roots and low fruit: not before 18 January 2027, 120 days after dung" in keeper.words()
    keeper.post(path, {"reason": "it was B4"})
    assert "not before 29 January 2027" in keeper.words()
    assert "C1 says that this is wrong: it was B4 . It counts until a second person says so too" in keeper.words()
    well_formed(keeper, path)
    keeper.post(path, {})
    assert (keeper.status, "C1 has said already that this is wrong." in keeper.words()) == (422, True)
    second = visitor_of(shared).sit("C3")
    second.get(path)
    second.post(path, {})
    assert "Struck out: it was B4 (C1, C3)" in second.words()
    assert "not before 18 January 2027" in second.words()
    older = keeper.site.beds.history(keeper.site.beds.spot("B3"))[1]
    second.post(f"/beds/B3/strike/{older.number}", {"reason": "not sure"})
    second.post(f"/beds/B3/believe/{older.number}", {})
    assert "says that this is wrong" not in second.words()
    assert "not before 18 January 2027" in second.words()


def test_of_several_seedlings_it_is_asked_which_were_planted_out(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "planted", crop="kale", raised="nursery")
    note(keeper, "planted", crop="tomato", raised="nursery")
    keeper.get("/beds/B3/note/planted_out")
    tomato = keeper.site.beds.plantings(keeper.site.beds.spot("B3"))[1]
    assert f'<option value="{tomato.number}">Tomato, sown on 1 October 2026</option>' in keeper.page
    note(keeper, "planted_out", "2026-11-01", of=str(tomato.number))
    kale, tomato = keeper.site.beds.plantings(keeper.site.beds.spot("B3"))
    assert (kale.out_day, tomato.out_day) == (None, 31)


def test_a_sowing_of_29_february_has_its_waits_and_pickings_by_the_calendar(keeper: Visitor) -> None:
    """2028 is a leap year; 29 February 2028 + 120 days is 28 June 2028, + 21 days (amaranth, crop table) 21 March."""
    keeper.site.clock = lambda: dt.datetime(2028, 3, 1, tzinfo=dt.UTC)
    begin(keeper, day_zero="2028-02-28")
    note(keeper, "planted", "2028-02-29", crop="amaranth", raised="seed")
    assert "first picking about 21 March 2028" in keeper.words()
    note(keeper, "dung", "2028-02-29")
    assert "first picking not before 28 June 2028, because of dung" in keeper.words()
    note(keeper, "planted", "2027-02-29", crop="amaranth", raised="seed")
    assert (keeper.status, "There is no day '2027-02-29'." in keeper.words()) == (422, True)


def test_a_bed_is_not_taken_out_of_the_book_while_a_wait_runs(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "flood")
    keeper.post("/beds/B3/remove", {})
    assert (keeper.status, "A wait runs at B3 until 29 January 2027." in keeper.words()) == (422, True)
    keeper.site.clock = lambda: dt.datetime(2027, 2, 1, tzinfo=dt.UTC)
    keeper.post("/beds/B3/remove", {})
    assert (keeper.status, "All that was noted of B3 would be gone." in keeper.words()) == (422, True)
    keeper.post("/beds/B3/remove", {"sure": "yes"})
    assert (keeper.status, "B3 is out of the bed book." in keeper.words()) == (200, True)


def test_without_a_clock_days_are_marked_by_hand(keeper: Visitor) -> None:
    keeper.site.clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    begin(keeper, counted="hand", day_zero="")
    note(keeper, "dung", "5")
    assert (keeper.status, "mark the day on its page first" in keeper.words()) == (422, True)
    note(keeper, "dung", "0")
    assert "not before day 120, 120 days after dung on day 0" in keeper.words()
    keeper.post("/beds/B3/mark", {"day": "34"})
    assert "The mark stands at day 34." in keeper.words()
    keeper.post("/beds/B3/mark", {"day": "340"})
    assert (keeper.status, "day 340 is more than 42 days further" in keeper.words()) == (422, True)
    keeper.post("/beds/B3/mark", {"day": "-1"})
    assert keeper.status == 422
    keeper.get("/beds/B3")
    keeper.post("/beds/B3/mark", {"date": "2026-11-25"})
    assert "not before 19 February 2027, 120 days after dung on 22 October 2026" in keeper.words()


def test_who_eats_how_large_and_how_many_plates_can_be_said_later(keeper: Visitor) -> None:
    begin(keeper)
    keeper.post("/beds/B3/change", {"shared": "yes", "area_m2": "1,2", "plates": "30"})
    spot = keeper.site.beds.spot("B3")
    assert (spot.shared, spot.area_m2, spot.plates) == (True, "1.2", 30)
    keeper.post("/beds/B3/change", {"area_m2": "-3"})
    assert keeper.status == 422


def test_a_reader_reads_and_notes_nothing(shared: Circle, keeper: Visitor) -> None:
    begin(keeper)
    reader = visitor_of(shared)
    well_formed(reader, "/beds/", "/beds/B3", "/beds/stakes")
    for path in ("/beds/new", "/beds/B3/note/dung"):
        reader.get(path)
        assert "Reading and searching need no sign-in." in reader.words()
    reader.post("/beds/B3/note/dung", {"day": "2026-10-01"})
    assert keeper.site.beds.history(keeper.site.beds.spot("B3")) == ()
    reader.get("/beds/B9")
    assert (reader.status, "There is no 'B9' in the bed book." in reader.words()) == (404, True)


def test_every_form_of_the_book_is_well_formed_and_light(keeper: Visitor) -> None:
    begin(keeper, shared="yes")
    begin(keeper, "U2", kind="can", holds="urine")
    begin(keeper, "P1", kind="pen")
    begin(keeper, "B4", counted="hand")
    note(keeper, "planted", crop="kale", raised="nursery")
    note(keeper, "planted", crop="tomato", raised="seedling", contact="edible_none")
    note(keeper, "filled", label="U2")
    labels = {"bed": "B3", "can": "U2", "pen": "P1"}
    forms = [f"/beds/{label}/note/{what}" for kind, label in labels.items() for what in WHATS if kind in WHATS[what].at]
    well_formed(keeper, "/beds/", "/beds/new", "/beds/B3", "/beds/B4", "/beds/U2", "/beds/P1", "/beds/stakes", *forms)
    keeper.get("/beds/P1/note/dung")
    assert "P1: note" not in keeper.words()


# paper


def test_a_stake_says_what_went_in_and_from_when_it_is_eaten(keeper: Visitor) -> None:
    """The stake of the task: dung 1 March, first leaf 29 June (safety reference, section 4.3: 120 days)."""
    keeper.site.clock = lambda: dt.datetime(2026, 11, 25, tzinfo=dt.UTC)
    begin(keeper, day_zero="2026-03-01")
    keeper.site.clock = lambda: dt.datetime(2070, 1, 1, tzinfo=dt.UTC)  # nobody knows the day: every wait is shown
    note(keeper, "dung", "2026-03-01")
    keeper.get("/beds/stakes")
    assert (
        "B3 dung 1 March 2026 first leaf, root, low fruit: 29 June 2026 first fruit held clear: 30 May 2026"
        in keeper.words()
    )


def test_a_can_says_what_it_holds_and_from_when_it_is_used(keeper: Visitor) -> None:
    """WHO Guidelines (2006) vol. 4, as quoted: 1 month and 6 months (as 30 and 180 days) from 3 May."""
    begin(keeper, "U2", kind="can", holds="urine", day_zero="2026-05-03")
    keeper.get("/beds/stakes")
    assert "U2 human urine not to drink" in keeper.words()
    note(keeper, "filled", "2026-05-03", label="U2")
    keeper.get("/beds/stakes")
    for words in (
        "filled 3 May 2026",
        "use from 2 June 2026 (own household eats)",
        "use from 30 October 2026 (others eat",
    ):
        assert words in keeper.words()
    begin(keeper, "D1", kind="can", holds="dung_steep")
    note(keeper, "filled", label="D1")
    keeper.get("/beds/stakes")
    assert "counts as raw dung: soil only, then 120 days" in keeper.words()


def test_words_of_people_are_shown_and_never_obeyed(keeper: Visitor) -> None:
    begin(keeper)
    note(keeper, "lost", said="<script>alert(1)</script> goats")
    assert "<script>" not in keeper.page
    assert "goats" in keeper.words()


def test_arabic_words_inside_an_english_sentence_keep_their_amounts_in_order(keeper: Visitor) -> None:
    """W26 of the reference on people; Unicode Annex 9: a first strong isolate around the words, one around an amount."""
    begin(keeper)
    note(keeper, "spray", "2026-11-20", said="ماء الصابون 5 mL في 1 L")
    said = "\u2068ماء الصابون \u20665 mL\u2069 في \u20661 L\u2069\u2069"
    assert f"“{said}”, sprayed on 20 November 2026" in keeper.page
    assert f"Something was sprayed: {said} (no waiting time is published)." in keeper.page
