"""The first page, and searching."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, render_template, request

from fieldbook.search import is_worried
from fieldbook.web.caution_words import caution
from fieldbook.web.first_actions import first_action
from fieldbook.web.here import cards, reader_languages, signer, site
from fieldbook.web.listed import hit_lines
from fieldbook.web.season_words import now_lines

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

pages = Blueprint("home", __name__)
QUESTION_MAX_CHARACTERS = 200
RESULTS_MAX = 20
WORRIED_CAUTIONS = ("C13", "C16")


@pages.get("/")
def first() -> ResponseReturnValue:
    """A large search box, and what can be planted this month."""
    here = site()
    today = None if here.clock_doubt else here.clock()
    return render_template(
        "home.html",
        month=today.month if today else None,
        now=now_lines(here.windows_now(), f"{today:%m-%d}") if today else None,
        kinds=_kinds(),
    )


@pages.get("/search")
def search() -> ResponseReturnValue:
    """Answer a question in the reader's own words."""
    asked = request.args.get("q", "").strip()[:QUESTION_MAX_CHARACTERS]
    hits = site().search(asked, limit=RESULTS_MAX, reader=signer()) if asked else []
    return render_template(
        "search.html",
        asked=asked,
        hits=hit_lines(site(), hits, signer(), reader_languages()),
        kept_back=None if hits else site().kept_back(reader=signer()),
        first_action=first_action(hit.topics for hit in hits),
        first_do=[caution(key) for key in WORRIED_CAUTIONS] if asked and is_worried(asked) else [],
    )


def _kinds() -> dict[str, int]:
    counts: dict[str, int] = {}
    for card in cards():
        counts[card.kind] = counts.get(card.kind, 0) + 1
    return counts
