"""Waiting times as they are shown: where two values stand for one condition, the longer one, with the other beside it.

Not a rule and not a merge. Its one rule: a value is never dropped, and where none is published none is invented.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fieldbook.practices.entry import Entry


@dataclass(frozen=True)
class ShownWait:
    """One condition with its waiting time.

    Attributes:
        row: the row of the longest wait.
        others: the other rows for the same condition, longest first; a reviewer has not decided between them.
    """

    row: Mapping[str, Any]
    others: tuple[Mapping[str, Any], ...]

    @property
    def days(self) -> int | None:
        """The days to wait, or None where none is published (or where only newer software knows the word)."""
        return _days(self.row)


def waits_shown(entry: Entry) -> tuple[ShownWait, ...]:
    """Give the waiting times of an entry, one for each condition, in the order of the entry."""
    by_condition: dict[str, list[Mapping[str, Any]]] = {}
    for row in entry.rows("waiting"):
        by_condition.setdefault(_condition(row), []).append(row)
    shown = (sorted(rows, key=_length, reverse=True) for rows in by_condition.values())
    return tuple(ShownWait(rows[0], tuple(rows[1:])) for rows in shown)


def longer_waits(entry: Entry, beside: Entry) -> tuple[Mapping[str, Any], ...]:
    """Give the waits of an edition that stands beside another and that are longer than the other's own.

    Conditions are words of people and are not compared: what follows the same thing before the same thing counts.

    Args:
        entry: the edition that is shown.
        beside: one that no person has brought together with it.
    """
    own: dict[str, int] = {}
    for row in entry.rows("waiting"):
        own[_what(row)] = max(own.get(_what(row), 0), _length(row))
    return tuple(row for row in beside.rows("waiting") if _length(row) > own.get(_what(row), 0))


def _what(row: Mapping[str, Any]) -> str:
    return json.dumps([row.get("before"), row.get("after")])


def _condition(row: Mapping[str, Any]) -> str:
    return json.dumps([row.get("before"), row.get("after"), row.get("condition")], sort_keys=True)


def _length(row: Mapping[str, Any]) -> int:
    days = _days(row)
    return -1 if days is None else days


def _days(row: Mapping[str, Any]) -> int | None:
    days = row["days_min"]
    return days if isinstance(days, int) else None
