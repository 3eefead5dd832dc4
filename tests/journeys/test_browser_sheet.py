"""In a real browser: the sheet to take home stays on one sheet of A4, in large words, in black and white."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import PhotoIn
from tests.journeys.browsing import served, settle, sign_in
from tests.journeys.test_browser_starting import fits, is_black_and_white, on_paper
from tests.orrendal import practice
from tests.starters import FOLDERS, entry_of

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser


def sheet_of(page: Page, address: str, edition: str, language: str) -> None:
    page.goto(f"{address}/entry/{edition}?language={language}")
    page.get_by_role("link", name="Sheet to take home").click()
    fits(page)
    page.get_by_label("How many sheets?").fill("30")
    page.get_by_label("Who gets them?").fill("30 households")
    page.locator(f"input[name=language][value={language}]").check()
    page.get_by_role("button", name="Count them, and show the sheet").click()
    settle(page)
    fits(page)


def size_pt(page: Page, what: str) -> float:
    """How large words are on paper, in points."""
    page.emulate_media(media="print")
    found = page.locator(what).first.evaluate("one => parseFloat(getComputedStyle(one).fontSize) * 72 / 96")
    page.emulate_media(media="screen")
    return round(float(found), 1)


def small(circle: Circle) -> str:
    steps = [
        {"say": {"en": "Plant onions a hand apart.", "ar": "ازرع البصل على مسافة 10 cm."}, "day_offset": day}
        for day in range(6)
    ]
    titles = {"en": "Rows of onions", "ar": "صفوف البصل"}
    return circle.write("C1", practice(titles, steps=steps))


def longest(circle: Circle) -> str:
    """The longest starter entry, with its drawing, in two languages."""
    document = entry_of("five-hens")
    photos = [
        PhotoIn(one["name"], (FOLDERS["five-hens"] / one["file"]).read_bytes(), one["people"])
        for one in document["photos"]
    ]
    return circle.write("C1", document, photos=photos)


def approved_twice(circle: Circle, edition: str) -> str:
    site = circle["C"]
    answers = {one.rule: "Seen." for one in site.findings(edition)}
    about = list(site.second_words.at_stake(edition))
    word = {"role": "vet", "on": "2026-11-20", "words": "It may go home.", "about": about} if about else None
    site.approve(edition, signer=circle.signer("C3"), answers=answers, second_word=word)
    return edition


def test_a_short_practice_takes_one_page_and_the_longest_both_sides(page: Page, circle: Circle, tmp_path: Path) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    short, long = (approved_twice(circle, one) for one in (small(circle), longest(circle)))
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C1")
        for edition, language, most in ((short, "en", 1), (short, "ar", 1), (long, "en", 2), (long, "ar", 2)):
            sheet_of(page, address, edition, language)
            assert on_paper(page, tmp_path / f"{language}.pdf") <= most
            assert size_pt(page, ".take-home ol") >= (11 if edition == long else 14 if language == "en" else 16)
            assert re.search(r"☐", page.locator(".strip").inner_text())
        page.emulate_media(media="print")
        assert is_black_and_white(page.screenshot(full_page=True))
