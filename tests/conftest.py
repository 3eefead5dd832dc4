"""What every test may lean on: a real browser and outside tools, where the machine has them.

A test that needs an outside program carries its marker (``browser``, ``exiftool``, ``strace``, ``localedef``). Where the program is
missing such tests are left out and the header says so in one line; where ``CI=true`` is set, a missing program is an
error. A machine that forbids one process to trace another (some containers do) leaves those of strace out, and says so.
"""

from __future__ import annotations

import gc
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from hypothesis import HealthCheck, settings

from tests.fast import memory_folder
from tests.remembered import remember

if TYPE_CHECKING:
    from collections.abc import Generator, Iterator

    from playwright.sync_api import Browser, Page, Request

# marker -> the names under which the program is looked for, and the Debian package that brings it
PROGRAMS = {
    # the first is the same browser without a window to draw, and takes half the time
    "browser": (("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"), "chromium"),
    "exiftool": (("exiftool",), "libimage-exiftool-perl"),
    "strace": (("strace",), "strace"),
    "localedef": (("localedef",), "locales"),
}
LOCALES = Path("/usr/share/i18n/locales/de_DE")  # what localedef reads comes in a package of its own
# no test may fail by a clock: a busy machine is slow at thinking up examples as well as at trying them
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


def find_program(marker: str) -> str | None:
    """Return the path of the program behind a marker, or None where it is not installed."""
    names, _ = PROGRAMS[marker]
    if marker == "localedef" and not LOCALES.exists():
        return None
    return next((path for name in names if (path := shutil.which(name))), None)


def missing_programs() -> dict[str, str]:
    """Return marker -> Debian package of each program that this machine lacks."""
    return {marker: package for marker, (_, package) in PROGRAMS.items() if find_program(marker) is None}


@cache
def forbidden_programs() -> dict[str, str]:
    """Return marker -> what this machine forbids to a program that is installed."""
    strace = find_program("strace")
    if strace is None:
        return {}
    tried = subprocess.run([strace, "-f", "-o", os.devnull, "true"], capture_output=True, check=False)
    return {} if tried.returncode == 0 else {"strace": "this machine forbids one process to trace another"}


def pytest_configure(config: pytest.Config) -> None:
    # else each of the processes that tests start compiles all of ours anew, which is slower than what most of them do
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    if memory := memory_folder():
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(memory))  # pytest's own name for where `tmp_path` lies
    config.addinivalue_line("markers", "exiftool: asks exiftool; left out (and said so) where it is not installed")
    config.addinivalue_line(
        "markers", "strace: fails system calls by strace; left out (and said so) where it is missing"
    )
    config.addinivalue_line(
        "markers", "localedef: makes a locale; left out (and said so) where its sources are missing"
    )
    if os.environ.get("CI") == "true" and (missing := missing_programs()):
        raise pytest.UsageError(f"CI=true, but not installed: {', '.join(missing.values())} (apt-get install them)")


def pytest_sessionstart() -> None:
    remember()
    if os.environ.get("RECORD_SENTENCES"):
        from tests.sentences import recording

        recording.begin()


def pytest_sessionfinish() -> None:
    if folder := os.environ.get("RECORD_SENTENCES"):
        from tests.sentences import recording

        recording.keep(Path(folder))


def pytest_report_header() -> list[str]:
    missing = [
        f"{marker}: not installed, its tests are left out (apt-get install {package})"
        for marker, package in missing_programs().items()
    ]
    return [*missing, *(f"{marker}: {why}, its tests are left out" for marker, why in forbidden_programs().items())]


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Collect without looking for garbage: what is collected stays, and going through it again and again takes long."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Let every second process collect from the other end: in a fresh clone none compiles what another has compiled."""
    report = yield
    if report.passed and isinstance(collector, pytest.Session | pytest.Directory) and _process() % 2:
        report.result.reverse()
    return report


def _process() -> int:
    """Which of the processes that share the tests this one is, from 0."""
    return int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path)  # in one order in each process; within a file as they stand there
    missing = {**missing_programs(), **forbidden_programs()}
    left_out = [item for item in items if any(item.get_closest_marker(marker) for marker in missing)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in left_out]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One Chromium for the run, with no network habits of its own."""
    from playwright.sync_api import sync_playwright

    arguments = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_program("browser"), args=arguments)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A page in a fresh profile, as narrow as an old phone; the test fails if it asks any outside host."""
    outside: list[str] = []

    def note(request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme not in {"data", "blob", "about"} and address.hostname not in LOOPBACK:
            outside.append(request.url)

    context = chromium.new_context(viewport={"width": 360, "height": 740})
    context.set_default_timeout(10_000)
    context.on("request", note)
    yield context.new_page()
    context.close()
    assert outside == [], f"the page asked outside hosts: {outside}"
