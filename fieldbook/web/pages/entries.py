"""Practice entries: the kinds, the list of one kind, and one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, abort, render_template, request

from fieldbook.web.caution_words import STANDING_LINE, caution
from fieldbook.web.code_words import KIND_WORDS
from fieldbook.web.here import CHECKERS, reader_languages, signer, site
from fieldbook.web.listed import card_line, standing_sentence
from fieldbook.web.said import in_language
from fieldbook.web.shown import caution_keys, show_entry

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("entries", __name__)


@pages.get("/practices")
def kinds() -> ResponseReturnValue:
    """All practice entries, by kind."""
    lines = [card_line(card, reader_languages()) for card in site().cards(reader=signer())]
    by_kind = {words: [line for line in lines if line.kind == words] for words in KIND_WORDS.values()}
    return render_template("practices.html", by_kind={words: found for words, found in by_kind.items() if found})


@pages.get("/practices/<kind>")
def of_kind(kind: str) -> ResponseReturnValue:
    """The practice entries of one kind."""
    if kind not in KIND_WORDS:
        abort(404)
    lines = [card_line(card, reader_languages()) for card in site().cards(kind, reader=signer())]
    return render_template("practices.html", by_kind={KIND_WORDS[kind]: lines})


@pages.get("/entry/<entry>")
def entry(entry: str) -> ResponseReturnValue:
    """One practice entry, or the notice that it is withdrawn."""
    person, edition = signer(), request.args.get("edition")
    page = site().page(site().entry_id(entry), edition=edition and site().edition_id(edition), reader=person)
    if page.notice is not None:
        return render_template("withdrawn.html", page=page, title=in_language(page.title, reader_languages()))
    may_check = person is not None and not person.roles.isdisjoint(CHECKERS)
    return render_template(
        "entry.html",
        page=page,
        e=show_entry(page.document, reader_languages()),
        cautions=[caution(key) for key in caution_keys(page.document)],
        standing_line=STANDING_LINE,
        standing=standing_sentence(page.state, page.standing),
        findings=site().findings(page.line.edition) if may_check else (),
        may_check=may_check,
    )
