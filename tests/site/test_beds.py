"""The bed book of a site: kept in its notebook, read again after it was closed, never in what leaves."""

from __future__ import annotations

import datetime as dt
import shutil
from typing import TYPE_CHECKING

import pytest

from fieldbook.tasks.days import TaskError
from tests.journeys.test_what_leaves import bodies_on, files_on
from tests.orrendal import NOON, Circle, copy_of_circle, fast_folder

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site.beds import BedBook

LOST = dt.datetime(2000, 1, 1, 3, 0, tzinfo=dt.UTC)  # what a laptop without a battery says after a power cut


@pytest.fixture(scope="module")
def shared() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def beds(shared: Circle) -> Iterator[BedBook]:
    """An empty bed book at Cloudstep; today is 25 November 2026."""
    book = shared["C"].beds
    yield book
    for record in (r for kind in ("spot", "happening", "tick") for r in shared["C"].notebook.records(kind)):
        shared["C"].notebook.remove_record(record)


@pytest.fixture
def clockless(shared: Circle, beds: BedBook) -> Iterator[BedBook]:
    """The same where the clock cannot be right."""
    del beds
    site = shared["C"]
    site.clock = lambda: LOST
    yield site.beds
    site.clock = lambda: NOON


def test_what_is_noted_is_there_when_the_site_is_opened_again() -> None:
    circle = copy_of_circle(fast_folder())
    beds = circle["C"].beds
    beds.add("b3", kind="bed", day_zero="2026-10-01", area_m2="0,6", shared=True)
    beds.add("U2", kind="can", holds="urine")
    noted = [
        beds.write_down("B3", "dung", "2026-10-02"),
        beds.write_down("B3", "planted", "2026-10-05", crop="kale", raised="seedling"),
        beds.write_down("B3", "spray", "2026-10-08", said="soap", wait_days=None),
        beds.write_down("B3", "officer", "2026-10-09", until="2027-06-01", said="health officer"),
    ]
    before = (beds.spots(), beds.history(beds.spot("B3")))
    circle.open("C")
    beds = circle["C"].beds
    assert (beds.spots(), beds.history(beds.spot("B3"))) == before
    assert before[1] == tuple(noted)
    assert [(spot.label, spot.area_m2, spot.shared) for spot in before[0]] == [("B3", "0.6", True), ("U2", "", False)]
    circle.close()
    shutil.rmtree(circle.folder)


def test_nothing_of_the_bed_book_leaves_the_site() -> None:
    """People reference, P4 and P5: no place of a household and no stock in what a site leaves on a stick."""
    circle = copy_of_circle(fast_folder())
    beds = circle["C"].beds
    beds.add("QZ77", kind="bed", day_zero="2026-10-01", area_m2="77.7")
    beds.write_down("QZ77", "spray", "2026-10-02", said="xyloquartz water", wait_days=3)
    circle["C"].due.tick([], today=None)
    circle.carry("CTC")
    everything = b"".join(data for _, data in files_on(circle.stick))
    assert everything
    assert [word for word in (b"QZ77", b"xyloquartz", b"77.7", b"spot-") if word in everything] == []
    assert {kind for kind, _ in bodies_on(circle.stick) if "bed" in kind or "task" in kind} == set()
    circle.close()
    shutil.rmtree(circle.folder)


def test_spots_stand_in_the_order_of_a_person(beds: BedBook) -> None:
    for label in ("U2", "B10", "B3", "A1"):
        beds.add(label, kind="bed")
    assert [spot.label for spot in beds.spots()] == ["A1", "B3", "B10", "U2"]
    assert beds.spot(" b10 ").label == "B10"


def test_what_cannot_be_written_in_is_refused(beds: BedBook) -> None:
    beds.add("B3", kind="bed")
    with pytest.raises(TaskError, match="there is a B3 already"):
        beds.add("b3", kind="can", holds="urine")
    with pytest.raises(TaskError, match="no such thing as a 'lake' here"):
        beds.add("B4", kind="lake")
    with pytest.raises(TaskError, match="not said what U1 holds"):
        beds.add("U1", kind="can")
    with pytest.raises(TaskError, match="there is no 'B9' in the bed book"):
        beds.spot("B9")
    for area in ("0", "wide", "-1", "1e3", "5 m2"):
        with pytest.raises(TaskError, match="is no area"):
            beds.add("B5", kind="bed", area_m2=area)
    with pytest.raises(TaskError, match="'many' is no number of plates"):
        beds.change("B3", plates="many")
    assert [spot.label for spot in beds.spots()] == ["B3"]


