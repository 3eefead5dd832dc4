"""Rules on what plants are watered with: used water, drains, waste water and floods.

Not open water or fish (``waters``, ``fishes``). Its one rule: a barrier counts with the careful end of its range, and
one that we know from memory alone is shown and never counted.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.review.case import Case, in_any
from fieldbook.review.rule import Hit, Outcome, Rule, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Iterator

_DIRTY_ORIGINS = ("chemicals", "dyes", "kitchen", "nappies")
_LOG_A_DAY = Decimal("0.5")  # the careful end of 0.5 to 2
_LOG_OF = {"washing": 1, "disinfecting_wash": 2}  # one work gives 3 to the latter; the lower figure is the careful one
_FROM_MEMORY = ("cooking", "drip_high_crop", "drip_low_crop", "peeling")
_NEEDED_RAW_LOG, _NEEDED_COOKED_LOG = 6, 3


def _wets_food(case: Case) -> Truth:
    return any_of(case.is_in("mode", "foliar"), case.said("wets_edible") is True)


def _is_eaten(case: Case) -> Truth:
    return in_any(case.entry, "crop", lambda crop: not_(crop.is_in("part", "none")))


def _greywater(case: Case) -> Iterator[Outcome]:
    is_grey = case.is_in("source", "greywater")
    leaf = in_any(case.entry, "crop", lambda crop: crop.is_in("part", "leaf"))
    foul = any_of(case.holds("origin", *_DIRTY_ORIGINS), case.holds("origin", "unknown"))
    where = ", ".join(case.said("origin") or ()) or str(case.said("mode"))
    truth = all_of(is_grey, any_of(all_of(leaf, _wets_food(case)), all_of(_is_eaten(case), foul)))
    yield from fires(truth, Hit(case.path("origin"), value=where, limit="bath and laundry water, off the leaves"))


def _barriers_lack(case: Case) -> Iterator[Outcome]:
    unclean = all_of(case.is_in("source", "drain", "wastewater"), _is_eaten(case))
    raw = in_any(case.entry, "crop", lambda crop: crop.flag("eaten_raw"))
    needed = _NEEDED_COOKED_LOG if raw is False else _NEEDED_RAW_LOG
    found = barrier_log(case)
    if unclean is not True:
        yield from fires(unclean, Hit(case.path("source")))
    elif found >= needed:
        return
    elif case.said("wait_d") is None and case.said("barriers") is None:
        yield Unsaid((case.path("wait_d"), case.path("barriers")))
    elif isinstance(raw, Unsaid) and found >= _NEEDED_COOKED_LOG:
        yield raw
    else:
        yield Hit(case.path("barriers"), value=f"{found} log{_not_counted(case)}", limit=f"{needed} log")


def barrier_log(case: Case) -> Decimal:
    """Give the sum of what the barriers between this water and the eater are credited with [log10].

    Source: who2006-v2 for days and washing; mara2010 for the disinfecting wash, of whose two figures the lower counts.
    """
    days = case.number("wait_d") or Decimal(0)
    wash = max((_LOG_OF.get(one, 0) for one in case.said("barriers") or ()), default=0)
    return days * _LOG_A_DAY + wash


def _not_counted(case: Case) -> str:
    open_ones = [one.replace("_", " ") for one in case.said("barriers") or () if one in _FROM_MEMORY]
    return f"; not counted, since known from memory alone: {', '.join(open_ones)}" if open_ones else ""


def _flooded(case: Case) -> Iterator[Outcome]:
    by_flood = all_of(case.is_in("source", "flood"), any_of(case.is_in("mode", "foliar"), case.flag("wets_edible")))
    by_drain = all_of(case.is_in("source", "drain", "wastewater"), _wets_food(case))
    hit = Hit(case.path("wets_edible"), value=str(case.said("source")), limit="touches nothing that is eaten")
    yield from fires(all_of(_is_eaten(case), any_of(by_flood, by_drain)), hit)


RULES = (
    Rule(
        id="GRW-01",
        hazard="germs and chemicals",
        result="stop",
        words="Used water stays off leaves that are eaten; water from nappies, kitchen, dyes, chemicals or from where "
        "nobody knows stays off all food.",
        look=each("irrigation", _greywater),
        sources=("greywater-rules",),
        binds="These are rules of some states for their households; your own health office comes first.",
        whose="theirs",
        instead=("closed-box", "clean-on-leaves", "foot-watering"),
    ),
    Rule(
        id="WAT-01",
        hazard="germs",
        result="stop",
        words="The barriers between this water and the mouth do not add up for this crop: add days without it before "
        "picking and washing in clean water, or use clean water.",
        look=each("irrigation", _barriers_lack),
        sources=("who2006-v2", "mara2010"),
        binds="WHO advises governments; the low ends of 6 to 7 and of 3 to 4 log are our choice.",
        whose="part",
        figure="6 log where eaten raw and 3 log otherwise, the low ends; 0.5 log a day",
        instead=("closed-box", "clean-on-leaves"),
    ),
    Rule(
        id="FLD-01",
        hazard="germs and chemicals",
        result="stop",
        words="What flood or drain water has touched is not eaten.",
        look=each("irrigation", _flooded),
        sources=("ours", "who2006-v2"),
        whose="ours",
        figure="all of it: what flood or drain water touched is not eaten",
        instead=("after-flood", "closed-box"),
    ),
)
