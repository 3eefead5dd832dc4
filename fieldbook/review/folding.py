"""What the decisions of people come to: the state and standing of each edition.

Not authority (who is a reviewer is given) and not the safety rules (they run before signing). Its one rule: a pure
function of the *set* of what was said: any order, any repetition, the same answer; where two decisions know nothing of
each other, the careful one holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.review.approval import in_form
from fieldbook.review.bodies import body_faults
from fieldbook.review.kinship import Kinship
from fieldbook.review.states import CAREFUL_ORDER, MOVES, Standing, State, standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_DECIDING = ("fieldbook/approval", "fieldbook/sent-back", "fieldbook/retirement")


@dataclass(frozen=True)
class Edition:
    """An edition as decisions see it.

    Attributes:
        id: its id.
        author: the key that signed it.
        parents: the editions it answers.
        kind: the kind of practice.
        adaptation: it begins a new entry, made from its parents.
        ingredients: what it holds, as pairs of purpose and thing.
        likenesses: the marks of what it says, by which a copy of it is known.
    """

    id: str
    author: str
    parents: tuple[str, ...]
    kind: str
    adaptation: bool = False
    ingredients: frozenset[tuple[str, str]] = frozenset()
    likenesses: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Voice:
    """What one person said about editions.

    Attributes:
        id: the statement.
        kind: for example ``fieldbook/approval``.
        author: the key that signed it.
        label: who that is, for people (``L2``).
        site: the key of the author's site.
        roles: the author's roles in force.
        after: what it answers: editions, and decisions that it takes into account.
        body: what was said; None where it is lacking.
        depth: how long the longest chain of answers below it is.
        scope: the kinds of entries a reviewer may approve; empty for all.
    """

    id: str
    kind: str
    author: str
    label: str
    site: str
    roles: frozenset[str]
    after: tuple[str, ...]
    body: Mapping[str, Any] | None
    depth: int = 0
    scope: tuple[str, ...] = ()


@dataclass(frozen=True)
class EditionReview:
    """What was decided on one edition.

    Attributes:
        edition: its id.
        entry: the id of its entry.
        state: the state it is in.
        standing: how often it was checked; None where it is withdrawn.
        approvals: the approvals that count, oldest first.
        decisions: the decisions that no other answers; a new decision names them in its `after`.
        recalls: the recalls that stop it.
        holds: the holds on it, by any site; one that ends them names them in its `after`.
        was_checked: an approval counted once, and was not sent back since; so of what is out of date readers may know.
    """

    edition: str
    entry: str
    state: State
    standing: Standing | None
    approvals: tuple[Voice, ...]
    decisions: tuple[Voice, ...]
    recalls: tuple[Voice, ...]
    holds: tuple[Voice, ...]
    was_checked: bool = False

    @property
    def limits(self) -> tuple[str, ...]:
        """The limits of all approvals that count: each of them holds."""
        return tuple(dict.fromkeys(limit for one in self.approvals for limit in (one.body or {}).get("limits", ())))

    def held_at(self, site: str) -> bool:
        """True where a site has paused it."""
        return any(hold.site == site for hold in self.holds)


def entry_review(
    editions: Mapping[str, Edition], voices: Iterable[Voice], *, here: str | None = None
) -> dict[str, EditionReview]:
    """Fold what was said into the state and standing of every edition.

    Args:
        editions: the editions, by id; with an entry come the entries that it was made from.
        voices: everything said about them, in any order; what is not understood counts for nothing.
        here: the key of the reader's site; a licensed local person's word counts there only.
    """
    said = tuple(sorted({voice.id: voice for voice in voices}.values(), key=lambda voice: (voice.depth, voice.id)))
    kinship = Kinship({one.id: (one.parents, one.adaptation) for one in editions.values()})
    recalls = tuple(voice for voice in said if voice.kind == "fieldbook/recall" and "reviewer" in voice.roles)
    liftings = tuple(voice for voice in said if voice.kind == "fieldbook/lifting" and _lifts(voice))
    about: dict[str, list[Voice]] = {one: [] for one in editions}
    for voice in said:
        for one in about.keys() & set(voice.after):
            about[one].append(voice)
    copies = {recall.id: _copies(recall, editions) for recall in recalls}
    reviews = {}
    for edition in editions.values():
        stopping = tuple(
            recall
            for recall in recalls
            if (
                kinship.reached(edition.id, recall.after)
                or _names_ingredient(recall, edition)
                or kinship.follows(edition.id, copies[recall.id])
            )
            and not _allowed_again(edition.id, recall.id, liftings)
        )
        reviews[edition.id] = _review(edition, about[edition.id], stopping, kinship.entry_of(edition.id), here)
    return reviews


def named_ingredient(body: object) -> tuple[str, str] | None:
    """The purpose and thing by which a recall's body stops all that holds it; None where it names none."""
    named = body.get("ingredient") if isinstance(body, dict) else None
    if not isinstance(named, dict):
        return None
    purpose, thing = named.get("purpose"), named.get("thing")
    return (purpose, thing) if isinstance(purpose, str) and isinstance(thing, str) else None


