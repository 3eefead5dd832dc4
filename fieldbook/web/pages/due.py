"""What is due: by day and bed, ticked as it is done, as a strip of six weeks on paper, and as a file for a phone.

Not the bed book (``beds``). Its one rule: a tick says that something was done and moves no day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.tasks.days import date_words
from fieldbook.web import words
from fieldbook.web.due_words import day_groups, once_each, strips, strips_by_page
from fieldbook.web.here import reader_languages, signed_in, signer, site
from fieldbook.web.paging import paged, paged_in_parts

if TYPE_CHECKING:
    import datetime as dt

    from flask.typing import ResponseReturnValue

pages = Blueprint("due", __name__, url_prefix="/due")
AHEAD_DAYS = 14
LINES_A_PAGE = 50  # a page of them stays under 30 KB


@pages.get("/")
def now() -> ResponseReturnValue:
    """Show what waits to be done and what is due in the next two weeks."""
    fault = None
    try:
        today = site().beds.today(request.args.get("day", ""))
    except FieldbookError as error:
        today, fault = site().beds.today(), words.told(error.message, error.hint)
    return _page(today, fault)


def _page(today: dt.date | None, fault: words.Told | None) -> ResponseReturnValue:
    found, preferred = site().due, reader_languages()
    waiting = found.waiting(today)
    lines = paged((*waiting, *once_each(found.ahead(today, days=AHEAD_DAYS))), most=LINES_A_PAGE)
    began = lines.shown[: max(0, len(waiting) - max(0, lines.first - 1))]
    page = render_template(
        "due.html",
        today="" if today is None else today.isoformat(),
        today_words="" if today is None else date_words(today),
        lines=lines,
        stopped=found.stopped(),
        waiting=day_groups(began, preferred),
        ahead=day_groups(lines.shown[len(began) :], preferred),
        ticked=day_groups(found.ticked(today), preferred) if signer() else (),
        days=AHEAD_DAYS,
        unknown=found.unknown(today),
        any_spot=bool(found.places(today)),
        by_hand=[
            (place.about, place.label, place.today)
            for place in found.places(today)
            if place.count.by_hand and place.title is not None
        ],
        fault=fault,
    )
    return page, 422 if fault else 200


@pages.post("/")
@signed_in()
def tick() -> ResponseReturnValue:
    """Mark as done what was ticked."""
    try:
        today = site().beds.today(request.form.get("day", ""))
        marked = site().due.tick(request.form.getlist("done"), today=today)
    except FieldbookError as error:
        return _page(site().beds.today(), words.told(error.message, error.hint))
    kept = Notice("Kept: 1 thing done.") if marked == 1 else Notice(f"Kept: {marked} things done.")
    flash(kept if marked else Notice("Nothing was ticked."))
    return redirect(url_for("due.now", day=request.form.get("day") or None), code=303)


@pages.get("/week")
def week() -> ResponseReturnValue:
    """Show what was due in the last seven days, to type in the ticks of the paper strips."""
    today = site().beds.today(request.args.get("day", ""))
    return render_template(
        "due_week.html",
        today="" if today is None else today.isoformat(),
        groups=day_groups(site().due.last_week(today), reader_languages()),
    )


@pages.post("/mark")
@signed_in()
def mark() -> ResponseReturnValue:
    """Mark by hand which day it is for a practice that was begun without a clock."""
    try:
        site().due.mark(request.form.get("about", ""), request.form.get("day", ""))
    except FieldbookError as error:
        return _page(site().beds.today(), words.told(error.message, error.hint))
    return redirect(url_for("due.now"), code=303)


@pages.post("/not-done")
@signed_in()
def untick() -> ResponseReturnValue:
    """Take one tick back."""
    site().due.untick(request.form.get("name", ""))
    return redirect(url_for("due.now"), code=303)


@pages.get("/strips")
def weeks() -> ResponseReturnValue:
    """Six weeks of each bed as a strip to tick on paper."""
    today, at = site().beds.today(request.args.get("day", "")), request.args.get("at", "")
    found = strips(site().due, today, reader_languages(), at=at)
    return render_template(
        "due_strips.html", strips=paged_in_parts(strips_by_page(found)), at=at, stopped=site().due.stopped(at=at)
    )


@pages.get("/calendar.ics")
def calendar() -> ResponseReturnValue:
    """What is due within a year as an iCalendar file."""
    text = site().due.calendar_file(site().beds.today(), languages=reader_languages())
    headers = {"Content-Disposition": f'attachment; filename="due-{site().letter}.ics"'}
    return Response(text, mimetype="text/calendar", headers=headers)
