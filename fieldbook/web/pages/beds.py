"""The bed book: beds, boxes, cans and pens, what happened there, and what follows, to read and to print.

Not what is due (``due``). Its one rule: everybody may read, whoever is signed in may note.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.tasks.bars import CONTACT_WORDS, HANGS_CLEAR, TOUCHES_SOIL
from fieldbook.tasks.plantings import RAISED_WORDS
from fieldbook.tasks.spots import CAN_CONTENTS, SPOT_KINDS, WHATS
from fieldbook.web import bed_words, words
from fieldbook.web.here import need_signer, reader_languages, signed_in, site
from fieldbook.web.paging import paged
from fieldbook.web.slips import use_here

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site.beds import BedBook
    from fieldbook.tasks.spots import Spot
    from fieldbook.web.slips import UseHere

pages = Blueprint("beds", __name__, url_prefix="/beds")
SPOTS_A_PAGE = 40  # a page of them stays under 30 KB
_ADDED = ("label", "kind", "holds", "day_zero", "area_m2")


@pages.get("/")
def listed() -> ResponseReturnValue:
    """Show every bed, box, can and pen with its waits."""
    book = site().beds
    today = book.today()
    found = paged(book.spots(), most=SPOTS_A_PAGE)
    lines = found.made(lambda spot: bed_words.short_line(book, spot, book.today_of(spot, today)))
    return render_template("beds.html", lines=lines)


@pages.route("/new", methods=["GET", "POST"])
@signed_in()
def new() -> ResponseReturnValue:
    """Write in a bed, box, can or pen."""
    book, typed, fault = site().beds, request.form, None
    if request.method == "POST":
        try:
            spot = book.add(
                **{name: typed.get(name, "") for name in _ADDED},
                by_hand=typed.get("counted") == "hand",
                shared="shared" in typed,
            )
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
        else:
            flash(
                Notice(f"{spot.label} stands in the bed book. What went into it before belongs there too: note it now.")
            )
            return redirect(url_for("beds.one", label=spot.label), code=303)
    today = book.today()
    page = render_template(
        "bed_new.html",
        typed=typed,
        fault=fault,
        kinds=SPOT_KINDS,
        contents=CAN_CONTENTS,
        today=today.isoformat() if today else "",
    )
    return page, 422 if fault else 200


@pages.get("/<label>")
def one(label: str) -> ResponseReturnValue:
    """Show one of them: what stands in it, its waits, what happened."""
    return _page_of(site().beds.spot(label))


def _page_of(spot: Spot, *, fault: words.Told | None = None) -> ResponseReturnValue:
    book = site().beds
    today = book.today_of(spot, book.today())
    page = render_template(
        "bed.html",
        spot=spot,
        line=bed_words.spot_line(book, spot, today),
        kind=bed_words.kind_words(spot),
        history=bed_words.history_lines(book, spot),
        bases=bed_words.bases(book, spot),
        binds=bed_words.BINDS,
        breaches=[bed_words.happening_words(book, spot, one) for one in book.breaches(spot)],
        groups=bed_words.what_groups(spot),
        stopped=site().due.stopped(at=spot.label),
        used=_used_at(spot),
        fault=fault,
    )
    return page, 422 if fault else 200


def _used_at(spot: Spot) -> list[UseHere]:
    """The practices in use there; nothing of one that is stopped, or whose words are not here any more."""
    found, measures = [], site().sums.measures()
    for one in site().starting.begun_at(spot.label):
        with suppress(FieldbookError):
            if not one.stop:
                found.append(use_here(one, site().entry_value(one.edition), reader_languages(), measures))
    return found


@pages.route("/<label>/note/<what>", methods=["GET", "POST"])
@signed_in()
def note(label: str, what: str) -> ResponseReturnValue:
    """Ask for what belongs to one thing that happened, and note it."""
    book, spot, fault = site().beds, site().beds.spot(label), None
    if request.method == "POST":
        try:
            book.write_down(spot.label, what, request.form.get("day", ""), **_details(book, what))
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
        else:
            flash(Notice("Noted. What follows from it stands below."))
            return redirect(url_for("beds.one", label=spot.label), code=303)
    elif what not in WHATS or spot.kind not in WHATS[what].at:
        return redirect(url_for("beds.one", label=spot.label))
    return _note_form(book, spot, what, fault), 422 if fault else 200


def _note_form(book: BedBook, spot: Spot, what: str, fault: words.Told | None) -> str:
    today = book.today_of(spot, book.today())
    standing_crops = {one.crop.crop_id: one.crop.common_name for one in book.plantings(spot) if one.end_day is None}
    return render_template(
        "bed_note.html",
        spot=spot,
        what=what,
        words_of=WHATS[what].words if what in WHATS else what[:40],
        day="" if today is None else spot.count.typed(today),
        crops={name: crop.common_name for name, crop in book.crops.items()},
        standing=standing_crops,
        seedlings=[
            (str(one.number), f"{one.crop.common_name}, sown on {spot.count.words(one.day)}")
            for one in book.plantings(spot)
            if one.in_nursery
        ],
        raised=RAISED_WORDS,
        contacts={contact: CONTACT_WORDS[contact] for contact in (TOUCHES_SOIL, HANGS_CLEAR)},
        cans=[(can.label, can.label) for can in book.spots() if can.holds == "urine"],
        sprays=book.sprays() if what == "spray" else (),
        typed=request.form,
        fault=fault,
    )


def _details(book: BedBook, what: str) -> dict[str, Any]:
    """What belongs to a happening, as the form of its kind asks for it."""
    typed = {name: value.strip() for name, value in request.form.items()}
    if what in {"planted", "planned"}:
        crop = book.crops.get(typed.get("crop", ""))
        hangs = typed.get("contact", "") if typed.get("contact") == HANGS_CLEAR else ""
        return {
            "crop": crop.crop_id if crop else typed.get("crop", ""),
            "raised": typed.get("raised", ""),
            "contact": hangs,
        }
    if what == "spray":
        return book.spray(typed.get("practice", ""), said=typed.get("said", ""), wait_days=typed.get("wait_days", ""))
    if what == "planted_out":
        return {"of": int(typed["of"])} if typed.get("of", "").isdecimal() else {}
    wanted = {"picked": ("crop",), "urine": ("can",), "officer": ("until", "said"), "lost": ("said",)}
    return {name: typed.get(name, "")[:200] for name in wanted.get(what, ())}


@pages.route("/<label>/strike/<int:number>", methods=["GET", "POST"])
@signed_in()
def strike(label: str, number: int) -> ResponseReturnValue:
    """Ask why something was noted by mistake, and strike it out; where a wait hangs on it, ask two people."""
    book, spot, fault = site().beds, site().beds.spot(label), None
    line = next((one for one in bed_words.history_lines(book, spot) if one.number == number and not one.struck), None)
    if line is None:
        return redirect(url_for("beds.one", label=spot.label))
    if request.method == "POST":
        who = need_signer()
        try:
            book.strike(
                spot.label, number, request.form.get("reason", ""), by=who.label, trainer="trainer" in who.roles
            )
        except FieldbookError as error:
            fault = words.told(error.message, error.hint)
        else:
            return redirect(url_for("beds.one", label=spot.label), code=303)
    page = render_template(
        "bed_strike.html", spot=spot, one=line, fault=fault, without=bed_words.without(book, spot, number)
    )
    return page, 422 if fault else 200


@pages.post("/<label>/believe/<int:number>")
@signed_in()
def believe(label: str, number: int) -> ResponseReturnValue:
    """Say that what somebody called wrong is right after all."""
    return _done(label, lambda book, spot: book.believe(spot, number))


@pages.post("/<label>/change")
@signed_in()
def change(label: str) -> ResponseReturnValue:
    """Change who eats of a bed, its area, the plates expected of it."""
    typed = request.form
    return _done(
        label,
        lambda book, spot: book.change(
            spot, shared="shared" in typed, area_m2=typed.get("area_m2", ""), plates=typed.get("plates", "")
        ),
    )


@pages.post("/<label>/mark")
@signed_in()
def mark(label: str) -> ResponseReturnValue:
    """Mark by hand which day it is there, or give the days dates at last."""
    typed = request.form
    if typed.get("date", "").strip():
        return _done(label, lambda book, spot: book.give_dates(spot, typed["date"]))
    return _done(label, lambda book, spot: book.mark(spot, typed.get("day", ""), sure="sure" in typed))


@pages.post("/<label>/remove")
@signed_in()
def remove(label: str) -> ResponseReturnValue:
    """Take a spot out of the book, where no wait runs."""
    spot = site().beds.spot(label)
    try:
        site().beds.remove(label, sure="sure" in request.form)
    except FieldbookError as error:
        return _page_of(spot, fault=words.told(error.message, error.hint))
    flash(Notice(f"{spot.label} is out of the bed book."))
    return redirect(url_for("beds.listed"), code=303)


def _done(label: str, act: Any) -> ResponseReturnValue:
    """Do something with a spot, and show it again with what came of it."""
    spot = site().beds.spot(label)
    try:
        act(site().beds, spot.label)
    except FieldbookError as error:
        return _page_of(spot, fault=words.told(error.message, error.hint))
    return redirect(url_for("beds.one", label=spot.label), code=303)


@pages.get("/stakes")
def stakes() -> ResponseReturnValue:
    """Stakes and can labels to print and cut out: of all, or of the one that is asked for."""
    book = site().beds
    today, at = book.today(), request.args.get("at", "")
    spots = [book.spot(at)] if at else book.spots()
    return render_template(
        "bed_stakes.html",
        stakes=[bed_words.stake(book, spot, book.today_of(spot, today)) for spot in spots if spot.grows],
        cans=[bed_words.can_label(book, spot) for spot in spots if spot.kind == "can"],
    )
