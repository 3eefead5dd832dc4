"""The facts of one place, held against an entry by the same rules: when a site begins a practice.

Not the slip that asks for them, nor what a begun practice keeps. Its one rule: what an author wrote about a roof, a
can's past or a date elsewhere counts for nothing here; only the place's own facts do, and what is not said is never a
yes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from fieldbook.errors import FieldbookError
from fieldbook.practices import Entry
from fieldbook.practices.codes import ANIMAL_SPECIES
from fieldbook.practices.facts_shape import group_record
from fieldbook.practices.faults import Fault, Reading, first_of
from fieldbook.practices.shapes import DATE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.practices import Facts
    from fieldbook.practices.facts import Item
    from fieldbook.review.rule import Finding

PlaceFacts = MappingProxyType[str, Any]


@dataclass(frozen=True)
class _Fills:
    """Where a fact of a place stands among the facts: its group and field, and of which animal."""

    group: str
    field: str
    species: str = ""


_FILLS: Final = MappingProxyType(
    {
        "applied_on": _Fills("inputs", "wait_d"),
        "harvest_on": _Fills("inputs", "wait_d"),
        "wait_d": _Fills("inputs", "wait_d"),
        "dunged_area_m2": _Fills("inputs", "area_m2"),
        "dung_kg_year": _Fills("inputs", "amount_kg"),
        "for_sale": _Fills("inputs", "eaten_by_others"),
        "engineer_ok": _Fills("structure", "engineer_ok"),
        "safe_load_kg_m2": _Fills("structure", "safe_load_kg_m2"),
        "depth_cm": _Fills("structure", "depth_cm"),
        "density_kg_m3": _Fills("structure", "density"),
        "prior_use": _Fills("vessel", "prior_use"),
        "cover": _Fills("vessel", "cover"),
        "water_area_m2": _Fills("vessel", "area_m2"),
        "bird_flu": _Fills("area", "bird_flu"),
        "soil_source": _Fills("soil", "source"),
        "fish_kg": _Fills("fish", "kg"),
        "ammonia_ppm": _Fills("animals", "ammonia_ppm"),
        "stings_eyes": _Fills("animals", "stings_eyes"),
        **{f"{animal}_n": _Fills("animals", "n", animal) for animal in ANIMAL_SPECIES},
        **{f"{animal}_room_m2": _Fills("animals", "area_m2", animal) for animal in ANIMAL_SPECIES},
        **{f"{animal}_weight_kg": _Fills("animals", "weight_kg", animal) for animal in ANIMAL_SPECIES},
    }
)
PLACE_FACTS: Final = tuple(_FILLS)
"""The names of all facts of a place.

