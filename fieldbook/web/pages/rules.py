"""What the rules look for: the whole table, and which of its numbers are our own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, render_template

from fieldbook.review import RULES, RULES_VERSION, rules_of_ours, source_words
from fieldbook.web.words import retold

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from fieldbook.review import Rule

pages = Blueprint("rules", __name__)
_RESULTS = {"stop": "Stop", "answer": "Answer", "note": "Note"}
_WHOSE = {"theirs": "the source's", "part": "partly ours", "ours": "ours"}


@pages.get("/rules")
def table() -> ResponseReturnValue:
    """The rules by hazard."""
    by_hazard: dict[str, list[Rule]] = {}
    for rule in RULES:
        by_hazard.setdefault(rule.hazard, []).append(rule)
    return render_template(
        "rules.html",
        version=RULES_VERSION,
        count=len(RULES),
        hazards=by_hazard,
        results=_RESULTS,
        whose=_WHOSE,
        ours=rules_of_ours(),
        source_of=source_words,
        retold=retold,
    )