def test_what_a_bed_is_for_and_how_large_it_is_can_change(beds: BedBook) -> None:
    beds.add("B3", kind="bed")
    changed = beds.change("B3", shared=True, area_m2="2", plates="30")
    assert beds.spot("B3") == changed
    assert (changed.shared, changed.area_m2, changed.plates) == (True, "2", 30)
    assert beds.change("B3", plates="").plates is None


def test_a_picking_in_a_wait_is_refused_and_nothing_is_noted(beds: BedBook) -> None:
    beds.add("B3", kind="bed", day_zero="2026-10-01")
    beds.write_down("B3", "dung", "2026-10-01")
    kale = beds.write_down("B3", "planted", "2026-10-01", crop="kale", raised="seedling")
    before = beds.history(beds.spot("B3"))
    with pytest.raises(TaskError) as refused:
        beds.write_down("B3", "picked", "2026-11-25")
    assert refused.value.hint.startswith("wait until 29 January 2027")
    assert beds.history(beds.spot("B3")) == before
    with pytest.raises(TaskError, match="may not be picked on 28 January 2027"):
        beds.picking_refused("B3", kale.number, "2027-01-28")
    beds.picking_refused("B3", kale.number, "2027-01-29")


def test_what_is_yet_to_come_is_not_noted_and_2099_is_no_year(beds: BedBook) -> None:
    beds.add("B3", kind="bed")
    with pytest.raises(TaskError, match="26 November 2026 is yet to come"):
        beds.write_down("B3", "dung", "2026-11-26")
    with pytest.raises(TaskError, match="the year 2099 cannot be right"):
        beds.write_down("B3", "dung", "2099-01-01")


def test_what_was_struck_out_stays_readable_and_counts_for_nothing(beds: BedBook) -> None:
    beds.add("B3", kind="bed", day_zero="2026-10-01")
    dung = beds.write_down("B3", "dung", "2026-10-01")
    beds.strike("B3", dung.number, "it was bed B4", by="C2", trainer=False)
    assert [bar.until for bar in beds.bars(beds.spot("B3"))] == [120]  # a wait hangs on it: it counts until two say so
    beds.believe("B3", dung.number)
    beds.strike("B3", dung.number, "it was bed B4", by="C1", trainer=True)
    beds.strike("B3", dung.number, "", by="C2", trainer=False)
    assert [one.struck for one in beds.history(beds.spot("B3"))] == ["it was bed B4 (C1, C2)"]
    assert beds.bars(beds.spot("B3")) == ()
    with pytest.raises(TaskError, match="nothing of this number stands at B3"):
        beds.strike("B3", dung.number, "again", by="C1", trainer=True)
    with pytest.raises(TaskError, match="nothing of this number stands at B3"):
        beds.believe("B3", dung.number)


def test_a_bed_that_others_eat_of_stays_marked_so_while_a_wait_hangs_on_it(shared: Circle, beds: BedBook) -> None:
    """WHO 2006, volume 4, as quoted: urine of 40 days counts as stored for the own household alone."""
    beds.add("B3", kind="bed", day_zero="2026-08-01")
    beds.add("U2", kind="can", holds="urine", day_zero="2026-08-01")
    beds.write_down("U2", "filled", "2026-08-01")
    beds.write_down("B3", "urine", "2026-09-10", can="U2")
    assert beds.change("B3", shared=True).shared
    with pytest.raises(TaskError, match="a wait runs at B3 until 8 January 2027, since others eat of it"):
        beds.change("B3", shared=False)
    shared["C"].clock = lambda: dt.datetime(2027, 1, 8, tzinfo=dt.UTC)
    assert not beds.change("B3", shared=False).shared
    shared["C"].clock = lambda: NOON


