"""The log of gauge and thermometer: a day put down, a table brought in, and what the log says of rains and frosts.

Not the months that the calendar goes by (``climate``). Its one rule: days are for people with a name here; what the
rains did, by date, is for everybody.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.climate.daily import LIMIT_CHARACTERS
from fieldbook.climate.logged import logged_months, own_months
from fieldbook.climate.nights import FROST_C, HEAT_C, YEARS_FOR_ODDS, frost_seasons, weeks_of_nights
from fieldbook.errors import FieldbookError, Notice
from fieldbook.site import SiteError
from fieldbook.web.climate_form import with_point
from fieldbook.web.here import KEEPERS, signed_in, site
from fieldbook.web.weather_words import (
    day_cells,
    frost_words,
    full_date,
    month_cells,
    night_cells,
    own_cells,
    period_words,
    rains_shown,
    rule_words,
)
from fieldbook.web.words import told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask.typing import ResponseReturnValue

    from fieldbook.climate.daily import DailyRecord, Day

pages = Blueprint("weather", __name__, url_prefix="/climate")
_BOXES = ("date", "rain_mm", "rain_days", "tmin_c", "tmax_c")
FROSTS_C = (0.0, 2.0, 4.0)
HEATS_C = (32.0, 35.0, 38.0, 40.0)
_MONTH = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])")


@pages.get("/log")
@signed_in()
def log() -> ResponseReturnValue:
    """Show a month of the log, and a form for one day of it."""
    record = site().weather.record()
    asked = request.args.get("day", "")
    day = next((one for one in record.days if one.date.isoformat() == asked), None)
    return _log_page(record, _typed_of(day), month=asked[:7] or request.args.get("month", ""))


@pages.post("/log")
@signed_in()
def put_down() -> ResponseReturnValue:
    """Put a day into the log."""
    typed = {name: with_point(request.form.get(name, "").strip()) for name in _BOXES}
    try:
        day = site().weather.put_down(typed)
    except FieldbookError as error:
        page = _log_page(site().weather.record(), typed, month=typed["date"][:7], fault=told(error.message, error.hint))
        return page, 422
    flash(Notice(f"{full_date(day.date)} is in the log."))
    return redirect(url_for("weather.log", month=f"{day.date:%Y-%m}"), code=303)


@pages.post("/log/strike")
@signed_in(*KEEPERS)
def strike() -> ResponseReturnValue:
    """Take a day out of the log."""
    date = request.form.get("date", "")
    site().weather.strike(date)
    flash(Notice("The day is out of the log."))
    return redirect(url_for("weather.log", month=date[:7]), code=303)


@pages.get("/log/sheet")
@signed_in()
def sheet() -> ResponseReturnValue:
    """Show an empty sheet for a month, to be printed and hung beside the gauge."""
    return render_template("weather_sheet.html")


@pages.get("/log/table")
@signed_in(*KEEPERS)
def table() -> ResponseReturnValue:
    """Ask for a table of days."""
    return render_template("weather_table.html", typed={}, fault="", brought=site().weather.brought())


@pages.post("/log/table")
@signed_in(*KEEPERS)
def bring_in() -> ResponseReturnValue:
    """Take a table of days into the log."""
    typed = {name: request.form.get(name, "") for name in ("whose", "table")}
    try:
        brought = site().weather.bring_in(typed["table"].strip() or _uploaded(), whose=typed["whose"])
    except FieldbookError as error:
        fault = told(error.message, error.hint)
        page = render_template("weather_table.html", typed=typed, fault=fault, brought=site().weather.brought())
        return page, 422
    flash(Notice(f"{brought.days} days are in the log."))
    return redirect(url_for("weather.log"), code=303)


@pages.post("/log/go-by")
@signed_in(*KEEPERS)
def go_by() -> ResponseReturnValue:
    """Go by the own log, or no longer."""
    own = request.form.get("own") == "yes"
    site().weather.go_by(own=own)
    flash(
        Notice(
            "The calendar is computed from this site's own log now."
            if own
            else "The log stands beside the figures now."
        )
    )
    return redirect(url_for("climate.ours"), code=303)


@pages.get("/rains")
def rains() -> ResponseReturnValue:
    """Show when the rains began, year by year, and frost and heat by date."""
    weather, (frost_c, heat_c) = site().weather, _borders()
    record = weather.record()
    found = weather.onsets(record)
    return render_template(
        "weather_rains.html",
        span=[full_date(date) for date in record.span or ()],
        periods=[period_words(one) for one in weather.periods()],
        rains=[rains_shown(one) for one in found],
        rule=rule_words(found[0].rule) if found else "",
        frost=frost_words(frost_seasons(record, frost_c=frost_c)),
        nights=night_cells(weeks_of_nights(record, frost_c=frost_c, heat_c=heat_c), years=YEARS_FOR_ODDS),
        borders={"frost": (FROSTS_C, frost_c), "heat": (HEATS_C, heat_c)},
    )


def _borders() -> tuple[float, float]:
    """What counts as frost and as heat [C]: what was chosen of the few that are offered, else the usual."""
    chosen = ((FROSTS_C, "frost", FROST_C), (HEATS_C, "heat", HEAT_C))
    frost_c, heat_c = (
        next((c for c in offered if f"{c:g}" == request.args.get(name)), usual) for offered, name, usual in chosen
    )
    return frost_c, heat_c


def _uploaded() -> str:
    file = request.files.get("file")
    data = b"" if file is None else file.stream.read(4 * LIMIT_CHARACTERS + 1)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SiteError("the file is no text in UTF-8", hint="save it again as CSV in UTF-8") from error


def _typed_of(day: Day | None) -> dict[str, str]:
    """What stands in the boxes: the day that was asked for, else today where the clock can be trusted."""
    if day is None:
        asked = request.args.get("day", "")
        today = "" if site().clock_doubt else f"{site().clock():%Y-%m-%d}"
        return {"date": asked or today}
    figures = (("rain_mm", day.rain_mm), ("tmin_c", day.tmin_c), ("tmax_c", day.tmax_c))
    cells = {name: f"{value:g}" for name, value in figures if value is not None}
    return {"date": day.date.isoformat(), "rain_days": str(day.rain_days), **cells}


def _log_page(record: DailyRecord, typed: Mapping[str, str], *, month: str, fault: str = "") -> str:
    months = logged_months(record)
    names = [f"{one.year:04d}-{one.month:02d}" for one in months]
    shown = month if _MONTH.fullmatch(month) else (names or [""])[-1]
    of_month = next((one for one, name in zip(months, names, strict=True) if name == shown), None)
    return render_template(
        "weather_log.html",
        typed=typed,
        fault=fault,
        shown=shown,
        days=day_cells(day for day in record.days if f"{day.date:%Y-%m}" == shown),
        of_month=month_cells(of_month) if of_month else None,
        earlier=max((name for name in names if name < shown), default=""),
        later=min((name for name in names if name > shown), default=""),
        own=own_cells(own_months(months)),
        span=[full_date(date) for date in record.span or ()],
    )
