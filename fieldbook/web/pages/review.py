"""Review: the queue, one edition with its findings and differences, and the ways to stop one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.review import ApprovalError
from fieldbook.review.queueing import REVIEW_MIN, SITTING_MIN
from fieldbook.review.sending_back import REASONS
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.differences import difference_lines, photo_pairs, place_words, set_by_rule
from fieldbook.web.evidence import evidence_of
from fieldbook.web.findings import finding_groups
from fieldbook.web.here import need_signer, reader_languages, signed_in, site
from fieldbook.web.listed import card_line, standing_sentence
from fieldbook.web.local_words import home_sentence, offered_by_rule
from fieldbook.web.merge_words import taken_lines
from fieldbook.web.queue_words import reason_sentences
from fieldbook.web.said import in_language
from fieldbook.web.shown import caution_keys, show_entry
from fieldbook.web.words import Told, sentence, told

if TYPE_CHECKING:
    from collections.abc import Callable

    from flask.typing import ResponseReturnValue
    from werkzeug.wrappers import Response

pages = Blueprint("review", __name__, url_prefix="/review")
CHECKERS = ("trainer", "reviewer")
MINUTES = (10, 20, 40, 60)
DAY_MIN = 24 * 60


@dataclass(frozen=True)
class Way:
    """One way to stop an edition: its heading, what it does, the boxes it asks, who may, and what is said after."""

    heading: str
    about: str
    asks: tuple[tuple[str, str], ...]
    role: str
    button: str
    done: str


WAYS = {
    "hold": Way(
        "Pause it here",
        "Readers of this site no longer see it, until a trainer or reviewer of this site ends the pause. Other sites "
        "are told; for them it is a suggestion.",
        (("reason", "Why?"),),
        "",
        "Pause it here",
        "Paused at this site.",
    ),
    "retire": Way(
        "Mark it as out of date",
        "It did no harm, but it is no longer recommended.",
        (("reason", "Why?"), ("replaced_by", "Code of the practice to use now (may stay empty)")),
        "reviewer",
        "Mark it as out of date",
        "Marked as out of date.",
    ),
    "recall": Way(
        "Withdraw it everywhere",
        "It did harm or will. It and everything made from it is taken off every page at every site, and only this "
        "notice is shown. It is allowed again only by people of two sites. The withdrawal goes first on the "
        "next stick.",
        (
            ("harm", "What happened, to whom?"),
            ("now", "What to do now where it is in use"),
            ("instead", "What to do instead"),
            ("at_risk", "Who is at risk? (who ate, touched or breathed it; no names)"),
            ("sources", "How is it known? (who saw it, by office, or what was read; no names)"),
        ),
        "reviewer",
        "Withdraw it everywhere",
        "Withdrawn. It goes first on the next stick.",
    ),
}


@pages.get("/")
@signed_in(*CHECKERS)
def queue() -> ResponseReturnValue:
    """What waits for a reviewer: what fits into their minutes, for which reasons, and what waits longer."""
    minutes = min(max(request.args.get("minutes", SITTING_MIN, type=int), REVIEW_MIN), DAY_MIN)
    items = [
        (item, card_line(item.card, site().languages), reason_sentences(item.weight.reasons()))
        for item in site().review_queue.items(need_signer(), minutes=minutes)
    ]
    return render_template(
        "queue.html",
        now=[one for one in items if one[0].now],
        later=[one for one in items if not one[0].now],
        minutes=minutes,
        choices=MINUTES,
    )


@pages.get("/<edition>")
@signed_in(*CHECKERS)
def edition(edition: str) -> ResponseReturnValue:
    """One edition with what the rules find and what changed, and the form to decide on it."""
    return _page(edition)


@pages.post("/<edition>/approve")
@signed_in("reviewer")
def approve(edition: str) -> ResponseReturnValue:
    """Approve this exact edition, with the answers given and the limits set."""
    here, person = site(), need_signer()
    limits = [line.strip() for line in request.form.get("limits", "").splitlines() if line.strip()]
    try:
        found = here.edition_id(edition)
        here.approve(found, signer=person, answers=_answers(found), limits=limits, second_word=_second_word(found))
    except FieldbookError as error:
        return _page(edition, error), 422
    flash(Notice("Approved: this exact edition, and no other."))
    return redirect(url_for("entries.entry", entry=edition, edition=edition), code=303)


@pages.post("/<edition>/send-back")
@signed_in(*CHECKERS)
def send_back(edition: str) -> ResponseReturnValue:
    """Send it back to its author with a reason."""
    try:
        site().send_back(
            site().edition_id(edition),
            signer=need_signer(),
            reason=request.form.get("reason", ""),
            code=request.form.get("code", ""),
        )
    except FieldbookError as error:
        return _page(edition, error), 422
    flash(Notice("Sent back to its author with your reason."))
    return redirect(url_for("review.queue"), code=303)


@pages.get("/<edition>/stop")
@signed_in(*CHECKERS)
def stop(edition: str) -> ResponseReturnValue:
    """The ways to stop an edition."""
    return _stop_page(edition)


@pages.post("/<edition>/stop/<way>")
@signed_in(*CHECKERS)
def stop_by(edition: str, way: str) -> ResponseReturnValue:
    """Pause, withdraw, mark as out of date, or end a pause."""
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    words = {name: request.form.get(name, "") for name, _ in WAYS[way].asks} if way in WAYS else {}
    actions: dict[str, Callable[..., str]] = {
        "hold": here.hold,
        "retire": here.retire,
        "recall": here.recall,
        "release": here.release,
    }
    if way == "recall":
        words["ingredient"] = request.form.get("ingredient", "")
    if way not in actions:
        abort(404)
    try:
        actions[way](found, signer=person, **words)
    except FieldbookError as error:
        return _stop_page(edition, error, way), 422
    flash(WAYS[way].done if way in WAYS else "No longer paused at this site.")
    return redirect(url_for("entries.entry", entry=found, edition=found), code=303)


def _answers(edition: str) -> dict[str, str]:
    """The reviewer's words by rule: what they ticked to take over, then what they typed."""
    form = list(request.form.items(multi=True))
    ticked = {(key.removeprefix("again."), name) for key, name in form if key.startswith("again.")}
    taken = site().earlier_answers.taken(edition, ticked, signer=need_signer()) if ticked else ()
    said: dict[str, list[str]] = {}
    for rule, words in (*taken, *((key.removeprefix("answer."), words) for key, words in form if key[:7] == "answer.")):
        said.setdefault(rule, []).append(words.strip())
    answers = {rule: " ".join(filter(None, words)) for rule, words in said.items()}
    return {rule: words for rule, words in answers.items() if words}


