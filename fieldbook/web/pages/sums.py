"""The sums: their list, one form and answer for each, and what the site's own tin holds.

Not the sums themselves. Its one rule: an answer stands at its own address, so that it can be kept, shown and printed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for

from fieldbook.errors import Notice
from fieldbook.quantities import CALCULATORS, GROUPS, InputError, QuantityError
from fieldbook.site.sums import MEASURE_INPUTS
from fieldbook.sources import SOURCES
from fieldbook.web.caution_words import STANDING_LINE
from fieldbook.web.here import KEEPERS, WebError, signed_in, site
from fieldbook.web.season_words import MONTHS
from fieldbook.web.sum_form import boxes_of, document_of, faults_by_box
from fieldbook.web.sum_words import shown_answer
from fieldbook.web.words import Told, retold, told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.quantities import Calculator
    from fieldbook.web.sum_form import Typed
    from fieldbook.web.sum_words import Shown

pages = Blueprint("sums", __name__, url_prefix="/sums")


@pages.get("/")
def all_sums() -> ResponseReturnValue:
    """The sums by subject."""
    return render_template("sums.html", groups=GROUPS, measures=site().sums.measures())


@pages.get("/<name>")
def one(name: str) -> ResponseReturnValue:
    """The form of one sum, and its answer where something was typed."""
    calculator = CALCULATORS.get(name)
    if calculator is None:
        abort(404)
    typed = request.args.to_dict(flat=False)
    asked = bool(typed) and not typed.get("more") and not typed.get("open")
    answer, faults, refused = _answered(calculator, typed) if asked else (None, {}, None)
    page = render_template(
        "sum.html",
        calculator=calculator,
        boxes=boxes_of(calculator.inputs, typed, faults, site().sums.measures()),
        answer=answer,
        refused=refused,
        standing_line=STANDING_LINE,
        sources=SOURCES,
        evaporation=_evaporation() if name == "wick" else (),
    )
    return page, 422 if refused else 200


def _answered(calculator: Calculator, typed: Typed) -> tuple[Shown | None, dict[str, Told], Told | None]:
    """The answer, or what is wrong by box, or why there is no answer."""
    given = document_of(calculator.inputs, typed, site().sums.measures())
    try:
        found = calculator.run(given, plain=True)
    except InputError as error:
        faults = {name: retold(fault) for name, fault in faults_by_box(error, calculator.inputs, typed).items()}
        marked = WebError("something is missing or cannot be", hint="look at the boxes that are marked")
        return None, faults, told(marked.message, marked.hint)
    except QuantityError as error:
        return None, {}, told(error.message, error.hint)
    typed_in = "".join(text for texts in typed.values() for text in texts)
    return shown_answer(calculator, found, given, typed=typed_in), {}, None


def _evaporation() -> tuple[tuple[str, str], ...]:
    """The evaporation of each month here, rounded to half a millimetre a day: finer figures tell where a site lies."""
    months = site().climate_document()["months"]
    return tuple(
        (name, f"{round(float(month['eto_mm_day']) * 2) / 2:g}") for name, month in zip(MONTHS, months, strict=True)
    )


@pages.get("/measures")
def measures() -> ResponseReturnValue:
    """What the tins, buckets and paces of this site hold."""
    return _measures_page({}, {})


@pages.post("/measures")
@signed_in(*KEEPERS)
def add_measure() -> ResponseReturnValue:
    """Note what one holds, as it was measured."""
    typed = request.form.to_dict(flat=False)
    try:
        added = site().sums.add_measure(document_of(MEASURE_INPUTS, typed, ()))
    except InputError as error:
        return _measures_page(
            typed, {name: retold(fault) for name, fault in faults_by_box(error, MEASURE_INPUTS, typed).items()}
        ), 422
    flash(Notice(f"Noted: {added.name} holds {added.holds} {added.unit}."))
    return redirect(url_for("sums.measures"), code=303)


@pages.post("/measures/<int:number>/remove")
@signed_in(*KEEPERS)
def remove_measure(number: int) -> ResponseReturnValue:
    """Forget one."""
    site().sums.remove_measure(number)
    return redirect(url_for("sums.measures"), code=303)


def _measures_page(typed: Typed, faults: dict[str, str]) -> str:
    boxes = boxes_of(MEASURE_INPUTS, typed, faults, ())
    return render_template("measures.html", measures=site().sums.measures(), boxes=boxes)
