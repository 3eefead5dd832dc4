"""The first run: pages that ask what a new site must say of itself, begin it, and make way for its own pages.

Its one rule: answers stay in the memory of this process until the last page; the site appears whole or not at all.
Only this machine may answer, and only while there is no site.
"""

from __future__ import annotations

import os
import threading
from ipaddress import IPv6Address, ip_address
from typing import TYPE_CHECKING, Any

from flask import Blueprint, Flask, abort, current_app, redirect, render_template, request, session, url_for

from fieldbook.languages import AUTONYMS
from fieldbook.site import Site, begin_site
from fieldbook.site.starters import starter_names
from fieldbook.web.app import STICK_ROOTS, create_app, style_mark
from fieldbook.web.first_form import LANGUAGE_BOXES, STEPS, Answers, faults_of, first_people, letter_of, new_site, one
from fieldbook.web.guard import guard_first_run
from fieldbook.web.here import EXTENSION, WebError
from fieldbook.web.season_words import MONTHS
from fieldbook.web.work import Work

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path
    from wsgiref.types import StartResponse, WSGIEnvironment

    from flask import Response
    from flask.typing import ResponseReturnValue

    from fieldbook.web.work import Progress

pages = Blueprint("first_run", __name__)

BEGUN = "first_run"
SITTING = "set_up"
SETTING_UP_MAX = 20  # one is usual; a browser that is opened anew begins again
AT_ONCE_SECONDS = 2  # work that is done by then shows no page of its progress
_SECRETS = frozenset({"csrf_token", "passphrase", "again"})  # never kept, never shown again
_PROGRESS_PAGE = "/set-up/now"
_NEXT_PAGE = {"found": "/running", "alone": "/running", "join": "/joining/"}


class FirstRun:
    """The pages at one address: of setting up, and from then on of the site that was begun."""

    def __init__(
        self,
        folder: Path,
        *,
        hosts: Sequence[str] = (),
        stick_roots: Sequence[str] = STICK_ROOTS,
        random: Callable[[int], bytes] = os.urandom,
    ) -> None:
        """Begin with the pages of setting up, for a folder that is not there yet or is empty."""
        self.folder = folder
        self.site: Site | None = None
        self._options: dict[str, Any] = {"hosts": hosts, "stick_roots": stick_roots}
        self._random = random
        self._lock = threading.RLock()
        self._next_page = "/"
        self.work = Work(self._lock)
        self.app = self._set_up_app()

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer one request; a browser that still looks at the progress is led on once the site stands."""
        if self.site is not None and environ.get("PATH_INFO") == _PROGRESS_PAGE:
            return redirect(self._next_page, code=303)(environ, start_response)
        return self.app(environ, start_response)

    def begin(self, answers: dict[str, Answers]) -> None:
        """Begin the site from the answers in the background, once, and show its pages as soon as it stands.

        What goes wrong is kept in ``work``; then nothing is left in the folder, and it can be begun again.
        """
        with self._lock:
            if self.site is None and not self.work.running:
                self._next_page = _NEXT_PAGE[one(answers["people"], "network")]
                self.work.begin(str(self.folder), lambda said: self._begin(answers, said))

    def _begin(self, answers: dict[str, Answers], said: Progress) -> None:
        facts = new_site(answers)
        begin_site(self.folder, facts, random=self._random, progress=said, **first_people(answers["people"], facts))
        site = Site.open(self.folder)
        self.app, self.site = create_app(site, **self._options), site

    def new_sitting(self) -> str:
        """A random name for the answers of one browser."""
        return self._random(16).hex()

    def close(self) -> None:
        """Wait for what is running, and close the site where one was begun."""
        self.work.wait()
        if self.site is not None:
            self.app.extensions[EXTENSION]["work"].wait()
            self.site.close()

    def _set_up_app(self) -> Flask:
        app = Flask(__name__)
        app.config.update(
            SECRET_KEY=self._random(32),
            MAX_CONTENT_LENGTH=256 * 1024,
            NAMES_OF_THIS_LAPTOP=frozenset(self._options["hosts"]),
            ERROR_TEMPLATE="first_error.html",
            SESSION_COOKIE_NAME="tried_ground_set_up",
            SESSION_COOKIE_HTTPONLY=True,
            SESSION_COOKIE_SAMESITE="Strict",
            WTF_CSRF_TIME_LIMIT=None,
        )
        app.extensions[BEGUN] = {"run": self, "answers": {}}
        app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
        app.jinja_env.globals.update(folder=self.folder.absolute(), steps=STEPS, months=MONTHS, languages=AUTONYMS)
        app.jinja_env.globals["starter_count"] = len(starter_names())
        app.context_processor(lambda: {"style_address": url_for("static", filename="field.css", v=style_mark(app))})
        app.before_request(_only_this_machine)
        app.before_request(_show_progress)
        app.register_blueprint(pages)
        guard_first_run(app)
        app.after_request(_keep_nothing)
        return app


def _only_this_machine() -> None:
    address = ip_address(request.remote_addr or "0.0.0.0")  # noqa: S104 -- stands for unknown, which is not this machine
    if isinstance(address, IPv6Address) and address.ipv4_mapped is not None:
        address = address.ipv4_mapped
    if not address.is_loopback:
        raise WebError("a new site is set up at the laptop itself", hint="go to the laptop, and open its own address")


def _show_progress() -> ResponseReturnValue | None:
    """While the site begins, every page of setting up leads to that of its progress."""
    if current_app.extensions[BEGUN]["run"].work.running and request.endpoint not in {"static", "first_run.now"}:
        return redirect(_PROGRESS_PAGE, code=303)
    return None


def _keep_nothing(response: Response) -> Response:
    """What was typed stays in no browser's store: the exact place is among it."""
    if request.endpoint != "static":
        response.headers["Cache-Control"] = "no-store"
    return response