def named_likenesses(body: object) -> frozenset[str]:
    """The marks by which a recall's body stops all that reads so; none where it names none."""
    named = body.get("likenesses") if isinstance(body, dict) else None
    return frozenset(one for one in named if isinstance(one, str)) if isinstance(named, list) else frozenset()


def _copies(recall: Voice, editions: Mapping[str, Edition]) -> frozenset[str]:
    named = named_likenesses(recall.body)
    return frozenset(one.id for one in editions.values() if not named.isdisjoint(one.likenesses))


def _names_ingredient(recall: Voice, edition: Edition) -> bool:
    return named_ingredient(recall.body) in edition.ingredients


def _lifts(voice: Voice) -> bool:
    may = not voice.roles.isdisjoint(MOVES[voice.kind].roles)
    return may and not body_faults(voice.kind, voice.body, strict=False)


def _allowed_again(edition: str, recall: str, liftings: tuple[Voice, ...]) -> bool:
    """Two liftings of two sites, at least one by a reviewer, that both name the recall and this edition."""
    named = [voice for voice in liftings if recall in voice.after and edition in voice.after]
    sites = {voice.site for voice in named} - {""}  # a person whose site is not known stands for none
    return len(sites) > 1 and any("reviewer" in voice.roles for voice in named)


def _review(
    edition: Edition, about: list[Voice], recalls: tuple[Voice, ...], entry: str, here: str | None
) -> EditionReview:
    deciding = [voice for voice in about if voice.kind in _DECIDING and _counts(voice, edition)]
    given = [voice for voice in deciding if voice.kind == "fieldbook/approval"]
    sent_back = _answered(deciding, "fieldbook/sent-back")
    overruled = sent_back | _answered(deciding, "fieldbook/retirement")
    approvals = tuple(voice for voice in given if voice.id not in overruled)
    heads = tuple(_unanswered(deciding))
    states = ["recalled"] * bool(recalls) + [MOVES[voice.kind].after for voice in heads] + ["offered"]
    state = next(state for state in CAREFUL_ORDER if state in states)
    return EditionReview(
        edition=edition.id,
        entry=entry,
        state=state,
        standing=_standing(state, approvals, here),
        approvals=() if state == "sent-back" else approvals,
        decisions=heads,
        recalls=recalls,
        holds=tuple(_holds([voice for voice in about if voice.kind == "fieldbook/hold"])),
        was_checked=any(voice.id not in sent_back for voice in given),
    )


def _answered(voices: list[Voice], kind: str) -> set[str]:
    """What is answered by those of a kind."""
    return {one for voice in voices if voice.kind == kind for one in voice.after}


def _counts(voice: Voice, edition: Edition) -> bool:
    own = voice.author == edition.author
    if body_faults(voice.kind, voice.body, strict=False):
        return False
    if voice.kind == "fieldbook/approval":
        in_scope = not voice.scope or edition.kind in voice.scope
        return "reviewer" in voice.roles and not own and in_scope and in_form(voice.body)
    return "reviewer" in voice.roles or (own and voice.kind == "fieldbook/sent-back")


def _unanswered(voices: list[Voice]) -> list[Voice]:
    answered = {one for voice in voices for one in voice.after}
    return [voice for voice in voices if voice.id not in answered]


def _standing(state: State, approvals: tuple[Voice, ...], here: str | None) -> Standing | None:
    if state == "recalled":
        return None
    if state in {"offered", "sent-back"}:
        return "unchecked"
    second = any(voice.site == here and "second_word" in (voice.body or {}) for voice in approvals)
    return standing(reviewers=len({voice.author for voice in approvals}), second_word_here=second)


def _holds(voices: list[Voice]) -> list[Voice]:
    """The holds that no trainer or reviewer of the same site has ended."""
    understood = [voice for voice in voices if not body_faults(voice.kind, voice.body, strict=False)]
    ended = {
        (voice.site, one)
        for voice in understood
        if not (voice.body or {}).get("on") and not voice.roles.isdisjoint({"reviewer", "trainer"})
        for one in voice.after
    }
    return [voice for voice in understood if (voice.body or {}).get("on") and (voice.site, voice.id) not in ended]
