"""The climate that this site goes by: whose it is, its figures, and changing it.

Not the calendar that is computed from it. Its one rule: the exact figures are for those who keep this site, since they
tell where it lies; that they are borrowed is told to everybody.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.climate.figures import plain
from fieldbook.climate.logged import YEARS_TO_GO_BY, fewest_years
from fieldbook.errors import Notice
from fieldbook.web.climate_form import Answers, faults_at, normals_text, rain_of_year_mm, said_by_check, ticked_months
from fieldbook.web.first_form import faults_of, knowledge_faults, place_answers, stated_of
from fieldbook.web.here import KEEPERS, signed_in, site
from fieldbook.web.lender_words import OTHER_SIDE, lender_lines, picked_lender
from fieldbook.web.season_words import MONTHS
from fieldbook.web.weather_words import loss_words, own_cells

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("climate", __name__, url_prefix="/climate")


@pages.get("/")
@signed_in(*KEEPERS)
def ours() -> ResponseReturnValue:
    """Show the twelve months and whose they are."""
    here, document = site(), site().climate_document()
    normals = here.normals()
    rows = [
        (name, plain(rain), plain(low), plain(high), eto["eto_mm_day"])
        for name, rain, low, high, eto in zip(
            MONTHS, normals.rain_mm, normals.tmin_c, normals.tmax_c, document["months"], strict=True
        )
    ]
    own = here.weather.own()
    years = fewest_years(own)
    return render_template(
        "climate.html",
        rows=rows,
        lent=here.borrowed_climate,
        document=document,
        own=own_cells(own) if any(one.rain_years or one.temperature_years for one in own) else [],
        goes_by_log=here.weather.goes_by,
        can_go_by_log=max(years.rain_years, years.temperature_years) >= YEARS_TO_GO_BY,
        years=YEARS_TO_GO_BY,
        method=here.eto_method,
        loss=loss_words(here.weather.rounding_loss()),
    )


@pages.post("/method")
@signed_in(*KEEPERS)
def method() -> ResponseReturnValue:
    """Compute evaporation by another method from now on."""
    site().weather.choose_method(request.form.get("method", ""))
    flash(Notice("From now on every answer of this site is computed by this method, and names it."))
    return redirect(url_for("climate.ours"), code=303)


@pages.get("/own")
@signed_in(*KEEPERS)
def own() -> ResponseReturnValue:
    """Ask for twelve months of this place."""
    return render_template("climate_own.html", answers={}, faults={}, months=MONTHS)


@pages.post("/own")
@signed_in(*KEEPERS)
def take() -> ResponseReturnValue:
    """Go by this place's own months from now on."""
    typed = request.form.to_dict(flat=False)
    found = faults_at(typed, site().place, site().eto_method)
    faults = {name: fault for name, fault in found.items() if fault}
    if faults:
        return render_template("climate_own.html", answers=typed, faults=faults, months=MONTHS), 422
    site().own_climate(normals_text(typed))
    flash(Notice("From now on the calendar is computed from this site's own figures."))
    return redirect(url_for("climate.ours"), code=303)


@pages.get("/place")
@signed_in(*KEEPERS)
def place() -> ResponseReturnValue:
    """Show where the site lies and what only its people know of it, to be stated anew."""
    return render_template("climate_place.html", answers=place_answers(site().stated_place), faults={}, months=MONTHS)


@pages.post("/place")
@signed_in(*KEEPERS)
def state_place() -> ResponseReturnValue:
    """Go by what was stated from now on."""
    typed = request.form.to_dict(flat=False)
    faults = faults_of("where", typed, {})
    if not faults and (fault := said_by_check(lambda: site().state_place(**stated_of(typed)))):
        faults = {"setting": fault}
    if faults:
        return render_template("climate_place.html", answers=typed, faults=faults, months=MONTHS), 422
    flash("From now on the calendar goes by what you stated.")
    return redirect(url_for("climate.ours"), code=303)


@pages.get("/borrow")
@signed_in(*KEEPERS)
def lenders() -> ResponseReturnValue:
    """Show the sites of the network that can lend, and how like each is to this place."""
    asked = request.args.to_dict(flat=False)
    faults = knowledge_faults(asked)
    return _lenders_page(asked, faults), 422 if faults else 200


@pages.post("/borrow")
@signed_in(*KEEPERS)
def borrow() -> ResponseReturnValue:
    """Borrow from the site that was picked."""
    here = site()
    lender, fault = picked_lender(
        here.lenders(), here.place(), key=request.form.get("lender", ""), sure=request.form.get("sure", "")
    )
    if lender is None:
        return _lenders_page({}, {}, picked=request.form.get("lender", ""), fault=fault), 422
    here.borrow_climate(lender)
    flash(Notice(f"From now on the calendar is computed from the climate of site {lender.whose}, and says so."))
    return redirect(url_for("climate.ours"), code=303)


def _lenders_page(asked: Answers, faults: dict[str, str], *, picked: str = "", fault: str = "") -> str:
    here = site()
    known = {"year_rain_mm": rain_of_year_mm(asked), "wet_months": ticked_months(asked, "wet")}
    return render_template(
        "climate_borrow.html",
        lines=lender_lines(here.lenders(), here.place(), **known),  # type: ignore[arg-type]
        answers=asked,
        faults=faults,
        months=MONTHS,
        picked=picked,
        fault=fault,
        other_side=OTHER_SIDE,
    )
