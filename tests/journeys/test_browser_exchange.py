"""In a real browser: a stick is filled at one site, carried, and taken in at another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, sign_in
from tests.web.gardens import planted_copy

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


def take_in_and_leave(page: Page, stick: Path) -> str:
    page.get_by_role("link", name="Exchange").click()
    page.get_by_label("Folder", exact=True).or_(page.get_by_label("Or another folder")).fill(str(stick))
    page.get_by_role("button", name="Go on").click()
    assert "What leaves this site:" in page.locator("main").inner_text()
    page.get_by_role("button", name="Take in and leave").click()
    page.get_by_text("Left on the stick").or_(page.get_by_text("The stick had all of ours")).wait_for()
    return page.locator("main").inner_text()


def test_a_stick_carries_a_checked_entry_to_another_site(page: Page, tmp_path: Path) -> None:
    circle = planted_copy(tmp_path / "circle")
    circle.open("S")
    stick = tmp_path / "media" / "STICK"
    stick.mkdir(parents=True)
    with served(circle, "C", stick_roots=[str(tmp_path / "media")]) as cloudstep:
        page.goto(cloudstep)
        sign_in(page, "C1")
        assert "Left on the stick" in take_in_and_leave(page, stick)
        page.get_by_role("link", name="Exchange", exact=True).click()
        assert page.get_by_label(str(stick)).is_checked()  # a stick that was used before is seen and offered
    with served(circle, "S") as saltreed:
        page.goto(saltreed)
        sign_in(page, "S1")
        assert "Taken in and checked" in take_in_and_leave(page, stick)
        page.get_by_role("link", name="Search").click()
        page.get_by_role("searchbox").fill("vidukari kwenye sukuma wiki")
        page.get_by_role("button", name="Search").click()
        assert "Checked once." in page.locator("main").inner_text()
        page.locator("a.title").first.click()
        assert "C3 approved edition 1 of this practice entry" in page.locator("main").inner_text()
    circle.close()
