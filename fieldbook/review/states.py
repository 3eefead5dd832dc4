"""The states of an edition and the moves between them, as one table; the standings of an edition.

Not who may move (the charter says who is a reviewer) and not the folding of statements. Its one rule: a move that is
not in the table changes nothing and says the present state.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from fieldbook.errors import FieldbookError

State = Literal["draft", "offered", "approved", "sent-back", "recalled", "retired"]
Standing = Literal["unchecked", "checked-once", "checked-twice"]

STATES: Final[tuple[State, ...]] = ("draft", "offered", "approved", "sent-back", "recalled", "retired")
"""A draft is no statement: it lies in the notebook, and nothing here makes one."""


class StateError(FieldbookError):
    """A move that the present state does not allow."""


@dataclass(frozen=True)
class Move:
    """One move: what is said, by whom, from which states, and the state it leads to.

    Attributes:
        kind: the statement.
        roles: who may say it; ``author`` for one's own edition.
        before: the states it starts from.
        after: the state it leads to.
        be: what it would do to an edition, in words: ``be approved``.
    """

    kind: str
    roles: frozenset[str]
    before: frozenset[State]
    after: State
    be: str


def _move(kind: str, roles: str, before: str, after: State, be: str) -> Move:
    states = frozenset(state for state in STATES if state in before.split())
    return Move(f"fieldbook/{kind}", frozenset(roles.split()), states, after, be)


_ANY = "offered approved sent-back recalled retired"
MOVES: Final = MappingProxyType(
    {
        move.kind: move
        for move in (
            _move("edition", "trainer reviewer", "draft", "offered", "be offered for review"),
            _move("approval", "reviewer", "offered approved sent-back retired", "approved", "be approved"),
            _move("sent-back", "reviewer author", "offered approved sent-back", "sent-back", "be sent back"),
            _move(
                "retirement", "reviewer", "offered approved sent-back retired", "retired", "be marked as out of date"
            ),
            _move("recall", "reviewer", _ANY, "recalled", "be withdrawn"),
            # Lifting gives back what the other statements say; two are needed, and the folding counts them.
            _move("lifting", "reviewer steward", "recalled", "offered", "be allowed again"),
        )
    }
)

_IS: Final[dict[State, str]] = {
    "draft": "is a draft",
    "offered": "waits for a decision",
    "approved": "is approved",
    "sent-back": "was sent back",
    "recalled": "is withdrawn",
    "retired": "is out of date",
}
_WAY_ON: Final[dict[State, str]] = {
    "draft": "offer it first",
    "offered": "decide on it first",
    "approved": "write the next edition instead",
    "sent-back": "write the next edition instead",
    "recalled": "leave it withdrawn; people of two sites can allow it again",
    "retired": "write the next edition instead",
}

# Which state holds where several statements about one edition stand unanswered: the careful one.
CAREFUL_ORDER: Final[tuple[State, ...]] = ("recalled", "retired", "sent-back", "approved", "offered")


def moved(state: State, kind: str) -> State:
    """Give the state that a statement leads to.

    Raises:
        StateError: the present state does not allow it; nothing is changed.
    """
    move = MOVES[kind]
    if state not in move.before:
        raise StateError(f"this edition {_IS[state]}, so it cannot {move.be}", hint=_WAY_ON[state])
    return move.after


def standing(*, reviewers: int, second_word_here: bool) -> Standing:
    """Give the standing of an edition that is not stopped.

    Args:
        reviewers: how many reviewers who are not its author approved it.
        second_word_here: a licensed local person's word was recorded with an approval of this site.
    """
    if reviewers == 0:
        return "unchecked"
    return "checked-twice" if reviewers > 1 or second_word_here else "checked-once"