@pages.get("/")
def first() -> ResponseReturnValue:
    """Say what will be asked, and that nothing is written before the end."""
    return render_template("first.html")


@pages.get("/set-up/<step>")
def ask(step: str) -> ResponseReturnValue:
    """Show one page with what was answered before."""
    missing = _first_missing(step)
    return redirect(url_for("first_run.ask", step=missing)) if missing else _page(step, _answers().get(step, {}), {})


@pages.post("/set-up/<step>")
def take(step: str) -> ResponseReturnValue:
    """Take the answers of one page; after the last one begin the site."""
    missing = _first_missing(step)
    if missing:
        return redirect(url_for("first_run.ask", step=missing), code=303)
    typed, before = request.form.to_dict(flat=False), _answers()
    faults = faults_of(step, typed, before)
    before[step] = {name: values for name, values in typed.items() if name not in _SECRETS}
    if faults:
        return _page(step, before[step], faults), 422
    if step != STEPS[-1]:
        return redirect(url_for("first_run.ask", step=STEPS[STEPS.index(step) + 1]), code=303)
    run = current_app.extensions[BEGUN]["run"]
    run.begin({**before, step: typed})
    run.work.wait(AT_ONCE_SECONDS)
    return redirect(_PROGRESS_PAGE, code=303)


@pages.get(_PROGRESS_PAGE)
def now() -> ResponseReturnValue:
    """Say how far the beginning of the site is, or why it did not begin."""
    last = current_app.extensions[BEGUN]["run"].work.last
    if last is None:
        return redirect(url_for("first_run.first"))
    if not last.ended:
        return render_template("first_now.html", last=last)
    raise last.error or WebError("something broke while the site began", hint="nothing is left of it; try again")


def _first_missing(step: str) -> str | None:
    """The first page before this one that has no good answers yet."""
    if step not in STEPS:
        abort(404)
    answers = _answers()
    return next((s for s in STEPS[: STEPS.index(step)] if s not in answers or faults_of(s, answers[s], answers)), None)


def _answers() -> dict[str, Answers]:
    """What this browser answered so far, by page."""
    held: dict[str, dict[str, Answers]] = current_app.extensions[BEGUN]["answers"]
    sitting = session.setdefault(SITTING, current_app.extensions[BEGUN]["run"].new_sitting())
    if sitting not in held:
        while len(held) >= SETTING_UP_MAX:
            del held[next(iter(held))]
        held[sitting] = {}
    return held[sitting]


def _page(step: str, answers: Answers, faults: dict[str, str]) -> str:
    before = _answers()
    return render_template(
        f"first_{step}.html",
        step=step,
        answers=answers,
        faults=faults,
        letter=letter_of(before.get("who", {})),
        language_boxes=LANGUAGE_BOXES,
        facts=new_site(before) if step == STEPS[-1] else None,
    )
