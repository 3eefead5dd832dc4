"""Before you start here: the slip on a page and on paper, what it comes to, what is in use, and what happened.

Not the judging (``review.starting``). Its one rule: a page says of each reason whom to ask and what to do instead, and
of nothing that it is without danger.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.review.lapsing import EXCHANGES_MOST
from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.review.slip_answers import SlipError
from fieldbook.review.slip_table import EVENTS
from fieldbook.web.caution_words import STANDING_LINE
from fieldbook.web.here import WebError, need_signer, reader_languages, signed_in, signer, site
from fieldbook.web.said import in_language
from fieldbook.web.size_words import size_in_use, size_lines
from fieldbook.web.slips import LOOK, asked_groups, fault_places, said_by_form, slip_line, sources_once, use_line
from fieldbook.web.words import Told, told

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask.typing import ResponseReturnValue

    from fieldbook.review.starting import Reason
    from fieldbook.site import Begun, JudgedSlip
    from fieldbook.view import EntryPage

pages = Blueprint("starting", __name__, url_prefix="/start")
TRAINER = "trainer"


@pages.get("/")
@signed_in(TRAINER)
def here() -> ResponseReturnValue:
    """What is in use here, which slips there are, and the buttons for what happened."""
    started, slips = site().starting, site().starting.slips()
    titles = {slip.slip.edition: _title(slip.slip.entry) for slip in slips}
    used = started.begun()
    titles |= {one.edition: _title(one.entry) for one in used if one.edition not in titles and not one.stop}
    return render_template(
        "in_use.html",
        used=[use_line(one, titles.get(one.edition), slips) for one in used],
        slips=[slip_line(slip, titles[slip.slip.edition]) for slip in slips],
        events=EVENTS,
        places=sorted({slip.slip.place for slip in slips}),
    )


@pages.get("/<edition>/questions")
@signed_in(TRAINER)
def questions(edition: str) -> ResponseReturnValue:
    """The questions that an edition asks of a place; with a slip, what was answered before."""
    number = request.args.get("slip", type=int)
    kept: Mapping[str, str] = {}
    if number is not None:
        slip = site().starting.slip(number).slip
        days = {f"said_on.{role}": day.isoformat() for role, day in slip.said_on.items()}
        kept = {**slip.answers, **days, "place": slip.place}
    return _form(edition, kept)


@pages.post("/<edition>/questions")
@signed_in(TRAINER)
def answer(edition: str) -> ResponseReturnValue:
    """Keep what the place answers; every fault stands at its box, and nothing typed is lost."""
    started, found = site().starting, site().edition_id(edition)
    answers, said_on = said_by_form(request.form, started.questions(found))
    try:
        slip = started.answer(
            found, place=request.form.get("place", ""), answers=answers, said_on=said_on, signer=need_signer()
        )
    except SlipError as error:
        return _form(edition, request.form, fault_places(error.faults, started.questions(found))), 422
    except FieldbookError as error:
        return _form(edition, request.form, {"place": told(error.message, error.hint)}), 422
    return redirect(url_for("starting.slip", number=slip.slip.number), code=303)


@pages.get("/slip/<int:number>")
@signed_in(TRAINER)
def slip(number: int) -> ResponseReturnValue:
    """What the answers of a place come to now."""
    return _slip(site().starting.slip(number))


@pages.post("/slip/<int:number>/begin")
@signed_in(TRAINER)
def begin(number: int) -> ResponseReturnValue:
    """Begin the practice at the place."""
    size = request.form.get("size", "")
    try:
        if size and not size.isdecimal():
            raise WebError("the size that was sent is none of those shown", hint="choose one of them")
        site().starting.begin(number, signer=need_signer(), size=int(size) if size else None)
    except FieldbookError as error:
        return _slip(site().starting.slip(number), told(error.message, error.hint)), 422
    flash(Notice("Begun. It stands among what is in use here."))
    return redirect(url_for("starting.here"), code=303)


@pages.post("/slip/<int:number>/still-so")
@signed_in(TRAINER)
def still_so(number: int) -> ResponseReturnValue:
    """All is as it was answered; only the age of the answers was in doubt."""
    try:
        site().starting.still_so(number, signer=need_signer())
    except FieldbookError as error:
        return _slip(site().starting.slip(number), told(error.message, error.hint)), 422
    return redirect(url_for("starting.slip", number=number), code=303)


@pages.get("/slip/<int:number>/sheet")
@signed_in(TRAINER)
def sheet_of_slip(number: int) -> ResponseReturnValue:
    """The sheet to ask with, for a place whose slip is here: what was computed stands on it."""
    judged = site().starting.slip(number)
    return _sheet(judged.slip.edition, judged)


@pages.get("/<edition>/sheet")
def sheet(edition: str) -> ResponseReturnValue:
    """The sheet to ask with, for any place."""
    return _sheet(site().edition_id(edition), None)


@pages.post("/happened")
@signed_in(TRAINER)
def happened() -> ResponseReturnValue:
    """Something happened here: the answers that it concerns lapse."""
    event, place = request.form.get("event", ""), request.form.get("place", "")
    site().starting.happened(event, place=place, signer=need_signer())
    beds = " Note the flood at each bed that it reached, too: on “What is due”, Flooded." if event == "flood" else ""
    flash(Notice(f"Noted. The answers that this concerns have lapsed: ask again before anything begins there.{beds}"))
    return redirect(url_for("starting.here"), code=303)


@pages.post("/in-use/<int:number>/end")
@signed_in(TRAINER)
def end(number: int) -> ResponseReturnValue:
    """A practice is no longer in use."""
    site().starting.end(number, signer=need_signer())
    flash(Notice("It is no longer in use here."))
    return redirect(url_for("starting.here"), code=303)


def _page(edition: str) -> EntryPage:
    found = site().edition_id(edition)
    return site().page(site().entry_id(found), edition=found, reader=signer())


def _title(entry: str) -> object:
    try:
        return in_language(site().page(entry, reader=signer()).title, reader_languages())
    except FieldbookError:
        return None


def _form(edition: str, typed: Mapping[str, str], faults: Mapping[str, Told] | None = None) -> str:
    page = _page(edition)
    return render_template(
        "start_questions.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        groups=asked_groups(site().starting.questions(page.line.edition)),
        typed=typed,
        faults=faults or {},
    )


def _slip(judged: JudgedSlip, fault: Told | None = None) -> str:
    entry = judged.slip.entry
    used = next((one for one in site().starting.begun() if one.slip == judged.slip.number), None)
    value = site().entry_value(judged.slip.edition)
    return render_template(
        "start_slip.html",
        judged=judged,
        slip=judged.slip,
        title=_title(entry),
        roles=ROLES_HERE,
        sources=sources_once(judged.outcome.allows),
        used=used,
        sizes=[
            (line, reasons)
            for kept, reasons in site().starting.sizes(judged.slip)
            for line in size_lines(value, [kept], reader_languages())
        ],
        too_much=_too_much(judged, used),
        beyond=site().starting.beyond_answers(judged.slip) if judged.may_begin and used is None else (),
        sized=None
        if used is None or used.size is None
        else size_in_use(value, used.size, reader_languages(), site().sums.measures()),
        exchanges_most=EXCHANGES_MOST,
        fault=fault,
        standing_line=STANDING_LINE,
    )


def _too_much(judged: JudgedSlip, used: Begun | None) -> tuple[Reason, ...]:
    """Why the answers of today no longer hold for the size in which the practice is in use."""
    if used is None or used.size is None:
        return ()
    try:
        return site().starting.against_size(judged.slip, used.size)
    except FieldbookError:
        return ()  # that it cannot be reckoned is said by itself


def _sheet(edition: str, judged: JudgedSlip | None) -> str:
    page = _page(edition)
    groups = asked_groups(site().starting.questions(edition))
    computed = site().starting.computed(edition) if judged is None else judged.outcome.allows
    return render_template(
        "start_sheet.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        groups=[group for group in groups if group.role != LOOK],
        own=[group for group in groups if group.role == LOOK],
        judged=judged,
        computed=computed,
        sources=sources_once(computed),
        standing_line=STANDING_LINE,
    )
