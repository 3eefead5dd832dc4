"""Less water, late rain, a flood, a move: what then becomes of the beds.

Not the reckoning (``tasks.changes``, ``site.changing``). Its one rule: what is not known here is said on the page.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.climate.year import date_of_day
from fieldbook.climate.year import date_words as date_of_year_words
from fieldbook.errors import FieldbookError, Notice
from fieldbook.tasks.days import date_words
from fieldbook.web import words
from fieldbook.web.here import signed_in, site

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from flask.typing import ResponseReturnValue

    from fieldbook.climate.onset import WeekOdds
    from fieldbook.site.changing import LastSowing
    from fieldbook.tasks.spots import Spot

pages = Blueprint("changing", __name__, url_prefix="/due/change")
CROPS_SHOWN = 8  # of what can follow in a barred bed, the soonest


def _today() -> tuple[dt.date | None, words.Told | None]:
    """The day that was typed, else today as far as the clock can be right; and what is wrong with what was typed."""
    try:
        return site().beds.today(request.values.get("day", "")), None
    except FieldbookError as error:
        return site().beds.today(), words.told(error.message, error.hint)


def _dated(today: dt.date | None) -> dict[str, str]:
    return {
        "today": "" if today is None else today.isoformat(),
        "today_words": "" if today is None else date_words(today),
    }


@pages.get("/less-water")
def less_water() -> ResponseReturnValue:
    """Say what to save first with the litres that are left."""
    (today, fault), litres, found = _today(), request.args.get("litres", ""), None
    if litres and today is not None and fault is None:
        try:
            found = site().changing.drought(today, water_l_day=litres)
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
    page = render_template("change_water.html", drought=found, litres=litres, fault=fault, **_dated(today))
    return page, 422 if fault else 200


@pages.get("/rain-late")
def rain_late() -> ResponseReturnValue:
    """Say until when each crop can be sown again, and the odds of the rains where the log is long enough."""
    today, fault = _today()
    lines = [_sowing_line(one) for one in site().changing.last_sowings(today)]
    odds = [_odds_line(one) for one in site().changing.odds(today)]
    page = render_template("change_rain.html", lines=lines, fault=fault, odds=odds, **_dated(today))
    return page, 422 if fault else 200


def _sowing_line(one: LastSowing) -> tuple[str, str, str, str]:
    until = "all year" if one.window.all_year else date_of_year_words(one.window.end)
    left = "" if one.days_left is None else words.counted(one.days_left, "day", "days")
    return one.crop, until, left, words.joined(one.stands_in)


def _odds_line(one: WeekOdds) -> tuple[str, str]:
    begun = f"the rains had begun in {one.begun} of {words.counted(one.of, 'season', 'seasons')}"
    false = f"; {words.counted(one.false, 'season', 'seasons')} had a false start in that week" if one.false else ""
    return f"By {date_of_year_words(date_of_day(one.start_day + 6))}", f"{begun}{false}."


@pages.route("/flooded", methods=["GET", "POST"])
def flooded() -> ResponseReturnValue:
    """Ask which beds the water reached; note it in all of them."""
    return _flooded() if request.method == "GET" else note_flood()


def _flooded(fault: words.Told | None = None) -> ResponseReturnValue:
    today, wrong = _today()
    spots = [spot for spot in site().beds.spots() if spot.grows]
    page = render_template(
        "change_flood.html",
        labels=[spot.label for spot in spots],
        picked=request.form.getlist("bed"),
        barred=[(words.joined(labels), until, crops) for (until, crops), labels in _barred(spots, today).items()],
        fault=fault or wrong,
        **_dated(today),
    )
    return page, 422 if fault or wrong else 200


def _barred(spots: Iterable[Spot], today: dt.date | None) -> dict[tuple[str, tuple[tuple[str, str], ...]], list[str]]:
    """The barred beds, by the day on which their wait ends and what can follow then."""
    found: dict[tuple[str, tuple[tuple[str, str], ...]], list[str]] = {}
    for spot in spots:
        crops = site().changing.replanting(spot, today)[:CROPS_SHOWN]
        if crops:
            until = spot.count.words(site().beds.bars(spot)[0].until)
            lines = tuple((crop.common_name, _sow_words(spot, today, days)) for crop, days in crops)
            found.setdefault((until, lines), []).append(spot.label)
    return found


def _sow_words(spot: Spot, today: dt.date | None, days: int) -> str:
    if not days:
        return "sow now"
    now = site().beds.today_of(spot, today)
    return f"sow from {spot.count.words((now or 0) + days)}"


@signed_in()
def note_flood() -> ResponseReturnValue:
    """Note the flood in each bed that was ticked."""
    what = "drain" if request.form.get("water") == "drain" else "flood"
    try:
        spots = site().changing.flood(request.form.getlist("bed"), what, request.form.get("day", ""))
    except FieldbookError as error:
        return _flooded(words.told(error.message, error.hint))
    at = words.joined(spot.label for spot in spots)
    flash(
        Notice(
            f"Noted at {at}: nothing that the water touched is eaten. Print their stakes anew. "
            "Answers to “Before you start here” that name these beds have lapsed."
        )
    )
    return redirect(url_for("changing.flooded"), code=303)


@pages.route("/we-move", methods=["GET", "POST"])
def we_move() -> ResponseReturnValue:
    """Say what to pick, to carry and to leave; note what was left behind."""
    return _we_move() if request.method == "GET" else note_left()


def _we_move(fault: words.Told | None = None) -> ResponseReturnValue:
    today, wrong = _today()
    page = render_template(
        "change_move.html", moves=site().changing.moves(today), fault=fault or wrong, **_dated(today)
    )
    return page, 422 if fault or wrong else 200


@signed_in()
def note_left() -> ResponseReturnValue:
    """Note the move, and which beds were left behind."""
    try:
        spots = site().changing.leave(request.form.getlist("bed"), request.form.get("day", ""))
    except FieldbookError as error:
        return _we_move(words.told(error.message, error.hint))
    left = words.joined(spot.label for spot in spots)
    if spots:
        moved = Notice(
            f"Noted: {left} stay behind. Their stakes stay in the soil. "
            "All answers to “Before you start here” have lapsed."
        )
    else:
        moved = Notice("Noted: you move, and nothing stays behind. All answers to “Before you start here” have lapsed.")
    flash(moved)
    return redirect(url_for("changing.we_move"), code=303)
