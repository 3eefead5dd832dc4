"""In a real browser: a site begins from an empty folder, joins over a stick, and is let in; nobody types a command."""

from __future__ import annotations

import re
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest
from werkzeug.serving import make_server

from fieldbook.web.first_run import FirstRun
from fieldbook.web.here import EXTENSION
from tests.journeys.browsing import served, settle, sign_in
from tests.orrendal import PASSPHRASE, site_facts

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.orrendal import Circle

pytestmark = pytest.mark.browser


@contextmanager
def first_run(folder: Path, **options: Any) -> Iterator[tuple[str, FirstRun]]:
    """The address of the pages for an empty folder while they are served."""
    run = FirstRun(folder, **options)
    server = make_server("127.0.0.1", 0, run, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.port}", run
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
        run.close()


def set_up(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("link", name="Begin with who this is").click()
    page.get_by_label("The site's letter").fill("D")
    page.get_by_label("The site's name").fill("Dry Well")
    page.get_by_label("Language that most people here read").select_option(label="English")
    page.get_by_role("button", name="Go on: where it lies").click()
    page.get_by_label("Latitude").fill("13.4")
    page.get_by_label("Which side of the equator?").select_option("north")
    page.get_by_label("Height above the sea").fill("420")
    page.get_by_role("button", name="Go on: the climate").click()
    page.get_by_label("Twelve months as a table").fill(site_facts("T").normals)
    page.get_by_role("button", name="Go on: the first person").click()
    page.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    page.get_by_label("The passphrase once more").fill(PASSPHRASE)
    page.get_by_label("Join a network, by a stick that came from it").check()
    page.get_by_role("button", name="Begin the site").click()
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Not now").click()


def exchange_with(page: Page, stick: Path) -> str:
    page.get_by_role("link", name="Exchange", exact=True).click()
    page.get_by_label("Folder", exact=True).or_(page.get_by_label("Or another folder")).fill(str(stick))
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Take in and leave").click()
    page.get_by_text("Left on the stick").or_(page.get_by_text("The stick had all of ours")).wait_for()
    return page.locator("main").inner_text()


def said_words(page: Page) -> list[str]:
    return [text.strip() for text in page.locator(".fingerprint").all_inner_texts()]


def no_sideways_scrolling(page: Page) -> bool:
    settle(page)
    return bool(page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"))


def test_a_site_begins_joins_and_is_let_in_without_a_command(page: Page, circle: Circle, tmp_path: Path) -> None:
    circle.carry("C")
    stick = circle.stick
    page.set_viewport_size({"width": 320, "height": 640})
    with first_run(tmp_path / "drywell") as (drywell, run):
        set_up(page, drywell)
        assert page.get_by_role("heading", name="Join a network").is_visible()
        page.get_by_label("Folder", exact=True).fill(str(stick))
        page.get_by_role("button", name="Show its words").click()
        assert said_words(page)[0] == circle["C"].network_words
        assert no_sideways_scrolling(page)
        page.get_by_label("A signatory said all eight words").check()
        page.get_by_role("button", name="Leave the request").click()
        run.app.extensions[EXTENSION]["work"].wait()
        network, ours = said_words(page)
        assert "This site waits for a signatory" in page.locator("main").inner_text()
        with served(circle, "C") as cloudstep:
            page.goto(cloudstep)
            sign_in(page, "C1")
            exchange_with(page, stick)
            page.get_by_role("link", name="People").click()
            page.get_by_role("link", name="Sites that wish to join").click()
            page.get_by_role("link", name="Compare its words").click()
            assert said_words(page) == [ours]
            assert page.get_by_role("img", name="The words of site D").is_visible()
            assert no_sideways_scrolling(page)
            page.get_by_label("A person of this site said all eight words to me").check()
            page.get_by_role("button", name="Let it in").click()
            assert "D Dry Well is let in." in page.locator("main").inner_text()
            exchange_with(page, stick)
        page.goto(drywell)  # one browser keeps a sign-in for each site, by its letter
        assert "Taken in and checked" in exchange_with(page, stick)
        assert "waits for a signatory" not in page.locator("main").inner_text()
        page.goto(f"{drywell}/running")
        assert {network, ours} == set(said_words(page))
        assert run.site is not None
        assert not run.site.waits


@pytest.mark.parametrize("step", ["who", "where", "climate"])
def test_the_pages_of_setting_up_fit_a_screen_of_320_pixels(page: Page, tmp_path: Path, step: str) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    with first_run(tmp_path / "drywell") as (address, _):
        page.goto(address)
        page.get_by_role("link", name="Begin with who this is").click()
        if step != "who":
            page.get_by_label("The site's letter").fill("D")
            page.get_by_label("The site's name").fill("Dry Well")
            page.get_by_label("Language that most people here read").select_option(label="English")
            page.get_by_role("button", name="Go on").click()
        if step == "climate":
            page.get_by_label("Latitude").fill("13.4")
            page.get_by_label("Which side of the equator?").select_option("north")
            page.get_by_label("Height above the sea").fill("420")
            page.get_by_role("button", name="Go on").click()
        assert no_sideways_scrolling(page)
        page.get_by_role("button", name="Go on").click()
        assert page.locator(".fault").first.is_visible() or step == "who"
        assert no_sideways_scrolling(page)


def fits(page: Page, *widths: int) -> bool:
    """Whether a page scrolls sideways at none of these widths."""
    fitting = []
    for width in (320, *widths):
        page.set_viewport_size({"width": width, "height": 640})
        fitting.append(no_sideways_scrolling(page))
    page.set_viewport_size({"width": 320, "height": 640})
    return all(fitting)


class Keyboard:
    """A person who has no mouse."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def go_to(self, name: str) -> None:
        """Tab until what is reached has this id, name or text."""
        for _ in range(90):
            self.page.keyboard.press("Tab")
            at = "e => [e.id, e.name, e.textContent.trim()].find(Boolean) || ''"
            if str(self.page.evaluate(f"({at})(document.activeElement)")).startswith(name):
                return
        raise AssertionError(f"{name} is not reached by Tab on {self.page.url}")

    def fill_in(self, **answers: str) -> None:
        for name, text in answers.items():
            self.go_to(name)
            self.page.keyboard.type(text)

    def pick(self, name: str) -> None:
        self.go_to(name)
        self.page.keyboard.press("Space")

    def press(self, name: str, *, leads_to: str = "") -> None:
        """Press a link or button, and see that the page that comes fits a small and a large screen."""
        self.go_to(name)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        if leads_to:
            self.page.get_by_role("heading", name=leads_to).wait_for()
        assert fits(self.page, 1280), self.page.url


def begin_with_a_borrowed_climate(by: Keyboard, address: str, stick: Path) -> None:
    by.page.goto(address)
    by.press("Begin with who this is")
    by.fill_in(letter="D", name="Dry Well", language_1="Eng")
    by.press("Go on: where it lies")
    by.fill_in(latitude="12.8", side="nor", elevation="520")
    by.press("Go on: the climate")
    by.press("Borrow them from a site")
    by.fill_in(typed=str(stick), year_rain="650")
    by.press("Look at the stick", leads_to="Whose climate")
    by.pick("lender")
    by.press("Borrow from this site")
    by.fill_in(passphrase=PASSPHRASE, again=PASSPHRASE)
    by.pick("network")  # the first choice: join
    by.press("Begin the site", leads_to="Sign in")
    by.fill_in(passphrase=PASSPHRASE)
    by.press("Sign in", leads_to="Now the first backup")


def test_by_keyboard_a_site_without_figures_begins_and_its_backup_and_one_sheet_of_paper_bring_it_back(
    page: Page, circle: Circle, tmp_path: Path
) -> None:
    circle.carry("CTLS")
    media, by = tmp_path / "media", Keyboard(page)
    (media / "SAFE" / "tried-ground-kept").mkdir(parents=True)  # what makes a folder look like a stick here
    with first_run(tmp_path / "drywell", stick_roots=[str(media)]) as (address, run):
        begin_with_a_borrowed_climate(by, address, circle.stick)
        by.press("Write the backup", leads_to="Recovery sheet")
        assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4"))) == 1
        words = page.locator("ol.phrase li").all_inner_texts()
        by.press("Printed or written on paper", leads_to="Join a network")
        page.goto(f"{address}/climate/")
        assert fits(page, 1280)
        assert run.site is not None
        key = run.site.site_key.public
    with first_run(tmp_path / "again", stick_roots=[str(media)]) as (address, run):
        page.goto(address)
        by.press("Put a site back")
        by.fill_in(phrase=" ".join(words))
        by.press("Put the site back")
        page.get_by_text("The site is back as it was").wait_for()
        assert run.site is not None
        assert run.site.site_key.public == key
        assert (run.site.borrowed_climate or {})["letter"] == "T"
