"""A practice begun in a size of this site: its amounts stand beside each step that is due, and on its page."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest
from icalendar import Calendar

from fieldbook.practices.scaling import scale
from fieldbook.site import SiteError
from tests.orrendal import NOON, copy_of_circle, fast_folder
from tests.starters import entry_of
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle

TODAY = NOON.date()
STEEP = entry_of("dung-steep")
QUARTER = "For 2.5 L (clean water for steeping): 2 kg becomes 500 g."
ANSWERS = {
    "prior_use_known": "yes",
    "covered": "yes",
    "no_bird_flu": "yes",
    "bed_length_cm": "500",
    "bed_width_cm": "400",
    "applied_on": "2026-12-19",
    "harvest_on": "2027-04-30",
    "dung_kg_year": "0.5",
}


@pytest.fixture(scope="module")
def shared() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture(scope="module")
def edition(shared: Circle) -> str:
    """The starter entry on steeped dung, without its drawing: 2 kg and 10 L in 20 L, thinned 1 to 2."""
    document = {name: value for name, value in STEEP.items() if name != "photos"}
    steps = [{name: value for name, value in step.items() if name != "picture"} for step in STEEP["steps"]]
    return shared.write("C1", document | {"steps": steps})


@pytest.fixture
def circle(shared: Circle) -> Iterator[Circle]:
    yield shared
    notebook = shared["C"].notebook
    for record in (one for kind in ("begun", "slip", "size", "tick") for one in notebook.records(kind)):
        notebook.remove_record(record)


def ready(circle: Circle, edition: str, *, litres: str = "2.5") -> tuple[int, int]:
    """A slip that may begin, and a kept size by the water for steeping: their numbers."""
    site = circle["C"]
    slip = site.starting.answer(edition, place="bed B3", answers=ANSWERS, signer=circle.signer("C1"))
    assert slip.may_begin
    scaled = scale(site.entry_value(edition), base="material-1", amount=Decimal(litres), unit="L")
    return slip.slip.number, site.sums.keep_size(edition, scaled).number


def said(circle: Circle) -> dict[str, str]:
    """The sized words of each step that is due in the first four weeks, by its own."""
    lines = circle["C"].due.ahead(TODAY, days=28)
    return {line.said["en"]: line.sized for line in lines if line.due.task.step is not None}


def saying(found: dict[str, str], words: str) -> str:
    (sized,) = (sized for step, sized in found.items() if step.startswith(words))
    return sized


def test_each_due_step_says_what_becomes_of_its_amounts(circle: Circle, edition: str) -> None:
    """A quarter of the entry, by hand: 2 kg is 500 g, 10 L are 2.5 L; the 6 L of each bed belong to no material."""
    number, size = ready(circle, edition)
    circle["C"].starting.begin(number, signer=circle.signer("C1"), size=size)
    found = said(circle)
    assert saying(found, "Gather 2 kg") == QUARTER
    assert saying(found, "Pour 10 L") == QUARTER.replace("2 kg becomes 500 g", "10 L becomes 2.5 L")
    assert saying(found, "Close the lid") == ""
    assert saying(found, "Pour 6 L into each") == QUARTER.replace(
        "2 kg becomes 500 g", "its amounts are those of the entry"
    )
    events = Calendar.from_ical(circle["C"].due.calendar_file(TODAY)).walk("VEVENT")
    (summary,) = (str(one["summary"]) for one in events if "Gather" in str(one["summary"]))
    assert summary.endswith("wearing gloves and boots. " + QUARTER)
    called = next(line for line in circle["C"].due.ahead(TODAY, days=20) if line.due.task.step is None)
    assert called.sized == ""


def test_the_size_stays_when_the_site_is_opened_again_or_forgets_it(circle: Circle, edition: str) -> None:
    number, size = ready(circle, edition)
    begun = circle["C"].starting.begin(number, signer=circle.signer("C1"), size=size)
    circle["C"].sums.remove_size(size)
    circle.open("C")
    assert circle["C"].starting.begun() == (begun,)
    assert saying(said(circle), "Gather 2 kg") == QUARTER


def test_a_practice_that_was_begun_without_a_size_stays_as_it_is(circle: Circle, edition: str) -> None:
    number, _ = ready(circle, edition)
    assert circle["C"].starting.begin(number, signer=circle.signer("C1")).size is None
    assert set(said(circle).values()) == {""}


def test_a_size_that_is_not_kept_for_this_edition_begins_nothing(circle: Circle, edition: str) -> None:
    number, size = ready(circle, edition)
    circle["C"].sums.remove_size(size)
    with pytest.raises(SiteError, match="this size is not kept here any more"):
        circle["C"].starting.begin(number, signer=circle.signer("C1"), size=size)
    assert circle["C"].starting.begun() == ()


@pytest.mark.parametrize("kept", [{"base": "material-99", "amount": 3, "unit": "L"}, {"new": "form"}, "words"])
def test_a_size_that_cannot_be_reckoned_is_never_taken_for_the_entrys_own(
    circle: Circle, edition: str, kept: Any
) -> None:
    """What newer software may have written: each step says so, and none shows the entry's amounts as if they held."""
    number, size = ready(circle, edition)
    circle["C"].starting.begin(number, signer=circle.signer("C1"), size=size)
    (record,) = circle["C"].notebook.records("begun")
    circle["C"].notebook.change_record(record, {**record.document, "size": kept})
    assert set(said(circle).values()) == {
        "Begun in a size that cannot be reckoned here any more: ask a trainer which amounts hold."
    }
    visitor = visitor_of(circle).sit("C1")
    visitor.get(f"/start/slip/{number}")
    assert "Begun in a size that cannot be reckoned here any more" in visitor.words()


