"""Which questions of the slip an entry raises: what only the place can tell, of what the practice has.

Not the questions themselves (``slip_table``) and not the answers. Its one rule: a question is raised where the entry
has the thing or does not say that it has none; nobody is asked what the entry cannot meet.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from fieldbook.practices.codes import RAW_DUNG_KINDS
from fieldbook.review.case import cases
from fieldbook.review.creatures import birds
from fieldbook.review.dressing import dressings, inputs_not_said, is_raw, reaches_food
from fieldbook.review.slip_table import ANIMALS, QUESTIONS, Question
from fieldbook.review.things import on_roof
from fieldbook.review.truth import Unsaid, all_of, any_of
from fieldbook.review.waters import BIRDS

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from fieldbook.practices import Entry
    from fieldbook.review.case import Case

_SPRAYS_THAT_KILL_FISH = ("chilli", "neem", "rotenone", "tephrosia", "tobacco")


def questions_of(entry: Entry) -> tuple[Question, ...]:
    """Give the questions that an entry raises.

    Returns:
        Yes-or-no questions, then numbers and days of the place, then those of animals; none twice.
    """
    raised = [question for code, question in QUESTIONS.items() if code in _RAISED and _RAISED[code](entry)]
    species = species_of(entry)
    raised += [question for code, question in QUESTIONS.items() if code.partition("_")[0] in species]
    return tuple(replace(one, hint=_depth_hint(entry)) if one.code == "depth_cm" else one for one in raised)


def is_on_roof(entry: Entry) -> bool:
    """True where the practice stands on a roof or balcony."""
    return entry.document.get("space", {}).get("roof") is True or any(
        on_roof(case) is True for case in cases(entry, "structure")
    )


def hangs_on_wall(entry: Entry) -> bool:
    """True where a wall carries the practice."""
    walls = (case.is_in("kind", "bottle_wall", "wall") is True for case in cases(entry, "structure"))
    return entry.document.get("space", {}).get("wall") is True or any(walls)


def stated_depth_cm(entry: Entry) -> Decimal | None:
    """The depth of soil that the entry itself states [cm], the largest of several."""
    depths = (case.number("depth_cm") for case in cases(entry, "structure"))
    return max((depth for depth in depths if depth is not None), default=None)


def is_dunged(entry: Entry) -> bool:
    """True where raw dung, what may be raw dung, or human urine may come to food."""
    return inputs_not_said(entry) or any(_may_be_raw(case) for case in dressings(entry))


def dung_kinds(entry: Entry) -> tuple[str, ...]:
    """The kinds of solid raw dung that go on a bed."""
    kinds = (str(case.said("kind")) for case in cases(entry, "inputs"))
    return tuple(dict.fromkeys(kind for kind in kinds if kind in RAW_DUNG_KINDS))


def species_of(entry: Entry) -> tuple[str, ...]:
    """The animals of the practice for whom a least room was published."""
    kept = (str(case.said("species")) for case in cases(entry, "animals"))
    return tuple(dict.fromkeys(species for species in kept if species in ANIMALS))


def birds_over_water(entry: Entry) -> tuple[str, ...]:
    """The birds of the practice that live over water."""
    over = (case for case in cases(entry, "animals") if case.flag("over_water") is True)
    return tuple(dict.fromkeys(str(case.said("species")) for case in over if case.said("species") in BIRDS))


def _may_have(entry: Entry, group: str) -> bool:
    return not entry.facts.ruled_out(group)


def _has_fish(entry: Entry) -> bool:
    return bool(entry.facts.items("fish"))


def _holds_water(entry: Entry) -> bool:
    return _may_have(entry, "vessel") or _has_fish(entry)


def _asks(entry: Entry, *codes: str) -> bool:
    return not entry.facts.demands.isdisjoint(codes)


def _is_carried(entry: Entry) -> bool:
    return is_on_roof(entry) or hangs_on_wall(entry) or _asks(entry, "engineer_ok", "safe_load")


def _ground_not_known(entry: Entry) -> bool:
    unsaid = any(isinstance(on_roof(case), Unsaid) for case in cases(entry, "structure"))
    return not _is_carried(entry) and (unsaid or entry.facts.not_said("structure"))


def _near_birds(entry: Entry) -> bool:
    return birds(entry) is not False or _asks(entry, "bird_flu")


def _kills_fish(entry: Entry) -> bool:
    known = [case.holds("plants", *_SPRAYS_THAT_KILL_FISH) for case in cases(entry, "spray")]
    return entry.facts.not_said("spray") or any(one is not False for one in known)


def _may_be_raw(case: Case) -> bool:
    raw = any_of(is_raw(case), case.is_in("kind", "human_urine"))
    return all_of(raw, reaches_food(case)) is not False


def _needs_bed_size(entry: Entry) -> bool:
    return is_on_roof(entry) or bool(dung_kinds(entry))


def _depth_hint(entry: Entry) -> str:
    depth = stated_depth_cm(entry)
    return "" if depth is None else f"the practice entry says {depth} cm"


_RAISED: Final[dict[str, Callable[[Entry], bool]]] = {
    "engineer_ok": _is_carried,
    "way_up": is_on_roof,
    "nobody_below": is_on_roof,
    "on_ground": _ground_not_known,
    "prior_use_known": lambda entry: _holds_water(entry) or _asks(entry, "prior_use"),
    "covered": lambda entry: _holds_water(entry) or _asks(entry, "cover"),
    "soil_clean": lambda entry: _may_have(entry, "soil") or _asks(entry, "soil_source"),
    "no_bird_flu": _near_birds,
    "outside_rooms": lambda entry: _may_have(entry, "animals"),
    "air_ok": lambda entry: _may_have(entry, "animals"),
    "far_from_water": _kills_fish,
    "safe_load_kg_m2": _is_carried,
    "depth_cm": is_on_roof,
    "bed_length_cm": _needs_bed_size,
    "bed_width_cm": _needs_bed_size,
    "applied_on": is_dunged,
    "harvest_on": is_dunged,
    "dung_kg_year": lambda entry: bool(dung_kinds(entry)),
    "water_area_m2": lambda entry: _has_fish(entry) or bool(birds_over_water(entry)),
    "fish_kg": _has_fish,
}