def test_a_bed_with_a_wait_stays_in_the_book_until_it_is_over(shared: Circle, beds: BedBook) -> None:
    beds.add("B3", kind="bed", day_zero="2026-10-01")
    beds.write_down("B3", "dung", "2026-10-01")
    with pytest.raises(TaskError, match="a wait runs at B3 until 29 January 2027"):
        beds.remove("B3", sure=True)
    shared["C"].clock = lambda: LOST
    with pytest.raises(TaskError, match="a wait runs at B3"):  # nobody knows whether it is over
        beds.remove("B3", sure=True)
    shared["C"].clock = lambda: dt.datetime(2027, 1, 29, tzinfo=dt.UTC)
    with pytest.raises(TaskError, match="all that was noted of B3 would be gone"):
        beds.remove("B3", sure=False)
    beds.remove("B3", sure=True)
    shared["C"].clock = lambda: NOON
    assert beds.spots() == ()
    assert shared["C"].notebook.records("happening") == ()


def test_urine_is_drawn_from_a_can_of_the_book(beds: BedBook) -> None:
    beds.add("U2", kind="can", holds="urine", day_zero="2026-10-01")
    beds.add("B3", kind="bed", day_zero="2026-11-01")
    beds.write_down("U2", "filled", "2026-10-20")
    with pytest.raises(TaskError, match="U2 has stood 29 days, and B3 needs 30"):
        beds.write_down("B3", "urine", "2026-11-18", can="u2")
    noted = beds.write_down("B3", "urine", "2026-11-19", can="u2")
    assert (noted.can, noted.stored_days) == ("U2", 30)
    assert beds.bars(beds.spot("B3"))[0].days == 30
    beds.change("B3", shared=True)  # for sale: a month in the can is not enough, so it counts as raw dung
    assert beds.bars(beds.spot("B3"))[0].days == 120


# where nobody knows which day it is


def test_without_a_clock_days_are_marked_by_hand_with_the_same_waits(clockless: BedBook) -> None:
    """People reference, W23: waiting times and work lists run on day numbers marked by hand."""
    with pytest.raises(TaskError, match="this laptop does not know which day it is"):
        clockless.add("B3", kind="bed")
    clockless.add("B3", kind="bed", by_hand=True)
    clockless.write_down("B3", "dung", "0")
    with pytest.raises(TaskError, match="day 4 is yet to come"):
        clockless.write_down("B3", "planted", "4", crop="kale", raised="seedling")
    clockless.mark("B3", "4")
    clockless.write_down("B3", "planted", "4", crop="kale", raised="seedling")
    with pytest.raises(TaskError, match="something was noted on day 4 of B3"):
        clockless.mark("B3", "3")
    with pytest.raises(TaskError, match="B3 stood at day 4, and day 119 is more than 42 days further"):
        clockless.mark("B3", "119")
    clockless.mark("B3", "119", sure=True)
    with pytest.raises(TaskError) as refused:
        clockless.write_down("B3", "picked", "119")
    assert "wait until day 120" in refused.value.hint
    clockless.mark("B3", "120")
    clockless.write_down("B3", "picked", "120")


def test_when_the_date_is_known_at_last_the_numbers_become_dates(clockless: BedBook) -> None:
    clockless.add("B3", kind="bed", by_hand=True)
    clockless.write_down("B3", "dung", "0")
    clockless.mark("B3", "20")
    spot = clockless.give_dates("B3", "2026-11-21")
    assert spot.count.words(clockless.bars(spot)[0].until) == "1 March 2027"
    with pytest.raises(TaskError, match="the days of B3 have dates already"):
        clockless.give_dates("B3", "2026-11-21")
    with pytest.raises(TaskError, match="the days of B3 are counted by dates"):
        clockless.mark("B3", "20")


def test_a_can_that_has_dates_cannot_be_drawn_from_for_a_bed_that_has_none(clockless: BedBook) -> None:
    clockless.add("U2", kind="can", holds="urine", day_zero="2026-10-01")
    clockless.add("B3", kind="bed", by_hand=True)
    with pytest.raises(TaskError, match="the days of U2 have dates, those of B3 have none"):
        clockless.write_down("B3", "urine", "0", can="U2")
    clockless.add("U3", kind="can", holds="urine", by_hand=True)
    clockless.write_down("U3", "filled", "0")
    clockless.mark("U3", "31")
    assert clockless.write_down("B3", "urine", "0", can="U3").stored_days == 31
