"""The first run: an app that begins a site in an empty folder, or puts one back, and then shows the site's own pages.

Not its pages (``first_pages``, ``first_borrowing``, ``first_putting_back``). Its one rule: answers stay in the memory
of this process until the last page; the site appears whole or not at all. Only this machine may answer, and only while
there is no site.
"""

from __future__ import annotations

import os
import threading
from ipaddress import IPv6Address, ip_address
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flask import Flask, current_app, redirect, request, url_for

from fieldbook.languages import AUTONYMS
from fieldbook.site import Site, begin_site, lenders_on, restore
from fieldbook.site.parts import system_clock
from fieldbook.site.restoring import free_bytes_in
from fieldbook.site.starters import starter_names
from fieldbook.web import signing_words, words
from fieldbook.web.app import STICK_ROOTS, create_app, style_mark
from fieldbook.web.climate_form import one
from fieldbook.web.first_borrowing import pages as borrowing_pages
from fieldbook.web.first_form import STEPS, first_people, new_site
from fieldbook.web.first_here import BEGUN, PROGRESS_PAGE, Errand
from fieldbook.web.first_pages import pages as step_pages
from fieldbook.web.first_putting_back import pages as putting_back_pages
from fieldbook.web.guard import guard_first_run
from fieldbook.web.here import EXTENSION, WebError
from fieldbook.web.season_words import MONTHS
from fieldbook.web.work import Work

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable, Sequence
    from wsgiref.types import StartResponse, WSGIEnvironment

    from flask import Response
    from flask.typing import ResponseReturnValue

    from fieldbook.web.climate_form import Answers
    from fieldbook.web.first_here import SoFar
    from fieldbook.web.work import Progress

AT_ONCE_SECONDS = 2  # work that is done by then shows no page of its progress
_FIRST_BACKUP = {"found": "running", "alone": "running", "join": "joining"}
_BEGINS = (
    "If the power goes before that, nothing is left of it: start the program again, and answer the pages once more."
)
_LOOKS = "The stick is only read: nothing on it changes, and nothing of it is kept here."
_PUTS_BACK = (
    "If the power goes before that, nothing is left of it: start the program again, and put the site back anew."
)


