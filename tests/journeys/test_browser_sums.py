"""In a real browser, with scripts off, on a 320 px phone: sums and sizes as a trainer asks for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.browsing import served
from tests.journeys.test_browser_search_and_calendar import CONTROLS, overflows, too_near, too_small
from tests.web.gardens import entry_with, planted_copy

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser


@pytest.fixture
def circle(tmp_path: Path) -> Iterator[Circle]:
    found = planted_copy(tmp_path / "circle")
    yield found
    found.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """As narrow as it gets, with scripts off."""
    context = chromium.new_context(viewport={"width": 320, "height": 640}, java_script_enabled=False)
    yield context.new_page()
    context.close()


def test_a_practice_is_sized_for_a_can_of_five_litres(phone: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        phone.goto(f"{address}/entry/{entry_with(circle, 'Rabbit-dung')}?language=en")
        phone.get_by_role("link", name="For my own size").click()
        phone.get_by_label("How much of it you have").fill("5")
        phone.get_by_label("First day").fill("2027-03-01")
        phone.get_by_role("button", name="Reckon it for me").click()
        amounts = phone.locator("#answer").inner_text()
        assert "500 g" in amounts
        assert "Thin it: 2.5 L with 5 L of water." in amounts
        assert phone.get_by_role("heading", name="15 March 2027").first.is_visible()
        assert "General guidance. Local codes" in phone.get_by_label("Cautions").inner_text()
        phone.get_by_role("link", name="A batch of steeped dung").click()
        assert phone.get_by_label("Dung, in kg").count() + phone.get_by_label("Dung", exact=True).count() == 1


def test_a_roof_bed_is_refused_one_centimetre_above_the_builders_figure(phone: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        phone.goto(address)
        phone.get_by_role("link", name="Sums", exact=True).click()
        phone.get_by_role("link", name="Weight on a roof or wall").click()
        phone.get_by_label("Weight of a cubic metre of the soil").fill("1922")
        phone.get_by_label("What the builder stated").fill("115.32")
        for depth, words in (
            ("6", "Below the limit you gave"),
            ("7", "Above the limit you gave: do not put it there."),
        ):
            phone.get_by_label("Depth of the soil", exact=True).fill(depth)
            phone.get_by_role("button", name="Reckon it").click()
            assert words in phone.locator("#answer").inner_text()
            assert "safe" not in phone.locator("#answer").inner_text().casefold()


def test_a_drum_with_one_hen_is_judged_by_its_surface(phone: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        phone.goto(f"{address}/sums/linked-system")
        for label, typed in (("Surface of the water", "0.255"), ("Birds whose dung", "1"), ("All fish together", "0")):
            phone.get_by_label(label).first.fill(typed)
        phone.get_by_label("Water in it", exact=True).fill("200")
        phone.get_by_role("button", name="Reckon it").click()
        answer = phone.locator("#answer").inner_text()
        assert "No food-fish unit at this size" in answer
        assert "7.8 times the 0.13 that it bears" in answer
        assert phone.get_by_role("img", name="What goes round").is_visible()


def test_every_sum_fits_a_small_screen_and_a_gloved_finger(page: Page, circle: Circle) -> None:
    heap = "materials.0.material=straw&materials.0.wet_kg=3"
    bed = "length_mm=1000&width_mm=600&spacing_mm=250&pattern=square"
    size = f"/entry/{entry_with(circle, 'Rabbit-dung')}/size?language=en&base=container&amount=5&in=L"
    page.set_viewport_size({"width": 320, "height": 640})
    with served(circle, "C") as address:
        paths = [
            "/sums/",
            "/sums/measures",
            f"/sums/compost-mix?{heap}",
            f"/sums/plants-that-fit?{bed}",
            "/sums/wick",
            size,
        ]
        for path in paths:
            page.goto(address + path)
            page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
            controls = page.evaluate(CONTROLS)
            assert (path, overflows(page), too_small(controls), too_near(controls)) == (path, False, [], [])
