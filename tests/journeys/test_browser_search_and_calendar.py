"""In a real browser, with scripts off: a volunteer searches and reads on a small phone, and sees the year.

The measures are W1, W5, W10, W12, W13 of the reference on people (ours), after WCAG 2.2: 2.5.8, 1.4.10, 1.4.12, 2.4.7,
2.1.1 (from memory but for 2.5.8).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.journeys.browsing import served, sign_in
from tests.web.gardens import entry_with, planted_copy

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser

# Every control with its box on the page. A link inside a sentence is left out (2.5.8, exception "inline"); a tick or a
# choice is pressed by its label. What is folded away is unfolded first: nothing of it has a place of its own before.
CONTROLS = """() => {
document.querySelectorAll('details').forEach(one => { one.open = true; });
return [...document.querySelectorAll('a[href], button, input, select, textarea, summary')].flatMap(one => {
  const inSentence = one.tagName === 'A' && one.closest('p, #faults li, dd');
  const pressed = ['checkbox', 'radio'].includes(one.type) ? (one.labels[0] || one) : one;
  const box = pressed.getBoundingClientRect();
  const seen = box.width && box.height && one.type !== 'hidden' && !one.closest('.skip, [aria-hidden]');
  return !seen || inSentence || one.matches('.skip, [aria-hidden]') ? [] : [{
    name: (one.id || one.innerText || one.name || one.tagName).slice(0, 30),
    left: box.left, top: box.top + scrollY, right: box.right, bottom: box.bottom + scrollY}];
}); }"""
# as a reader's own style sheet would; the page itself allows no foreign style
WITH_STYLE = """css => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(css);
  document.adoptedStyleSheets = [sheet];
}"""
SPACED = "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }"


@pytest.fixture
def circle(tmp_path: Path) -> Iterator[Circle]:
    found = planted_copy(tmp_path / "circle")
    yield found
    found.close()


def too_small(controls: list[dict[str, Any]]) -> list[str]:
    return [
        f"{one['name']}: {one['right'] - one['left']:.0f} x {one['bottom'] - one['top']:.0f}"
        for one in controls
        if min(one["right"] - one["left"], one["bottom"] - one["top"]) < 47.5
    ]


def too_near(controls: list[dict[str, Any]]) -> list[str]:
    near = []
    for n, one in enumerate(controls):
        for other in controls[n + 1 :]:
            across = max(other["left"] - one["right"], one["left"] - other["right"])
            down = max(other["top"] - one["bottom"], one["top"] - other["bottom"])
            if max(across, down) < 7.5:
                near.append(f"{one['name']} and {other['name']}: {max(across, down):.1f}")
    return near


def overflows(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"))


def test_a_volunteer_finds_and_reads_with_scripts_off(chromium: Browser, circle: Circle) -> None:
    context = chromium.new_context(viewport={"width": 320, "height": 640}, java_script_enabled=False)
    page = context.new_page()
    with served(circle, "C") as address:
        page.goto(address)
        page.get_by_role("searchbox").fill("vidukari kwenye sukuma wiki")
        page.get_by_role("button", name="Search").click()
        page.locator("a.title").first.click()
        assert "Vidukari kwenye sukuma wiki" in page.locator("h1").inner_text()
        page.get_by_role("link", name="English").click()
        assert "General guidance. Local codes" in page.get_by_label("Cautions").inner_text()
        page.get_by_role("link", name="Calendar").click()
        picture = page.get_by_role("img").first
        assert picture.is_visible()
        page.get_by_role("rowheader", name="Kale").get_by_role("link").click()
        assert "Kale" in page.locator("h1").inner_text()
        assert page.get_by_text("Dung day:").first.is_visible()
    context.close()


def pages_of(circle: Circle) -> list[str]:
    entry = entry_with(circle, "Rabbit-dung")
    reading = [
        "/",
        "/search?q=hens are dying",
        "/practices",
        f"/entry/{entry}?language=en",
        "/calendar?persons=4&water=80",
        "/calendar/sweet_potato",
        "/people/",
        "/help",
    ]
    working = [
        "/write/",
        "/write/form?language=en",
        "/review/",
        f"/review/{entry}",
        f"/review/{entry}/stop",
        "/exchange/",
    ]
    return [*reading, *working]


def test_every_page_fits_a_small_screen_and_a_gloved_finger(page: Page, circle: Circle) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    with served(circle, "C") as address:
        page.goto(address)
        sign_in(page, "C3")
        for path in pages_of(circle):
            page.goto(address + path)
            controls = page.evaluate(CONTROLS)
            assert (path, overflows(page), too_small(controls), too_near(controls)) == (path, False, [], [])


def test_letters_twice_as_large_and_spaced_still_fit(page: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        page.goto(address)
        for path in pages_of(circle)[:8]:
            page.set_viewport_size({"width": 320, "height": 640})
            page.goto(address + path)
            page.evaluate(WITH_STYLE, SPACED)
            assert (path, "spaced", overflows(page)) == (path, "spaced", False)
            page.set_viewport_size({"width": 1280, "height": 640})
            page.evaluate(WITH_STYLE, "html { font-size: 200% }")
            assert (path, "200 %", overflows(page)) == (path, "200 %", False)


def test_the_whole_way_can_be_gone_with_keys_and_the_place_is_seen(page: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        page.goto(address)
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.innerText") == "Skip to the page itself"
        assert page.locator(".skip").bounding_box()["x"] >= 0  # type: ignore[index]
        for _ in range(20):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.id") == "q":
                break
        assert page.evaluate("getComputedStyle(document.activeElement).outlineWidth") == "4px"
        page.keyboard.type("aphids on kale")
        page.keyboard.press("Enter")
        page.wait_for_url("**/search?q=*")
        assert "answer" in page.locator("h1").inner_text()


def test_on_paper_the_cautions_stay_and_the_menu_goes(page: Page, circle: Circle) -> None:
    with served(circle, "C") as address:
        page.goto(f"{address}/entry/{entry_with(circle, 'Rabbit-dung')}?language=en")
        page.emulate_media(media="print")
        assert page.get_by_text("General guidance. Local codes").is_visible()
        assert "repeating-linear-gradient" in page.locator(".caution").evaluate(
            "frame => getComputedStyle(frame).borderImageSource"
        )
        assert not page.get_by_role("navigation", name="Pages").is_visible()
        steps = page.locator(".day > ol").first.evaluate("list => parseFloat(getComputedStyle(list).fontSize)")
        amounts = page.locator(".amount").first.evaluate("cell => parseFloat(getComputedStyle(cell).fontSize)")
        assert (steps >= 14 * 96 / 72 - 0.1, amounts >= 18 * 96 / 72 - 0.1) == (True, True)  # W30: 14 pt and 18 pt
