"""Looking a site through for damage, and mending its store: what is damaged, who can bring it back, one more yes.

Not a backup. Its one rule: these pages ask the store for nothing that may have rotted, so that they can always be
shown.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.ledger import DamagedLedgerError
from fieldbook.site import SiteDamage, remove_damaged
from fieldbook.web.here import KEEPERS, WebError, reader_languages, signed_in, site, work
from fieldbook.web.mend_words import damage_words

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site import Missing

pages = Blueprint("mending", __name__, url_prefix="/mend")
LOOK, MEND = "look", "mend"
NOT_SURE = "the box is not ticked, so nothing was changed"


@pages.get("/")
@signed_in(*KEEPERS)
def ask() -> ResponseReturnValue:
    """Say what looking through and mending do, and what the last mending left missing."""
    return render_template("mend.html", missing=_missing(), old=site().mending.old_file, running=work().running)


@pages.post("/look")
@signed_in(*KEEPERS)
def look() -> ResponseReturnValue:
    """Look everything through, in the background."""
    here = site()
    here.need_ledger()
    work().begin(str(here.folder), lambda said: here.mending.look(progress=said), errand=LOOK)
    return redirect(url_for("mending.status"), code=303)


@pages.post("/")
@signed_in(*KEEPERS)
def mend() -> ResponseReturnValue:
    """Mend the store, in the background, once somebody has read what is lost by it."""
    if request.form.get("sure") != "yes":
        raise WebError(NOT_SURE, hint="read what is damaged, tick the box, and press the button again")
    here = site()
    here.need_ledger()
    work().begin(str(here.folder), lambda said: here.mending.mend(progress=said), errand=MEND)
    return redirect(url_for("mending.status"), code=303)


@pages.get("/now")
@signed_in(*KEEPERS)
def status() -> ResponseReturnValue:
    """Say how far it is, what was found, or what was done."""
    last = work().last
    if last is None or last.errand not in {LOOK, MEND}:
        return redirect(url_for("mending.ask"))
    found = last.report if isinstance(last.report, SiteDamage) else None
    shown = None if found is None else damage_words(found, reader_languages())
    return render_template("mend_status.html", last=last, found=found, shown=shown, missing=_missing())


@pages.post("/old")
@signed_in(*KEEPERS)
def remove_old() -> ResponseReturnValue:
    """Remove the file that was mended."""
    if remove_damaged(site().folder):
        flash("The old file is removed.")
    return redirect(url_for("mending.ask"), code=303)


def _missing() -> Missing | None:
    try:
        return None if work().running else site().mending.missing()
    except DamagedLedgerError:  # damaged once more
        return None
