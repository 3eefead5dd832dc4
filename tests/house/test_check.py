from __future__ import annotations

import http.server
import threading
from typing import TYPE_CHECKING

import pytest

from tests.check import Step, run_steps

if TYPE_CHECKING:
    from playwright.sync_api import Page


def test_check_stops_at_the_first_step_that_objects(capfd: pytest.CaptureFixture[str]) -> None:
    good = Step("good", ("-c", "print('good ran')"), "")
    bad = Step("bad", ("-c", "raise SystemExit(3)"), "do this")
    never = Step("never", ("-c", "print('never ran')"), "")
    assert run_steps((good, bad, never)) == 3
    out, err = capfd.readouterr()
    assert "good ran" in out
    assert "never ran" not in out
    assert "stopped at bad" in err
    assert "do this" in err


def test_check_is_quiet_about_success_so_that_the_last_tool_has_the_last_word(
    capfd: pytest.CaptureFixture[str],
) -> None:
    assert run_steps((Step("only", ("-c", "print('2 passed')"), ""),)) == 0
    assert capfd.readouterr().out.splitlines()[-1] == "2 passed"


@pytest.mark.browser
def test_a_real_browser_opens_a_page_of_this_machine(page: Page) -> None:
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), _Hello)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        page.goto(f"http://127.0.0.1:{server.server_port}/")
        assert page.locator("h1").inner_text() == "سلام"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


class _Hello(http.server.BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write("<!doctype html><title>x</title><h1>سلام</h1>".encode())

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the name of the base class
        pass
