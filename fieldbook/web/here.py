"""What a view may ask for: the site of this app, who is signed in, and whether they may go on.

What it is: the few names that stand between Flask's request and a view. What it is not: a rule about who may sign what
(``ledger`` and ``sync`` decide; a page only spares people a form that would be refused). Its one rule: the site is held
for the length of a request, by one request at a time.
"""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, ParamSpec, cast

from flask import abort, current_app, has_request_context, redirect, request, session, url_for

from fieldbook.errors import FieldbookError
from fieldbook.languages import ENGLISH, LanguageError, checked_tag

if TYPE_CHECKING:
    from collections.abc import Callable

    from flask.typing import ResponseReturnValue

    from fieldbook.site import Signer, Site
    from fieldbook.view import Card
    from fieldbook.web.sitting import Sittings
    from fieldbook.web.work import Work

EXTENSION = "fieldbook"
SITTING = "sitting"
SENTENCE_TAGS = (ENGLISH, "sw")  # the languages of ``seed_entries/sentences``
CHECKERS = frozenset({"trainer", "reviewer"})
KEEPERS = frozenset({"trainer", "steward"})  # who looks after the laptop: its backup, its climate
_P = ParamSpec("_P")


class WebError(FieldbookError):
    """A page cannot do what was asked as it stands."""


def site() -> Site:
    """The site whose pages these are."""
    return cast("Site", current_app.extensions[EXTENSION]["site"])


def sittings() -> Sittings:
    """Who is signed in where."""
    return cast("Sittings", current_app.extensions[EXTENSION]["sittings"])


def work() -> Work:
    """The long work of this site: one exchange at a time."""
    return cast("Work", current_app.extensions[EXTENSION]["work"])


def cards() -> tuple[Card, ...]:
    """The entries that whoever asks may see, by title."""
    return site().cards(reader=signer())


def signer() -> Signer | None:
    """Whoever is signed in on this browser, with the roles that they have now; None for a reader."""
    found = sittings().signer(session.get(SITTING))
    return None if found is None else site().signers_role(found)


def reader_languages() -> list[str]:
    """The languages of this reader, the dearest first: the one that they chose here, then the site's."""
    chosen = request.args.get("language", "")
    return [*([chosen] if _is_tag(chosen) else []), *site().languages]


def sentence_tag() -> str:
    """The language of errors and hints: what the phone asks for, else the site's first, of those that we have."""
    asked = asked_tag()
    if asked is not None or not has_request_context():
        return asked or ENGLISH
    shared = current_app.extensions.get(EXTENSION)
    first = shared["site"].languages[0] if shared else ENGLISH
    return first if first in SENTENCE_TAGS else ENGLISH


def asked_tag() -> str | None:
    """The language that the phone itself asks for, of those that we have; None where it asks for none of them."""
    return request.accept_languages.best_match(SENTENCE_TAGS) if has_request_context() else None


def _is_tag(text: str) -> bool:
    try:
        checked_tag(text)
    except LanguageError:
        return False
    return True


def need_signer() -> Signer:
    """Whoever is signed in; a view that calls this stands under ``signed_in``."""
    found = signer()
    if found is None:
        abort(403)
    return found


def signed_in(*roles: str) -> Callable[[Callable[_P, ResponseReturnValue]], Callable[_P, ResponseReturnValue]]:
    """Let a view be reached only by people who are signed in, and have one of the roles where any are named."""

    def guard(view: Callable[_P, ResponseReturnValue]) -> Callable[_P, ResponseReturnValue]:
        @wraps(view)
        def guarded(*args: _P.args, **kwargs: _P.kwargs) -> ResponseReturnValue:
            found = signer()
            if found is None:
                back = request.full_path.rstrip("?") if request.method == "GET" else ""
                return redirect(url_for("people.sign_in", back=back or None))
            if roles and found.roles.isdisjoint(roles):
                abort(403)
            return view(*args, **kwargs)

        return guarded

    return guard
