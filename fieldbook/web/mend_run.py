"""The pages of a site whose store cannot be opened at all: what is damaged, the mending, and then the site's own pages.

Not the pages of an open site (``pages.mending``). Its one rule: only this machine may answer, somebody of this site
gives their passphrase, and the site is shown as soon as it opens.
"""

from __future__ import annotations

import os
import threading
from typing import TYPE_CHECKING, Any

from flask import Blueprint, Flask, current_app, redirect, render_template, request, url_for
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address

from fieldbook.ledger import unlock_key
from fieldbook.notebook import Notebook
from fieldbook.site import Site, SiteDamage, look_at, mend
from fieldbook.web import words
from fieldbook.web.app import create_app, style_mark
from fieldbook.web.first_run import keep_nothing, require_this_machine
from fieldbook.web.guard import SIGN_IN_LIMIT, guard_first_run
from fieldbook.web.here import EXTENSION, WebError
from fieldbook.web.mend_words import damage_words
from fieldbook.web.work import Work

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path
    from wsgiref.types import StartResponse, WSGIEnvironment

    from flask.typing import ResponseReturnValue

    from fieldbook.errors import FieldbookError
    from fieldbook.ledger import Mended
    from fieldbook.web.work import Progress

RUN = "mend_run"
LOOK, MEND = "look", "mend"
AT_ONCE_SECONDS = 2  # work that is done by then shows no page of its progress
pages = Blueprint("mend_run", __name__)


class MendRun:
    """The pages at one address: of the mending, and from then on of the site that was mended."""

    def __init__(
        self,
        folder: Path,
        why: FieldbookError,
        *,
        hosts: Sequence[str] = (),
        random: Callable[[int], bytes] = os.urandom,
    ) -> None:
        """Begin with the pages of mending, for a site that did not open.

        Args:
            folder: the site's.
            why: what its opening said.
            hosts: names under which this laptop is reached.
            random: gives so many random bytes.
        """
        self.folder = folder
        self.why = why
        self.site: Site | None = None
        self._hosts = hosts
        self._random = random
        self._lock = threading.RLock()
        self.work = Work(self._lock)
        self._notebook_facts()
        self.app = self._mend_app()
        self.look()

    def _notebook_facts(self) -> None:
        notebook = Notebook.open(self.folder)
        try:
            self.letter, self.name = str(notebook.fact("letter")), str(notebook.fact("name"))
            self.languages = tuple(notebook.fact("languages") or ("en",))
            self._people = {person.label: person for person in notebook.people() if person.role != "volunteer"}
        finally:
            notebook.close()

    @property
    def labels(self) -> tuple[str, ...]:
        """Who may mend: whoever signs here and is no volunteer."""
        return tuple(self._people)

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer one request."""
        return self.app(environ, start_response)

    def look(self) -> None:
        """Look everything through, in the background, and wait a moment for it."""
        self._start(LOOK, lambda said: look_at(self.folder, progress=said))

    def mend(self, label: str, passphrase: str) -> None:
        """Mend the store, in the background, and show the site as soon as it opens.

        Raises:
            FieldbookError: nobody of this site has that label and passphrase.
        """
        person = self._people.get(label)
        if person is None:
            raise WebError("choose who you are", hint="whoever mends signs at this site, and is no volunteer")
        unlock_key(person.locked, passphrase)

        def do(said: Progress) -> Mended:
            mended = mend(self.folder, random=self._random, progress=said)
            said("making the pages ready", 0, 0)
            site = Site.open(self.folder)
            self.app, self.site = create_app(site, hosts=self._hosts), site
            return mended

        self._start(MEND, do)

    def _start(self, errand: str, do: Callable[[Progress], Any]) -> None:
        with self._lock:
            if self.site is None and not self.work.running:
                self.work.begin(str(self.folder), do, errand=errand)
        self.work.wait(AT_ONCE_SECONDS)

    def close(self) -> None:
        """Wait for what is running, and close the site where it opened."""
        self.work.wait()
        if self.site is not None:
            self.app.extensions[EXTENSION]["work"].wait()
            self.site.close()

    def _mend_app(self) -> Flask:
        app = Flask(__name__)
        app.config.update(
            SECRET_KEY=self._random(32),
            MAX_CONTENT_LENGTH=64 * 1024,
            NAMES_OF_THIS_LAPTOP=frozenset(self._hosts),
            ERROR_TEMPLATE="mend_alone_error.html",
            SESSION_COOKIE_NAME="tried_ground_mending",
            SESSION_COOKIE_HTTPONLY=True,
            SESSION_COOKIE_SAMESITE="Strict",
            WTF_CSRF_TIME_LIMIT=None,
        )
        app.extensions[RUN] = self
        app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
        app.jinja_env.globals.update(words=words)
        app.jinja_env.filters["capitalize_first"] = words.sentence
        app.context_processor(
            lambda: {"run": self, "style_address": url_for("static", filename="field.css", v=style_mark(app))}
        )
        app.before_request(require_this_machine)
        app.register_blueprint(pages)
        guard_first_run(app)
        limiter = Limiter(get_remote_address, app=app, storage_uri="memory://", default_limits=[])
        limiter.limit(SIGN_IN_LIMIT, methods=["POST"])(pages)
        app.after_request(keep_nothing)
        return app


def _run() -> MendRun:
    found = current_app.extensions[RUN]
    assert isinstance(found, MendRun)
    return found


@pages.get("/", defaults={"_path": ""})
@pages.get("/<path:_path>")
def show(_path: str) -> ResponseReturnValue:
    """Say why the site did not open, how far a look or the mending is, what is damaged, and ask for one more yes."""
    run = _run()
    last = run.work.last
    found = last.report if last is not None and isinstance(last.report, SiteDamage) else None
    shown = None if found is None else damage_words(found, run.languages)
    return render_template("mend_alone.html", last=last, found=found, shown=shown)


@pages.post("/mend")
def begin() -> ResponseReturnValue:
    """Mend, once somebody of this site has read what is damaged and said so with their passphrase."""
    if request.form.get("sure") != "yes":
        raise WebError(
            "the box is not ticked, so nothing was changed",
            hint="read what is damaged, tick the box, and press the button again",
        )
    _run().mend(request.form.get("label", ""), request.form.get("passphrase", ""))
    return redirect("/", code=303)


@pages.post("/look")
def look_again() -> ResponseReturnValue:
    """Look everything through once more."""
    _run().look()
    return redirect("/", code=303)
