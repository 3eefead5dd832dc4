"""What keeps the pages safe: forms that carry their token, limits, headers, one request at a time, plain errors.

What it is: well-kept means, wired once. What it is not: a sign-in (`pages.people`). Its one rule: whatever goes wrong,
the reader gets one plain sentence with what to do next.
"""

from __future__ import annotations

import gzip
from ipaddress import ip_address
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from flask import current_app, g, render_template, request, session
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from flask_wtf.csrf import CSRFError, CSRFProtect  # type: ignore[import-untyped]
from werkzeug.exceptions import HTTPException, InternalServerError, SecurityError

from fieldbook.errors import FieldbookError
from fieldbook.languages import ENGLISH
from fieldbook.ledger import DamagedLedgerError
from fieldbook.view import ViewUnusable
from fieldbook.web import words
from fieldbook.web.here import SITTING, WebError, asked_tag, sentence_tag, site, work
from fieldbook.web.pages.people import pages as people_pages
from fieldbook.web.pages.telling import pages as telling_pages
from fieldbook.web.work import EXCHANGE

if TYPE_CHECKING:
    from flask import Flask, Response
    from flask.typing import ResponseReturnValue

POLICY = (
    "default-src 'self'; script-src 'none'; object-src 'none'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)
PACKED_TYPES = frozenset({"text/html", "text/css"})
SIGNING = frozenset({"people.sign_in", "people.sign_out"})
STATIC_SECONDS = 31_536_000  # a changed style sheet has a new address

SIGN_IN_LIMIT = "10 per minute"  # muddy hands mistype; a machine that guesses needs far more
TELLING_LIMIT = "6 per minute; 60 per day"  # a phone is passed from hand to hand; a button that is held down is not


def guard_app(app: Flask) -> None:
    """Wire the guards into an app."""
    CSRFProtect(app)
    limiter = Limiter(get_remote_address, app=app, storage_uri="memory://", default_limits=[])
    limiter.limit(SIGN_IN_LIMIT, methods=["POST"])(people_pages)
    limiter.limit(TELLING_LIMIT, methods=["POST"])(telling_pages)
    app.before_request(_check_host)
    app.before_request(_hold_site)
    app.before_request(_wait_for_exchange)
    app.teardown_request(_let_go)
    _guard_answers(app)


def guard_first_run(app: Flask) -> None:
    """Wire the guards into the pages of setting up, which have no site to hold and nobody to sign in."""
    CSRFProtect(app)
    app.before_request(_check_host)
    _guard_answers(app)
    app.register_error_handler(FieldbookError, _not_done)  # it begins a site, on whichever page it stops


def _guard_answers(app: Flask) -> None:
    app.after_request(_say_headers)
    app.after_request(_pack)
    app.register_error_handler(FieldbookError, _refused)
    app.register_error_handler(ViewUnusable, _view_mended)
    app.register_error_handler(DamagedLedgerError, _store_damaged)
    app.register_error_handler(OSError, _machine_refused)
    app.register_error_handler(CSRFError, _stale_form)
    app.register_error_handler(SecurityError, _wrong_host)
    app.register_error_handler(HTTPException, _plain_error)


def _check_host() -> None:
    """Answer to loopback names and numeric addresses only: a foreign page can point a name here, but no number."""
    host = urlsplit(f"//{request.host}").hostname or ""
    if host != "localhost" and host not in current_app.config["NAMES_OF_THIS_LAPTOP"] and not _is_numeric(host):
        raise SecurityError


def _is_numeric(host: str) -> bool:
    try:
        ip_address(host)
    except ValueError:
        return False
    return True


def _hold_site() -> None:
    if request.endpoint == "static":
        return
    site().lock.acquire()
    g.holds_site = True


def _wait_for_exchange() -> None:
    """Reading goes on while an exchange or a mending runs; writing waits until it is done."""
    last = work().last
    if request.method == "POST" and work().running and request.endpoint not in SIGNING:
        if last is not None and last.errand != EXCHANGE:
            raise WebError("this site is being looked through or mended", hint="wait until it is done, then send again")
        raise WebError("an exchange is running on this laptop", hint="wait until it is done, then send this again")


def _let_go(_error: BaseException | None) -> None:
    if g.pop("holds_site", False):
        site().lock.release()


def _say_headers(response: Response) -> Response:
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["X-Frame-Options"] = "DENY"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    if request.endpoint == "static" and request.args.get("v"):
        response.headers["Cache-Control"] = f"public, max-age={STATIC_SECONDS}, immutable"
    elif SITTING in session:
        response.headers["Cache-Control"] = "no-store"
    else:
        response.headers.setdefault("Cache-Control", "no-cache")
    return response


def _pack(response: Response) -> Response:
    """Send text packed to browsers that can unpack it: ten phones share one laptop's radio."""
    fits = response.mimetype in PACKED_TYPES and response.status_code not in {206, 304}
    if not fits or not request.accept_encodings.quality("gzip"):
        return response
    response.direct_passthrough = False
    response.set_data(gzip.compress(response.get_data(), compresslevel=6, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    response.vary.add("Accept-Encoding")
    return response


def _error_page(heading: str, message: str, hint: str, status: int) -> tuple[str, int]:
    template = current_app.config.get("ERROR_TEMPLATE", "error.html")
    page = {"heading": heading, "headed": words.headed(heading, sentence_tag())}
    return render_template(template, **page, message=words.told(message), hint=words.told(hint)), status


def _refused(error: FieldbookError) -> tuple[str, int]:
    """Say why; whoever only looks has done nothing that could be refused."""
    if request.method == "POST":
        return _not_done(error)
    return _error_page(words.NOT_SHOWN, error.message, error.hint, 404)


def _view_mended(error: ViewUnusable) -> ResponseReturnValue:
    """Make the view anew and show what was asked for; what was sent may have been done before it failed."""
    here = site()
    here.mend_view()
    if request.method == "POST":
        return _not_done(
            WebError(
                f"{error.message}, and was made anew", hint="look whether what you sent is there, else send it again"
            )
        )
    try:
        return current_app.dispatch_request()
    except FieldbookError as still:
        return _refused(still)


def _store_damaged(error: DamagedLedgerError) -> tuple[str, int]:
    """Say it on a page that asks nothing of the store, and lead to the mending."""
    tag = sentence_tag()
    heading = words.NOT_DONE if request.method == "POST" else words.NOT_SHOWN
    return render_template("damaged.html", headed=words.headed(heading, tag), message=words.told(error.message)), 500


def _machine_refused(error: OSError) -> tuple[str, int]:
    said = f"this laptop could not do it ({error.strerror or 'it does not say why'})"
    return _error_page(words.NOT_DONE, said, "look whether its disk is full, then try again", 500)


def _not_done(error: FieldbookError) -> tuple[str, int]:
    return _error_page(words.NOT_DONE, error.message, error.hint, 422)


def _stale_form(_error: CSRFError) -> tuple[str, int]:
    return _error_page(
        words.NOT_DONE,
        "this form is too old, or comes from another page, so nothing was done",
        "go back, load the page again, and send it once more; where you were signed in, sign in again",
        400,
    )


def _wrong_host(_error: SecurityError) -> tuple[str, int]:
    said = words.told("this laptop does not answer under that name", "use the address on the card beside it")
    return (f"{said}\n", 400)


def _plain_error(error: HTTPException) -> tuple[str, int] | HTTPException:
    status = error.code or 500
    if status < 400:
        return error
    if isinstance(error, InternalServerError):
        status = 500
    said = words.ERRORS.get(status, words.ERRORS[400])
    if status >= 500:
        return _broken_page(said), status
    return _error_page(said.heading, said.message, said.hint, status)


def _broken_page(said: words.Refusal) -> str:
    """A page that asks nothing of the site, since whatever broke may be what the usual frame asks for."""
    template, tag = current_app.jinja_env.get_template("broken.html"), asked_tag() or ENGLISH
    return template.render(
        heading=said.heading,
        headed=words.headed(said.heading, tag),
        message=words.told(said.message).beside(tag),
        hint=words.told(said.hint).beside(tag),
    )
