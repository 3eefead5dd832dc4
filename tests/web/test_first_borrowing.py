"""The first run without figures of the place: a stick is looked at, a person picks, and everything says it is borrowed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import FACTS, copy_of_circle, fast_folder
from tests.sync.camps import files_of
from tests.web.markup import read_page
from tests.web.test_first_run import CLIMATE, PEOPLE, WHERE, WHO, Beginner

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.orrendal import Circle

HERE = WHERE | {"latitude": "12.8", "elevation": "520"}  # near Thornpan (13.4 N, 420 m), far below Cloudstep (1900 m)


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    """The network, which nobody here changes."""
    with copy_of_circle(fast_folder()) as one:
        one.carry("CTLS")
        yield one


@pytest.fixture
def carried(circle: Circle) -> Path:
    """A stick that all four sites have filled."""
    return circle.stick


@pytest.fixture
def beginner() -> Iterator[Beginner]:
    one = Beginner(fast_folder() / "drywell")
    one.fill("who", WHO | {"letter": "D", "name": "Dry Well"})
    one.fill("where", HERE)
    yield one
    one.run.close()


def look(beginner: Beginner, stick: Path, **known: object) -> str:
    beginner.get("/set-up/borrow/")
    return beginner.send("/set-up/borrow/", {"typed": str(stick), **known})


def key_of(page: str, whose: str) -> str:
    found = re.search(rf'value="([0-9a-f]{{64}})"[^>]*><span><strong>Site <bdi>{whose}', page)
    assert found is not None
    return found[1]


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_a_site_begins_with_a_climate_borrowed_from_a_stick_that_stays_as_it_is(
    beginner: Beginner, carried: Path
) -> None:
    before = files_of(carried)
    assert "Borrow them from a site of a network" in beginner.get("/set-up/climate")
    page = look(beginner, carried)
    assert (beginner.went, read_page(page).judged()) == ("/set-up/borrow/sites", [])
    beginner.send("/set-up/borrow/sites", {"lender": key_of(page, "T ")})
    assert (beginner.went, "Borrowed from site" in beginner.page) == ("/set-up/people", True)
    assert "Chosen: borrow the climate of site" in beginner.get("/set-up/climate")
    beginner.fill("people", PEOPLE)
    assert files_of(carried) == before
    site = beginner.run.site
    assert site is not None
    lent = site.borrowed_climate
    assert lent is not None
    assert (lent["letter"], lent["height_difference_m"]) == ("T", 120)
    # 120 m by 6.5 C a km are 0.78 C
    said = [round(value * 2) / 2 for value in (float(row.split(",")[3]) for row in CLIMATE["table"].split()[1:])]
    assert site.normals().tmax_c == pytest.approx([value - 0.78 for value in said], abs=0.006)
    for path in ("/", "/calendar"):
        page = words(beginner.get(path))
        assert f"T {FACTS['T']['name']}" in page
        assert "borrowed" in page


def test_likeness_is_shown_and_nothing_is_proposed(beginner: Beginner, carried: Path) -> None:
    page = look(beginner, carried, year_rain="700", wet=["6", "7", "8", "9"])
    text = words(page)
    assert "checked" not in page
    assert "13° north of the equator" in text
    assert "400 m, 120 m lower than this place" in text
    assert "than you said" in text
    assert "wet in both places: July to September" in text
    assert text.index("Across the equator: not like this place") < text.index("Too far above or below")
    beyond = text[text.index("Too far above or below") :]
    assert f"C {FACTS['C']['name']}" in beyond
    assert page.count('type="radio"') == 3  # T, and L and S across the equator; C lies too high


def test_across_the_equator_it_takes_a_second_yes(beginner: Beginner, carried: Path) -> None:
    page = look(beginner, carried)
    key = key_of(page, "L ")
    beginner.send("/set-up/borrow/sites", {"lender": key})
    assert beginner.status == 422
    assert "so nothing was borrowed" in beginner.page
    beginner.send("/set-up/borrow/sites", {"lender": key, "sure": "yes"})
    assert beginner.went == "/set-up/people"


@pytest.mark.parametrize("lender", ["", "f" * 64])
def test_no_site_is_borrowed_from_unless_it_was_picked(beginner: Beginner, carried: Path, lender: str) -> None:
    look(beginner, carried)
    beginner.send("/set-up/borrow/sites", {"lender": lender, "sure": "yes"})
    assert (beginner.status, "No site was chosen." in beginner.page) == (422, True)
    assert read_page(beginner.page).judged() == []


def test_a_site_out_of_reach_cannot_be_picked_by_its_key(beginner: Beginner, circle: Circle, carried: Path) -> None:
    look(beginner, carried)
    beginner.send("/set-up/borrow/sites", {"lender": circle["C"].site_key.public})
    assert (beginner.status, "too far above or below" in beginner.page) == (422, True)


def test_a_height_that_is_changed_afterwards_is_reckoned_with(beginner: Beginner, carried: Path) -> None:
    page = look(beginner, carried)
    beginner.send("/set-up/borrow/sites", {"lender": key_of(page, "T ")})
    beginner.fill("where", HERE | {"elevation": "1600"})
    beginner.get("/set-up/people")
    assert beginner.went == "/set-up/climate"
    assert "1200 m apart in height" in beginner.page
    beginner.fill("where", HERE | {"elevation": "620"})
    beginner.fill("people", PEOPLE)
    assert beginner.run.site is not None
    assert (beginner.run.site.borrowed_climate or {})["height_difference_m"] == 220


def test_own_figures_afterwards_take_the_place_of_borrowed_ones(beginner: Beginner, carried: Path) -> None:
    page = look(beginner, carried)
    beginner.send("/set-up/borrow/sites", {"lender": key_of(page, "T ")})
    beginner.fill("climate", CLIMATE)
    assert "Borrowed from" not in beginner.page
    beginner.fill("people", PEOPLE)
    assert beginner.run.site is not None
    assert beginner.run.site.borrowed_climate is None


def test_what_is_wrong_with_the_stick_or_the_rain_is_said_beside_its_box(beginner: Beginner, circle: Circle) -> None:
    look(beginner, circle.folder / "nowhere", year_rain="much", wet=["13"])
    assert set(beginner.faults()) == {"typed", "year_rain", "wet"}
    assert (beginner.status, read_page(beginner.page).judged()) == (422, [])
    look(beginner, circle.new_stick())
    assert (beginner.status, "The carrier holds no network." in beginner.page) == (422, True)
    assert 'href="/set-up/borrow/"' in beginner.page


def test_a_stick_on_which_nobody_can_lend_says_so(beginner: Beginner, circle: Circle) -> None:
    stick = circle.new_stick("empty of climates")
    circle.carry("C", stick)
    for bundle in stick.glob("tried-ground-*/sites/*/*/text/*.bundle"):
        bundle.unlink()
    page = look(beginner, stick)
    assert "No site on this stick has said a climate of its own." in page
    assert read_page(page).judged() == []


def test_borrowing_cannot_be_jumped_to(beginner: Beginner) -> None:
    fresh = Beginner(fast_folder() / "drywell")
    for path in ("/set-up/borrow/", "/set-up/borrow/sites"):
        fresh.get(path)
        assert fresh.went == "/set-up/who"
    beginner.get("/set-up/borrow/sites")
    assert beginner.went == "/set-up/borrow/"
    fresh.run.close()
