"""In a real browser: a trainer writes an entry with a photo, a reviewer approves exactly it, a reader finds it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served, sign_in, sign_out
from tests.orrendal import copy_of_circle
from tests.photos.pictures import photo, saved

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


def fill_what_is_needed(page: Page) -> None:
    page.get_by_label("Its name").fill("Lesson: counting seeds")
    page.get_by_label("What kind of practice?").select_option("teaching")
    page.get_by_label("In one or two sentences").fill("Ten seeds in wet cloth show how many come up.")
    page.locator("[id='topics[0]']").select_option("seed-not-coming-up")
    page.locator("[id='materials[0].item']").fill("maize seeds")
    page.locator("[id='materials[0].qty.value']").fill("10")
    page.locator("[id='materials[0].qty.unit']").select_option("concentr-item")
    page.locator("[id='steps[0].say']").fill("Lay 10 seeds on a wet cloth.")
    page.locator("[id='success_signs[0]']").fill("White roots after 4 days.")


def say_no_to_every_danger(page: Page) -> None:
    for answer in page.locator(".ask input[value=no]").all():
        answer.check()


def mend_and_offer(page: Page, picture: Path) -> None:
    """Meet a fault, mend it, open what a yes asks for, add the photo, and offer."""
    page.locator("[id='steps[0].day_offset']").fill("soon")
    page.get_by_role("button", name="Keep as a draft").click()
    assert page.get_by_role("alert").inner_text().startswith("1 thing must be mended first.")
    assert page.get_by_label("Its name").input_value() == "Lesson: counting seeds"
    page.locator("[id='steps[0].day_offset']").fill("0")
    hidden = page.locator("[id='facts.fish[0].n']")
    assert not hidden.is_visible()
    page.locator("[id='ask.fish-yes']").check()
    assert hidden.is_visible()  # without a script
    say_no_to_every_danger(page)
    page.locator("[id='photo.0.file']").set_input_files(picture)
    page.locator("[id='photo.0.alt']").fill("Seeds on a cloth.")
    page.locator("[id='photo.0.people']").select_option("none")
    page.locator("[id='sure']").check()
    page.get_by_role("button", name="Offer it for review").click()


def approve_it(page: Page) -> None:
    page.get_by_role("link", name="Review").click()
    page.get_by_role("link", name="Lesson: counting seeds").click()
    page.get_by_label("Approve it only with these limits").fill("Only seed of this year")
    page.get_by_role("button", name="Approve exactly this edition").click()


def test_an_entry_is_written_offered_approved_and_found(page: Page, tmp_path: Path) -> None:
    circle = copy_of_circle(tmp_path / "circle")
    (tmp_path / "cloth.jpg").write_bytes(saved(photo(), "JPEG"))
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C1")
        page.get_by_role("link", name="Write", exact=True).click()
        page.get_by_label("Begin a new practice entry, in which language?").select_option("en")
        page.get_by_role("button", name="Begin").click()
        page.get_by_role("button", name="Go on to the form").click()
        fill_what_is_needed(page)
        mend_and_offer(page, tmp_path / "cloth.jpg")
        words = page.locator("main").inner_text()
        assert "Offered for review." in words
        assert "You wrote this. Another reviewer decides" in words
        sign_out(page)
        sign_in(page, "C3")
        approve_it(page)
        sign_out(page)
        page.get_by_role("searchbox").fill("seeds do not come up")
        page.get_by_role("button", name="Search").click()
        page.get_by_role("link", name="Lesson: counting seeds").first.click()
        words = page.locator("main").inner_text()
        assert "C3 approved edition 1 of this practice entry, with limits: Only seed of this year." in words
        assert page.get_by_alt_text("Seeds on a cloth.").evaluate("picture => picture.naturalWidth") > 0
    circle.close()
