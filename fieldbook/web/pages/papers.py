"""Paper: noting what was printed and where it hangs, and taking down what is withdrawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.web.boxes import plain_number
from fieldbook.web.here import KEEPERS, WebError, need_signer, reader_languages, signed_in, site
from fieldbook.web.said import in_language
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.web.words import Told

pages = Blueprint("papers", __name__, url_prefix="/paper")


@pages.get("/<edition>")
@signed_in()
def ask(edition: str) -> ResponseReturnValue:
    """Ask how many sheets were printed, and where they hang."""
    return _page(edition)


@pages.post("/<edition>")
@signed_in()
def note(edition: str) -> ResponseReturnValue:
    """Note sheets that were printed."""
    here = site()
    found = here.edition_id(edition)
    try:
        here.papers.register(found, sheets=sheets_typed(), where=request.form.get("where", ""), signer=need_signer())
    except FieldbookError as error:
        return _page(edition, told(error.message, error.hint)), 422
    flash(Notice("Noted. If this practice is ever withdrawn, its notice says where these sheets hang."))
    return redirect(url_for("entries.entry", entry=found, edition=found), code=303)


@pages.post("/down/<recall>")
@signed_in(*KEEPERS, "reviewer")
def took_down(recall: str) -> ResponseReturnValue:
    """Say for this site that the paper of a withdrawal is down."""
    here = site()
    here.papers.took_down(recall, sheets=sheets_typed(), signer=need_signer())
    flash(Notice("Said. Other sites learn with the next stick that the paper is down here."))
    return redirect(url_for("stops.every"), code=303)


def _page(edition: str, error: Told | str = "") -> str:
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    page = here.page(here.entry_id(found), edition=found, reader=person)
    return render_template(
        "paper.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        printed=here.papers.of(found),
        error=error,
        typed=request.form,
    )


def sheets_typed() -> int:
    """How many sheets were typed.

    Raises:
        WebError: it is no whole number.
    """
    text = plain_number(request.form.get("sheets", "").strip())
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise WebError("the number of sheets is missing", hint="write it as a whole number")
    return int(text)
