"""Two editions of one entry brought together, field by field: what a person has to choose, and what is proposed.

Not the writing of the edition that comes of it. Its one rule: a value on which somebody's health hangs is never decided
here, what one side left out is never dropped here, and what was measured together is chosen together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from fieldbook.practices.changes import spelled
from fieldbook.practices.entry_shape import ENTRY
from fieldbook.practices.records import text_maps

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from fieldbook.practices.entry import Entry

Side = Literal["one", "other", "both"]
Why = Literal["", "safety", "both-changed", "left-out"]

_ABSENT: Final = object()
_LATER: Final = frozenset({"adaptation", "by_rule", "unread"})  # said of one edition, or following from the rest
_SAFETY: Final = frozenset(
    {
        *("disposal", "facts", "first_aid", "hazards", "materials", "measures", "not_for", "people", "protect"),
        *("ratios", "space", "storage", "waiting"),
    }
)
_SAFETY_IN_STEPS: Final = ("day_offset", "do_not", "duration", "repeat", "stop_if")
_KEYS: Final[dict[str, Callable[[Mapping[str, Any]], Any]]] = {
    "measures": lambda row: row.get("id"),
    "photos": lambda row: row.get("name"),
    "sources": lambda row: row.get("key") or row.get("citation"),
}
# What was measured, weighed or photographed together: a mixture of two authors' halves is a thing that nobody tried.
_WHOLE: Final = re.compile(
    r"(companions|hazards|local_names|materials|measures|not_for|photos|ratios|sources|taxa|waiting)\[\d+\]"
    r"|facts\.[a-z_]+|climate|cost|credit|season|sun_h|water_l_day|yield|space\.[a-z_]+|.*\.repeat"
)


@dataclass(frozen=True)
class Choice:
    """One place where the two editions say different things.

    Attributes:
        field: the place.
        base: what the edition before both says there; None where nothing.
        one: what the first says; None where nothing.
        other: what the second says; None where nothing.
        proposed: the side that alone changed it; None where a person must choose.
        why: why nobody but a person chooses.
    """

    field: str
    base: Any
    one: Any
    other: Any
    proposed: Side | None
    why: Why

    @property
    def sides(self) -> tuple[Side, ...]:
        """What may be chosen; both, where both are lists."""
        lists = isinstance(self.one, list) and isinstance(self.other, list)
        return ("one", "other", "both") if lists else ("one", "other")

    def taken(self, side: Side) -> Any:
        """The value of a side; of both, the first's rows with those of the second that it lacks."""
        if side == "both":
            have = {spelled(row) for row in self.one}
            return [*self.one, *(row for row in self.other if spelled(row) not in have)]
        return self.one if side == "one" else self.other


@dataclass(frozen=True)
class _Agreed:
    value: Any


@dataclass(frozen=True)
class _Named:
    nodes: Mapping[str, _Node]


@dataclass(frozen=True)
class _Rows:
    nodes: tuple[_Node, ...]
    key: Callable[[Mapping[str, Any]], Any] | None = None
    keys: tuple[Any, ...] = ()


_Node = _Agreed | _Named | _Rows | Choice


@dataclass(frozen=True)
class Taken:
    """What became of one place in the edition that was written: from which side, or ``new`` where from neither."""

    field: str
    side: Literal["one", "other", "both", "new"]


