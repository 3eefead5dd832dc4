"""Comparisons: begun by lot, counted unit by unit, signed when whole; the list, one comparison, and its sheet.

Not what they come to (that stands with the practice entry). Its one rule: everybody may read, whoever is signed in may
begin, count and sign; nothing typed is lost, and a failure is told in the same words as a success.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError
from fieldbook.site.complaining import HARMED
from fieldbook.site.known_trials import item_words
from fieldbook.trials import TrialError
from fieldbook.trials.plan import LEAST_EACH, MOST_EACH, MOST_PER_UNIT, PLAN_FIELDS, PLANNED_DESIGNS
from fieldbook.trials.shape import OUTCOMES
from fieldbook.web import compare_words
from fieldbook.web.compared import evidence_shown
from fieldbook.web.here import need_signer, reader_languages, signed_in, signer, site
from fieldbook.web.said import in_language
from fieldbook.web.words import told

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site.trial_papers import TrialPaper
    from fieldbook.web.said import Said
    from fieldbook.web.words import Told

pages = Blueprint("comparing", __name__)
SURE = "yes"
LINES_MAX = 60  # what an old phone loads and scrolls in one go
_BOXES = ("before", "counted", "out_of", "day", "knew_arm", "lost", "why")
_FIRST = {"question": "less-pest", "unit": "sack", "comparison": "water-only", "design": PLANNED_DESIGNS[0]}
_DEFAULTS = {**_FIRST, "each": "6", "counted_per": "plant", "per_unit": "3", "day": "7"}


@pages.get("/comparisons/")
def listed() -> ResponseReturnValue:
    """What is under way here, and every comparison that is known here."""
    start = max(request.args.get("from", 0, type=int), 0)
    trials = site().trials
    every = trials.every()
    return render_template(
        "comparisons.html",
        papers=[(paper, _title(paper.edition)) for paper in trials.under_way()],
        dropped=[(paper, _title(paper.edition)) for paper in trials.papers() if paper.dropped],
        known=[(one, _title(one.edition)) for one in every[start : start + LINES_MAX]],
        more=start + LINES_MAX if len(every) > start + LINES_MAX else None,
        say=compare_words,
        shown=_shown,
    )


@pages.route("/entry/<entry>/compare", methods=["GET", "POST"])
@signed_in()
def begin(entry: str) -> ResponseReturnValue:
    """Ask what is compared with what, and draw the lots."""
    edition = request.args.get("edition")
    page = site().page(site().entry_id(entry), edition=edition and site().edition_id(edition), reader=signer())
    today, faults = site().clock_doubt is None and site().clock().date().isoformat(), dict[str, list["Told"]]()
    typed: dict[str, str] = {**_DEFAULTS, "date": today or "", "language": site().languages[0], **request.form}
    if request.method == "POST":
        plan: dict[str, str] = {name: typed[name] for name in PLAN_FIELDS if name in typed}
        try:
            paper = site().trials.begin(page.line.edition, plan, signer=need_signer())
        except TrialError as error:
            faults = compare_words.faults_at(error.faults, told, PLAN_FIELDS)
        except FieldbookError as error:
            faults = {"": [told(error.message, error.hint)]}
        else:
            flash("The lots are drawn. Mark each one now, before anything is done, so that nobody changes them about.")
            return redirect(url_for("comparing.one", number=paper.number), code=303)
    shown = render_template(
        "compare_begin.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        typed=typed,
        faults=faults,
        say=compare_words,
        designs=PLANNED_DESIGNS,
        languages=dict.fromkeys((*site().languages, "en")),
        bounds=(LEAST_EACH, MOST_EACH, MOST_PER_UNIT),
    )
    return shown, 422 if faults else 200


@pages.get("/entry/<entry>/compared")
def of_entry(entry: str) -> ResponseReturnValue:
    """All that comparisons of an entry come to, every question."""
    page = site().page(site().entry_id(entry), reader=signer())
    title = in_language(page.title, reader_languages())
    return render_template("compared.html", page=page, title=title, found=evidence_shown(page.entry, most=None))


@pages.get("/comparisons/<int:number>")
def one(number: int) -> ResponseReturnValue:
    """One that was begun here: which unit gets what, what is counted, and how it ends."""
    paper = site().trials.paper(number)
    if paper.said:
        return redirect(url_for("comparing.signed", statement=paper.said))
    return _page(paper)


@pages.route("/comparisons/<int:number>/<int:row>", methods=["GET", "POST"])
@signed_in()
def unit(number: int, row: int) -> ResponseReturnValue:
    """Ask what was counted in one unit, and go on to the next."""
    trials, faults = site().trials, dict[str, list["Told"]]()
    paper = trials.paper(number)
    lines = compare_words.unit_lines(paper.body, reader_languages())
    if row >= len(lines) or paper.dropped or paper.said:
        return redirect(url_for("comparing.one", number=number))
    values = compare_words.row_values(paper, row)
    if request.method == "POST":
        values = {name: request.form.get(name, "") for name in _BOXES}
        values |= {name: request.form.getlist(name)[:MOST_PER_UNIT] for name in ("before", "counted", "out_of")}
        try:
            kept = trials.count(number, row, values)
        except TrialError as error:
            faults = compare_words.faults_at(error.faults, told, _BOXES)
        except FieldbookError as error:
            faults = {"": [told(error.message, error.hint)]}
        else:
            if request.form.get("go") == "next" and row + 1 < len(kept.body["units"]):
                return redirect(url_for("comparing.unit", number=number, row=row + 1), code=303)
            return redirect(url_for("comparing.one", number=number), code=303)
    shown = render_template(
        "compare_unit.html",
        paper=paper,
        line=lines[row],
        last=row + 1 == len(lines),
        **_words_of(paper, values, faults),
    )
    return shown, 422 if faults else 200


@pages.get("/comparisons/<int:number>/sheet")
def sheet(number: int) -> ResponseReturnValue:
    """The sheet to count with: units down, counts across."""
    paper = site().trials.paper(number)
    lines = compare_words.unit_lines(paper.body, reader_languages())
    return render_template("compare_sheet.html", paper=paper, lines=lines, **_words_of(paper, {}, {}))


@pages.post("/comparisons/<int:number>/finish")
@signed_in()
def finish(number: int) -> ResponseReturnValue:
    """Sign it; where it hurt somebody, once that is confirmed."""
    paper = site().trials.paper(number)
    word = {name: request.form.get(name, "") for name in ("outcome", "harm_note", "note", "weather")}
    if word["outcome"] == HARMED and request.form.get("sure") != SURE:
        return render_template("compare_sure.html", paper=paper, word=word, title=_title(paper.edition))
    try:
        statement = site().trials.finish(number, word, signer=need_signer())
    except FieldbookError as error:
        return _page(paper, typed=word, fault=told(error.message, error.hint)), 422
    flash(
        "Signed. The practice is paused at this site now, and a reviewer must answer."
        if word["outcome"] == HARMED
        else "Signed. It goes on the next stick, whatever came of it."
    )
    return redirect(url_for("comparing.signed", statement=statement), code=303)


@pages.post("/comparisons/<int:number>/drop")
@signed_in()
def drop(number: int) -> ResponseReturnValue:
    """Give it up, with a reason."""
    try:
        site().trials.drop(number, request.form.get("why", ""))
    except FieldbookError as error:
        return _page(site().trials.paper(number), fault=told(error.message, error.hint)), 422
    flash("Given up. What was counted stays in the notebook of this site, with the reason.")
    return redirect(url_for("comparing.listed"), code=303)


@pages.get("/comparisons/of/<statement>")
def signed(statement: str) -> ResponseReturnValue:
    """One that was signed, here or elsewhere: every unit, lost ones too."""
    found = site().trials.named(statement)
    person = signer()
    return render_template(
        "compare_signed.html",
        found=found,
        title=_title(found.edition),
        body=found.trial.document,
        lines=compare_words.unit_lines(found.trial.document, reader_languages()),
        say=compare_words,
        shown=_shown,
        may_take_back=person is not None and site().may_take_back(found.statement, person),
    )


@pages.post("/comparisons/of/<statement>/take-back")
@signed_in()
def take_back(statement: str) -> ResponseReturnValue:
    """Take back the words and counts of a comparison, at every site that the word of it reaches."""
    found = site().trials.named(statement)
    site().take_back(found.statement, signer=need_signer())
    flash("Taken back here; it goes first on the next stick, and every site that it reaches erases it too.")
    return redirect(url_for("comparing.listed"), code=303)


def _page(paper: TrialPaper, *, typed: dict[str, str] | None = None, fault: Told | None = None) -> str:
    return render_template(
        "compare_one.html",
        paper=paper,
        lines=compare_words.unit_lines(paper.body, reader_languages()),
        stopped=site().trials.why_not_tried(paper.edition),
        typed=typed or {},
        fault=fault,
        outcomes=[code for code in compare_words.OUTCOME_WORDS if code in OUTCOMES],
        **_words_of(paper, {}, {}),
    )


def _words_of(paper: TrialPaper, values: dict[str, Any], faults: dict[str, list[Told]]) -> dict[str, Any]:
    """What every page of one comparison says of it."""
    return {
        "body": paper.body,
        "title": _title(paper.edition),
        "values": values,
        "faults": faults,
        "say": compare_words,
        "shown": _shown,
        "one_unit": compare_words.unit_words(paper.body["unit"], 1),
        "many_units": compare_words.unit_words(paper.body["unit"]),
    }


def _shown(words: Any) -> Said | None:
    return in_language(dict(found) if isinstance(found := item_words(words), Mapping) else found, reader_languages())


def _title(edition: str) -> Said | None:
    """The title of an edition, where whoever asks may see it."""
    try:
        page = site().page(site().entry_id(edition), edition=edition, reader=signer())
    except FieldbookError:
        return None
    return in_language(page.title, reader_languages())
