"""The fold of one entry: from what was said to one canonical value that every site with the same set has alike.

Not the decisions themselves (``review.entry_review``) and not who may see what. Its one rule: nothing of this site,
this machine or this moment enters; a statement that is not understood is isolated, never a failure.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.practices import EntryError, ingredients_of, likenesses, read_entry
from fieldbook.practices.entry_shape import ENTRY
from fieldbook.review import Edition, EditionReview, Voice, entry_review
from fieldbook.review.folding import named_likenesses

if TYPE_CHECKING:
    from fieldbook.ledger import Ledger, Said

_KNOWN_FIELDS = frozenset(ENTRY.fields)


@dataclass(frozen=True)
class Gathered:
    """What bears on one entry.

    Attributes:
        entry: its id.
        editions: its editions and those of the entries that it was made from.
        own: the ids of its own editions.
        decisions: everything said of these, and of that in turn.
        made_from: the entries that it was made from directly.
    """

    entry: str
    editions: tuple[Said, ...]
    own: frozenset[str]
    decisions: tuple[Said, ...]
    made_from: tuple[str, ...]


def reviews_of(gathered: Gathered, ledger: Ledger, *, here: str | None = None) -> dict[str, EditionReview]:
    """State, standing and decisions of each edition; ``here`` is the reader's site, whose local words count for it."""
    by_likeness = any(said.kind == "fieldbook/recall" and named_likenesses(said.body) for said in gathered.decisions)
    editions = {said.id: _edition(said, by_likeness=by_likeness) for said in gathered.editions}
    voices = [_voice(said, ledger) for said in gathered.decisions if acts(said)]
    return entry_review(editions, voices, here=here)


def fold_entry(gathered: Gathered, ledger: Ledger) -> dict[str, Any]:
    """The folded value of an entry: canonical, and a function of the set of statements alone."""
    reviews = reviews_of(gathered, ledger)
    ordered = sorted(
        (said for said in gathered.editions if said.id in gathered.own), key=lambda said: (said.depth, said.id)
    )
    answered = {parent for said in ordered for parent in said.after if said.stands == "accepted"}
    return {
        "entry": gathered.entry,
        "made_from": list(gathered.made_from),
        "editions": [
            _folded_edition(said, reviews[said.id], ledger, newest=said.id not in answered) for said in ordered
        ],
    }


def acts(said: Said) -> bool:
    """True where something said counts: a recall also before what it names is here, on copies and ingredients."""
    return said.stands == "accepted" or (said.kind == "fieldbook/recall" and said.waits_for_target)


def understood(said: Said) -> bool:
    """True where this software can show an edition: its words are here, in a form and with fields that it knows."""
    if said.stands != "accepted" or said.body is None or not _KNOWN_FIELDS.issuperset(said.critical):
        return False
    try:
        read_entry(said.body, strict=False)
    except EntryError:
        return False
    return True


def _folded_edition(said: Said, review: EditionReview, ledger: Ledger, *, newest: bool) -> dict[str, Any]:
    return {
        "id": said.id,
        "author": said.author,
        "site": ledger.site_of(said.author),
        "parents": list(said.after),
        "depth": said.depth,
        "kind": str((said.body or {}).get("kind", "")),
        "stands": said.stands,
        "understood": understood(said),
        "newest": newest,
        "state": review.state,
        "standing": review.standing,
        "was_checked": review.was_checked,
        "approvals": [_by(voice) for voice in review.approvals],
        "decisions": sorted(voice.id for voice in review.decisions),
        "recalls": [_by(voice) for voice in review.recalls],
        "holds": [_by(voice) for voice in review.holds],
    }


def _by(voice: Voice) -> dict[str, Any]:
    return {
        "id": voice.id,
        "author": voice.author,
        "site": voice.site,
        "second_word": "second_word" in (voice.body or {}),
    }


def _edition(said: Said, *, by_likeness: bool) -> Edition:
    """An edition as decisions see it; its likenesses, slow to find, only where a recall asks for them."""
    body = said.body or {}
    return Edition(
        id=said.id,
        author=said.author,
        parents=said.after,
        kind=str(body.get("kind", "")),
        adaptation=body.get("adaptation") is True,
        ingredients=ingredients_of(body),
        likenesses=likenesses(body) if by_likeness else frozenset(),
    )


def _voice(said: Said, ledger: Ledger) -> Voice:
    return Voice(
        id=said.id,
        kind=said.kind,
        author=said.author,
        label=ledger.label(said.author),
        site=ledger.site_of(said.author) or "",
        roles=ledger.roles_behind(said),
        after=said.after,
        body=said.body,
        depth=said.depth,
        scope=ledger.reviewer_scope(said.author),
    )


def canonical_text(value: Any) -> str:
    """A folded value in its one spelling: names sorted, no spaces, UTF-8; it holds no fractions."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