``applied_on`` and ``harvest_on`` are dates, or ``wait_d`` the whole days between them where no date can be trusted;
``hen_n``, ``hen_room_m2`` and ``hen_weight_kg`` (so for each animal) a count, the usable floor [m²] and the weight of
one [kg]; ``fish_kg`` all fish together [kg]; ``dunged_area_m2`` [m²],
``dung_kg_year`` [kg in a year on it], ``depth_cm`` [cm], ``density_kg_m3`` [kg/m³, wet], ``safe_load_kg_m2`` [kg/m²,
as a competent person stated it], ``water_area_m2`` [m²], ``ammonia_ppm`` [ppm]; ``engineer_ok``, ``for_sale`` and
``stings_eyes`` are true or false; ``prior_use``, ``cover``, ``bird_flu`` and ``soil_source`` are codes of the facts.
"""
# What an author cannot know elsewhere; how deep or dense a bed is, and how much dung it gets, a recipe may say.
_ONLY_HERE: Final = frozenset(
    (fills.group, fills.field) for name, fills in _FILLS.items() if name not in {"depth_cm", "density_kg_m3"}
) - {("inputs", "area_m2"), ("inputs", "amount_kg"), ("inputs", "eaten_by_others")}


class PlaceError(FieldbookError):
    """Facts of a place that cannot be judged as they stand.

    Attributes:
        faults: every fault; the field is the name of the fact.
    """

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        """Say the first fault, and how many there are."""
        super().__init__(first_of(faults, whole="the place"), hint=faults[0].hint)
        self.faults = faults


@dataclass(frozen=True)
class EntryAtPlace(Entry):
    """An entry as it would be done at one place: its facts are those of the place where only a place can tell."""

    place: Mapping[str, Any] = field(default_factory=dict)

    @cached_property
    def facts(self) -> Facts:
        """The facts of the entry with those of the place; it asks for nothing more, since this is the start."""
        said = Entry(self.document).facts
        in_space = {"structure"} if self.document.get("space", {}).get("roof") is True else set()
        given = {_FILLS[name].group for name in self.place}
        groups = {}
        for group in {*said.groups, *in_space, *(given - said.none)}:
            items = said.items(group) or ({"on_roof": True} if group in in_space else {},)
            groups[group] = tuple(_filled(group, item, self.place) for item in items)
        return replace(said, groups=groups, demands=frozenset(), at_place=True)


def _filled(group: str, item: Item, place: Mapping[str, Any]) -> Item:
    kept = {name: value for name, value in item.items() if (group, name) not in _ONLY_HERE}
    for name, value in place.items():
        fills = _FILLS[name]
        if fills.group == group and fills.species in {"", item.get("species")}:
            kept[fills.field] = value
            if name == "dung_kg_year":
                kept["times_a_year"] = 1
    return kept


def read_place(raw: Mapping[str, Any]) -> PlaceFacts:
    """Read the facts of a place; what is None, or nothing but spaces, is not said.

    Args:
        raw: by the names of `PLACE_FACTS`; dates as `datetime.date` or as text such as 2026-03-01.

    Returns:
        The facts with both dates as the whole days between them [d].

    Raises:
        PlaceError: a name or a value is not understood, or the dates contradict each other; all faults are in it.
    """
    reading = Reading(strict=True)
    said = {name: value for name, value in raw.items() if not _is_blank(value)}
    kept = {name: _read(name, value, reading) for name, value in said.items() if name in _FILLS}
    for name in said.keys() - kept.keys():
        reading.fault(name, "is not a fact of a place that the rules know", "take it out, or look at its spelling")
    wait = _wait_d(kept, reading)
    if reading.faults:
        raise PlaceError(tuple(reading.faults))
    return MappingProxyType(kept | wait)


def _is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def _read(name: str, value: Any, reading: Reading) -> Any:
    fills = _FILLS[name]
    if name not in {"applied_on", "harvest_on"}:
        return group_record(fills.group).fields[fills.field].shape.read(value, name, reading)
    text = value.isoformat() if isinstance(value, date) else value
    before = len(reading.faults)
    DATE.read(text, name, reading)
    try:
        return date.fromisoformat(text) if len(reading.faults) == before else text
    except ValueError:
        reading.fault(name, "this day is in no calendar", "write a date such as 2026-11-25")
        return text


def _wait_d(kept: dict[str, Any], reading: Reading) -> dict[str, int]:
    """Take both dates out, and give the whole days between them."""
    applied, harvest = kept.pop("applied_on", None), kept.pop("harvest_on", None)
    if not (isinstance(applied, date) and isinstance(harvest, date)):
        return {}
    days = (harvest - applied).days
    if days < 0:
        reading.fault("harvest_on", "the harvest is before the dung", "write the day of the next harvest after it")
    elif kept.get("wait_d", days) != days:
        reading.fault("wait_d", "the days between do not fit the two dates", "write the dates, or the days between")
    return {"wait_d": days}


def at_place(entry: Entry, place_facts: Mapping[str, Any]) -> EntryAtPlace:
    """Give an entry as it would be done at a place.

    Args:
        entry: the exact edition.
        place_facts: by the names of `PLACE_FACTS`; what is missing is not said.

    Raises:
        PlaceError: they are not understood.
    """
    return EntryAtPlace(entry.document, read_place(place_facts))


def place_facts_wanted(findings: Iterable[Finding]) -> tuple[str, ...]:
    """Give the facts of a place whose lack some findings name, in the order of `PLACE_FACTS`."""
    missing = {re.sub(r"\[\d+\]", "", name) for finding in findings for name in finding.missing}
    return tuple(name for name, fills in _FILLS.items() if f"facts.{fills.group}.{fills.field}" in missing)
