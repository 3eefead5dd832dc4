"""Rules on water: what is watered with, open water, mosquitoes, fish, birds over fish, and wicks.

Not drinking water. Its one rule: water is judged by what may be in it and by who may fall into it, not by how it looks.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.practices import Entry

BIRDS = ("duck", "hen", "pigeon")
_STANDING_WATERS = ("drum", "fish", "pond")
_POND_WAIT_D, _DUNGED_WAIT_D = 12, 120
_OPEN_TO_CHILDREN = ("mesh", "none")
_OPEN_TO_MOSQUITOES = ("fence", "narrow_neck", "none", "stone_filled_tray")
_MOST_STANDING_D = 6
_SHOW_L, _AIR_L = 20, 200
_MOST_BIRDS_M2 = Decimal("0.5")
_MOST_RISE_CM, _MOST_RISE_IN_SAND_CM = 30, 15


def vessels_not_said(entry: Entry) -> bool:
    """True where it is not said what water stands in; fish always stand in something."""
    has_fish = bool(entry.facts.items("fish"))
    return not entry.facts.items("vessel") and (has_fish or entry.facts.not_said("vessel"))


def _waterings(entry: Entry) -> Iterator[Case]:
    yield from cases(entry, "irrigation")
    for case in cases(entry, "inputs"):
        if case.said("kind") == "fish_water":
            yield case.filled_in(source="fish")


def _pond_water_on_leaves(entry: Entry) -> Iterator[Outcome]:
    if entry.facts.not_said("irrigation"):
        yield Unsaid(("facts.irrigation",))
    for case in _waterings(entry):
        limit = _DUNGED_WAIT_D if _is_dunged(case) is True else _POND_WAIT_D
        truth = all_of(
            case.is_in("source", *_STANDING_WATERS),
            any_of(case.is_in("mode", "foliar"), case.said("wets_edible") is True),
            in_any(entry, "crop", lambda crop: all_of(crop.is_in("part", "leaf"), crop.flag("eaten_raw"))),
            case.below("wait_d", limit),
        )
        yield from fires(truth, Hit(case.path("wait_d"), value=f"{case.said('wait_d')} days", limit=f"{limit} days"))


def _is_dunged(case: Case) -> Truth:
    fed = in_any(case.entry, "fish", lambda fish: fish.flag("manure_fed"))
    over = in_any(case.entry, "animals", lambda animal: animal.flag("over_water"))
    return any_of(case.said("dunged") is True, fed, over)


def _each_vessel(entry: Entry) -> Iterator[Case | Unsaid]:
    if vessels_not_said(entry):
        yield Unsaid(("facts.vessel",))
    yield from cases(entry, "vessel")


def _drowning(entry: Entry) -> Iterator[Outcome]:
    for case in _each_vessel(entry):
        if isinstance(case, Unsaid):
            yield case
        elif case.said("cover") is None:
            yield from asked_at_start(entry, "cover", case.path("cover"), ask="a fastened lid, a lock or a fence")
        else:
            hit = Hit(case.path("cover"), value=str(case.said("cover")), limit="lid, lock or fence")
            yield from fires(case.is_in("cover", *_OPEN_TO_CHILDREN), hit)


def _mosquitoes(entry: Entry) -> Iterator[Outcome]:
    for case in _each_vessel(entry):
        if isinstance(case, Unsaid):
            yield case
        else:
            stands = all_of(case.is_in("cover", *_OPEN_TO_MOSQUITOES), case.above("age_water_d", _MOST_STANDING_D))
            value, limit = f"{case.said('age_water_d')} days", f"{_MOST_STANDING_D} days"
            yield from fires(stands, Hit(case.path("age_water_d"), value=value, limit=limit))


def _crowded_over_water(case: Case) -> Iterator[Outcome]:
    over = all_of(case.is_in("species", *BIRDS), case.flag("over_water"))
    areas = [area for one in cases(case.entry, "vessel") if (area := one.number("area_m2"))]
    count = case.number("n")
    if over is not True:
        yield from fires(over, Hit(case.path("over_water")))
    elif count is None or not areas:
        yield from asked_at_start(case.entry, "area", case.path("n"), ask="the number of birds and the water surface")
    elif count / sum(areas) > _MOST_BIRDS_M2:
        yield Hit(
            case.path("n"), value=f"{count / sum(areas):.2f} birds per m²", limit=f"{_MOST_BIRDS_M2} birds per m²"
        )


def _too_small_for_food(case: Case) -> Iterator[Outcome]:
    volumes = [volume for one in cases(case.entry, "vessel") if (volume := one.number("volume_l")) is not None]
    if case.said("purpose") in {"mosquito_control", "showing"}:
        return
    if not volumes:
        yield Unsaid(("facts.vessel.volume_l",))
        return
    largest = max(volumes)  # small cans beside the tank hold no fish
    small = any_of(largest <= _SHOW_L, all_of(largest <= _AIR_L, not_(case.flag("aeration"))))
    limit = f"more than {_SHOW_L} L, or more than {_AIR_L} L without air"
    yield from fires(small, Hit("facts.vessel.volume_l", value=f"{largest} L", limit=limit))


def _manure_fed(case: Case) -> Iterator[Outcome]:
    without = "C15" not in case.entry.facts.cautions
    yield from fires(all_of(case.flag("manure_fed"), without), Hit("facts.cautions", value="C15 is missing"))


def _wick_too_long(case: Case) -> Iterator[Outcome]:
    in_sand = all_of(case.above("rise_cm", _MOST_RISE_IN_SAND_CM), case.is_in("medium", "sand"))
    hit = Hit(case.path("rise_cm"), value=f"{case.said('rise_cm')} cm", limit="30 cm, in sand 15 cm")
    yield from fires(any_of(case.above("rise_cm", _MOST_RISE_CM), in_sand), hit)


RULES = (
    Rule(
        id="IRR-01",
        hazard="germs",
        result="stop",
        words="Pond, drum and fish water stays off leaves that are eaten raw in the last 12 days before picking; where "
        "droppings get into it, the 120 days of raw dung hold.",
        look=_pond_water_on_leaves,
        sources=("who2006-v2", "cfr205-c1-ii"),
        binds="WHO advises governments, for waste water; the reckoning (7 - 1) / 0.5 days with washing is ours; the "
        "120 days bind farms that sell as organic.",
        whose="part",
        figure="12 days, reckoned as (7 - 1) / 0.5 with washing; fish and drum water judged like waste water",
        instead=("foot-watering", "after-picking"),
    ),
    Rule(
        id="DRN-01",
        hazard="drowning",
        result="stop",
        words="A child can drown in minutes, even in a bucket. Cover or fence the water; a mesh is no cover.",
        look=_drowning,
        sources=("facts-for-life",),
        binds="It is advice to families.",
        whose="part",
        figure="a mesh is no cover; a narrow neck and a tray of stones are",
        instead=("cover-it",),
        judged="start",
    ),
    Rule(
        id="MOS-01",
        hazard="mosquitoes",
        result="answer",
        words="Mosquitoes grow up in a week of standing water. Empty, scrub or screen it every week.",
        look=_mosquitoes,
        sources=("aedes-page",),
        binds="It is advice to households.",
        whose="part",
        figure="a week as at most 6 days",
        instead=("empty-weekly",),
    ),
    Rule(
        id="FSH-01",
        hazard="fish kill",
        result="answer",
        words="Too many birds for this water: their dung takes the air from the fish.",
        look=each("animals", _crowded_over_water),
        sources=("pond-poultry", "ac155e"),
        binds="It is advice to pond keepers, for ponds and not for tanks.",
        whose="theirs",
        instead=("turn-the-loop", "fewer-birds"),
        judged="start",
    ),
    Rule(
        id="FSH-05",
        hazard="false hope",
        result="answer",
        words="For showing only: expect far less than a meal from so little water.",
        look=each("fish", _too_small_for_food),
        sources=("tp362",),
        whose="ours",
        figure="20 L, and 200 L without air",
        instead=("show-fish",),
    ),
    Rule(
        id="FSH-06",
        hazard="germs",
        result="stop",
        words="Fish that are fed with dung: gut and flesh need separate knives and boards, and cooking right through.",
        look=each("fish", _manure_fed),
        sources=("lan-fish",),
        whose="theirs",
        instead=("two-knives", "turn-the-loop"),
    ),
    Rule(
        id="WCK-01",
        hazard="crop failure",
        result="answer",
        words="Water will not climb that far.",
        look=each("wick", _wick_too_long),
        sources=("wick-guides", "jurin"),
        whose="theirs",
        instead=("short-wick",),
    ),
)
