"""Backing up this site: choose a folder, then the recovery sheet, shown once.

Not the putting back, which needs a laptop without a site. Its one rule: the words stand on one answer and nowhere else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, current_app, render_template, request

from fieldbook.site import back_up, free_name
from fieldbook.web import recovery_words
from fieldbook.web.here import signed_in, site
from fieldbook.web.sticks import chosen_folder, plausible_sticks

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("backup", __name__, url_prefix="/backup")
KEEPERS = ("trainer", "steward")


@pages.get("/")
@signed_in(*KEEPERS)
def choose() -> ResponseReturnValue:
    """Choose where the backup goes, and whether an earlier sheet is to open it."""
    return render_template("backup_choose.html", sticks=plausible_sticks(current_app.config["STICK_ROOTS"]))


@pages.post("/")
@signed_in(*KEEPERS)
def write() -> ResponseReturnValue:
    """Write the backup, read it back, and show the recovery sheet, or say that the earlier one opens it."""
    earlier = request.form.get("phrase", "").strip()
    made = back_up(site(), free_name(chosen_folder(request.form), site()), phrase=earlier or None)
    return render_template(
        "backup_sheet.html",
        made=made,
        phrase=() if earlier else recovery_words.numbered(made.phrase),
        facts=recovery_words.sheet_facts(made),
        steps=recovery_words.STEPS,
        keep=recovery_words.KEEP,
    )
