"""Questions on an edition for a licensed local person: a sheet to print, and the answers typed in from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.findings import finding_groups
from fieldbook.web.here import CHECKERS, need_signer, reader_languages, signed_in, site
from fieldbook.web.local_words import OFFICE_WORDS
from fieldbook.web.said import in_language
from fieldbook.web.shown import show_entry
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("questions", __name__, url_prefix="/review")


@pages.get("/<edition>/questions")
@signed_in(*CHECKERS)
def sheet(edition: str) -> ResponseReturnValue:
    """The sheet, and beneath it the boxes for what was written on it."""
    return _page(edition)


@pages.post("/<edition>/questions")
@signed_in(*CHECKERS)
def typed_in(edition: str) -> ResponseReturnValue:
    """Keep what was written on the sheet at this site."""
    here = site()
    found = here.edition_id(edition)
    try:
        here.second_words.keep(
            found,
            signer=need_signer(),
            role=request.form.get("role", ""),
            on=request.form.get("on", ""),
            words=request.form.get("words", ""),
            about=request.form.getlist("about"),
            answers={
                name.removeprefix("answer."): words
                for name, words in request.form.items()
                if name.startswith("answer.")
            },
        )
    except FieldbookError as error:
        return _page(edition, error), 422
    flash(Notice("Kept at this site. It counts once a reviewer signs it with an approval."))
    return redirect(url_for("review.edition", edition=found), code=303)


def _page(edition: str, error: FieldbookError | None = None) -> str:
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    page = here.page(here.entry_id(found), edition=found, reader=person)
    asking = [group for group in finding_groups(here.findings(found)) if group.asks] if page.notice is None else []
    return render_template(
        "questions.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        e=show_entry(page.document, reader_languages()),
        groups=asking,
        cautions=[caution(key) for key in here.second_words.at_stake(found)],
        offices=OFFICE_WORDS,
        standing_line=STANDING_LINE,
        own=page.line.author == person.label,
        error=told(error.message, error.hint) if error else "",
        typed=request.form,
    )
