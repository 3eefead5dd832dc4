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


def _condition(row: Mapping[str, Any]) -> str:
    return json.dumps([row.get("before"), row.get("after"), row.get("condition")], sort_keys=True)


def _length(row: Mapping[str, Any]) -> int:
    days = _days(row)
    return -1 if days is None else days


def _days(row: Mapping[str, Any]) -> int | None:
    days = row["days_min"]
    return days if isinstance(days, int) else None
