"""Writing: drafts, the form, the whole entry as JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, request, url_for

from fieldbook.errors import FieldbookError, Notice
from fieldbook.languages import checked_tag
from fieldbook.practices import EntryError, Fault, read_entry
from fieldbook.web import drafts as kept
from fieldbook.web.caution_words import ALL
from fieldbook.web.entry_form import CAUTIONS_BOX, PHOTO_ROWS, SECTIONS, carried, carry, new_document
from fieldbook.web.fact_questions import QUESTIONS
from fieldbook.web.first_questions import FIRST_QUESTIONS, first_facts
from fieldbook.web.here import need_signer, signed_in, site
from fieldbook.web.listed import card_line
from fieldbook.web.said import in_language
from fieldbook.web.words import Told, told
from fieldbook.web.writing_desk import CONFIRM, PHOTO_SLOTS, Desk, desk_from, with_new_photos

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.site import PhotoIn
    from fieldbook.site.writing import Written
    from fieldbook.view import EditionLine

pages = Blueprint("writing", __name__, url_prefix="/write")
WRITERS = ("trainer", "reviewer")
OTHER_TONGUES = ("ar", "en", "es", "fr", "so", "sw")


@pages.get("/")
@signed_in(*WRITERS)
def drafts() -> ResponseReturnValue:
    """The drafts of whoever is signed in, and where to begin a new entry."""
    person, here = need_signer(), site()
    found = [
        (draft, in_language(draft.document.get("title"), here.languages)) for draft in kept.drafts_of(here, person)
    ]
    own = [card for card in here.cards(reader=person) if card.own and card.state in {"offered", "sent-back"}]
    lines = [card_line(card, here.languages) for card in own]
    return render_template("drafts.html", drafts=found, own=lines, tongues=_tongues())


@pages.get("/begin")
@signed_in(*WRITERS)
def begin() -> ResponseReturnValue:
    """The twelve questions that come first; a no takes questions out of the form."""
    language = checked_tag(request.args.get("language") or site().languages[0])
    return render_template("write_first.html", first_questions=FIRST_QUESTIONS, language=language)


@pages.get("/form")
@signed_in(*WRITERS)
def new() -> ResponseReturnValue:
    """The form: empty, or filled from a draft, or from the edition that the new one follows."""
    return _form(_beginning())


@pages.post("/form")
@signed_in(*WRITERS)
def save() -> ResponseReturnValue:
    """Keep what was written as a draft, or offer it; every fault is shown at its box, and nothing typed is lost."""
    desk, action = desk_from(request.form), request.form.get("action", "")
    if action == "more":
        return _form(replace(desk, more=3))
    if action == "forget":
        return _forget(desk)
    if action == "offer" and not request.form.get(CONFIRM):
        return _form(_unsure(desk)), 422
    desk, photos = _photos(desk)
    try:
        written = _write(desk, photos, as_draft=action != "offer")
    except EntryError as error:
        return _form(desk.with_faults(error.faults), photos), 422
    except FieldbookError as error:
        return _form(desk.with_error(error.message, error.hint), photos), 422
    return _written(written, check=action == "check")


@pages.route("/whole", methods=["GET", "POST"])
@signed_in(*WRITERS)
def whole() -> ResponseReturnValue:
    """The whole entry as JSON, for what the form does not ask."""
    desk, text = _beginning(), request.form.get("text", "")
    errors: list[Told] = []
    if request.method == "POST":
        document = carried(text)
        desk = replace(desk, document=document or {}, after=tuple(request.form.getlist("after")))
        desk = replace(desk, draft=request.form.get("draft", ""), adaptation=bool(request.form.get("adaptation")))
        try:
            if document is None:
                errors = [told("this is no JSON object", "check its commas, quotes and brackets")]
            else:
                return _written(_write(desk, _photos(desk)[1], as_draft=True))
        except EntryError as error:
            errors = [told(fault.message, fault.hint, where=fault.field) for fault in error.faults]
        except FieldbookError as error:
            errors = [told(error.message, error.hint)]
    page = render_template(
        "write_whole.html",
        desk=desk,
        text=text or json.dumps(desk.document, ensure_ascii=False, indent=1),
        errors=errors,
    )
    return page, 422 if errors else 200


def _unsure(desk: Desk) -> Desk:
    """The desk of somebody who offers without saying that they know, with whatever else is to be mended."""
    try:
        faults: tuple[Fault, ...] = ()
        read_entry(desk.document)
    except EntryError as error:
        faults = error.faults
    said = "once offered, it goes with the next stick and cannot be called back"
    return desk.with_faults((*faults, Fault(CONFIRM, said, "tick that you know it")))


def _tongues() -> list[str]:
    """The languages to write in: the site's first, then the others of the names table."""
    here = site().languages
    return [*here, *(tag for tag in OTHER_TONGUES if tag not in here)]


