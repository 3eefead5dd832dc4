"""In a real browser: two signatories at two sites make a reviewer over a stick, and one stops a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, settle, sign_in, sign_out
from tests.journeys.test_browser_exchange import take_in_and_leave
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser


def words_on(page: Page) -> str:
    return page.locator(".fingerprint").first.inner_text()


def fits(page: Page) -> bool:
    """True where nothing on the page is wider than the narrowest screen that we promise."""
    page.set_viewport_size({"width": 320, "height": 640})
    settle(page)
    return bool(page.evaluate("document.documentElement.scrollWidth <= 320"))


def look_at_t1(page: Page, label: str) -> None:
    """Sign in and find the words of T1."""
    sign_in(page, label)
    page.get_by_role("link", name="People").click()
    page.get_by_role("link", name="Everybody's words").click()
    page.get_by_role("link", name="T1", exact=True).click()


def test_a_reviewer_is_made_by_two_signatories_over_a_stick(page: Page, circle: Circle, tmp_path: Path) -> None:
    stick = tmp_path / "STICK"
    stick.mkdir()
    with served(circle, "T") as thornpan:  # T1 looks up the words to say
        page.goto(thornpan)
        look_at_t1(page, "T1")
        spoken = words_on(page)
        assert "Say these words" in page.locator("main").inner_text()
        assert page.locator("svg.qr").count() == 1
    with served(circle, "C") as cloudstep:
        page.goto(cloudstep)
        look_at_t1(page, "C1")
        page.get_by_role("link", name="Make T1 a reviewer").click()
        page.get_by_label("Teaching").check()
        page.get_by_role("button", name="Go on to compare the words").click()
        assert words_on(page) == spoken
        page.get_by_label("They said all eight words to me").check()
        page.get_by_role("button", name="Give my voice").click()
        assert "Said by C1 (2026-11-25). 1 more voice is needed." in page.locator("main").inner_text()
        assert page.get_by_role("link", name="I agree").count() == 0
        assert fits(page)
        take_in_and_leave(page, stick)
    with served(circle, "L") as longshade:
        page.goto(longshade)
        sign_in(page, "L1")
        take_in_and_leave(page, stick)
        page.get_by_role("link", name="People").click()
        page.get_by_role("link", name="What waits for voices").click()
        page.get_by_role("link", name="I agree").click()
        assert words_on(page) == spoken
        assert fits(page)
        page.get_by_label("They said all eight words to me").press("Space")  # by keyboard alone
        page.get_by_role("button", name="I agree").press("Enter")
        assert "That was the last voice needed" in page.locator("main").inner_text()
    assert "reviewer" in circle["L"].need_ledger().roles_of(circle.keys["T1"].public)


def test_a_stolen_key_is_stopped_from_the_first_doubted_word_on(page: Page, circle: Circle) -> None:
    for number in range(2):
        circle.write("L2", practice(f"Onions in crate {number}"))
    circle.carry("LC")
    with served(circle, "C") as cloudstep:
        page.goto(cloudstep)
        sign_in(page, "C1")
        page.get_by_role("link", name="People").click()
        page.get_by_role("link", name="A key is stolen or lost").click()
        assert fits(page)
        page.get_by_role("link", name="Everybody's keys").click()
        page.get_by_role("link", name="L2", exact=True).click()
        page.get_by_role("link", name="Stop this key").click()
        page.get_by_label("Onions in crate 1").check()
        assert fits(page)
        page.get_by_role("button", name="Look what comes of it").click()
        shown = page.locator("main").inner_text()
        assert "L2 is no longer reviewer and trainer." in shown
        assert "Onions in crate 0" not in shown
        assert fits(page)
        page.get_by_role("button", name="Stop this key").click()
        assert "C1 stopped this key" in page.locator("main").inner_text()
        page.get_by_role("link", name="What was set aside").click()
        assert "Onions in crate 1" in page.locator("main").inner_text()
        sign_out(page)
