"""The sheet that a household takes home: one page for the hand, counted in the register of paper.

Not the page of an entry, which may be printed to be checked. Its one rule: what lacks a check or is stopped gives no
sheet, but every reason why not, and what to do.
"""

from __future__ import annotations

import re
from functools import partial
from typing import TYPE_CHECKING

from flask import Blueprint, abort, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError
from fieldbook.site import SiteError
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.here import WebError, need_signer, reader_languages, signed_in, signer, site
from fieldbook.web.home_words import home_reasons
from fieldbook.web.pages.papers import sheets_typed
from fieldbook.web.said import in_language
from fieldbook.web.sheet_words import sheet_words
from fieldbook.web.shown import caution_keys, show_entry
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.view import EntryPage
    from fieldbook.web.home_words import Reason
    from fieldbook.web.words import Told

pages = Blueprint("sheet", __name__, url_prefix="/sheet")
# ours, measured on the starter entries: with more letters than this the words are set smaller, to stay on two sides
LETTERS_MAX, LETTERS_MAX_RTL = 7000, 4500
SIZES = ((" long", 1.15), (" long longest", float("inf")))
_MARKUP = re.compile(r"<(head|style)\b.*?</\1>|<[^>]+>", re.DOTALL)


@pages.get("/<edition>")
def ask(edition: str) -> ResponseReturnValue:
    """Ask for how many households and in which language; or say why there is no sheet."""
    page = _page_of(edition)
    if page.notice is not None:
        return redirect(url_for("entries.entry", entry=page.entry))
    return _asking(page)


@pages.post("/<edition>")
@signed_in()
def count(edition: str) -> ResponseReturnValue:
    """Count the sheets in the register of paper, and lead to the sheet."""
    page = _page_of(edition)
    if page.notice is not None or _reasons(page):
        return ask(edition)
    try:
        noted = site().papers.register(
            page.line.edition, sheets=sheets_typed(), where=request.form.get("where", ""), signer=need_signer()
        )
    except (SiteError, WebError) as error:
        return _asking(page, told(error.message, error.hint))
    language = request.form.get("language") or None
    return redirect(url_for("sheet.show", edition=page.line.edition, number=noted.number, language=language), code=303)


@pages.get("/<edition>/<int:number>")
@signed_in()
def show(edition: str, number: int) -> ResponseReturnValue:
    """The sheet itself, ready to print; only what was counted is shown."""
    page = _page_of(edition)
    if page.notice is not None or _reasons(page):
        return redirect(url_for("sheet.ask", edition=page.line.edition))
    noted = next((one for one in site().papers.of(page.line.edition) if one.number == number), None)
    if noted is None:
        abort(404)
    shown = show_entry(page.document, reader_languages())
    frame = partial(
        render_template,
        "sheet.html",
        page=page,
        e=shown,
        noted=noted,
        say=sheet_words(shown.title.tag),
        cautions=[caution(key) for key in caution_keys(page.document)],
        waits=[
            (wait, str(row.get("before")))
            for wait, row in zip(shown.waiting, page.document.get("waiting") or (), strict=True)
        ],
        limits=tuple(dict.fromkeys(limit for one in page.approvals for limit in one.limits)),
        standing_line=STANDING_LINE,
    )
    plain = frame()
    letters = len(" ".join(_MARKUP.sub(" ", plain).split()))
    most = LETTERS_MAX_RTL if shown.title.direction == "rtl" else LETTERS_MAX
    return frame(size=next(size for size, share in SIZES if letters <= share * most)) if letters > most else plain


def _page_of(edition: str) -> EntryPage:
    found = site().edition_id(edition)
    return site().page(site().entry_id(found), edition=found, reader=signer())


def _reasons(page: EntryPage) -> tuple[Reason, ...]:
    """Why there is no sheet of an edition; nothing where there is one."""
    here = site()
    return home_reasons(
        page,
        here.second_words.lacks_for_home(page),
        here.findings(page.line.edition),
        newer=_followed(page) != page.line.edition,
    )


def _followed(page: EntryPage) -> str:
    """The edition that readers here are to follow; its own where they are shown none."""
    try:
        return site().page(page.entry).line.edition
    except FieldbookError:
        return page.line.edition


def _asking(page: EntryPage, error: Told | str = "") -> ResponseReturnValue:
    reasons = _reasons(page)
    html = render_template(
        "sheet_ask.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        languages=show_entry(page.document, reader_languages()).languages,
        chosen=request.form.get("language") or reader_languages()[0],
        reasons=reasons,
        error=error,
        typed=request.form,
    )
    return html, 422 if error else 409 if reasons else 200
