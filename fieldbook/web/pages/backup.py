"""Backing up this site: choose a folder, then the recovery sheet, shown once.

Not the putting back, which needs a laptop without a site. Its one rule: the words stand on one answer and nowhere else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, current_app, render_template, request, url_for

from fieldbook.errors import FieldbookError
from fieldbook.site import back_up, free_name
from fieldbook.web import recovery_words
from fieldbook.web.here import KEEPERS, signed_in, site
from fieldbook.web.sticks import chosen_folder, plausible_sticks
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask.typing import ResponseReturnValue

pages = Blueprint("backup", __name__, url_prefix="/backup")
AFTER_FIRST = {"running": "running.sheet", "joining": "joining.ours"}


@pages.get("/")
@signed_in(*KEEPERS)
def choose() -> ResponseReturnValue:
    """Choose where the backup goes, and whether an earlier sheet is to open it."""
    return _choose_page({})


@pages.post("/")
@signed_in(*KEEPERS)
def write() -> ResponseReturnValue:
    """Write the backup, read it back, and show the recovery sheet, or say that the earlier one opens it."""
    earlier = request.form.get("phrase", "").strip()
    try:
        made = back_up(site(), free_name(chosen_folder(request.form), site()), phrase=earlier or None)
    except FieldbookError as error:
        return _choose_page(request.form, told(error.message, error.hint)), 422
    return render_template(
        "backup_sheet.html",
        made=made,
        phrase=() if earlier else recovery_words.numbered(made.phrase),
        facts=recovery_words.sheet_facts(made),
        steps=recovery_words.STEPS,
        keep=recovery_words.KEEP,
        go_on=_go_on(),
    )


def _choose_page(form: Mapping[str, str], fault: str = "") -> str:
    return render_template(
        "backup_choose.html",
        sticks=plausible_sticks(current_app.config["STICK_ROOTS"]),
        first=request.values.get("first") in AFTER_FIRST,
        after=request.values.get("first", ""),
        go_on=_go_on(),
        typed=form.get("typed", ""),
        phrase=form.get("phrase", ""),
        fault=fault,
    )


def _go_on() -> str:
    """Where a person goes from here: after the first run, to what follows it."""
    return url_for(AFTER_FIRST.get(request.values.get("first", ""), "people.who"))