@dataclass(frozen=True)
class Merge:
    """Two editions laid over one another.

    Attributes:
        choices: every place where they differ, in the order of the document.
        read_again: the languages in which one of them has words that the other's author has not seen.
    """

    choices: tuple[Choice, ...]
    read_again: frozenset[str]
    _plan: _Node
    _unread: frozenset[str]

    @property
    def conflicts(self) -> tuple[Choice, ...]:
        """The places where a person must choose."""
        return tuple(choice for choice in self.choices if choice.proposed is None)

    @property
    def proposed(self) -> tuple[Choice, ...]:
        """The places that only one side changed, and that nobody's health hangs on."""
        return tuple(choice for choice in self.choices if choice.proposed is not None)

    def document(self, chosen: Mapping[int, Side]) -> dict[str, Any]:
        """The document that comes of the choices.

        Args:
            chosen: a side for each choice, by its number in ``choices``; where none is given, what is proposed.

        Raises:
            KeyError: a place where a person must choose has no side.
        """
        sides = {id(choice): chosen.get(n, choice.proposed) for n, choice in enumerate(self.choices)}
        document: dict[str, Any] = _resolved(self._plan, sides)
        unread = (self._unread | self.read_again) & set(document.get("title", ()))
        return document | ({"unread": sorted(unread)} if unread else {})

    def taken_into(self, document: Mapping[str, Any]) -> tuple[Taken, ...]:
        """Say of each place where the two differ which side stands in a document."""
        return tuple(_traced(self._plan, document))


def merge_entries(base: Entry | None, one: Entry, other: Entry) -> Merge:
    """Lay two editions over one another.

    Args:
        base: the newest edition that both come from; None where they have none in common.
        one: the first.
        other: the second.
    """
    documents = [{} if entry is None else _without_later(entry.document) for entry in (base, one, other)]
    plan = _plan("", *documents)
    return Merge(
        choices=tuple(_choices(plan)),
        read_again=_read_again(*documents),
        _plan=plan,
        _unread=one.unread | other.unread,
    )


def _without_later(document: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in document.items() if name not in _LATER}


def _read_again(base: Mapping[str, Any], one: Mapping[str, Any], other: Mapping[str, Any]) -> frozenset[str]:
    before, *after = (
        {(at, tag, text) for at, words in text_maps(ENTRY, document) for tag, text in words.items()}
        for document in (base, one, other)
    )
    new = [words - before for words in after]
    return frozenset(tag for _, tag, _ in new[0] ^ new[1])


def _plan(at: str, base: Any, one: Any, other: Any) -> _Node:
    if one is not _ABSENT and other is not _ABSENT and spelled(one) == spelled(other):
        return _Agreed(one)
    if not _WHOLE.fullmatch(at):
        if isinstance(one, dict) and isinstance(other, dict):
            return _named(at, base if isinstance(base, dict) else {}, one, other)
        if isinstance(one, list) and isinstance(other, list):
            rows = _rows(at, base if isinstance(base, list) else [], one, other)
            if rows is not None:
                return rows
    return _choice(at, base, one, other)


def _named(at: str, base: Mapping[str, Any], one: Mapping[str, Any], other: Mapping[str, Any]) -> _Named:
    names = dict.fromkeys((*one, *other))
    return _Named(
        {
            name: _plan(f"{at}.{name}" if at else name, *(side.get(name, _ABSENT) for side in (base, one, other)))
            for name in names
        }
    )


def _rows(at: str, base: Sequence[Any], one: Sequence[Any], other: Sequence[Any]) -> _Rows | None:
    """Line rows up by their name, or one by one where no list is longer than another; None where that cannot be."""
    sides = (base, one, other)
    if at in _KEYS and all(isinstance(row, dict) for side in sides for row in side):
        key = _KEYS[at]
        by_key = [{key(row): row for row in side} for side in sides]
        if all(len(found) == len(side) for found, side in zip(by_key, sides, strict=True)):
            keys = tuple(dict.fromkeys((*by_key[1], *by_key[2])))
            nodes = (_plan(f"{at}[{n}]", *(found.get(k, _ABSENT) for found in by_key)) for n, k in enumerate(keys))
            return _Rows(tuple(nodes), key, keys)
    if len(base) == len(one) == len(other) and not all(isinstance(row, str) for side in sides for row in side):
        return _Rows(tuple(_plan(f"{at}[{n}]", *rows) for n, rows in enumerate(zip(*sides, strict=True))))
    return None


def _choice(at: str, base: Any, one: Any, other: Any) -> Choice:
    proposed, why = _proposal(at, base, one, other)
    return Choice(at, _shown(base), _shown(one), _shown(other), proposed, why)


