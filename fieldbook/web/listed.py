"""Practice entries as lines of a list: title, what it is, and where it stands in a sentence.

Not a whole entry (`shown`). Its one rule: a withdrawn entry is a line that says so, and nothing else of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.web.code_words import KIND_WORDS, topic_words
from fieldbook.web.said import Said, in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from fieldbook.site import Signer, Site
    from fieldbook.view import Card, EntryPage

STANDING_SENTENCES = {
    "unchecked": "Ours, and nobody has checked it yet.",
    "checked-once": "Checked once.",
    "checked-twice": "Checked twice.",
}
STATE_SENTENCES = {
    "recalled": "Withdrawn: do not use.",
    "retired": "Out of date.",
    "sent-back": "Sent back to its author.",
}


@dataclass(frozen=True)
class Line:
    """One entry in a list: ``standing`` is a sentence, ``letter`` the author's site.

    ``edition`` is the very one that is meant; None for the one to follow.
    """

    entry: str
    edition: str | None
    title: Said
    summary: Said | None
    kind: str
    letter: str
    standing: str
    picture: str | None
    answers: tuple[str, ...]
    withdrawn: bool


def standing_sentence(state: str, standing: str | None, *, own: bool) -> str:
    """Where an edition stands, in a sentence; ``own`` says that this site wrote it."""
    if state == "offered" and standing == "unchecked" and not own:
        return "From another site, and nobody has checked it yet."
    return STATE_SENTENCES.get(state) or STANDING_SENTENCES.get(standing or "", "Not to be used now.")


def card_line(card: Card, preferred: Sequence[str]) -> Line:
    """A card as a line."""
    withdrawn = card.state == "recalled"
    return Line(
        entry=card.entry,
        edition=None,
        title=in_language(card.title, preferred) or Said("", "(no title)"),
        summary=None if withdrawn else in_language(card.summary, preferred),
        kind=KIND_WORDS.get(card.kind, ""),
        letter=card.site_letter,
        standing=standing_sentence(card.state, card.standing, own=card.own),
        picture=None if withdrawn else card.picture,
        answers=() if withdrawn else tuple(topic_words(topic) for topic in card.topics),
        withdrawn=withdrawn,
    )


def hit_lines(site: Site, hits: Iterable[Any], reader: Signer | None, preferred: Sequence[str]) -> list[Line]:
    """Search results as lines, each in the language in which it was found."""
    return [_hit_line(hit, site.page(hit.entry, edition=hit.edition, reader=reader), preferred) for hit in hits]


def _hit_line(hit: Any, page: EntryPage, preferred: Sequence[str]) -> Line:
    withdrawn = page.notice is not None
    document: Mapping[str, Any] = {} if withdrawn else page.document
    return Line(
        entry=hit.entry,
        edition=hit.edition,
        title=in_language({hit.language: hit.title}, [hit.language]) or Said(hit.language, hit.title),
        summary=in_language(document.get("summary"), [hit.language, *preferred]),
        kind=KIND_WORDS.get(str(document.get("kind")), ""),
        letter=page.line.site_letter,
        standing=standing_sentence(hit.state, hit.standing, own=page.own),
        picture=next((photo["thumb"] for photo in document.get("photos") or () if "thumb" in photo), None),
        answers=() if withdrawn else tuple(topic_words(topic) for topic in hit.topics),
        withdrawn=withdrawn,
    )
