"""Sheets that go out from a site's climate and come back: the request to a weather office, five questions to growers.

Not the figures themselves (``climate``). Its one rule: both work on paper alone; nobody's name is asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.climate.figures import plain
from fieldbook.climate.memory import QUESTIONS
from fieldbook.climate.year import MONTH_NAMES
from fieldbook.errors import FieldbookError, Notice
from fieldbook.web.climate_form import ticked_months
from fieldbook.web.here import KEEPERS, signed_in, site
from fieldbook.web.weather_words import grower_lines
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("growers", __name__, url_prefix="/climate")


@pages.get("/ask")
@signed_in(*KEEPERS)
def ask() -> ResponseReturnValue:
    """Show the request to a weather office, to be printed."""
    place = site().place()
    side = "north" if place.latitude_deg >= 0 else "south"
    where = f"{plain(abs(place.latitude_deg), places=2)}° {side}, {plain(place.elevation_m, places=0)} m above the sea"
    return render_template("climate_ask.html", where=where, months=MONTH_NAMES)


@pages.get("/growers")
@signed_in(*KEEPERS)
def questions() -> ResponseReturnValue:
    """Show what growers said beside the figures, and the five questions."""
    return _page({}, "")


@pages.post("/growers")
@signed_in(*KEEPERS)
def tell() -> ResponseReturnValue:
    """Keep the answers of one grower."""
    typed = request.form.to_dict(flat=False)
    try:
        site().growers.tell({question: sorted(ticked_months(typed, question)) for question in QUESTIONS})
    except FieldbookError as error:
        return _page(typed, told(error.message, error.hint)), 422
    flash(Notice("The answers are kept at this site, without a name."))
    return redirect(url_for("growers.questions"), code=303)


@pages.post("/growers/forget")
@signed_in(*KEEPERS)
def forget() -> ResponseReturnValue:
    """Take all answers out."""
    site().growers.forget()
    flash(Notice("All answers are out. Ask anew."))
    return redirect(url_for("growers.questions"), code=303)


def _page(typed: dict[str, list[str]], fault: str) -> str:
    growers = site().growers
    return render_template(
        "climate_growers.html",
        questions=QUESTIONS,
        lines=grower_lines(growers.compared(), dict(QUESTIONS)),
        count=growers.count(),
        months=MONTH_NAMES,
        typed=typed,
        fault=fault,
    )
