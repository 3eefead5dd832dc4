"""Withdrawals: the list to hang up, allowing an entry again, and typing in what was heard over a radio."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.web.here import CHECKERS, need_signer, reader_languages, signed_in, site
from fieldbook.web.said import in_language
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.web.said import Said
    from fieldbook.web.words import Told

pages = Blueprint("stops", __name__, url_prefix="/withdrawn")
LINES_MAX = 40  # what an old phone loads and scrolls in one go


@pages.get("/")
def every() -> ResponseReturnValue:
    """All withdrawals with the codes of their sheets, to be read and hung up."""
    here, start = site(), max(request.args.get("from", 0, type=int), 0)
    stops = here.stops.every() if here.ledger is not None else ()
    shown = [(one, _title(one.target)) for one in stops[start : start + LINES_MAX]]
    return render_template(
        "withdrawn_list.html",
        stops=shown,
        heard=here.hearing.standing() if here.ledger is not None else (),
        alone=frozenset(here.seconding.alone()) if here.ledger is not None else frozenset(),
        drills=here.drills.every() if here.ledger is not None else (),
        more=start + LINES_MAX if len(stops) > start + LINES_MAX else None,
    )


@pages.post("/<recall>/second")
@signed_in("reviewer")
def second(recall: str) -> ResponseReturnValue:
    """Withdraw the same as another reviewer."""
    site().seconding.second(recall, signer=need_signer())
    flash(Notice("Said. Two reviewers withdrew it now."))
    return redirect(url_for("stops.every"), code=303)


@pages.post("/drill")
@signed_in("reviewer")
def drill() -> ResponseReturnValue:
    """Begin a drill."""
    site().drills.begin(signer=need_signer())
    flash(Notice("The drill has begun. It goes first on the next stick, like a withdrawal."))
    return redirect(url_for("stops.every"), code=303)


@pages.get("/<edition>/allow")
@signed_in("reviewer", "steward")
def ask_allowing(edition: str) -> ResponseReturnValue:
    """Ask which editions may be used again, and why."""
    return _allowing_page(edition)


@pages.post("/<edition>/allow")
@signed_in("reviewer", "steward")
def allow(edition: str) -> ResponseReturnValue:
    """Say one of the two voices that allow editions again."""
    here, chosen = site(), request.form.getlist("editions")
    try:
        here.stops.allow_again(
            [here.edition_id(one) for one in chosen], signer=need_signer(), reason=request.form.get("reason", "")
        )
    except FieldbookError as error:
        return _allowing_page(edition, told(error.message, error.hint)), 422
    entry = here.entry_id(edition)
    flash(
        Notice(
            "Said. It stays withdrawn until somebody of another site says the same; a reviewer must be one of both."
            if here.stops.of(entry)
            else "Said. Two sites allow it again, so it is shown again here, and wherever both words arrive."
        )
    )
    return redirect(url_for("entries.entry", entry=entry), code=303)


@pages.get("/heard")
@signed_in(*CHECKERS)
def ask_lines() -> ResponseReturnValue:
    """Ask for the two lines of a withdrawal."""
    return _lines_page()


@pages.post("/heard")
@signed_in(*CHECKERS)
def hear(**_: str) -> ResponseReturnValue:
    """Pause here what two lines name."""
    here = site()
    try:
        pause = here.hearing.hear(request.form.get("first", ""), request.form.get("second", ""), signer=need_signer())
    except FieldbookError as error:
        return _lines_page(told(error.message, error.hint)), 422
    entries = here.hearing.entries_of(pause)
    flash(
        Notice(
            "Understood. What the lines name is paused here now, until a trainer ends it "
            "or the signed withdrawal comes."
            if entries
            else "Understood. What the lines name is not here yet; when it comes, it is paused at once."
        )
    )
    if entries:
        return redirect(url_for("entries.entry", entry=entries[0]), code=303)
    return redirect(url_for("stops.every"), code=303)


def _allowing_page(edition: str, error: Told | str = "") -> str:
    here = site()
    entry = here.entry_id(edition)
    page = here.page(entry, edition=here.edition_id(edition), reader=need_signer())
    return render_template(
        "allow.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        stops=here.stops.of(entry),
        error=error,
        typed=request.form,
        chosen=request.form.getlist("editions"),
    )


def _lines_page(error: Told | str = "") -> str:
    return render_template("heard.html", error=error, typed=request.form)


def _title(entry: str) -> Said | None:
    """The title of an entry, where it is here."""
    here = site()
    if here.view.entry_of(entry) is None:
        return None
    return in_language(here.page(entry).title, reader_languages())
