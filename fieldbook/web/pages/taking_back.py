"""Taking back the words of an edition, or one of its photos, after a page has said what cannot be called back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for

from fieldbook.errors import Notice
from fieldbook.site import NOT_CALLED_BACK
from fieldbook.web.here import need_signer, reader_languages, signed_in, site
from fieldbook.web.said import in_language

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("taking_back", __name__, url_prefix="/take-back")
WORDS = "words"
SURE = "yes"


@pages.get("/<edition>")
@signed_in()
def ask(edition: str) -> ResponseReturnValue:
    """Say what would go, and what cannot be called back."""
    return _page(edition)


@pages.post("/<edition>")
@signed_in()
def take(edition: str) -> ResponseReturnValue:
    """Take back what was ticked, once it is said that the person is sure."""
    here, person = site(), need_signer()
    found, what = here.edition_id(edition), request.form.get("what", "")
    if request.form.get("sure") != SURE or not what:
        return _page(edition, "Choose what goes, and tick that you are sure; nothing was taken back."), 422
    if what == WORDS:
        here.take_back(found, signer=person)
    else:
        here.take_back_photo(found, what.removeprefix("photo "), signer=person)
    flash(Notice("Taken back here. It goes first on the next stick, and every site that it reaches erases it too."))
    if what == WORDS:
        return redirect(url_for("entries.kinds"), code=303)
    return redirect(url_for("entries.entry", entry=found, edition=found), code=303)


def _page(edition: str, fault: str = "") -> str:
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    if not here.may_take_back(found, person):
        abort(403)
    page = here.page(here.entry_id(found), edition=found, reader=person)
    return render_template(
        "take_back.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        photos=here.photos_to_take_back(found),
        not_called_back=NOT_CALLED_BACK,
        fault=fault,
    )