class FirstRun:
    """The pages at one address: of setting up, and from then on of the site that was begun or put back."""

    def __init__(
        self,
        folder: Path,
        *,
        hosts: Sequence[str] = (),
        stick_roots: Sequence[str] = STICK_ROOTS,
        clock: Callable[[], dt.datetime] = system_clock,
        random: Callable[[int], bytes] = os.urandom,
        free_bytes: Callable[[Path], int] = free_bytes_in,
    ) -> None:
        """Begin with the pages of setting up, for a folder that is not there yet or is empty."""
        self.folder = folder
        self.site: Site | None = None
        self.clock = clock
        self.errand = Errand("", "", "/", "/")
        self._options: dict[str, Any] = {"hosts": hosts, "stick_roots": stick_roots}
        self._random = random
        self._free_bytes = free_bytes
        self._lock = threading.RLock()
        self.work = Work(self._lock)
        self.app = self._set_up_app()

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer one request; a browser that still looks at the progress is led on once the site stands."""
        if self.site is not None and environ.get("PATH_INFO") == PROGRESS_PAGE:
            return redirect(self.errand.then, code=303)(environ, start_response)
        return self.app(environ, start_response)

    def begin(self, so_far: SoFar, people: Answers) -> None:
        """Begin the site from the answers, once, and show its pages as soon as it stands.

        What goes wrong is kept in ``work``; then nothing is left in the folder, and it can be begun again.
        """
        answers, lender = {**so_far.answers, "people": people}, so_far.lender

        def do(said: Progress) -> None:
            facts = new_site(answers, lender=lender, now=self.clock())
            begin_site(
                self.folder, facts, clock=self.clock, random=self._random, progress=said, **first_people(people, facts)
            )
            self._show(Site.open(self.folder))

        then = f"/backup/?first={_FIRST_BACKUP[one(people, 'network')]}"
        self._start(Errand("The site begins", _BEGINS, then, url_for("first_run.ask", step="people")), do)

    def look(self, so_far: SoFar, folder: Path) -> None:
        """Look at what the sites of a network say of their climate, on a stick that is only read."""

        def do(said: Progress) -> None:
            so_far.network, so_far.lenders = lenders_on(folder, random=self._random, progress=said)

        again = url_for("first_borrowing.stick")
        self._start(Errand("Looking at the stick", _LOOKS, url_for("first_borrowing.lenders"), again), do)

    def put_back(self, file: Path, phrase: str) -> None:
        """Put a site back from its backup, once, and show its pages as soon as it stands."""

        def do(said: Progress) -> None:
            restore(file, self.folder, phrase=phrase, random=self._random, free_bytes=self._free_bytes, progress=said)
            said("making the pages ready", 0, 0)
            self._show(Site.open(self.folder))

        self._start(Errand("Putting the site back", _PUTS_BACK, "/?back=yes", url_for("first_putting_back.ask")), do)

    def new_sitting(self) -> str:
        """A random name for the answers of one browser."""
        return self._random(16).hex()

    def close(self) -> None:
        """Wait for what is running, and close the site where one was begun."""
        self.work.wait()
        if self.site is not None:
            self.app.extensions[EXTENSION]["work"].wait()
            self.site.close()

    def _start(self, errand: Errand, do: Callable[[Progress], None]) -> None:
        """Do one errand in the background, and wait a moment for it."""
        with self._lock:
            if self.site is None and not self.work.running:
                self.errand = errand
                self.work.begin(str(self.folder), do)
        self.work.wait(AT_ONCE_SECONDS)

    def _show(self, site: Site) -> None:
        self.app, self.site = create_app(site, **self._options), site

    def _set_up_app(self) -> Flask:
        app = Flask(__name__)
        app.config.update(
            SECRET_KEY=self._random(32),
            MAX_CONTENT_LENGTH=256 * 1024,
            NAMES_OF_THIS_LAPTOP=frozenset(self._options["hosts"]),
            STICK_ROOTS=tuple(Path(root) for root in self._options["stick_roots"]),
            ERROR_TEMPLATE="first_error.html",
            SESSION_COOKIE_NAME="tried_ground_set_up",
            SESSION_COOKIE_HTTPONLY=True,
            SESSION_COOKIE_SAMESITE="Strict",
            WTF_CSRF_TIME_LIMIT=None,
        )
        app.extensions[BEGUN] = self
        app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
        app.jinja_env.globals.update(folder=self.folder.absolute(), steps=STEPS, months=MONTHS, languages=AUTONYMS)
        app.jinja_env.globals["starter_count"] = len(starter_names())
        app.jinja_env.globals["only_one"] = signing_words.only_one
        app.jinja_env.filters["capitalize_first"] = words.sentence
        app.context_processor(lambda: {"style_address": url_for("static", filename="field.css", v=style_mark(app))})
        app.before_request(require_this_machine)
        app.before_request(_show_progress)
        for blueprint in (step_pages, borrowing_pages, putting_back_pages):
            app.register_blueprint(blueprint)
        guard_first_run(app)
        app.after_request(keep_nothing)
        return app


def require_this_machine() -> None:
    """Refuse whoever does not sit at this laptop.

    Raises:
        WebError: the request comes from another machine.
    """
    address = ip_address(request.remote_addr or "0.0.0.0")  # noqa: S104 -- stands for unknown, which is not this machine
    if isinstance(address, IPv6Address) and address.ipv4_mapped is not None:
        address = address.ipv4_mapped
    if not address.is_loopback:
        raise WebError(
            "these pages are for whoever sits at the laptop", hint="go to the laptop, and open its own address"
        )


def _show_progress() -> ResponseReturnValue | None:
    """While something long is done, every page of setting up leads to that of its progress."""
    if current_app.extensions[BEGUN].work.running and request.endpoint not in {"static", "first_run.now"}:
        return redirect(PROGRESS_PAGE, code=303)
    return None


def keep_nothing(response: Response) -> Response:
    """What was typed stays in no browser's store: the exact place is among it."""
    if request.endpoint != "static":
        response.headers["Cache-Control"] = "no-store"
    return response
