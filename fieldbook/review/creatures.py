"""Rules on animals: room, who may touch them, and bird flu.

Not a vet. Its one rule: what is going on around a place, the entry must ask for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.practices.codes import RAW_DUNG_KINDS
from fieldbook.quantities import GOAT_PEN_M2, rabbit_floor_m2
from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of
from fieldbook.review.waters import BIRDS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Result

_MOST_HENS_M2, _MOST_ON_LITTER_M2 = 9, 3
_AMMONIA_FELT_PPM, _AMMONIA_MOST_PPM = 20, 25
_TOUCHING = ("handling_birds", "handling_droppings", "slaughter")
_AT_RISK = ("pregnant", "under_5")


def _crowded(case: Case) -> Iterator[Outcome]:
    hens = case.is_in("species", "hen")
    count, area = case.number("n"), case.number("area_m2")
    if hens is not True:
        yield from fires(hens, Hit(case.path("species")))
    elif count is None or not area:
        yield from asked_at_start(case.entry, "area", case.path("area_m2"), ask="the number of hens and their room")
    elif count / area > _MOST_HENS_M2:
        yield Hit(case.path("n"), value=f"{count / area:.2f} hens per m²", limit=f"{_MOST_HENS_M2} hens per m²")
    elif count / area > _MOST_ON_LITTER_M2:
        value, limit = f"{count / area:.2f} hens per m²", f"{_MOST_ON_LITTER_M2} hens per m² on deep litter"
        yield from fires(case.is_in("litter", "deep_litter"), Hit(case.path("n"), value, limit, result="answer"))


def _small_hutch(case: Case) -> Iterator[Outcome]:
    rabbits = case.is_in("species", "rabbit")
    count, area, weight = case.number("n"), case.number("area_m2"), case.number("weight_kg")
    if rabbits is not True:
        yield from fires(rabbits, Hit(case.path("species")))
    elif not count or area is None or weight is None:
        ask = "the number of rabbits, their weight and their room"
        yield from asked_at_start(case.entry, "area", case.path("area_m2"), ask=ask)
    elif area / count < (least := rabbit_floor_m2(weight_kg=weight, with_litter=False)):
        value, limit = f"{area / count:.2f} m² for one of {weight} kg", f"{least} m² for one of {weight} kg"
        yield Hit(case.path("area_m2"), value=value, limit=limit)


def _small_pen(case: Case) -> Iterator[Outcome]:
    goats = case.is_in("species", "goat")
    count, area = case.number("n"), case.number("area_m2")
    if goats is not True:
        yield from fires(goats, Hit(case.path("species")))
    elif not count or area is None:
        yield from asked_at_start(case.entry, "area", case.path("area_m2"), ask="the number of goats and their room")
    elif area / count < GOAT_PEN_M2:
        yield Hit(case.path("area_m2"), value=f"{area / count:.2f} m² for one", limit=f"{GOAT_PEN_M2} m² for one")


def _stinging_air(case: Case) -> Iterator[Outcome]:
    """No meter is needed where the entry carries the caution to open the house when the air stings the eyes."""
    measured = case.number("ammonia_ppm")
    if measured is not None and measured > _AMMONIA_FELT_PPM:
        result: Result = "stop" if measured > _AMMONIA_MOST_PPM else "answer"
        yield Hit(case.path("ammonia_ppm"), f"{measured} ppm", f"{_AMMONIA_FELT_PPM} ppm", result=result)
    elif case.said("stings_eyes") is True:
        yield Hit(case.path("stings_eyes"), value="the air stings the eyes", limit="it does not", result="answer")
    elif measured is None and case.said("stings_eyes") is None and not _asks_for_the_air(case.entry):
        yield Unsaid((case.path("stings_eyes"),))


def _asks_for_the_air(entry: Entry) -> bool:
    return "C12" in entry.facts.cautions and not entry.facts.at_place


def birds(entry: Entry) -> Truth:
    """Whether the practice has birds."""
    return in_any(entry, "animals", lambda animal: animal.is_in("species", *BIRDS))


def _touches(entry: Entry) -> Truth:
    """Whether somebody touches birds or droppings: by the task, the birds that are kept or the dung that is used."""
    dung = in_any(entry, "inputs", lambda one: one.is_in("kind", *RAW_DUNG_KINDS, "manure_tea"))
    by_task = any(task.holds("kind", *_TOUCHING) is True for task in cases(entry, "task"))
    return any_of(dung, birds(entry), by_task)


def _not_for_small_children(entry: Entry) -> Iterator[Outcome]:
    audience = in_any(entry, "task", lambda task: task.holds("audience", *_AT_RISK))
    if entry.facts.ruled_out("task"):
        audience = Unsaid(("facts.task.audience",))
    value = ", ".join(sorted({who for case in cases(entry, "task") for who in case.said("audience") or ()}))
    yield from fires(all_of(_touches(entry), audience), Hit("facts.task.audience", value=value, limit="not these"))


def _no_word_on_bird_flu(entry: Entry) -> Iterator[Outcome]:
    without = "C13" not in entry.facts.cautions
    yield from fires(all_of(birds(entry), without), Hit("facts.cautions", value="C13 is missing"))


def _droppings_as_feed(entry: Entry) -> Iterator[Outcome]:
    fed = all_of(_bird_droppings(entry), _fed_on(entry))
    area = [case.said("bird_flu") for case in cases(entry, "area")]
    demanded = "bird_flu" in entry.facts.demands
    if fed is not True:
        yield from fires(fed, Hit("facts.animals"))
    elif "affected" in area or ("unknown" in area and not demanded):
        yield Hit("facts.area.bird_flu", value=", ".join(str(one) for one in area), limit="free, by the vet's word")
    elif not (entry.facts.at_place and area == ["free"]):
        ask = "the animal-health worker's word that no bird flu is near"
        yield from asked_at_start(entry, "bird_flu", "facts.area.bird_flu", ask=ask)


def _bird_droppings(entry: Entry) -> Truth:
    dung = in_any(entry, "inputs", lambda one: one.is_in("kind", "duck_manure", "hen_manure", "manure"))
    return any_of(birds(entry), dung)


def _fed_on(entry: Entry) -> Truth:
    given = in_any(entry, "animals", lambda one: one.holds("droppings_to", "animal_feed", "fish_feed"))
    over_fish = in_any(entry, "animals", lambda one: all_of(one.is_in("species", *BIRDS), one.flag("over_water")))
    fish = in_any(entry, "fish", lambda one: one.flag("manure_fed"))
    return any_of(given, over_fish, fish)


RULES = (
    Rule(
        id="ANI-01",
        hazard="welfare",
        result="stop",
        words="Too crowded for hens.",
        look=each("animals", _crowded),
        sources=("1999-74-ec", "fao-small-poultry"),
        binds="The EU figure binds flocks of 350 hens and more; as a block for a yard flock it is our choice.",
        whose="ours",
        figure="9 hens per m² as a block for a yard flock; the law binds from 350 hens",
        instead=("more-room",),
        judged="start",
    ),
    Rule(
        id="ZOO-01",
        hazard="animal disease",
        result="stop",
        words="Work with birds or droppings is not for children under 5 or pregnant people.",
        look=_not_for_small_children,
        sources=("cdc-poultry",),
        binds="It is advice to households.",
        whose="theirs",
        instead=("other-hands",),
    ),
    Rule(
        id="ZOO-02",
        hazard="bird flu",
        result="answer",
        words="Report sudden deaths; do not eat or move the birds.",
        look=_no_word_on_bird_flu,
        sources=("fao-bird-flu",),
        binds="It is advice to keepers; the vet's word comes first.",
        whose="theirs",
        instead=("report-deaths",),
    ),
    Rule(
        id="ZOO-03",
        hazard="bird flu",
        result="stop",
        words="Droppings are no feed for animals or fish while bird flu is near, or where nobody knows.",
        look=_droppings_as_feed,
        sources=("fao-droppings",),
        binds="It is advice to governments and keepers; the vet's word comes first.",
        whose="theirs",
        instead=("turn-the-loop",),
        judged="start",
    ),
    Rule(
        id="ANI-02",
        hazard="welfare",
        result="answer",
        words="The hutch is too small for a rabbit of this weight.",
        look=each("animals", _small_hutch),
        sources=("us-awa",),
        binds="It binds dealers and laboratories in the US; we borrow it as the careful side.",
        whose="theirs",
        instead=("wider-hutch",),
        judged="start",
    ),
    Rule(
        id="ANI-03",
        hazard="welfare",
        result="answer",
        words="The pen is too small for a grown goat.",
        look=each("animals", _small_pen),
        sources=("ec-organic",),
        binds="It binds organic farms in the EU; we borrow it as the careful side.",
        whose="theirs",
        instead=("wider-pen",),
        judged="start",
    ),
    Rule(
        id="ANI-04",
        hazard="ammonia",
        result="stop",
        words="The air of the animal house is bad: open it, dry the litter, lower the numbers. Air that stings the "
        "eyes counts as too much.",
        look=each("animals", _stinging_air),
        sources=("niosh-ammonia", "poultry-ammonia"),
        binds="The figure binds work places in the US; that stinging eyes count is our choice.",
        whose="part",
        figure="20 ppm asks, 25 ppm stops; air that stings the eyes counts as too much",
        instead=("open-the-house",),
        judged="start",
    ),
)
