"""The questions of the slip "Before you start here", as a table: words, whom to ask, the rule behind each.

Not which of them an entry raises (``slip_questions``). Its one rule: a yes is always the careful answer, and whatever
is no yes has a reason in words.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, Literal

EVENTS: Final = MappingProxyType(
    {"storm": "there was a storm", "flood": "there was a flood", "move": "we moved", "rebuild": "it was rebuilt"}
)
"""What makes answers lapse at once, by code, as a person says it."""
ANIMALS: Final = MappingProxyType({"goat": "grown goats", "hen": "hens", "rabbit": "rabbits"})
"""The animals for whom a least room was published, as they are counted."""

_ALL = frozenset(EVENTS)
_GROUND, _MADE, _MOVE = frozenset({"flood", "move"}), frozenset({"rebuild", "move"}), frozenset({"move"})
_CARRY = ("ask-builder", "posts", "trellis")
_ROOM = {"goat": ("wider-pen",), "hen": ("more-room",), "rabbit": ("wider-hutch",)}
_DUNG = ("dung-day", "two-boxes", "checked-heap")


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question of the slip.

    Attributes:
        code: the name of its answer.
        words: as it is read on the page and on paper.
        takes: ``yes`` (yes, no or do not know), ``number``, or ``day`` (a date).
        ask: the role to ask, a code of `ROLES_HERE`; empty where whoever begins looks for themselves.
        rule: the rule, or the caution, that it serves.
        reason: what is said where the answer is no, or is not known.
        unit: of a number.
        most: the largest number that is taken.
        whole: a number without a fraction.
        instead: keys of safe ways.
        events: what makes its answer lapse.
        hint: what the entry itself says of it.
    """

    code: str
    words: str
    takes: Literal["yes", "number", "day"] = "yes"
    ask: str = ""
    rule: str
    reason: str
    unit: str = ""
    most: int = 100_000
    whole: bool = False
    instead: tuple[str, ...] = ()
    events: frozenset[str] = _ALL
    hint: str = ""

    def as_document(self) -> dict[str, Any]:
        """The question as JSON."""
        kept = ("code", "words", "takes", "ask", "rule", "unit", "hint")
        return {name: value for name in kept if (value := getattr(self, name))}


