"""Practice entries: the kinds, the list of one kind, and one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, redirect, render_template, request, url_for

from fieldbook.practices import differences
from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.code_words import KIND_WORDS
from fieldbook.web.compared import evidence_shown
from fieldbook.web.differences import difference_lines, photo_pairs
from fieldbook.web.here import CHECKERS, cards, reader_languages, signer, site
from fieldbook.web.listed import card_line, standing_sentence
from fieldbook.web.local_words import home_sentence
from fieldbook.web.said import in_language
from fieldbook.web.shown import caution_keys, show_entry

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("entries", __name__)
LINES_MAX = 60  # what an old phone loads and scrolls in one go


@pages.get("/practices")
def kinds() -> ResponseReturnValue:
    """All practice entries by kind, or only the kinds where there are many."""
    found = cards()
    counts = {kind: sum(card.kind == kind for card in found) for kind in KIND_WORDS}
    lines = [card_line(card, reader_languages()) for card in found] if len(found) <= LINES_MAX else []
    by_kind = {words: [line for line in lines if line.kind == words] for words in KIND_WORDS.values()}
    shown = {words: of_kind for words, of_kind in by_kind.items() if of_kind}
    kept_back = site().kept_back(reader=signer())
    return render_template("practices.html", by_kind=shown, counts=counts, kept_back=kept_back)


@pages.get("/practices/<kind>")
def of_kind(kind: str) -> ResponseReturnValue:
    """The practice entries of one kind, a page of them at a time."""
    if kind not in KIND_WORDS:
        abort(404)
    start = max(request.args.get("from", 0, type=int), 0)
    found = [card for card in cards() if card.kind == kind]
    lines = [card_line(card, reader_languages()) for card in found[start : start + LINES_MAX]]
    more = start + LINES_MAX if len(found) > start + LINES_MAX else None
    return render_template("practices_of_kind.html", kind=kind, lines=lines, more=more)


@pages.get("/entry/<entry>")
def entry(entry: str) -> ResponseReturnValue:
    """One practice entry, or the notice that it is withdrawn."""
    person, edition = signer(), request.args.get("edition")
    page = site().page(site().entry_id(entry), edition=edition and site().edition_id(edition), reader=person)
    if page.notice is not None:
        title = in_language(page.title, reader_languages())
        return render_template("withdrawn.html", page=page, title=title, stops=site().stops.of(page.entry))
    may_check = person is not None and not person.roles.isdisjoint(CHECKERS)
    return render_template(
        "entry.html",
        page=page,
        e=show_entry(page.document, reader_languages()),
        cautions=[caution(key) for key in caution_keys(page.document)],
        standing_line=STANDING_LINE,
        standing=standing_sentence(page.state, page.standing, own=page.own),
        home=home_sentence(site().second_words.lacks_for_home(page)),
        tried=evidence_shown(page.entry),
        findings=site().findings(page.line.edition) if may_check else (),
        may_check=may_check,
    )


@pages.get("/entry/<first>/beside/<second>")
def beside(first: str, second: str) -> ResponseReturnValue:
    """Two editions side by side, field by field, with both authors."""
    here, person = site(), signer()
    shown = [
        here.page(here.entry_id(edition), edition=here.edition_id(edition), reader=person)
        for edition in (first, second)
    ]
    if any(page.notice is not None for page in shown):
        return redirect(url_for("entries.entry", entry=first))
    one, other = (here.entry_value(page.line.edition) for page in shown)
    return render_template(
        "beside.html",
        lines=[page.line for page in shown],
        title=in_language(shown[0].title, reader_languages()),
        changes=difference_lines(differences(one, other)),
        photos=photo_pairs(one.document, other.document),
    )
