"""How two editions differ, field by field, with both wordings.

Not a merge. Its one rule: no difference is left out, and nothing that is equal is named.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from fieldbook.practices.entry import Entry


@dataclass(frozen=True)
class Difference:
    """One field that differs.

    Attributes:
        field: its path in the newer edition, or in the older one where it is gone.
        old: its value before; None where it is new.
        new: its value now; None where it is gone.
    """

    field: str
    old: Any
    new: Any


def differences(old: Entry, new: Entry) -> tuple[Difference, ...]:
    """Give every difference between two editions, in the order of the fields' names."""
    return tuple(_between(old.document, new.document, ""))


def _between(old: Any, new: Any, at: str) -> Iterator[Difference]:
    if isinstance(old, dict) and isinstance(new, dict):
        yield from _between_records(old, new, at)
    elif isinstance(old, list) and isinstance(new, list):
        yield from _between_lists(old, new, at)
    elif spelled(old) != spelled(new):
        yield Difference(at, old, new)


def _between_records(old: Mapping[str, Any], new: Mapping[str, Any], at: str) -> Iterator[Difference]:
    for name in sorted({*old, *new}):
        yield from _between(old.get(name), new.get(name), f"{at}.{name}" if at else name)


def _between_lists(old: Sequence[Any], new: Sequence[Any], at: str) -> Iterator[Difference]:
    """Line the items up first, so that a step put in between does not make all later steps differ."""
    matcher = SequenceMatcher(None, [spelled(item) for item in old], [spelled(item) for item in new], autojunk=False)
    for tag, old_from, old_to, new_from, new_to in matcher.get_opcodes():
        if tag == "equal":
            continue
        pairs = min(old_to - old_from, new_to - new_from)
        for n in range(pairs):
            yield from _between(old[old_from + n], new[new_from + n], f"{at}[{new_from + n}]")
        for n in range(old_from + pairs, old_to):
            yield Difference(f"{at}[{n}]", old[n], None)
        for n in range(new_from + pairs, new_to):
            yield Difference(f"{at}[{n}]", None, new[n])


def spelled(value: Any) -> str:
    """Spell a value so that equal ones are spelled alike."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False)