def _beginning() -> Desk:
    """The desk that an address asks for."""
    here, person, asked = site(), need_signer(), request.values
    language = checked_tag(asked.get("language") or here.languages[0])
    if asked.get("draft"):
        draft = kept.own_draft(here, asked["draft"], person)
        adaptation = bool(draft.document.get("adaptation"))
        return Desk(
            language=language, document=draft.document, after=draft.parents, draft=draft.name, adaptation=adaptation
        )
    if asked.get("after"):
        after = here.edition_id(asked["after"])
        document = dict(here.entry_value(after).document)
        for of_one_edition in ("adaptation", "by_rule"):
            document.pop(of_one_edition, None)
        return Desk(language=language, document=document, after=(after,), adaptation=bool(asked.get("adaptation")))
    facts = first_facts(request.args)
    return Desk(language=language, document={**new_document(), "facts": facts} if facts else new_document())


def _photos(desk: Desk) -> tuple[Desk, list[PhotoIn]]:
    named = {str(photo.get("name")): str(photo.get("people") or "") for photo in desk.document.get("photos") or ()}
    waiting = [
        replace(photo, people=named[photo.name])
        for photo in (kept.photos_of(site(), desk.draft) if desk.draft else ())
        if photo.name in named
    ]
    desk, fresh = with_new_photos(desk, request.form, request.files, taken=named)
    return desk, [*waiting, *fresh]


def _write(desk: Desk, photos: list[PhotoIn], *, as_draft: bool) -> Written:
    here, person = site(), need_signer()
    return here.write(
        desk.document,
        signer=person,
        photos=photos,
        draft=as_draft,
        after=desk.after,
        adaptation=desk.adaptation,
        instead_of=kept.own_draft(here, desk.draft, person) if desk.draft else None,
    )


def _written(written: Written, *, check: bool = False) -> ResponseReturnValue:
    if written.edition is None and check:
        return redirect(url_for("checking.draft", draft=written.draft), code=303)
    if written.edition is None:
        flash(Notice(f"Kept here as {written.draft}. Nobody else sees it before you offer it."))
        return redirect(url_for("writing.drafts"), code=303)
    flash(Notice("Offered for review. It goes with the next stick."))
    for name in written.kept_home:
        flash(Notice(f"The photo {name} stays at this site until somebody says who is on it."))
    return redirect(url_for("review.edition", edition=written.edition), code=303)


def _forget(desk: Desk) -> ResponseReturnValue:
    if desk.draft:
        kept.forget(site(), desk.draft, need_signer())
        flash(Notice(f"Thrown away: {desk.draft}."))
    return redirect(url_for("writing.drafts"), code=303)


def _standing_beside(desk: Desk) -> list[EditionLine]:
    """The newest editions that stand beside the one that is followed, which the new one may bring together."""
    if not desk.after or desk.adaptation:
        return []
    page = site().page(site().entry_id(desk.after[0]), edition=desk.after[0], reader=need_signer())
    return [line for line in page.others if line.newest]


def _form(desk: Desk, photos: list[PhotoIn] | None = None) -> str:
    fresh = [photo.file for photo in photos or () if photo.file]
    return render_template(
        "write_form.html",
        desk=desk,
        values=desk.values,
        faults=desk.faults,
        sections=SECTIONS,
        questions=QUESTIONS,
        cautions=ALL,
        cautions_box=CAUTIONS_BOX,
        photo_rows=PHOTO_ROWS,
        carried=carry(desk.document),
        photo_slots=PHOTO_SLOTS,
        lost_photos=fresh,
        beside=_standing_beside(desk),
    )
