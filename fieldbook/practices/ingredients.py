"""What a practice holds, as pairs of purpose and thing: by these a withdrawal can stop every practice with one of them.

Not amounts and not free words. Its one rule: total and tolerant; what is not understood holds nothing, and ``other``
is no thing at all, or one withdrawal would stop what has nothing in common.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from fieldbook.practices.codes import INPUT_KINDS, MATERIAL_KINDS, SPRAY_PLANTS

# purpose (a group of ``facts``) -> where in an item the thing stands, and the things that can be named
PURPOSES: Final = MappingProxyType(
    {
        "inputs": ("kind", INPUT_KINDS),
        "materials": ("kind", MATERIAL_KINDS),
        "spray": ("plants", SPRAY_PLANTS),
    }
)
_NO_THING = "other"
THINGS: Final = tuple(sorted({thing for _, things in PURPOSES.values() for thing in things} - {_NO_THING}))


def ingredients_of(document: object) -> frozenset[tuple[str, str]]:
    """The pairs (purpose, thing) that an entry document holds."""
    facts = document.get("facts") if isinstance(document, dict) else None
    if not isinstance(facts, dict):
        return frozenset()
    found = set()
    for purpose, (name, _) in PURPOSES.items():
        for item in _listed(facts.get(purpose)):
            things = _listed(item.get(name)) if isinstance(item, dict) else []
            found |= {(purpose, thing) for thing in things if isinstance(thing, str) and thing != _NO_THING}
    return frozenset(found)


def can_be_named(purpose: str, thing: str) -> bool:
    """True where a withdrawal may name this thing for this purpose."""
    return purpose in PURPOSES and thing in PURPOSES[purpose][1] and thing != _NO_THING


def _listed(value: object) -> list[object]:
    if value is None:
        return []
    return value if isinstance(value, list) else [value]
