"""In a real browser, 320 px wide: a bed on a roof is refused, the builder is asked by the sheet, and it begins."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest
from PIL import Image, ImageChops

from tests.journeys.browsing import served, settle, sign_in
from tests.orrendal import copy_of_circle
from tests.roofs import roof_bed
from tests.starters import entry_of

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page


pytestmark = pytest.mark.browser


def fits(page: Page) -> None:
    """No sideways scroll at 320 CSS px (WCAG 2.2, 1.4.10, from memory), and nothing to press is below 48 px (ours)."""
    settle(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    small = page.evaluate(
        """() => [...document.querySelectorAll('main button, main .call a, main input[type=text], main .ask > label')]
        .filter(one => one.getBoundingClientRect().height < 47.5).map(one => one.outerHTML.slice(0, 80))"""
    )
    assert small == []


def is_black_and_white(picture: bytes) -> bool:
    """True where every pixel is a grey."""
    red, green, blue = Image.open(io.BytesIO(picture)).convert("RGB").split()
    apart = (ImageChops.difference(red, green).getextrema(), ImageChops.difference(green, blue).getextrema())
    return apart == ((0, 0), (0, 0))


def answer_what_a_trainer_sees(page: Page) -> None:
    page.get_by_label("Where at this site?").fill("roof of block C")
    for code in ("way_up", "nobody_below"):
        page.locator(f"#{code}-yes").check()
    for code, value in {"depth_cm": "12", "bed_length_cm": "200", "bed_width_cm": "60"}.items():
        page.locator(f"#{code}").fill(value)
    fits(page)
    page.get_by_role("button", name="See what this allows").click()


def print_the_sheet(page: Page, file: Path) -> None:
    page.get_by_role("link", name="Print the sheet to ask with").click()
    fits(page)
    words = page.locator("main").inner_text()
    assert "Wet it weighs 230.7 kg/m²; ask what this place may carry besides what it bears already." in words
    page.emulate_media(media="print")
    assert is_black_and_white(page.screenshot(full_page=True))
    page.emulate_media(media="screen")
    assert on_paper(page, file) == 1
    page.go_back()


def on_paper(page: Page, file: Path) -> int:
    """How many A4 pages it takes."""
    page.emulate_media(media="print")
    page.pdf(path=file, format="A4", prefer_css_page_size=True)
    page.emulate_media(media="screen")
    return len(re.findall(rb"/Type\s*/Page\b", file.read_bytes()))


def type_in_what_the_builder_said(page: Page, stated: str) -> None:
    page.get_by_role("link", name="Type in answers").click()
    page.locator("#engineer_ok-yes").check()
    page.locator("#safe_load_kg_m2").fill(stated)
    page.get_by_label("On which day did they say so?").fill("2026-11-24")
    page.get_by_role("button", name="See what this allows").click()


def test_a_roof_bed_is_refused_asked_about_typed_in_and_begun(page: Page, tmp_path: Path) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    with copy_of_circle(tmp_path / "circle") as circle, served(circle, "C") as address:
        edition = circle.write("C1", roof_bed())
        page.goto(address)
        sign_in(page, "C1")
        page.goto(f"{address}/entry/{edition}")
        page.get_by_role("link", name="Begin this at a place here").click()
        answer_what_a_trainer_sees(page)
        assert page.get_by_role("heading", level=1).inner_text() == "Not yet"
        assert page.get_by_role("button", name="Begin it here").count() == 0
        fits(page)
        print_the_sheet(page, tmp_path / "sheet.pdf")
        type_in_what_the_builder_said(page, "97.6")
        assert page.get_by_role("heading", level=1).inner_text() == "Not yet"
        type_in_what_the_builder_said(page, "300")
        assert page.get_by_role("heading", level=1).inner_text() == "May begin here"
        page.get_by_role("button", name="Begin it here").click()
        assert "Begun on 25 November 2026." in page.locator("main").inner_text()
        fits(page)
        page.get_by_role("link", name="Who to call here").click()
        fits(page)
        longest = entry_of("fish-hen-garden")
        steps = [{name: said for name, said in step.items() if name != "picture"} for step in longest["steps"]]
        longest |= {"photos": [], "steps": steps}
        page.set_extra_http_headers({"Accept-Language": "sw"})
        page.goto(f"{address}/start/{circle.write('C1', longest)}/sheet")
        assert "Je, unajua kwamba kila chombo" in page.locator("main").inner_text()
        assert on_paper(page, tmp_path / "longest.pdf") == 1


def keep_size(page: Page, address: str, edition: str, litres: str) -> None:
    page.goto(f"{address}/entry/{edition}/size?language=en")
    page.get_by_label("What you compare").select_option("material-0")
    page.get_by_label("How much of it you have").fill(litres)
    page.get_by_role("button", name="Reckon it for me").click()
    page.get_by_role("button", name="Keep this size for this site").click()


def test_soil_that_would_lie_too_deep_on_a_roof_cannot_be_chosen_and_the_depth_that_fits_is_said(
    page: Page, tmp_path: Path
) -> None:
    """144 L lie 12 cm deep on 2 by 0.6 m, 300 L lie 25 cm deep: 480.5 kg/m² against 300, which 15.6 cm weigh."""
    page.set_viewport_size({"width": 320, "height": 640})
    soil = {"item": {"en": "clean soil"}, "qty": {"value": 144, "unit": "volume-liter"}}
    bed = {"roof": True, "load_kg_m2_wet": "230.64", "area_m2": {"value": "1.2", "unit": "area-square-meter"}}
    with copy_of_circle(tmp_path / "circle") as circle, served(circle, "C") as address:
        edition = circle.write("C1", roof_bed() | {"materials": [soil], "space": bed})
        page.goto(address)
        sign_in(page, "C1")
        for litres in ("144", "300"):
            keep_size(page, address, edition, litres)
        page.goto(f"{address}/entry/{edition}")
        page.get_by_role("link", name="Begin this at a place here").click()
        answer_what_a_trainer_sees(page)
        type_in_what_the_builder_said(page, "300")
        words = page.locator("main").inner_text()
        assert "Not here: 300 L" in words
        assert "Here: 25 cm, 480.5 kg/m²; would fit: 15.6 cm, 300 kg/m²." in words
        assert page.get_by_role("radio").count() == 2
        fits(page)
        page.screenshot(path=tmp_path / "slip.png", full_page=True)
        page.get_by_text("144 L", exact=False).first.click()
        page.get_by_role("button", name="Begin it here").click()
        assert "Begun on 25 November 2026." in page.locator("main").inner_text()
