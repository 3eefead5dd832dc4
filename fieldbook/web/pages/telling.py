"""Telling that a practice did not work or hurt someone, by anyone, without an account; and the answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.site import HURT
from fieldbook.web.here import CHECKERS, need_signer, reader_languages, signed_in, signer, site
from fieldbook.web.said import Said, in_language
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site import Complaint
    from fieldbook.web.words import Told

pages = Blueprint("telling", __name__)
SURE = "yes"
LINES_MAX = 60  # what an old phone loads and scrolls in one go


@dataclass(frozen=True)
class ToldLine:
    """One report with the title of its practice; None where readers are not shown it."""

    complaint: Complaint
    title: Said | None


@pages.get("/tell")
def ask_code() -> ResponseReturnValue:
    """Ask for the code that stands on a sheet, and lead to the page of its practice."""
    code = request.args.get("code", "").strip()
    if not code:
        return render_template("tell_code.html", typed="", error="")
    try:
        return redirect(url_for("telling.ask", edition=site().edition_id(code)), code=303)
    except FieldbookError as error:
        return render_template("tell_code.html", typed=code, error=told(error.message, error.hint)), 422


@pages.get("/tell/<edition>")
def ask(edition: str) -> ResponseReturnValue:
    """Ask what came of a practice."""
    return _page(edition)


@pages.post("/tell/<edition>")
def tell(edition: str) -> ResponseReturnValue:
    """Keep what was told; where somebody was hurt, once that is confirmed."""
    here, says = site(), request.form.get("says", "")
    words, sure = request.form.get("words", ""), request.form.get("sure") == SURE
    found = here.edition_id(edition)
    if says == HURT and not sure:
        return render_template("tell_sure.html", edition=found, title=_title(found), words_typed=words)
    try:
        here.complaints.tell(found, says=says, words=words, signer=signer())
    except FieldbookError as error:
        return _page(edition, told(error.message, error.hint)), 422
    flash(
        Notice(
            "Told. It is paused at this site now, and a reviewer must answer."
            if says == HURT
            else "Told. It waits for an answer of a trainer or reviewer."
        )
    )
    return redirect(url_for("telling.list_told"), code=303)


@pages.get("/told")
def list_told() -> ResponseReturnValue:
    """What people told, at every site that is heard of here, with the answers; open reports of harm first."""
    start = max(request.args.get("from", 0, type=int), 0)
    every = site().complaints.every()
    lines = [ToldLine(one, _title(one.edition)) for one in every[start : start + LINES_MAX]]
    person = signer()
    return render_template(
        "told.html",
        lines=lines,
        may_answer=person is not None and not person.roles.isdisjoint(CHECKERS),
        more=start + LINES_MAX if len(every) > start + LINES_MAX else None,
    )


@pages.post("/told/<report>/answer")
@signed_in(*CHECKERS)
def answer(report: str) -> ResponseReturnValue:
    """Answer a report."""
    site().complaints.answer(report, signer=need_signer(), words=request.form.get("words", ""))
    flash(Notice("Answered. The answer stands beside the report at every site that it reaches."))
    return redirect(url_for("telling.list_told"), code=303)


def _page(edition: str, error: Told | str = "") -> str:
    found = site().edition_id(edition)
    return render_template(
        "tell.html",
        edition=found,
        title=_title(found),
        error=error,
        typed=request.form,
        told=site().complaints.about(site().entry_id(found)),
    )


def _title(edition: str) -> Said | None:
    """The title of an edition, where whoever asks may see it."""
    try:
        page = site().page(site().entry_id(edition), edition=edition, reader=signer())
    except FieldbookError:
        return None
    return in_language(page.title, reader_languages())
