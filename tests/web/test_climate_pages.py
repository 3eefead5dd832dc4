"""The climate of a site by page: whose it is, changed by those who keep the site, and told wherever dates are shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.climate.place import Place
from fieldbook.climate.siteyear import SiteFacts
from tests.orrendal import FACTS, copy_of_circle, fast_folder, site_facts
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

THORNPAN = f"T {FACTS['T']['name']}"


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        yield one


@pytest.fixture
def visitor(circle: Circle) -> Iterator[Visitor]:
    """At Longshade, which goes by its own figures again afterwards."""
    yield visitor_of(circle, "L")
    circle["L"].own_climate(site_facts("L").normals)


def test_the_exact_figures_are_for_those_who_keep_the_site(visitor: Visitor) -> None:
    for path in ("/climate/", "/climate/own", "/climate/borrow"):
        visitor.get(path)
        assert "Reading and searching need no sign-in." in visitor.words()
    assert "The climate that it is computed from" not in visitor.get("/calendar").get_data(as_text=True)
    visitor.sit("L1").get("/calendar")
    assert 'href="/climate/"' in visitor.page
    for path in ("/climate/", "/climate/own", "/climate/borrow"):
        visitor.get(path)
        assert (visitor.status, read_page(visitor.page).judged()) == (200, [])


def test_a_borrowed_climate_is_told_to_every_reader_wherever_dates_are_shown(circle: Circle, visitor: Visitor) -> None:
    reader = visitor_of(circle, "L")
    for path in ("/", "/calendar"):
        reader.get(path)
        assert "borrowed" not in reader.words()
    visitor.sit("L1").get("/climate/borrow")
    visitor.post("/climate/borrow", {"lender": circle["T"].site_key.public, "sure": "yes"})
    assert f"Borrowed from site {THORNPAN}" in visitor.words()
    assert "since 2026-11-25" in visitor.words()
    assert "rain is as it is there, not corrected" in visitor.words()
    for path in ("/", "/calendar"):
        reader.get(path)
        assert read_page(reader.page).judged() == []
        assert f"site {THORNPAN}" in reader.words()
        assert "less sure" in reader.words()
    assert "this site lies 160 m higher" in reader.words()
    assert f"The climate is borrowed from site {THORNPAN}" in reader.page.partition("<svg")[2].partition("</svg>")[0]


def test_across_the_equator_and_out_of_reach_are_as_in_the_first_run(circle: Circle, visitor: Visitor) -> None:
    visitor.sit("L1").get("/climate/borrow?year_rain=700&wet=1&wet=2&wet=12")
    assert "wet in both places" in visitor.words()
    visitor.post("/climate/borrow", {"lender": circle["T"].site_key.public})
    assert (visitor.status, "so nothing was borrowed." in visitor.words()) == (422, True)
    visitor.post("/climate/borrow", {"lender": circle["C"].site_key.public, "sure": "yes"})
    assert (visitor.status, "too far above or below" in visitor.words()) == (422, True)
    visitor.get("/climate/borrow?year_rain=plenty&wet=13")
    assert visitor.status == 422
    assert read_page(visitor.page).judged() == []
    assert circle["L"].borrowed_climate is None


def test_figures_of_the_place_take_the_borrowed_ones_place(circle: Circle, visitor: Visitor) -> None:
    circle["L"].borrow_climate(circle["L"].lender("T"))
    visitor.sit("L1").get("/climate/own")
    visitor.post("/climate/own", {"table": "month,rain\n1,2"})
    assert (visitor.status, "column rain_mm is missing" in visitor.words()) == (422, True)
    assert circle["L"].borrowed_climate is not None
    head, *lines = site_facts("L").normals.strip().splitlines()
    visitor.post("/climate/own", {"table": "\n".join((f"{head},sun_h", *(f"{line},15" for line in lines)))})
    assert (visitor.status, "The sunshine is 15 h, outside 0 to" in visitor.words()) == (422, True)
    assert circle["L"].borrowed_climate is not None
    visitor.get("/climate/own")
    visitor.post("/climate/own", {"table": site_facts("L").normals})
    assert "This site's own figures." in visitor.words()
    assert circle["L"].normals().borrowed is None


def test_where_the_site_lies_is_stated_anew_after_a_move_and_told_to_the_network(
    circle: Circle, visitor: Visitor
) -> None:
    visitor.sit("L1").get("/climate/place")
    assert read_page(visitor.page).judged() == []
    assert 'value="25.4"' in visitor.page
    before = circle["L"].stated_place
    moved = {"latitude": "24 30", "side": "south", "elevation": "910", "setting": "interior", "frost": ["7"]}
    visitor.post("/climate/place", moved | {"latitude": "95"})
    assert (visitor.status, circle["L"].stated_place) == (422, before)
    visitor.get("/climate/place")
    visitor.post("/climate/place", moved | {"setting": "island"})
    assert (visitor.status, "The elevation of the island is 910 m" in visitor.words()) == (422, True)
    assert circle["L"].stated_place == before
    visitor.get("/climate/place")
    visitor.post("/climate/place", moved)
    assert circle["L"].place() == Place(latitude_deg=-24.5, elevation_m=910)
    assert circle["L"].stated_facts() == SiteFacts(frost_months=frozenset({7}), salt_water_months=frozenset())
    said = [one.body for one in circle["L"].need_ledger().all_said() if one.kind == "fieldbook/site"]
    assert {"latitude_deg": -24, "elevation_m": 900}.items() <= said[-1].items()  # type: ignore[union-attr]
    circle["L"].state_place(**before)
