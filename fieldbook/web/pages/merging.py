"""Two editions brought together: each place where they differ, chosen by a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.practices import EntryError
from fieldbook.web.differences import place_words
from fieldbook.web.here import need_signer, reader_languages, signed_in, site
from fieldbook.web.merge_words import choice_rows
from fieldbook.web.said import in_language
from fieldbook.web.words import Told, sentence, told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.practices.merging import Side
    from fieldbook.site.merging import Laid

pages = Blueprint("merging", __name__)
WRITERS = ("trainer", "reviewer")


@pages.get("/together")
@signed_in(*WRITERS)
def choose() -> ResponseReturnValue:
    """Every place where the two differ: to be chosen, or proposed."""
    return _page(_laid())


@pages.post("/together")
@signed_in(*WRITERS)
def keep() -> ResponseReturnValue:
    """Keep what comes of the choices as a draft, to be looked through and offered."""
    laid = _laid()
    try:
        written = site().merging.keep(laid, _chosen(laid), signer=need_signer())
    except FieldbookError as error:
        return _page(laid, error), 422
    flash(Notice(f"Kept here as {written.draft}. Look through it, then offer it for review."))
    return redirect(url_for("writing.new", draft=written.draft), code=303)


def _laid() -> Laid:
    return site().merging.lay(request.args.getlist("edition"), reader=need_signer())


def _chosen(laid: Laid) -> dict[int, Side]:
    typed = {n: request.form.get(f"choice.{n}", "") for n in range(len(laid.merge.choices))}
    return {n: side for n, side in typed.items() if side in laid.merge.choices[n].sides}


def _told(error: FieldbookError) -> list[Told]:
    if not isinstance(error, EntryError):
        return [told(error.message, error.hint)]
    return [
        told(fault.message, fault.hint, where=sentence(place_words(fault.field))[:-1] if fault.field else "")
        for fault in error.faults
    ]


def _page(laid: Laid, error: FieldbookError | None = None) -> str:
    rows = choice_rows(laid, _chosen(laid))
    page = site().page(laid.entry, edition=laid.one.edition, reader=need_signer())
    return render_template(
        "together.html",
        laid=laid,
        title=in_language(page.title, reader_languages()),
        asked=[row for row in rows if row.asked],
        proposed=[row for row in rows if not row.asked],
        read_again=sorted(laid.merge.read_again),
        errors=_told(error) if error else (),
    )