def _shown(value: Any) -> Any:
    return None if value is _ABSENT else value


def _proposal(at: str, base: Any, one: Any, other: Any) -> tuple[Side | None, Why]:
    if _is_safety(at, one, other):
        return None, "safety"
    if _same(base, other):
        return (None, "left-out") if _leaves_out(base, one) else ("one", "")
    if _same(base, one):
        return (None, "left-out") if _leaves_out(base, other) else ("other", "")
    return None, "both-changed"


def _same(left: Any, right: Any) -> bool:
    if left is _ABSENT or right is _ABSENT:
        return left is right
    return spelled(left) == spelled(right)


def _leaves_out(base: Any, changed: Any) -> bool:
    """True where something that stood before stands no more: whether that was meant cannot be seen."""
    if changed is _ABSENT:
        return True
    if isinstance(base, list) and isinstance(changed, list):
        have = {spelled(row) for row in changed}
        gone = sum(spelled(row) not in have for row in base)
        return gone > 0 and (len(changed) < len(base) or all(isinstance(row, str) for row in base))
    return isinstance(base, dict) and isinstance(changed, dict) and not base.keys() <= changed.keys()


def _is_safety(at: str, one: Any, other: Any) -> bool:
    root, _, rest = re.sub(r"\[\d+\]", "", at).partition(".")
    if root != "steps":
        return root in _SAFETY
    return rest.partition(".")[0] in _SAFETY_IN_STEPS if rest else _in_steps(one) != _in_steps(other)


def _in_steps(value: Any) -> list[str]:
    """What warnings and days a step, or a list of steps, holds."""
    steps = value if isinstance(value, list) else [value]
    found = (
        {name: step[name] for name in _SAFETY_IN_STEPS if name in step} for step in steps if isinstance(step, dict)
    )
    return sorted(spelled(part) for part in found if part)


def _choices(node: _Node) -> Iterator[Choice]:
    if isinstance(node, Choice):
        yield node
    elif isinstance(node, _Named):
        for inner in node.nodes.values():
            yield from _choices(inner)
    elif isinstance(node, _Rows):
        for inner in node.nodes:
            yield from _choices(inner)


def _resolved(node: _Node, sides: Mapping[int, Side | None]) -> Any:
    if isinstance(node, Choice):
        side = sides[id(node)]
        if side is None:
            raise KeyError(node.field)
        return node.taken(side)
    if isinstance(node, _Named):
        found = {name: _resolved(inner, sides) for name, inner in node.nodes.items()}
        return {name: value for name, value in found.items() if value is not None}
    if isinstance(node, _Rows):
        return [row for row in (_resolved(inner, sides) for inner in node.nodes) if row is not None]
    return node.value


def _traced(node: _Node, value: Any) -> Iterator[Taken]:
    if isinstance(node, Choice):
        yield Taken(node.field, _side_of(node, value))
    elif isinstance(node, _Named):
        for name, inner in node.nodes.items():
            yield from _traced(inner, value.get(name) if isinstance(value, dict) else None)
    elif isinstance(node, _Rows):
        for inner, row in zip(node.nodes, _rows_of(node, value), strict=True):
            yield from _traced(inner, row)


def _rows_of(node: _Rows, value: Any) -> list[Any]:
    """The rows of a document that stand where the plan's rows stand; None where they do not."""
    rows = value if isinstance(value, list) else []
    if node.key is not None:
        by_key = {node.key(row): row for row in rows if isinstance(row, dict)}
        return [by_key.get(key) for key in node.keys]
    return list(rows) if len(rows) == len(node.nodes) else [None] * len(node.nodes)


def _side_of(choice: Choice, value: Any) -> Literal["one", "other", "both", "new"]:
    sides: tuple[Side, ...] = choice.sides
    return next((side for side in sides if spelled(choice.taken(side)) == spelled(value)), "new")
