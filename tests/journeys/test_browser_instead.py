"""In a real browser on a small phone: a draft that the rules stop is mended by one press, and the press taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, settle, sign_in
from tests.orrendal import copy_of_circle
from tests.review.known_drafts import BAD

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
STEEP = next(draft.entry.document for draft in BAD if draft.rule == "MAN-06")  # a dung tea, picked two days later


def test_a_dung_tea_with_two_days_is_stopped_with_the_law_and_mended_by_one_press(page: Page, tmp_path: Path) -> None:
    circle = copy_of_circle(tmp_path / "circle")
    circle["C"].write(STEEP, signer=circle.signer("C1"), draft=True)
    page.set_viewport_size({"width": 320, "height": 640})
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C1")
        page.goto(f"{address}/write/checked/?draft=draft-1")
        stopped = page.locator("main").inner_text()
        assert "7 CFR 205.203" in stopped  # section (c)(1): raw animal manure, 120 days
        presses = page.locator("form[action='/write/checked/change'] button")
        assert presses.count() >= 3
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        page.locator("form:has(input[value='keep-the-raw-wait']):has(input[value='stop']) button").first.press("Enter")
        settle(page)
        mended = page.locator("main").inner_text()
        assert "What was changed" in mended
        assert "120" in mended
        assert page.locator("form input[name=result][value=stop]").count() == 0
        page.get_by_role("button", name="back").first.press("Enter")
        settle(page)
        assert page.locator("form:has(input[value='keep-the-raw-wait']) button").count() >= 1
    circle.close()
