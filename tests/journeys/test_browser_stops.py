"""In a real browser: a complaint without an account, and a withdrawal that overtakes an older stick."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, sign_in
from tests.journeys.test_browser_roles import fits
from tests.orrendal import practice

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser
SMOKE = practice("Strong leaf-smoke water spray", summary={"en": "Soak leaves in smoke water and spray."})


def main_words(page: Page) -> str:
    return page.locator("main").inner_text()


def test_a_complaint_without_an_account_pauses_the_practice_and_is_answered(page: Page, circle: Circle) -> None:
    circle.approve("C3", circle.write("C1", SMOKE))
    with served(circle, "C") as address:
        page.goto(f"{address}/practices")
        page.get_by_role("link", name="Strong leaf-smoke water spray").first.click()
        page.get_by_role("link", name="It did not work, or it hurt someone").click()
        page.get_by_label("What happened?").fill("A child's skin burnt.")
        assert fits(page)
        page.get_by_role("button", name="It hurt someone, or an animal").click()
        assert "are you sure?" in main_words(page)
        page.get_by_role("button", name="Yes, it hurt someone: pause it here").click()
        assert "a reviewer must answer" in main_words(page)
        assert "Waits for the answer of a reviewer." in main_words(page)
        page.goto(f"{address}/practices")
        assert page.get_by_role("link", name="Strong leaf-smoke water spray").count() == 0
        sign_in(page, "C3")
        page.get_by_role("link", name="Read and answer").click()
        assert "A child's skin burnt." in main_words(page)
        page.get_by_label("Your answer, which everybody can read").fill(
            "Do not use it; the smoke water was too strong."
        )
        page.get_by_role("button", name="Answer", exact=True).click()
        assert "Somebody was hurt" not in main_words(page)
        page.get_by_role("button", name="Sign out").click()
        page.goto(f"{address}/told")
        assert "Answer of C3: Do not use it; the smoke water was too strong." in main_words(page)
        assert "skin" not in main_words(page)


def test_a_withdrawal_overtakes_an_older_stick_and_names_the_paper_to_take_down(page: Page, circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    circle.carry("TL")
    circle.approve("L2", edition)
    older = circle.new_stick("older")
    circle.carry("L", older)
    circle.carry("LS")
    circle["S"].papers.register(edition, sheets=12, where="tap stand", signer=circle.signer("S1"))
    with served(circle, "L") as longshade:
        page.goto(longshade)
        sign_in(page, "L2")
        page.goto(f"{longshade}/review/{edition}/stop")
        form = page.locator("form").filter(has_text="Withdraw it everywhere")
        form.get_by_label("What happened, to whom?").fill("Two children were sick.")
        form.get_by_label("What to do now where it is in use").fill("Pour it away.")
        form.get_by_label("What to do instead").fill("Use soap.")
        form.get_by_role("button", name="Withdraw it everywhere").click()
        assert "Withdrawn: do not use" in main_words(page)
    with served(circle, "S") as saltreed:
        page.goto(f"{saltreed}/entry/{edition}")
        assert "Soak leaves in smoke water" in main_words(page)
        circle.carry("LS")
        circle["S"].exchange(older)
        page.goto(f"{saltreed}/entry/{edition}")
        words = main_words(page)
        assert "Two children were sick." in words
        assert "Soak leaves" not in words
        assert f"12 sheets with the code {edition[:12]}: tap stand" in words
        assert "2 of 4 sites know of it" in words
        assert fits(page)
        page.emulate_media(media="print")
        assert page.get_by_text("tap stand").is_visible()
        assert page.get_by_text("Use soap.").is_visible()
        page.emulate_media(media="screen")
        sign_in(page, "S1")
        page.goto(f"{saltreed}/entry/{edition}")
        page.get_by_label("How many sheets were taken down?").fill("12")
        page.get_by_role("button", name="The paper is down here").click()
        assert "1 has taken its paper down" in main_words(page)
