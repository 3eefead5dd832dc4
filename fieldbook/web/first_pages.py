"""The pages that ask what a new site must say of itself, and how far its beginning is.

Not the borrowing of a climate and not the putting back. Its one rule: no page can be jumped over, and none is done
before all its answers are right.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, redirect, render_template, request, url_for

from fieldbook.web import words
from fieldbook.web.first_form import LANGUAGE_BOXES, STEPS, faults_of, letter_of, new_site
from fieldbook.web.first_here import PROGRESS_PAGE, run, so_far
from fieldbook.web.here import WebError, sentence_tag

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.web.climate_form import Answers

pages = Blueprint("first_run", __name__)

_SECRETS = frozenset({"csrf_token", "passphrase", "again"})  # never kept, never shown again


@pages.get("/")
def first() -> ResponseReturnValue:
    """Offer to begin a site or to put one back, and say that nothing is written before the end."""
    return render_template("first.html")


@pages.get("/set-up/<step>")
def ask(step: str) -> ResponseReturnValue:
    """Show one page with what was answered before; what has gone wrong since then is said."""
    missing = first_missing(step)
    if missing:
        return redirect(url_for("first_run.ask", step=missing))
    answered = so_far().answers.get(step)
    return _page(step, answered or {}, {} if answered is None else _faults(step, answered))


@pages.post("/set-up/<step>")
def take(step: str) -> ResponseReturnValue:
    """Take the answers of one page; after the last one begin the site."""
    missing = first_missing(step)
    if missing:
        return redirect(url_for("first_run.ask", step=missing), code=303)
    typed, answers = request.form.to_dict(flat=False), so_far().answers
    faults = _faults(step, typed)
    answers[step] = {name: values for name, values in typed.items() if name not in _SECRETS}
    if faults:
        return _page(step, answers[step], faults), 422
    if step != STEPS[-1]:
        return redirect(url_for("first_run.ask", step=STEPS[STEPS.index(step) + 1]), code=303)
    run().begin(so_far(), typed)
    return redirect(PROGRESS_PAGE, code=303)


@pages.get(PROGRESS_PAGE)
def now() -> ResponseReturnValue:
    """Say how far the long work is, or why it was not done; lead on when it is."""
    last, errand = run().work.last, run().errand
    if last is None:
        return redirect(url_for("first_run.first"))
    if not last.ended:
        return render_template("first_now.html", last=last, errand=errand)
    if last.error is None and not last.broke:
        return redirect(errand.then, code=303)
    error = last.error or WebError("something broke while this was done", hint="try again; nothing is left of it")
    page = render_template(
        "first_error.html",
        heading=words.NOT_DONE,
        headed=words.headed(words.NOT_DONE, sentence_tag()),
        message=words.told(error.message),
        hint=words.told(error.hint),
        again=errand.again,
    )
    return page, 422


def first_missing(step: str) -> str | None:
    """The first page before this one that has no good answers yet."""
    if step not in STEPS:
        abort(404)
    answers = so_far().answers
    return next((s for s in STEPS[: STEPS.index(step)] if s not in answers or _faults(s, answers[s])), None)


def _faults(step: str, answers: Answers) -> dict[str, str]:
    return faults_of(step, answers, so_far().answers, lender=so_far().lender)


def _page(step: str, answers: Answers, faults: dict[str, str]) -> str:
    before, lender = so_far().answers, so_far().lender
    return render_template(
        f"first_{step}.html",
        step=step,
        answers=answers,
        faults=faults,
        letter=letter_of(before.get("who", {})),
        language_boxes=LANGUAGE_BOXES,
        lender=lender,
        facts=new_site(before, lender=lender, now=run().clock()) if step == STEPS[-1] else None,
    )
