"""The planting calendar: an index of crops, each crop on a page of its own, and the year as pictures and tables.

Its one rule: what is asked for a household stands in the address and is kept nowhere, unless a trainer says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from markupsafe import Markup

from fieldbook.errors import FieldbookError, Notice
from fieldbook.site import household_from_text
from fieldbook.site.season import crop_table, days_from_text
from fieldbook.web.calendar_words import (
    household_words,
    index,
    months_table,
    origin_lines,
    rests_on,
    room_words,
    rows_of_all,
    share_words,
)
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.here import KEEPERS, signed_in, site
from fieldbook.web.season_words import window_lines
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask.typing import ResponseReturnValue

    from fieldbook.climate.crops import Crop
    from fieldbook.climate.household import Household
    from fieldbook.climate.windows import Calendar
    from fieldbook.web.season_words import WindowLine
    from fieldbook.web.words import Told

pages = Blueprint("calendar", __name__, url_prefix="/calendar")
DUNG_CAUTION = "C01"


@pages.get("")
def year() -> ResponseReturnValue:
    """Show what can be planted this month, then all crops, then the year."""
    here = site()
    household, fault = _household_asked()
    of_household = None if household is None else here.household.year(household)
    found = here.calendar() if of_household is None else of_household.calendar
    today = None if here.clock_doubt else here.clock()
    return render_template(
        "calendar.html",
        calendar=found,
        index=index(
            found,
            month=today.month if today else None,
            today=f"{today:%m-%d}" if today else "",
            household=household,
            refused=frozenset(window.crop for window in of_household.refused) if of_household else frozenset(),
        ),
        month=today.month if today else None,
        picture=_picture(found, crops=False),
        months=months_table(here.normals(), found),
        water=None if of_household is None else household_words(of_household),
        asked=_asked(household),
        kept=here.household.kept,
        fault=fault,
    ), (422 if fault else 200)


@pages.get("/whole")
def whole() -> ResponseReturnValue:
    """Show the windows of all crops as one table: a sheet for a wall."""
    found = site().calendar()
    return render_template("calendar_whole.html", calendar=found, windows=rows_of_all(found))


@pages.get("/picture")
def picture() -> ResponseReturnValue:
    """Show the year, and the windows of all crops beside one another."""
    found = site().calendar()
    crops = [Markup(drawn) for drawn in site().crop_pictures(found)]  # noqa: S704 -- as below
    return render_template("calendar_picture.html", picture=_picture(found, crops=False), crops=crops)


@pages.get("/<crop>")
def one(crop: str) -> ResponseReturnValue:
    """Show one crop: its windows, its dung day, its water, its room, and why."""
    known = next((found for found in crop_table() if found.crop_id == crop), None)
    if known is None:
        abort(404)
    household, fault = _household_asked()
    entered, leaf_fault = _first_bite_asked(known)
    watering = None if household is None else household.garden_l_day > 0
    found = site().calendar(crops=[crop], watering=watering, eaten_after_days=entered)
    return render_template(
        "calendar_crop.html",
        crop=known,
        calendar=found,
        windows=list(zip(window_lines(found.windows), _shares(found, household), strict=True)),
        picture=_picture(found, crops=True) if found.windows else None,
        watered=_if_watered(crop, household, entered),
        room=room_words(known),
        origins=origin_lines(known),
        rests_on=rests_on(found),
        asked=_asked(household),
        household=household,
        entered=entered.get(crop),
        caution=caution(DUNG_CAUTION),
        standing_line=STANDING_LINE,
        fault=fault or leaf_fault,
    ), (422 if fault or leaf_fault else 200)


@pages.post("/water")
@signed_in(*KEEPERS)
def keep_water() -> ResponseReturnValue:
    """Reckon with a household from now on, or with none."""
    if request.form.get("forget"):
        site().household.forget()
        flash(Notice("The calendar reckons with no household from now on."))
        return redirect(url_for("calendar.year"), code=303)
    household = household_from_text(persons=request.form.get("persons", ""), water_l_day=request.form.get("water", ""))
    site().household.keep(household)
    flash(Notice("The calendar reckons with this household from now on. It stays on this laptop."))
    return redirect(url_for("calendar.year"), code=303)


def _household_asked() -> tuple[Household | None, Told | None]:
    """The household of the address, else the one that is kept; and what is wrong with what was typed."""
    persons, water = (request.args.get(name, "").strip() for name in ("persons", "water"))
    if not persons and not water:
        return site().household.kept, None
    try:
        return household_from_text(persons=persons, water_l_day=water), None
    except FieldbookError as error:
        return None, told(error.message, error.hint)


def _first_bite_asked(crop: Crop) -> tuple[Mapping[str, int], Told | None]:
    """The day of the first leaf that was typed, for a crop whose table lacks it."""
    typed = request.args.get("leaf", "").strip()
    if not typed or crop.eaten_after_days is not None or crop.contact == "not eaten":
        return {}, None
    try:
        return {crop.crop_id: days_from_text(typed)}, None
    except FieldbookError as error:
        return {}, told(error.message, error.hint)


def _asked(household: Household | None) -> dict[str, str]:
    """What stands in the boxes and in the addresses of the next pages: a household that was typed, not one kept."""
    if household is None or not request.args.get("persons"):
        return {}
    return {"persons": str(household.persons), "water": f"{household.water_l_day:g}"}


def _if_watered(crop: str, household: Household | None, entered: Mapping[str, int]) -> list[WindowLine]:
    """What watering would open, where the windows of the page count on rain alone and nobody is short of water."""
    if household is not None or site().stated_facts().watering:
        return []
    return window_lines(site().calendar(crops=[crop], watering=True, eaten_after_days=entered).windows)


def _shares(calendar: Calendar, household: Household | None) -> list[tuple[str, str]]:
    if household is None:
        return [("", "")] * len(calendar.windows)
    return [share_words(household, window) for window in calendar.windows]


def _picture(calendar: Calendar, *, crops: bool) -> Markup:
    return Markup(site().year_picture(calendar, crops=crops))  # noqa: S704 -- our own drawing, which escapes every label