def test_a_trainer_chooses_the_size_on_the_slip(circle: Circle, edition: str) -> None:
    number, size = ready(circle, edition)
    visitor = visitor_of(circle).sit("C1")
    visitor.get(f"/start/slip/{number}?language=en")
    assert read_page(visitor.page).judged() == []
    assert "In which size? As the entry says 2.5 L : clean water for steeping" in visitor.words()
    visitor.post(f"/start/slip/{number}/begin", {"size": "two"})
    assert (visitor.status, "The size that was sent is none of those shown." in visitor.words()) == (422, True)
    visitor.post(f"/start/slip/{number}/begin", {"size": str(size)})
    visitor.get(f"/start/slip/{number}?language=en")
    words = visitor.words()
    assert read_page(visitor.page).judged() == []
    assert "For 2.5 L : clean water for steeping" in words
    assert "500 g rabbit droppings, without bedding" in words
    assert "Thin it: 2.5 L with 5 L of water." in words
    for path in ("/due/", "/due/strips"):
        visitor.get(path)
        assert read_page(visitor.page).judged() == []
        assert QUARTER in visitor.words()


def test_the_bed_book_tells_at_its_spot_what_is_in_use_there_and_in_which_amounts(circle: Circle, edition: str) -> None:
    number, size = ready(circle, edition)
    site = circle["C"]
    for label in ("B3", "B4"):
        site.beds.add(
            label=label, kind="bed", holds="", day_zero="2026-11-01", area_m2="2", by_hand=False, shared=False
        )
    site.starting.begin(number, signer=circle.signer("C1"), size=size)
    visitor = visitor_of(circle)
    visitor.get("/beds/B3?language=en")
    words = visitor.words()
    assert read_page(visitor.page).judged() == []
    assert "In use here: " in words
    assert "500 g rabbit droppings, without bedding" in words
    assert "Thin it: 2.5 L with 5 L of water." in words
    visitor.get("/beds/B4?language=en")
    assert "In use here" not in visitor.words()


def test_a_slip_without_kept_sizes_asks_for_none(circle: Circle, edition: str) -> None:
    number, size = ready(circle, edition)
    circle["C"].sums.remove_size(size)
    visitor = visitor_of(circle).sit("C1")
    visitor.get(f"/start/slip/{number}?language=en")
    assert "In which size?" not in visitor.words()
    visitor.post(f"/start/slip/{number}/begin", {})
    assert [one.size for one in circle["C"].starting.begun()] == [None]
