"""Rules on compost: heat, mix, moisture and fire.

Not what is done with it (``dung`` judges that by the same heat). Its one rule: dung in a heap stays raw dung until its
heat was measured; a heap of plants alone needs no heat.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.practices.codes import RAW_DUNG_KINDS
from fieldbook.practices.numbers import decimal_of
from fieldbook.review.case import Case, in_any
from fieldbook.review.dressing import HEAT_HIGH_C, HEAT_LOW_C, dressings, is_raw, meets, wait_kept_d
from fieldbook.review.rule import Hit, Outcome, Rule, each, fires
from fieldbook.review.truth import Truth, Unsaid, all_of, any_of, not_

if TYPE_CHECKING:
    from collections.abc import Iterator
    from decimal import Decimal

_UNTURNED, _TURNED = ("in_vessel", "static"), ("box", "turned", "windrow")
_HOT_DAYS, _HOT_DAYS_TURNED, _TURNINGS = 3, 15, 5
_CN_LEAST, _CN_MOST = 25, 40
_WET_LEAST_PCT, _WET_MOST_PCT = 40, 65
_WAITS_D = {"edible_soil": 120, "edible_none": 90, "not_eaten": 0}


def _holds_dung(case: Case) -> Truth:
    """Whether animal or human matter is in the heap: by its own word, else by what is put on soil as such."""
    if case.said("of_dung") is not None:
        return case.flag("of_dung")
    dung = in_any(
        case.entry,
        "inputs",
        lambda one: one.is_in("kind", *RAW_DUNG_KINDS, "compost", "worm_compost", "human_faeces", "sludge", "septic"),
    )
    return any_of(dung, case.unsaid("of_dung"))


def _kept_as_raw(case: Case) -> bool:
    """True where all dung and compost that is given keeps the waits of raw dung, so that no heat is relied on."""
    of_heap = [one for one in dressings(case.entry) if is_raw(one) is True]
    return bool(of_heap) and all(_waits(one) for one in of_heap)


def _waits(one: Case) -> bool:
    kept = wait_kept_d(one)
    return any(meets(one, how) is True and (days == 0 or (kept or 0) >= days) for how, days in _WAITS_D.items())


def _temperatures(case: Case) -> list[Decimal]:
    return [value for one in case.said("temp_c") or () if (value := decimal_of(one)) is not None]


def _in_range(case: Case) -> Truth:
    found = _temperatures(case)
    return all(HEAT_LOW_C <= one <= HEAT_HIGH_C for one in found) if found else case.unsaid("temp_c")


def _record_is_there(case: Case) -> bool:
    return bool(_temperatures(case)) and case.said("system") != "worms"


def _heap_too_cold(case: Case) -> Iterator[Outcome]:
    relied_on = all_of(case.is_in("system", *_UNTURNED), _record_is_there(case), not _kept_as_raw(case))
    cold = any_of(case.below("days_hot", _HOT_DAYS), not_(_in_range(case)))
    hit = Hit(case.path("days_hot"), value=_heat_words(case), limit=f"{_HOT_DAYS} days at 55 to 77 °C")
    yield from fires(all_of(relied_on, _holds_dung(case), cold), hit)


def _turned_heap_too_cold(case: Case) -> Iterator[Outcome]:
    relied_on = all_of(case.is_in("system", *_TURNED), _record_is_there(case), not _kept_as_raw(case))
    few = case.below("turnings", _TURNINGS)
    cold = any_of(case.below("days_hot", _HOT_DAYS_TURNED), not_(_in_range(case)), few)
    value = f"{_heat_words(case)}, {case.said('turnings')} turnings"
    limit = f"{_HOT_DAYS_TURNED} days at 55 to 77 °C, {_TURNINGS} turnings"
    yield from fires(all_of(relied_on, _holds_dung(case), cold), Hit(case.path("days_hot"), value=value, limit=limit))


def _heat_words(case: Case) -> str:
    degrees = " ".join(f"{one}" for one in _temperatures(case))
    return f"{case.said('days_hot')} days at {degrees} °C"


def _no_record(case: Case) -> Iterator[Outcome]:
    unproven = not _record_is_there(case) and not _kept_as_raw(case)
    yield from fires(all_of(unproven, _holds_dung(case)), Hit(case.path("temp_c"), limit="a record of the heat"))


def _wrong_mix(case: Case) -> Iterator[Outcome]:
    wrong = any_of(case.below("cn_start", _CN_LEAST), case.above("cn_start", _CN_MOST))
    value, limit = f"{case.said('cn_start')} to 1", f"{_CN_LEAST} to {_CN_MOST} to 1"
    yield from fires(wrong, Hit(case.path("cn_start"), value=value, limit=limit))


def _wrong_moisture(case: Case) -> Iterator[Outcome]:
    wrong = any_of(case.below("moisture_pct", _WET_LEAST_PCT), case.above("moisture_pct", _WET_MOST_PCT))
    value, limit = f"{case.said('moisture_pct')} %", f"{_WET_LEAST_PCT} to {_WET_MOST_PCT} %"
    yield from fires(wrong, Hit(case.path("moisture_pct"), value=value, limit=limit))


def _too_hot(case: Case) -> Iterator[Outcome]:
    for degrees in _temperatures(case):
        if degrees > HEAT_HIGH_C:
            yield Hit(case.path("temp_c"), value=f"{degrees} °C", limit=f"{HEAT_HIGH_C} °C")
    if case.said("temp_c") is None and case.said("days_hot") is not None:
        yield Unsaid((case.path("temp_c"),))


_FARMS = "It binds farms that sell as organic; we borrow it as the careful side."

RULES = (
    Rule(
        id="CMP-01",
        hazard="germs",
        result="stop",
        words="The heat was not long or high enough: treat this compost as raw dung.",
        look=each("compost", _heap_too_cold),
        sources=("cfr205-c2-ii", "nop5021"),
        binds=_FARMS,
        whose="theirs",
        instead=("compost-as-raw", "checked-heap", "dung-day"),
    ),
    Rule(
        id="CMP-02",
        hazard="germs",
        result="stop",
        words="The heat was not long or high enough: treat this compost as raw dung. Turn a heap at least five times "
        "in its 15 hot days, so every third day; a box that is turned every 14 days can never show that.",
        look=each("compost", _turned_heap_too_cold),
        sources=("cfr205-c2-iii", "nop5021"),
        binds=_FARMS,
        whose="theirs",
        instead=("compost-as-raw", "checked-heap", "dung-day"),
    ),
    Rule(
        id="CMP-03",
        hazard="germs",
        result="answer",
        words="There is no temperature record, so the waiting time of raw dung holds for this compost.",
        look=each("compost", _no_record),
        sources=("nop5021", "home-heaps"),
        binds=_FARMS,
        whose="theirs",
        instead=("compost-as-raw", "checked-heap", "two-boxes"),
    ),
    Rule(
        id="CMP-04",
        hazard="bad compost",
        result="answer",
        words="Start nearer 30 parts of carbon to 1 of nitrogen.",
        look=each("compost", _wrong_mix),
        sources=("cfr205-c2-i",),
        binds=_FARMS,
        whose="theirs",
        instead=("mend-the-mix",),
    ),
    Rule(
        id="CMP-05",
        hazard="bad compost",
        result="answer",
        words="Too dry or too wet: a handful that is squeezed should feel like a wrung cloth.",
        look=each("compost", _wrong_moisture),
        sources=("cooperband",),
        binds="It is advice to composters.",
        whose="theirs",
        instead=("wrung-cloth",),
    ),
    Rule(
        id="CMP-06",
        hazard="fire and smell",
        result="answer",
        words="The heap is too hot: open it, wet it, turn it.",
        look=each("compost", _too_hot),
        sources=("cfr205-c2-ii",),
        binds="It binds farms that sell as organic, as the upper end of the heat; that it warns of fire is our choice.",
        whose="part",
        figure="77 °C as the warning of fire",
        instead=("cool-the-heap",),
    ),
)
