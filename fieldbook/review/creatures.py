"""Rules on animals: room, who may touch them, and bird flu.

Not a vet. Its one rule: what is going on around a place, the entry must ask for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.practices.codes import RAW_DUNG_KINDS
from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of
from fieldbook.review.waters import BIRDS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.practices import Entry

_MOST_HENS_M2, _MOST_ON_LITTER_M2 = 9, 3
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
)
