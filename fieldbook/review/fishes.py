"""Rules on the water of fish: how many it carries, its ammonia, its air.

Not open water (``waters``). Its one rule: the figures are of ponds and tanks that were measured; nobody's fish are
promised to live.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.quantities import AMMONIA_HARMS_MG_L, FISH_KG_M2, ammonia_fraction
from fieldbook.review.case import Case, cases
from fieldbook.review.rule import Hit, Outcome, Rule, asked_at_start, each, fires
from fieldbook.review.truth import Unsaid, any_of

if TYPE_CHECKING:
    from collections.abc import Iterator

_CHANGED_PCT_D = 25
_FISH_KG_M2_CHANGED = 4
_LEAST_OXYGEN_MG_L = 4
_PH_LEAST, _PH_MOST = "6.5", "8.5"


def _too_many(case: Case) -> Iterator[Outcome]:
    weight = case.number("kg")
    area = sum((one for each_one in cases(case.entry, "vessel") if (one := each_one.number("area_m2"))), Decimal(0))
    changed = case.below("exchange_pct_d", _CHANGED_PCT_D)
    if weight is None or not area:
        ask = "the weight of all fish and the water surface"
        yield from asked_at_start(case.entry, "area", case.path("kg"), ask=ask)
    elif weight / area > _FISH_KG_M2_CHANGED or (weight / area > FISH_KG_M2 and changed is True):
        limit = f"{FISH_KG_M2 if changed is not False else _FISH_KG_M2_CHANGED} kg/m²"
        yield Hit(case.path("kg"), value=f"{weight / area:.2f} kg/m²", limit=limit)
    elif weight / area > FISH_KG_M2 and isinstance(changed, Unsaid):
        yield changed


def _ammonia(case: Case) -> Iterator[Outcome]:
    total, ph, degrees = case.number("tan"), case.number("ph"), case.number("temp_c")
    missing = tuple(case.path(name) for name in ("tan", "ph", "temp_c") if case.number(name) is None)
    if total is None or ph is None or degrees is None:
        yield Unsaid(missing)
        return
    harmful = ammonia_fraction(water_temperature_c=degrees, ph=ph) * total
    if harmful > AMMONIA_HARMS_MG_L:
        yield Hit(case.path("tan"), value=f"{harmful:.4f} mg/L", limit=f"{AMMONIA_HARMS_MG_L} mg/L")


def _bad_water(case: Case) -> Iterator[Outcome]:
    little = case.below("do", _LEAST_OXYGEN_MG_L)
    sour = any_of(case.below("ph", Decimal(_PH_LEAST)), case.above("ph", _PH_MOST))
    value = f"oxygen {case.said('do')} mg/L, pH {case.said('ph')}"
    limit = f"{_LEAST_OXYGEN_MG_L} mg/L, pH {_PH_LEAST} to {_PH_MOST}"
    yield from fires(any_of(little, sour), Hit(case.path("do"), value=value, limit=limit))


RULES = (
    Rule(
        id="FSH-02",
        hazard="fish kill",
        result="answer",
        words="There are more fish than still water carries.",
        look=each("fish", _too_many),
        sources=("tp362",),
        binds="It is advice to pond keepers, for ponds and not for tanks.",
        whose="theirs",
        instead=("fewer-fish", "show-fish"),
        judged="start",
    ),
    Rule(
        id="FSH-03",
        hazard="fish kill",
        result="answer",
        words="The ammonia in the water is harmful: stop feeding and change water.",
        look=each("water", _ammonia),
        sources=("fa16", "emerson1975"),
        binds="It is advice to fish keepers.",
        whose="theirs",
        instead=("change-the-water", "fewer-fish"),
    ),
    Rule(
        id="FSH-04",
        hazard="fish kill",
        result="answer",
        words="Too little air in the water, or too sour or too chalky: add air and feed less.",
        look=each("water", _bad_water),
        sources=("fao-tp589",),
        binds="It is advice to fish keepers.",
        whose="theirs",
        instead=("change-the-water", "fewer-fish"),
    ),
)