_ENGINEER = Question(
    code="engineer_ok",
    words="Has a competent person looked at this very place and said in writing that it may carry this?",
    ask="builder",
    rule="STR-01",
    reason="no competent person has looked at this very place and said in writing that it may carry this",
    instead=_CARRY,
)
_WAY_UP = Question(
    code="way_up",
    words="Is there an edge barrier, and a firm way up that is no place for children?",
    ask="builder",
    rule="C07",
    reason="there is no edge barrier, or no firm way up that is no place for children",
    instead=("posts", "trellis"),
)
_NOBODY_BELOW = Question(
    code="nobody_below",
    words="Does nobody sleep or work under it, or did that person say that people may be there?",
    ask="builder",
    rule="STR-01",
    reason="people sleep or work under it, and nobody competent has said that they may",
    instead=("posts", "trellis"),
)
_ON_GROUND = Question(
    code="on_ground",
    words="Does all of it stand on firm ground: not on a roof, a balcony or a wall?",
    rule="STR-01",
    reason="it does not stand on firm ground, and nobody competent has said that its place may carry it",
    instead=("ask-builder", "posts"),
)
_PRIOR_USE = Question(
    code="prior_use_known",
    words="Do you know of each container that it held only food or drinking water before, or is new?",
    ask="health-officer",
    rule="MAT-01",
    reason="it is not known of each container here that it held only food or drinking water",
    instead=("swap-container", "collection-point"),
    events=_GROUND,
)
_COVERED = Question(
    code="covered",
    words="Will each container and open water have a fastened lid, a lock, a fence that no small child can pass, or, "
    "as a hen drinker, a narrow neck or stones in it?",
    rule="DRN-01",
    reason="not each container and open water here has a fastened lid, a lock or a fence",
    instead=("cover-it",),
)
_SOIL = Question(
    code="soil_clean",
    words="Does the soil come from where there never was a road, a dump, a workshop, old paint or batteries?",
    ask="health-officer",
    rule="SOI-01",
    reason="it is not known that the soil here comes from a clean place",
    instead=("clean-raised-soil", "fruit-there"),
    events=_GROUND,
)
_BIRD_FLU = Question(
    code="no_bird_flu",
    words="Has the animal-health worker said that no bird flu is known near here?",
    ask="animal-health-worker",
    rule="ZOO-03",
    reason="the animal-health worker has not said that no bird flu is known near here",
    instead=("turn-the-loop",),
    events=_MOVE,
)
_OUTSIDE = Question(
    code="outside_rooms",
    words="Will the animals live outside the rooms where people sleep, cook or eat, and not above them?",
    ask="health-officer",
    rule="C14",
    reason="it is not made sure that the animals live outside the rooms where people sleep, cook or eat",
    events=_MADE,
)
_AIR = Question(
    code="air_ok",
    words="Is the animal house, where there is one already, dry, and its air such that it does not sting the eyes?",
    rule="ANI-04",
    reason="the animal house is wet, or its air stings the eyes",
    instead=("open-the-house",),
    events=_MADE | {"flood"},
)
_FAR = Question(
    code="far_from_water",
    words="Is every pond, fish drum and stream at least 10 m away from where this is sprayed?",
    rule="PST-03",
    reason="not all open water is at least 10 m away from where this would be sprayed",
    instead=("far-from-water", "gentler-first"),
    events=_GROUND,
)
_SAFE_LOAD = Question(
    code="safe_load_kg_m2",
    words="How much more weight may this place carry, as that person stated it?",
    takes="number",
    unit="kg/m²",
    ask="builder",
    rule="STR-02",
    reason="nobody has stated how much more weight this place may carry",
    instead=_CARRY,
)
_DEPTH = Question(
    code="depth_cm",
    words="How deep will the soil be here?",
    takes="number",
    unit="cm",
    most=500,
    rule="STR-02",
    reason="it is not said how deep the soil will be here",
    events=_MADE,
)
_LONG = Question(
    code="bed_length_cm",
    words="How long is the bed here?",
    takes="number",
    unit="cm",
    rule="MAN-07",
    reason="it is not said how long the bed is here",
    events=_MADE,
)
_WIDE = Question(
    code="bed_width_cm",
    words="How wide is the bed here?",
    takes="number",
    unit="cm",
    rule="MAN-07",
    reason="it is not said how wide the bed is here",
    events=_MADE,
)
_DUNG_DAY = Question(
    code="applied_on",
    words="On which day does the raw dung, or water with dung in it, go into this bed for the last time?",
    takes="day",
    rule="MAN-01",
    reason="the day of the last dung in this bed is not said",
    instead=_DUNG,
    events=_GROUND,
)
_FIRST_PICKING = Question(
    code="harvest_on",
    words="On which day after that is the first of it picked to be eaten, at the earliest?",
    takes="day",
    rule="MAN-01",
    reason="the day of the first picking from this bed is not said",
    instead=_DUNG,
    events=_GROUND,
)
_DUNG_KG = Question(
    code="dung_kg_year",
    words="How much dung does this bed get in a year, all together?",
    takes="number",
    unit="kg",
    rule="MAN-07",
    reason="it is not said how much dung this bed gets in a year",
    instead=("larger-area",),
    events=_MOVE,
)
_WATER = Question(
    code="water_area_m2",
    words="How large is the surface of the fish water, all together?",
    takes="number",
    unit="m²",
    rule="FSH-02",
    reason="it is not said how large the surface of the fish water is",
    events=_MADE,
)
_FISH = Question(
    code="fish_kg",
    words="How much will all the fish in it weigh when they are grown?",
    takes="number",
    unit="kg",
    rule="FSH-02",
    reason="it is not said how much the fish will weigh",
    events=_MADE,
)
_OF_PLACES = (
    *(_ENGINEER, _WAY_UP, _NOBODY_BELOW, _ON_GROUND, _PRIOR_USE, _COVERED, _SOIL, _BIRD_FLU, _OUTSIDE, _AIR, _FAR),
    *(_SAFE_LOAD, _DEPTH, _LONG, _WIDE, _DUNG_DAY, _FIRST_PICKING, _DUNG_KG, _WATER, _FISH),
)


def _of_animals(species: str) -> tuple[Question, ...]:
    animals = ANIMALS[species]
    said = "it is not said how many animals will live here, or what they weigh"
    count = Question(
        code=f"{species}_n",
        words=f"How many {animals} will live here, all together?",
        takes="number",
        whole=True,
        rule="ANI-01",
        reason=said,
        events=_MADE,
    )
    weight = Question(
        code=f"{species}_weight_kg",
        words=f"How much does the heaviest of the {animals} weigh?",
        takes="number",
        unit="kg",
        most=200,
        rule="ANI-02",
        reason=said,
        events=_MADE,
    )
    return (count, *((weight,) if species == "rabbit" else ()), *_floor(species))


def _floor(species: str) -> tuple[Question, ...]:
    animals = ANIMALS[species]
    reason = "it is not said how much floor the animals can use here"
    ways = _ROOM[species]
    return (
        Question(
            code=f"{species}_floor_length_cm",
            words=f"How long is the floor that the {animals} can use?",
            takes="number",
            unit="cm",
            rule="ANI-01",
            reason=reason,
            instead=ways,
            events=_MADE,
        ),
        Question(
            code=f"{species}_floor_width_cm",
            words=f"How wide is the floor that the {animals} can use?",
            takes="number",
            unit="cm",
            rule="ANI-01",
            reason=reason,
            instead=ways,
            events=_MADE,
        ),
    )


QUESTIONS: Final = MappingProxyType(
    {one.code: one for one in (*_OF_PLACES, *(one for species in ANIMALS for one in _of_animals(species)))}
)
"""Every question by its code, in the order in which they are asked."""
