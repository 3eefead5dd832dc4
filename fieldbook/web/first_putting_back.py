"""Putting a site back from its backup, by page: the file, the words on the recovery sheet, and how far it is.

Not the unpacking (``site.restoring``). Its one rule: the words stand in the page that they were typed on, and nowhere
else.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from flask import Blueprint, current_app, redirect, render_template, request

from fieldbook.ledger import read_phrase
from fieldbook.web.climate_form import said_by_check
from fieldbook.web.first_here import PROGRESS_PAGE, run
from fieldbook.web.recovery_words import OLD_LAPTOP
from fieldbook.web.sticks import sealed_files
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask.typing import ResponseReturnValue

pages = Blueprint("first_putting_back", __name__, url_prefix="/put-back")


@pages.get("/")
def ask() -> ResponseReturnValue:
    """Ask for the backup and the words that open it."""
    return _page({}, {})


@pages.post("/")
def take() -> ResponseReturnValue:
    """Put the site back, or say beside its box what is wrong; the words stay in the page, so that one can be mended."""
    file = request.form.get("typed", "").strip() or request.form.get("file", "")
    phrase = request.form.get("phrase", "")
    faults = {"typed": _file_fault(file), "phrase": said_by_check(lambda: read_phrase(phrase))}
    if not any(faults.values()):
        run().put_back(Path(file), phrase)
        last = run().work.last
        if last is None or not last.ended or last.error is None:
            return redirect(PROGRESS_PAGE, code=303)
        faults = {"phrase": told(last.error.message, last.error.hint)}
    return _page(request.form, {name: fault for name, fault in faults.items() if fault}), 422


def _file_fault(file: str) -> str:
    if not file:
        return told("no backup was chosen", "put in the stick, then choose the file or type where it is")
    if not Path(file).is_absolute():
        return told("this is not where a file is", "type its whole path, such as /media/stick/backup.sealed")
    return "" if Path(file).is_file() else told(f"there is no file {file}", "put in the stick, and look again")


def _page(form: Mapping[str, str], faults: dict[str, str]) -> str:
    return render_template(
        "first_put_back.html",
        files=sealed_files(current_app.config["STICK_ROOTS"]),
        form=form,
        faults=faults,
        old_laptop=OLD_LAPTOP,
    )
