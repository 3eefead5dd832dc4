"""In a real browser: from a climate by the calendar to a bed, its dung, a planting, a refused picking and a tick."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.shipped import shipped_text
from tests.journeys.browsing import served, sign_in
from tests.journeys.test_browser_search_and_calendar import CONTROLS, overflows, too_near, too_small
from tests.orrendal import FACTS, copy_of_circle

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser

PATHS = (
    *("/beds/", "/beds/new", "/beds/B3", "/beds/B3/note/planted", "/beds/B3/note/spray", "/beds/stakes"),
    *("/due/", "/due/strips", "/due/change/less-water?litres=5", "/due/change/rain-late"),
    *("/due/change/flooded", "/due/change/we-move"),
)


@pytest.fixture
def circle(tmp_path: Path) -> Iterator[Circle]:
    with copy_of_circle(tmp_path / "circle") as found:
        yield found


def set_a_climate(page: Page, address: str) -> None:
    """The twelve months of this site, pasted as a table; the calendar then says whose they are."""
    page.goto(f"{address}/climate/own")
    page.get_by_label("Twelve months as a table").fill(shipped_text("seed_entries/demo/" + FACTS["C"]["normals"]))
    page.get_by_role("button", name="Keep these figures").click()
    assert "computed from this site's own figures" in page.get_by_role("status").inner_text()


def read_the_calendar(page: Page) -> None:
    """From the first page to kale, its dung day, and on to the bed book."""
    page.get_by_role("link", name="Calendar", exact=True).click()
    page.get_by_role("rowheader", name="Kale").get_by_role("link").click()
    assert "Dung day: raw dung goes into this bed by" in page.locator("main").inner_text()
    page.get_by_role("link", name="Sow it in a bed").click()


def write_in(page: Page) -> None:
    """B3, begun on 1 October, with dung of that day and kale sown in the nursery on 28 October."""
    page.get_by_role("link", name="Write in a bed").click()
    page.get_by_label("Letter and number").fill("B3")
    page.get_by_label("Of a bed or box").fill("0.6")
    page.get_by_label("Date of its day 0").fill("2026-10-01")
    page.get_by_role("button", name="Write it in").click()
    page.get_by_text("Dung, compost or urine went in").click()
    page.get_by_role("link", name="Raw dung").click()
    page.get_by_label("On which day?").fill("2026-10-01")
    page.get_by_role("button", name="Note it").click()
    page.get_by_text("Sown, planted, picked").click()
    page.get_by_role("link", name="Something was sown or planted").click()
    page.get_by_label("On which day?").fill("2026-10-28")
    page.get_by_label("Which crop?").select_option("kale")
    page.get_by_label("How was it begun?").select_option("nursery")
    page.get_by_role("button", name="Note it").click()


def test_a_trainer_starts_a_planting_is_refused_a_picking_and_ticks_a_task(page: Page, circle: Circle) -> None:
    """7 CFR 205.203(c)(1)(ii): 120 days after dung of 1 October 2026 are 29 January 2027; the clock says 25 November."""
    page.set_viewport_size({"width": 320, "height": 640})
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C1")
        page.get_by_text("Signed in:").wait_for()
        set_a_climate(page, address)
        read_the_calendar(page)
        write_in(page)
        assert "first picking not before 29 January 2027" in page.locator("main").inner_text()
        page.get_by_text("Sown, planted, picked").click()
        page.get_by_role("link", name="Seedlings were planted out").click()
        page.get_by_role("button", name="Note it").click()
        page.get_by_text("Sown, planted, picked").click()
        page.get_by_role("link", name="Something was picked").click()
        page.get_by_role("button", name="Note it").click()
        assert "Wait until 29 January 2027" in page.get_by_role("alert").inner_text()
        page.get_by_role("link", name="Back to B3").click()
        page.get_by_text("Sown, planted, picked").click()
        page.get_by_role("link", name="Something was sown or planted").click()
        page.get_by_label("On which day?").fill("2026-10-20")
        page.get_by_label("Which crop?").select_option("tomato")
        page.get_by_label("How was it begun?").select_option("nursery")
        page.get_by_text("hangs clear of the soil", exact=False).first.click()
        page.get_by_role("button", name="Note it").click()
        page.get_by_role("link", name="Due", exact=True).click()
        page.get_by_text("Plant out the seedlings: Tomato").click()
        page.get_by_role("button", name="Keep the ticks").click()
        assert "Kept: 1 thing done." in page.locator("main").inner_text()
        for path in PATHS:
            page.goto(address + path)
            controls = page.evaluate(CONTROLS)
            assert (path, overflows(page), too_small(controls), too_near(controls)) == (path, False, [], [])
        page.goto(f"{address}/beds/stakes")
        page.emulate_media(media="print")
        assert page.get_by_text("first leaf, root, low fruit: 29 January 2027").is_visible()
        size = page.locator(".cut-out h2").first.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")
        assert size >= 48 * 96 / 72 - 0.1
