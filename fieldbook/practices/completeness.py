"""What an entry still lacks: to be repeatable by a stranger, and to be approved.

Not faults: an entry may be kept and offered while it lacks things, and says which. Its one rule: what is missing is
named, field by field; no score hides it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import HUMAN_WASTE_KINDS, RAW_DUNG_KINDS, TEA_KINDS
from fieldbook.practices.entry_shape import ENTRY
from fieldbook.practices.numbers import decimal_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from fieldbook.practices.entry import Entry

_BEFORE_EATING = frozenset(("eating-raw", "feeding", "harvest"))
_AFTER_ANYTHING = frozenset(("dung", "other", "spray", "tea", "urine", "water"))
_CARRIED = frozenset(("bottle_wall", "roof_bed", "wall"))
_ROUNDED = Decimal("0.95")  # what is said may be rounded, not wished away

PREPARATIONS = ("compost", "manure", "pest-deterrent")
_WAITED_INPUTS = frozenset((*RAW_DUNG_KINDS, *TEA_KINDS, *HUMAN_WASTE_KINDS, "animal_urine", "fish_water"))
_WAITED_WATER = frozenset(("drain", "drum", "fish", "flood", "greywater", "pond", "wastewater"))
_REUSED_WATER = frozenset(("re-used-kitchen", "re-used-wash"))


def missing_to_repeat(entry: Entry) -> tuple[str, ...]:
    """Give the names of the fields that a stranger would miss, in the order of the schema.

    A missing yield is not among them; it is named with the evidence.
    """
    needed = (name for name, field in ENTRY.fields.items() if field.need == "R")
    return tuple(name for name in needed if _applies(name, entry) and not _filled(entry, name))


def _applies(name: str, entry: Entry) -> bool:
    return name != "companions" or entry.kind == "companions"


def _filled(entry: Entry, name: str) -> bool:
    # An empty list of tools is an answer: nothing is needed.
    return name in entry.document and (bool(entry.document[name]) or name == "tools")


def missing_to_approve(entry: Entry) -> tuple[str, ...]:
    """Give the names of the fields without which no answer of a reviewer makes an approval possible."""
    return tuple(name for name, (applies, filled) in _BEFORE_APPROVAL.items() if applies(entry) and not filled(entry))


def carries_load(entry: Entry) -> bool:
    """True where something stands on a roof or hangs on a wall."""
    space = entry.document.get("space", {})
    structures = entry.facts.items("structure")
    on_wall = any(item.get("kind") in _CARRIED for item in structures)
    return bool(space.get("roof") or space.get("wall") or on_wall or any(item.get("on_roof") for item in structures))


def needs_ratios(entry: Entry) -> bool:
    """True for what is mixed or prepared."""
    facts = entry.facts
    mixed = any(item.get("kind") in TEA_KINDS for item in facts.items("inputs"))
    unmixed = entry.kind == "pest-deterrent" and facts.ruled_out("spray")
    return (entry.kind in PREPARATIONS and not unmixed) or bool(facts.items("spray")) or mixed


def needs_waiting(entry: Entry) -> bool:
    """True with manure, urine, re-used water or a spray."""
    facts = entry.facts
    inputs = any(item.get("kind") in _WAITED_INPUTS for item in facts.items("inputs"))
    waters = any(item.get("source") in _WAITED_WATER for item in facts.items("irrigation"))
    reused = not _REUSED_WATER.isdisjoint(entry.document.get("water_kind", ()))
    sprayed = bool(facts.items("spray") or facts.items("tea"))
    return inputs or waters or reused or sprayed or _waits_by_kind(entry)


def _waits_by_kind(entry: Entry) -> bool:
    """True where the kind says so, unless the facts know better (a deterrent that is a net, not a spray)."""
    group = {"manure": "inputs", "pest-deterrent": "spray"}.get(entry.kind)
    return group is not None and not entry.facts.ruled_out(group)


def names_hazards(entry: Entry) -> bool:
    """True where the entry itself carries cautions, so that it has hazards to answer."""
    return bool(entry.facts.cautions)


def _always(_: Entry) -> bool:
    return True


def _has(name: str) -> Callable[[Entry], bool]:
    return lambda entry: bool(entry.document.get(name))


def _load_said(entry: Entry) -> bool:
    """True where a wet weight stands that is not below what the entry's own depth and density come to."""
    said = _number(entry.document.get("space", {}).get("load_kg_m2_wet"))
    if said is None or said <= 0:
        return False
    return all(said >= own * _ROUNDED for own in map(_own_load_kg_m2, entry.facts.items("structure")))


def _own_load_kg_m2(structure: Mapping[str, Any]) -> Decimal:
    depth_cm, density_kg_m3 = _number(structure.get("depth_cm")), _number(structure.get("density"))
    laid = structure.get("on_roof") is True  # what hangs on a wall has no depth that presses on an area
    return depth_cm * density_kg_m3 / 100 if laid and depth_cm and density_kg_m3 else Decimal(0)


def _number(value: object) -> Decimal | None:
    return decimal_of(value.get("value") if isinstance(value, dict) else value)


def _wait_said(entry: Entry) -> bool:
    """True where each thing that is waited for has a wait of its own before anybody eats or feeds of it."""
    waits = [row for row in entry.rows("waiting") if row.get("before") in _BEFORE_EATING]
    answers = [frozenset({row["after"]}) if row.get("after") else _AFTER_ANYTHING for row in waits]
    if not _eaten(entry):
        return bool(entry.rows("waiting"))
    return bool(waits) and all(any(cause & answer for answer in answers) for cause in _causes(entry))


def _eaten(entry: Entry) -> bool:
    contacts = [item.get("contact") for item in entry.facts.items("inputs")]
    return not contacts or any(contact != "not_eaten" for contact in contacts) or bool(entry.facts.items("spray"))


def _causes(entry: Entry) -> tuple[frozenset[str], ...]:
    """What an entry's waits must follow: for each cause the words that may say so."""
    facts = entry.facts
    dunged = any(item.get("kind") in _WAITED_INPUTS - {"fish_water"} for item in facts.items("inputs"))
    return (
        *([frozenset({"dung", "other", "tea", "urine"})] if dunged else []),
        *([frozenset({"other", "spray"})] if facts.items("spray") else []),
    )


_BEFORE_APPROVAL: dict[str, tuple[Callable[[Entry], bool], Callable[[Entry], bool]]] = {
    "facts": (_always, _has("facts")),
    "hazards": (names_hazards, _has("hazards")),
    "ratios": (needs_ratios, _has("ratios")),
    "space.load_kg_m2_wet": (carries_load, _load_said),
    "waiting": (needs_waiting, _wait_said),
}
