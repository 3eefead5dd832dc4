"""In a real browser, 320 px wide, without scripts: a comparison is begun, counted, printed to count with, and signed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, sign_in
from tests.journeys.test_browser_starting import fits, is_black_and_white, on_paper
from tests.orrendal import copy_of_circle, practice

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


def begin(page: Page) -> None:
    page.get_by_role("link", name="Compare it here with the usual way").click()
    fits(page)
    page.get_by_text("How to compare fairly").click()
    fits(page)
    page.get_by_label("What is counted?").fill("aphids")
    page.get_by_label("On which crop or animal?").fill("kale")
    page.get_by_label("The practice, in two or three words").fill("sprayed")
    page.get_by_label("That, in two or three words").fill("water only")
    page.get_by_label("How many of them for each way?").fill("3")
    page.get_by_label("How many of those are looked at in each?").fill("2")
    page.get_by_role("button", name="Draw the lots").click()
    fits(page)


def count(page: Page) -> None:
    """Sack after sack, each form leading to the next; each sprayed one has 18 fewer than its fellow."""
    seen = {True: 0, False: 0}
    page.get_by_role("link", name="Sack 1", exact=True).click()
    for sack in range(1, 7):
        assert page.get_by_role("heading", level=1).inner_text() == f"Sack {sack}"
        fits(page)
        sprayed = "sprayed" in page.locator(".lead").inner_text()
        seen[sprayed] += 1
        for box, value in {"before": 20, "counted": 3 if sprayed else 21}.items():
            for plant in (1, 2):
                page.locator(f"#{box}-{plant}").fill(str(value + seen[sprayed] + plant))
        page.locator("button.main").click()


def test_a_comparison_is_begun_counted_printed_and_signed_on_a_small_phone(page: Page, tmp_path: Path) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    with copy_of_circle(tmp_path / "circle") as circle, served(circle, "C") as address:
        edition = circle.write("C1", practice("Chilli and garlic water"))
        page.goto(address)
        sign_in(page, "C1")
        page.goto(f"{address}/entry/{edition}")
        assert "Told, not tried by anyone as far as is known." in page.locator("#compared").inner_text()
        begin(page)
        page.get_by_role("link", name="The sheet to count with").click()
        fits(page)
        page.emulate_media(media="print")
        assert is_black_and_white(page.screenshot(full_page=True))
        page.emulate_media(media="screen")
        assert on_paper(page, tmp_path / "sheet.pdf") == 1
        page.get_by_role("link", name="Back to the comparison").click()
        count(page)
        assert "All are counted, or lost." in page.locator("main").inner_text()
        fits(page)
        page.get_by_role("button", name="It worked", exact=True).click()
        assert "It goes on the next stick, whatever came of it." in page.locator("main").inner_text()
        fits(page)
        page.goto(f"{address}/entry/{edition}")
        fits(page)
        block = page.locator("#compared")
        assert "one site: elsewhere it may be otherwise" in block.inner_text().lower()
        assert "about 18 fewer" in block.inner_text()
        assert is_black_and_white(block.locator("svg").screenshot())
        page.goto(f"{address}/comparisons/")
        fits(page)
