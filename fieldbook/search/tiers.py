"""Who comes before whom in a list of hits, and who is not in it at all.

What it is: one table from state and standing to a tier. What it is not: relevance, which orders within a tier.

Its one rule: for readers, what is checked comes first, then what this site wrote and nobody has checked, then what is
out of date; the rest is not there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fieldbook.search.values import Document

CHECKED: Final = "checked"  # and the notice of a withdrawn entry, which must not be missed
OURS: Final = "ours"
DATED: Final = "dated"
WITHHELD: Final = "withheld"

FOR_READERS: Final = (CHECKED, OURS, DATED)
FOR_REVIEWERS: Final = (*FOR_READERS, WITHHELD)

_BY_STATE: Final = {
    "approved": CHECKED,
    "recalled": CHECKED,
    "retired": DATED,
    "sent-back": WITHHELD,
}


def tier_of(document: Document) -> str:
    """Return the tier of a document."""
    if document.withheld:
        return WITHHELD
    if document.state == "offered":
        return OURS if document.own else WITHHELD
    return _BY_STATE[document.state]
