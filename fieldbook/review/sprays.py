"""Rules on home-made sprays: who is hurt by them, which plants, bees and fish, and what is claimed for them.

Not a register of permitted products: home sprays are not proven or registered. Its one rule: no waiting time is ever
invented; "none published" is an answer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.review.case import Case, has, in_any
from fieldbook.review.rule import Hit, Outcome, Rule, each, fires
from fieldbook.review.truth import Truth, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Iterator

_BURNING = ("ash", "chilli", "lime", "tobacco")
_FISH_POISONS = ("chilli", "neem", "rotenone", "tephrosia", "tobacco")
_MOST_SOAP_G_L, _BURNING_SOAP_G_L = 8, 10
_FROM_WATER_M = 10
_TOMATO_AND_POTATO = ("chilli", "eggplant", "nightshade", "pepper", "potato", "tobacco", "tomato")


def _plants(case: Case) -> str:
    return ", ".join(case.said("plants") or ())


def _uncovered(case: Case) -> Iterator[Outcome]:
    truth = all_of(case.holds("plants", *_BURNING), case.lacks("ppe", "eyes", "skin"))
    yield from fires(truth, Hit(case.path("ppe"), value=", ".join(case.said("ppe") or ()), limit="eyes and skin"))


def _strong_soap(case: Case) -> Iterator[Outcome]:
    strength = case.number("soap_g_l")
    if strength is None:
        yield from fires(all_of(case.holds("plants", "soap"), case.unsaid("soap_g_l")), Hit(case.path("soap_g_l")))
    elif strength > _MOST_SOAP_G_L:
        stop = strength >= _BURNING_SOAP_G_L
        hit = Hit(case.path("soap_g_l"), value=f"{strength} g/L", limit=f"{_MOST_SOAP_G_L} g/L")
        yield Hit(hit.field, hit.value, hit.limit, result="stop" if stop else "answer")


def _poisons_water(case: Case) -> Iterator[Outcome]:
    near = any_of(has(case.entry, "fish"), case.below("near_water_m", _FROM_WATER_M))
    value = f"{_plants(case)}, {case.said('near_water_m')} m from water"
    hit = Hit(case.path("near_water_m"), value=value, limit=f"{_FROM_WATER_M} m, and no fish in the practice")
    yield from fires(all_of(case.holds("plants", *_FISH_POISONS), near), hit)


def _hurts_bees(case: Case) -> Iterator[Outcome]:
    flowering = in_any(case.entry, "crop", lambda crop: crop.flag("flowering"))
    truth = all_of(case.is_in("time_of_day", "day"), flowering)
    yield from fires(truth, Hit(case.path("time_of_day"), value="by day, on flowers", limit="dusk"))


def _burns_in_sun(case: Case) -> Iterator[Outcome]:
    truth = all_of(case.holds("plants", "tagetes"), case.lacks("ppe", "skin"))
    yield from fires(truth, Hit(case.path("ppe"), value=", ".join(case.said("ppe") or ()), limit="skin"))


def _nicotine(case: Case) -> Iterator[Outcome]:
    on_food = in_any(case.entry, "crop", lambda crop: any_of(crop.is_in("part", "leaf"), _is_tomato_kin(crop)))
    yield from fires(all_of(case.holds("plants", "tobacco"), on_food), Hit(case.path("plants"), value=_plants(case)))


def _is_tomato_kin(crop: Case) -> Truth:
    name = str(crop.said("name") or "").casefold()
    if any(kin in name for kin in _TOMATO_AND_POTATO):
        return True
    return crop.is_in("family", "tomato_potato")


def _claims_effect(case: Case) -> Iterator[Outcome]:
    backed = case.said("control") and case.said("n") and case.said("source")
    if case.said("effect") is not None and not backed:
        yield Hit(case.path("effect"), value=str(case.said("effect")), limit="plots, untreated plots and a source")


def _leaves_residue(case: Case) -> Iterator[Outcome]:
    edible = in_any(case.entry, "crop", lambda crop: not_(crop.is_in("part", "none")))
    truth = all_of(case.said("interval_d") is None, edible)
    yield from fires(truth, Hit(case.path("interval_d"), limit="days with a source, or none published"))


RULES = (
    Rule(
        id="PST-01",
        hazard="eyes and lungs",
        result="stop",
        words="Chilli, ash, lime and tobacco hurt eyes, lungs and skin: cover eyes and skin, stand upwind.",
        look=each("spray", _uncovered),
        sources=("npic",),
        binds="It is advice to users.",
        whose="theirs",
        instead=("cover-up", "gentler-first", "weak-soap"),
    ),
    Rule(
        id="PST-02",
        hazard="plant burn",
        result="stop",
        words="Too strong: soap burns leaves above 8 g in a litre, and 10 g kill plants.",
        look=each("spray", _strong_soap),
        sources=("soap-page",),
        whose="part",
        figure="8 g/L asks and 10 g/L stops",
        instead=("weak-soap", "gentler-first"),
    ),
    Rule(
        id="PST-03",
        hazard="fish and water",
        result="stop",
        words="This poisons fish and water life: keep it away from ponds, drums and drains.",
        look=each("spray", _poisons_water),
        sources=("epa-neem",),
        binds="It binds users of registered products in the US.",
        whose="ours",
        figure="10 m from water",
        instead=("far-from-water", "gentler-first", "weak-soap"),
    ),
    Rule(
        id="PST-04",
        hazard="bees",
        result="answer",
        words="Spray at dusk, not on flowers: bees fly by day.",
        look=each("spray", _hurts_bees),
        sources=("epa-neem",),
        binds="It binds users of registered products in the US.",
        whose="theirs",
        instead=("spray-at-dusk",),
    ),
    Rule(
        id="PST-05",
        hazard="sunburn",
        result="answer",
        words="Marigold juice burns skin in the sun: cover the skin and wash.",
        look=each("spray", _burns_in_sun),
        sources=("sccs-1551",),
        binds="It advises on cosmetics in the EU.",
        whose="theirs",
        instead=("cover-up",),
    ),
    Rule(
        id="PST-06",
        hazard="poison",
        result="stop",
        words="Nicotine poisons leaves that are eaten, and tobacco can carry virus to the tomato and potato family.",
        look=each("spray", _nicotine),
        sources=("health-handbook",),
        binds="It is advice to users.",
        whose="theirs",
        instead=("gentler-first", "weak-soap"),
    ),
    Rule(
        id="PST-07",
        hazard="false claim",
        result="answer",
        words="No trial stands behind this number: how many plots, against untreated ones, and published where?",
        look=each("evidence", _claims_effect),
        sources=("trial-table",),
        whose="part",
        figure="what counts as a trial",
        instead=("say-untested",),
    ),
    Rule(
        id="PST-08",
        hazard="residue",
        result="answer",
        words="No waiting time is given for this spray. Where none is published say so; wash well.",
        look=each("spray", _leaves_residue),
        sources=("no-published-wait",),
        whose="part",
        figure="that none published is an answer",
        instead=("none-published",),
    ),
)
