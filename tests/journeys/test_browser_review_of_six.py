"""In a real browser, at the width of a phone: a reviewer with twenty minutes decides on six editions and leaves two."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.journeys.browsing import served, settle, sign_in
from tests.orrendal import copy_of_circle, practice

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser
RATIO = {"a": "soap", "b": "water", "by": "volume", "value": 100}
ANSWER = "Measured here for two seasons."


def mixed(title: str, **more: Any) -> dict[str, Any]:
    return practice(title, ratios=[RATIO], **more)


def what_waits(circle: Circle) -> dict[str, str]:
    """Eight editions that wait for C3, one of their own, and one answer that they gave before."""
    circle.approve("C3", circle.write("C1", mixed("Soap water")), answers={"GEN-01": ANSWER})
    old = circle.write("C1", practice("Rows of leeks", steps=[{"say": {"en": "Plant 10 cm apart."}}]))
    circle.approve("C3", old)
    circle.write("C3", practice("By the reviewer"))
    named = {
        "open": practice("Open drums", hazards=[{"code": "C09"}]),
        "roof": practice("Lettuce on a roof", hazards=[{"code": "C07"}]),
        "mixed": mixed("Soap water for beans"),
        "plain": practice("Rows of onions"),
        "late": practice("Rows of garlic"),
        "later": practice("Rows of shallots"),
    }
    found = {name: circle.write("C1", document) for name, document in named.items()}
    newer = practice("Rows of leeks", steps=[{"say": {"en": "Plant 15 cm apart."}}])
    return found | {"leeks": circle.write("C1", newer, after=[old])}


def decide(page: Page, title: str) -> None:
    """Open an edition from the list."""
    page.get_by_role("link", name="Review", exact=True).click()
    page.get_by_role("link", name=title, exact=True).click()


def approve(page: Page) -> None:
    page.get_by_role("button", name="Approve exactly this edition").click()
    assert "Approved: this exact edition, and no other." in page.locator("main").inner_text()


def see_the_list(page: Page) -> None:
    page.get_by_role("link", name="Review", exact=True).click()
    words = page.locator("main").inner_text()
    assert "You have 20 minutes: these 6, for these reasons. 1 other waits." in words
    assert "By the reviewer" not in words
    assert words.index("Open drums") < words.index("Rows of leeks") < words.index("These wait")
    settle(page)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_six_are_decided_for_their_reasons_and_the_others_wait(page: Page, tmp_path: Path) -> None:
    circle = copy_of_circle(tmp_path / "circle")
    found = what_waits(circle)
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C3")
        see_the_list(page)
        decide(page, "Open drums")
        page.get_by_label("The reason").select_option("danger")
        page.get_by_label("What should the author change?").fill("Say how the drum is covered.")
        page.get_by_role("button", name="Send it back").click()
        decide(page, "Lettuce on a roof")
        page.get_by_label("Approve it only with these limits").fill("Only where a builder has looked")
        approve(page)
        assert "Not for a sheet to take home yet: a second check is missing on weight overhead." in (
            page.locator("main").inner_text()
        )
        decide(page, "Soap water for beans")
        box = page.get_by_label("Take over what you answered")
        assert not box.is_checked()
        box.check()
        approve(page)
        decide(page, "Rows of leeks")
        assert page.locator("del").inner_text() == "10"
        assert page.locator("ins").inner_text() == "15"
        approve(page)
        for title in ("Rows of onions", "Rows of garlic"):
            decide(page, title)
            approve(page)
        page.get_by_role("link", name="Review", exact=True).click()
        assert "1 edition waits, for these reasons." in page.locator("main").inner_text()
    site = circle["C"]
    reviewer = circle.signer("C3")
    states = {name: site.page(site.entry_id(one), edition=one, reader=reviewer).state for name, one in found.items()}
    assert states == dict.fromkeys(found, "approved") | {"open": "sent-back", "later": "offered"}
    assert site.page(found["mixed"]).approvals[0].answers == {"GEN-01": ANSWER}
    circle.close()
