"""Which cautions an entry must carry: for each hazard class, whether it is present.

Not the words of the cautions, which pages and sheets show in the reader's language. Its one rule: a class is absent
only where the facts rule it out.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from fieldbook.practices.codes import HUMAN_WASTE_KINDS, RAW_DUNG_KINDS, TEA_KINDS
from fieldbook.review.case import Case, has, in_any
from fieldbook.review.creatures import birds
from fieldbook.review.rule import Hit, Outcome, Rule, each, fires
from fieldbook.review.things import LEAD_SOILS, on_roof
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from fieldbook.practices import Entry

NAMES: Final = MappingProxyType(
    {
        "C01": "germs in dung",
        "C02": "human waste",
        "C03": "water that is not clean",
        "C04": "containers",
        "C05": "timber, tyres, paint, metal",
        "C06": "lead in soil",
        "C07": "weight",
        "C08": "tall sacks and towers",
        "C09": "drowning",
        "C10": "mosquitoes",
        "C11": "manure gas, wells, pits",
        "C12": "ammonia",
        "C13": "sick birds and animals",
        "C14": "small children, pregnant or ill people",
        "C15": "fish",
        "C16": "eyes, skin, lungs",
        "C17": "bees and fish",
        "C18": "home sprays",
        "C19": "poisonous or strong plants",
        "C20": "compost dust and wounds",
        "C21": "fire",
        "C22": "lifting, children's work",
        "C23": "animal welfare",
        "C24": "nutrition",
    }
)
_DUNG = (*RAW_DUNG_KINDS, *TEA_KINDS, "animal_urine", "compost", "worm_compost")
_COMPOSTS = ("compost", "plant_compost", "worm_compost")
_UNCLEAN = ("drain", "drum", "fish", "flood", "greywater", "pond", "wastewater")
_IRRITANTS = ("ash", "chilli", "lime", "neem", "tagetes", "tobacco")
_NIGHTSHADES = ("nightshade", "solanum nigrum", "solanum scabrum", "managu", "mnavu", "morelle noire", "hierba mora")
_NIGHTSHADE_SPECIES = ("solanum americanum", "solanum nigrum", "solanum scabrum", "solanum villosum")
_SHUT = ("lid", "lock", "mesh")
_NO_CHILD_FALLS_IN = ("lid", "lock", "narrow_neck", "stone_filled_tray")


def _any(group: str, name: str, *codes: str) -> Callable[[Entry], Truth]:
    return lambda entry: in_any(entry, group, lambda case: case.is_in(name, *codes))


def _lists(group: str, name: str, *codes: str) -> Callable[[Entry], Truth]:
    return lambda entry: in_any(entry, group, lambda case: case.holds(name, *codes))


def _with(group: str) -> Callable[[Entry], Truth]:
    return lambda entry: has(entry, group)


def _or(*questions: Callable[[Entry], Truth]) -> Callable[[Entry], Truth]:
    return lambda entry: any_of(*(question(entry) for question in questions))


def _kind_is(kind: str) -> Callable[[Entry], Truth]:
    return lambda entry: entry.kind == kind


def _heavy(entry: Entry) -> Truth:
    space = entry.document.get("space", {})
    hung = in_any(entry, "structure", lambda one: any_of(on_roof(one), one.is_in("kind", "bottle_wall", "wall")))
    return any_of(space.get("roof") is True, space.get("wall") is True, hung)


def _drownable(entry: Entry) -> Truth:
    open_vessel = in_any(entry, "vessel", lambda case: not_(case.is_in("cover", *_NO_CHILD_FALLS_IN)))
    return any_of(has(entry, "fish"), open_vessel)


def _breeds_mosquitoes(entry: Entry) -> Truth:
    return in_any(entry, "vessel", lambda case: not_(case.is_in("cover", *_SHUT)))


def _makes_compost(entry: Entry) -> Truth:
    """Whether compost is made; where none is used either, nothing more need be said."""
    if entry.kind == "compost" or entry.facts.items("compost"):
        return True
    used = in_any(entry, "inputs", lambda case: case.is_in("kind", *_COMPOSTS))
    return all_of(has(entry, "compost"), used)


def _nightshade(entry: Entry) -> Truth:
    """Whether the leaf nightshade is grown: by the names of the crops, or by a scientific name of the entry."""
    names = [str(crop.get("name", "")).casefold() for crop in entry.facts.items("crop")]
    scientific = [str(row.get("scientific", "")).casefold() for row in entry.rows("taxa")]
    return any(word in name for name in names for word in _NIGHTSHADES) or any(
        name.startswith(_NIGHTSHADE_SPECIES) for name in scientific
    )


def _may_be_nightshade(entry: Entry) -> Truth:
    unnamed = in_any(entry, "crop", lambda crop: crop.unsaid("name") if crop.said("name") is None else False)
    return any_of(_nightshade(entry), unnamed)


def _nightshade_unwarned(entry: Entry) -> Iterator[Outcome]:
    without = "C19" not in entry.facts.cautions
    hit = Hit("facts.cautions", value="C19 is missing", limit="C19")
    yield from fires(all_of(_may_be_nightshade(entry), without), hit)


def _into_the_gas(case: Case) -> Iterator[Outcome]:
    without = "C11" not in case.entry.facts.cautions
    hit = Hit("facts.cautions", value="C11 is missing", limit="C11")
    yield from fires(all_of(case.holds("kind", "pit_or_tank_work"), without), hit)


CALLED_BY: Final[dict[str, Callable[[Entry], Truth]]] = {
    "C01": _any("inputs", "kind", *_DUNG),
    "C02": _any("inputs", "kind", *HUMAN_WASTE_KINDS),
    "C03": _or(_any("irrigation", "source", *_UNCLEAN), _any("inputs", "kind", "fish_water")),
    "C04": _with("vessel"),
    "C05": _or(_any("materials", "kind", "timber", "tyre"), _any("structure", "kind", "tyre")),
    "C06": _any("soil", "source", *LEAD_SOILS),
    "C07": _heavy,
    "C08": _any("structure", "kind", "sack", "tower", "tyre"),
    "C09": _drownable,
    "C10": _breeds_mosquitoes,
    "C11": _lists("task", "kind", "pit_or_tank_work"),
    "C12": _with("animals"),
    "C13": birds,
    "C14": _or(_with("animals"), _any("inputs", "kind", *_DUNG)),
    "C15": _with("fish"),
    "C16": _lists("spray", "plants", *_IRRITANTS),
    "C17": _with("spray"),
    "C18": _with("spray"),
    "C19": _or(_nightshade, _lists("spray", "plants", "tobacco")),
    "C20": _makes_compost,
    "C21": _makes_compost,
    "C22": _or(_heavy, _with("spray"), _lists("task", "kind", "lifting", "pit_or_tank_work", "roof_work")),
    "C23": _with("animals"),
    "C24": _or(_with("nutrition"), _kind_is("food")),
}


def missing_cautions(entry: Entry) -> tuple[str, ...]:
    """Give the keys of the cautions that a hazard of this entry calls for and that do not stand with it."""
    return tuple(hit.caution for hit in _missing_cautions(entry) if isinstance(hit, Hit))


def _missing_cautions(entry: Entry) -> Iterator[Outcome]:
    for key, is_called_for in CALLED_BY.items():
        called = False if key in entry.facts.cautions else is_called_for(entry)
        if isinstance(called, Unsaid):
            yield called
        elif called:
            yield Hit("facts.cautions", value=f"{key} is missing", limit=key, caution=key)


RULES = (
    Rule(
        id="GEN-02",
        hazard="liability",
        result="stop",
        words="Each hazard stands with its caution.",
        look=_missing_cautions,
        sources=("ours",),
        whose="part",
        figure="which hazards call for which caution",
        instead=("add-caution",),
    ),
    Rule(
        id="GAS-01",
        hazard="death",
        result="stop",
        words="Never enter or lean into a pit, a closed manure tank or a well: the gas kills within breaths.",
        look=each("task", _into_the_gas),
        sources=("ontario-gas",),
        binds="It is advice to farms.",
        whose="theirs",
        instead=("no-entry",),
    ),
    Rule(
        id="PLT-01",
        hazard="poison",
        result="stop",
        words="Nightshade: no green berries; boil the leaves and throw the water away.",
        look=_nightshade_unwarned,
        sources=("avrdc",),
        binds="It is advice to growers.",
        whose="theirs",
        instead=("add-c19", "other-leaf"),
    ),
)