def _second_word(edition: str) -> dict[str, Any] | None:
    """The local person's word that is to be signed with the approval, or None."""
    number = request.form.get("second_word", type=int)
    return None if number is None else site().second_words.word(edition, number).as_body()


def _told(error: FieldbookError) -> list[Told]:
    """All that stands in the way, each with its place in words."""
    if not isinstance(error, ApprovalError):
        return [told(error.message, error.hint)]
    return [
        told(fault.message, fault.hint, where=sentence(place_words(fault.field))[:-1] if fault.field else "")
        for fault in error.faults
    ]


def _page(edition: str, error: FieldbookError | None = None) -> str | Response:
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    page = here.page(here.entry_id(found), edition=found, reader=person)
    if page.notice is not None:
        return redirect(url_for("entries.entry", entry=found))
    brought = here.merging.brought(found, reader=person)
    own = page.line.author == person.label
    works, weak = evidence_of(page.document)
    return render_template(
        "review_edition.html",
        page=page,
        e=show_entry(page.document, reader_languages()),
        cautions=[caution(key) for key in caution_keys(page.document)],
        standing_line=STANDING_LINE,
        standing=standing_sentence(page.state, page.standing, own=page.own),
        home=home_sentence(here.second_words.lacks_for_home(page)),
        by_rule=set_by_rule(page.document),
        alike=[one.sentence(here.languages) for one in here.alike.of_edition(found)],
        groups=finding_groups(here.findings(found)),
        missing=here.missing_to_approve(found),
        offered=offered_by_rule(here.earlier_answers.offered(found, signer=person)),
        second_words=here.second_words.of(found),
        reasons=REASONS,
        works=works,
        weak=weak,
        **_changes(found),
        brought=brought,
        taken=taken_lines(brought) if brought else (),
        errors=_told(error) if error else (),
        own=own,
        may_approve="reviewer" in person.roles and not own and page.state in {"offered", "approved"},
        typed=request.form,
    )


def _changes(edition: str) -> dict[str, Any]:
    """What changed since the last approved edition, in words and photos; nothing to compare where there is none."""
    before = site().approved_before(edition)
    if before is None:
        return {"compared": False, "changes": (), "photos": ()}
    return {
        "compared": True,
        "changes": difference_lines(site().differences(edition)),
        "photos": photo_pairs(before.document, site().entry_value(edition).document),
    }


def _stop_page(edition: str, error: FieldbookError | None = None, way: str = "") -> str:
    here, person = site(), need_signer()
    found = here.edition_id(edition)
    page = here.page(here.entry_id(found), edition=found, reader=person)
    ways = {name: one for name, one in WAYS.items() if not one.role or one.role in person.roles}
    return render_template(
        "review_stop.html",
        page=page,
        title=in_language(page.title, reader_languages()),
        ways=ways,
        ingredients=here.ingredients(found),
        error=told(error.message, error.hint) if error else "",
        failed=way,
        typed=request.form,
    )
