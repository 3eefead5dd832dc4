"""What this is, how to use it on a phone, and what its words mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, render_template

from fieldbook.web.caution_words import STANDING_LINE

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("about", __name__)


@pages.get("/help")
def help_page() -> ResponseReturnValue:
    """Explain the pages, the states of an entry, and how a phone stays connected."""
    return render_template("help.html", standing_line=STANDING_LINE)
