"""The pages of a site served to a real browser, and what a person does there.

Not a test. Its one rule: everything goes through the screen: what is not on the page cannot be pressed.
"""

from __future__ import annotations

import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

from werkzeug.serving import make_server

from fieldbook.web import create_app
from fieldbook.web.here import EXTENSION
from tests.orrendal import PASSPHRASE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from tests.orrendal import Circle


def settle(page: Page) -> None:
    """Wait until the page that was asked for last is whole: what is measured in between belongs to none."""
    page.wait_for_load_state()
    page.locator("main").wait_for()


@contextmanager
def served(circle: Circle, letter: str, **options: object) -> Iterator[str]:
    """The address of a site's pages while they are served."""
    app = create_app(circle[letter], **options)  # type: ignore[arg-type]
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        app.extensions[EXTENSION]["work"].wait()
        server.shutdown()
        thread.join()
        server.server_close()


def sign_in(page: Page, label: str) -> None:
    """Sign in by the form, coming from any page."""
    page.get_by_role("link", name="Sign in").click()
    page.get_by_label("Who are you?").select_option(label)
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign in").click()


def sign_out(page: Page) -> None:
    """Sign out by the button that stands on every page."""
    page.get_by_role("button", name="Sign out").click()
