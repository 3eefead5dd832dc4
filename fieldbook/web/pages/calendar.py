"""The planting calendar: the year as a picture and as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, render_template
from markupsafe import Markup

from fieldbook.web.here import site
from fieldbook.web.season_words import window_lines

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("calendar", __name__)


@pages.get("/calendar")
def year() -> ResponseReturnValue:
    """Show when each crop can be planted here, and why."""
    found = site().calendar()
    return render_template(
        "calendar.html",
        calendar=found,
        windows=window_lines(found.windows),
        picture=Markup(site().year_picture(found)),  # noqa: S704 -- our own drawing, which escapes every label
    )
