"""Borrowing a climate in the first run: a stick is looked at, likeness is shown, a person picks.

Not the choice itself and not the computation (``climate``). Its one rule: nothing is proposed; a site across the
equator stands apart and asks for a second yes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, current_app, redirect, render_template, request, url_for

from fieldbook.web.climate_form import one, rain_of_year_mm, ticked_months
from fieldbook.web.first_form import knowledge_faults, letter_of, place_of
from fieldbook.web.first_here import PROGRESS_PAGE, run, so_far
from fieldbook.web.first_pages import first_missing
from fieldbook.web.here import WebError
from fieldbook.web.lender_words import OTHER_SIDE, lender_lines, picked_lender
from fieldbook.web.sticks import chosen_folder, plausible_sticks
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.web.climate_form import Answers

pages = Blueprint("first_borrowing", __name__, url_prefix="/set-up/borrow")


@pages.get("/")
def stick() -> ResponseReturnValue:
    """Ask for a stick of the network, and for what people know of their rain."""
    missing = first_missing("climate")
    if missing:
        return redirect(url_for("first_run.ask", step=missing))
    return _stick_page(so_far().answers.get("rain", {}), {})


@pages.post("/")
def look() -> ResponseReturnValue:
    """Look at the stick that was chosen."""
    if first_missing("climate"):
        return redirect(url_for("first_run.ask", step="climate"), code=303)
    typed = request.form.to_dict(flat=False)
    so_far().answers["rain"] = typed
    faults = knowledge_faults(typed)
    try:
        folder = chosen_folder(request.form)
    except WebError as error:
        faults["typed"] = told(error.message, error.hint)
    if faults:
        return _stick_page(typed, faults), 422
    run().look(so_far(), folder)
    return redirect(PROGRESS_PAGE, code=303)


@pages.get("/sites")
def lenders() -> ResponseReturnValue:
    """Show the sites on the stick, and how like each is to this place."""
    if first_missing("climate") or so_far().lenders is None:
        return redirect(url_for("first_borrowing.stick"))
    return _lenders_page("", "")


@pages.post("/sites")
def pick() -> ResponseReturnValue:
    """Borrow from the site that was picked."""
    here, found = so_far(), so_far().lenders
    if first_missing("climate") or found is None:
        return redirect(url_for("first_borrowing.stick"), code=303)
    place = place_of(here.answers["where"])
    lender, fault = picked_lender(found, place, key=request.form.get("lender", ""), sure=request.form.get("sure", ""))
    if lender is None:
        return _lenders_page(request.form.get("lender", ""), fault), 422
    here.lender, here.answers["climate"] = lender, {"borrow": ["yes"]}
    return redirect(url_for("first_run.ask", step="people"), code=303)


def _stick_page(answers: Answers, faults: dict[str, str]) -> str:
    return render_template(
        "first_borrow.html",
        step="climate",
        letter=letter_of(so_far().answers["who"]),
        sticks=plausible_sticks(current_app.config["STICK_ROOTS"]),
        typed_folder=one(answers, "typed"),
        answers=answers,
        faults=faults,
    )


def _lenders_page(picked: str, fault: str) -> str:
    here = so_far()
    rain = here.answers.get("rain", {})
    return render_template(
        "first_lenders.html",
        step="climate",
        letter=letter_of(here.answers["who"]),
        network=here.network,
        lines=lender_lines(
            here.lenders or (),
            place_of(here.answers["where"]),
            year_rain_mm=rain_of_year_mm(rain),
            wet_months=ticked_months(rain, "wet"),
        ),
        picked=picked,
        fault=fault,
        other_side=OTHER_SIDE,
    )
