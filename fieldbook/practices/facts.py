"""The facts of an entry, as the safety rules read them.

Not the rules. Its one rule: a value that is not understood here (newer software, a damaged document) counts as not
said, so that no rule can pass on it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.practices.facts_shape import FACTS, group_record
from fieldbook.practices.faults import Reading

if TYPE_CHECKING:
    from collections.abc import Mapping

Item = dict[str, Any]


@dataclass(frozen=True)
class Facts:
    """What is known, group by group.

    Attributes:
        groups: the filled groups, each as a tuple of its items; a single object counts as one item.
        none: groups known to have no place in the practice.
        demands: what the entry itself tells people to have checked before they start.
        cautions: keys of the cautions that stand with the entry.
        warned_against: groups that the text advises against; judged by no rule.
        at_place: the facts of one place are among them, so that nothing is left to ask for before the start.
    """

    groups: Mapping[str, tuple[Item, ...]] = field(default_factory=dict)
    none: frozenset[str] = frozenset()
    demands: frozenset[str] = frozenset()
    cautions: frozenset[str] = frozenset()
    warned_against: Mapping[str, tuple[Item, ...]] = field(default_factory=dict)
    at_place: bool = False

    def items(self, group: str) -> tuple[Item, ...]:
        """The items of a group; empty where it is not filled."""
        return self.groups.get(group, ())

    def ruled_out(self, group: str) -> bool:
        """True where it is known that the group has no place; a filled group never is ruled out."""
        return group in self.none and not self.items(group)

    def not_said(self, group: str) -> bool:
        """True where the group is neither filled nor ruled out."""
        return group not in self.none and not self.items(group)

    def path(self, group: str, index: int) -> str:
        """The field path of an item, as faults and findings name it."""
        single = len(self.items(group)) == 1 and group != "inputs"
        return f"facts.{group}" if single else f"facts.{group}[{index}]"


def read_facts(value: object, *, cannot_lack: str | None = None) -> Facts:
    """Read the block ``facts`` of any document, keeping only what is understood.

    Args:
        value: the block.
        cannot_lack: a group that the kind of practice always has; ruling it out is not believed.
    """
    block = value if isinstance(value, dict) else {}
    warned = block.get("warned_against")
    return Facts(
        groups=_groups_of(block),
        none=_known(block, "none") - {cannot_lack},
        demands=_known(block, "demands"),
        cautions=_known(block, "cautions"),
        warned_against=_groups_of(warned if isinstance(warned, dict) else {}),
    )


def _known(block: Mapping[str, Any], name: str) -> frozenset[str]:
    words = block.get(name)
    understood = [word for word in words if isinstance(word, str)] if isinstance(words, list) else []
    return frozenset(word for word in understood if not _faults(name, [word]))


def _faults(name: str, value: object) -> bool:
    reading = Reading(strict=True)
    FACTS.fields[name].shape.read(value, name, reading)
    return bool(reading.faults)


def _groups_of(block: Mapping[str, Any]) -> dict[str, tuple[Item, ...]]:
    found = {}
    for name in FACT_GROUPS:
        given = block.get(name)
        listed = given if isinstance(given, list) else [given]
        items = tuple(_understood(name, item) for item in listed if isinstance(item, dict))
        if items:
            found[name] = items
    return found


def _understood(group: str, item: Mapping[str, Any]) -> Item:
    record = group_record(group)
    kept = {}
    for name, value in item.items():
        if name in record.fields:
            reading = Reading(strict=True)
            clean = record.fields[name].shape.read(value, name, reading)
            if not reading.faults:
                kept[name] = clean
    return kept
