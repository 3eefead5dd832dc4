"""The board "Who to call here": read by everybody, written by trainers of this site.

Not who may sign what (``people``, ``roles``). Its one rule: what stands on it stays at this site.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.web.here import signed_in, signer, site
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("board", __name__, url_prefix="/who-to-call")
TRAINER = "trainer"


@pages.get("/")
def read() -> ResponseReturnValue:
    """Who is called here for what, and where they are found."""
    by_role = {code: [line for line in site().callers.lines() if line.role == code] for code in ROLES_HERE}
    person = signer()
    may_write = person is not None and TRAINER in person.roles
    return render_template("board.html", by_role=by_role, roles=ROLES_HERE, may_write=may_write)


@pages.get("/write")
@signed_in(TRAINER)
def write() -> ResponseReturnValue:
    """The lines of the board as boxes, and an empty line."""
    return _form()


@pages.post("/write")
@signed_in(TRAINER)
def put_up() -> ResponseReturnValue:
    """Put up a new line."""
    try:
        site().callers.put_up(request.form)
    except FieldbookError as error:
        return _form(0, error), 422
    flash(Notice("It stands on the board. It stays at this site."))
    return redirect(url_for("board.write"), code=303)


@pages.post("/write/<int:number>")
@signed_in(TRAINER)
def change(number: int) -> ResponseReturnValue:
    """Write a line anew, or take it down."""
    try:
        if "down" in request.form:
            site().callers.take_down(number)
        else:
            site().callers.change(number, request.form)
    except FieldbookError as error:
        return _form(number, error), 422
    flash(Notice("Taken down." if "down" in request.form else "Written anew."))
    return redirect(url_for("board.write"), code=303)


def _form(number: int | None = None, error: FieldbookError | None = None) -> str:
    """The boxes; where one line could not be kept, what was typed stands in it."""
    lines = site().callers.lines()
    gone = number is not None and number not in {line.number for line in lines}
    return render_template(
        "board_write.html",
        lines=lines,
        roles=ROLES_HERE,
        wrong=0 if gone else number,
        typed=request.form,
        fault=None if error is None else told(error.message, error.hint),
    )
