"""What is put on soil and plants: whether it is raw dung, how it meets what is eaten, and which wait readers see.

Not rules. Its one rule: whatever may be raw dung is raw dung until the heat that was measured says otherwise, and where
facts contradict each other the careful one holds.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from fieldbook.practices.codes import NONE_PUBLISHED, RAW_DUNG_KINDS, TEA_KINDS
from fieldbook.practices.numbers import decimal_of
from fieldbook.review.case import Case, cases, in_any
from fieldbook.review.truth import Truth, Unsaid, not_

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from fieldbook.practices import Entry
    from fieldbook.review.rule import Outcome

_MAY_HOLD_DUNG = (*RAW_DUNG_KINDS, "animal_urine", "compost", "worm_compost")
_HEAT_NEEDED = {"in_vessel": (3, 0), "static": (3, 0), "box": (15, 5), "turned": (15, 5), "windrow": (15, 5)}
HEAT_LOW_C, HEAT_HIGH_C = 55, 77
_BEFORE_EATING = ("eating-raw", "harvest")
_AFTER_DUNG = (None, "dung", "tea", "urine")


def dressings(entry: Entry) -> Iterator[Case]:
    """Give all that is put on soil or plants: the inputs, and a tea that is described without being among them."""
    inputs = list(cases(entry, "inputs"))
    yield from inputs
    if not any(case.said("kind") in TEA_KINDS for case in inputs):
        for tea in cases(entry, "tea"):
            raw = tea.said("source_treatment") != "composted"
            yield tea.filled_in(kind="manure_tea" if raw else "compost_tea")


def inputs_not_said(entry: Entry) -> bool:
    """True where it is not said what is put on soil or plants."""
    return entry.facts.not_said("inputs") and not entry.facts.items("tea")


def each_dressing(condition: Callable[[Case], Iterator[Outcome]]) -> Callable[[Entry], Iterator[Outcome]]:
    """Look at each dressing; not said where the inputs are neither filled nor ruled out."""

    def look(entry: Entry) -> Iterator[Outcome]:
        if inputs_not_said(entry):
            yield Unsaid(("facts.inputs",))
        for case in dressings(entry):
            yield from condition(case)

    return look


def heat_was_measured(entry: Entry) -> bool:
    """True where a compost record shows the heat of the organic rule for its system.

    Source: cfr205-c2.
    """
    return any(_hot_enough(case) for case in cases(entry, "compost"))


def _hot_enough(case: Case) -> bool:
    needed = _HEAT_NEEDED.get(str(case.said("system")))
    if needed is None:
        return False
    temperatures = [decimal_of(one) for one in case.said("temp_c") or ()]
    measured = bool(temperatures) and all(t is not None and HEAT_LOW_C <= t <= HEAT_HIGH_C for t in temperatures)
    days, turnings = case.said("days_hot") or 0, case.said("turnings") or 0
    return measured and days >= needed[0] and turnings >= needed[1]


def is_raw(case: Case) -> Truth:
    """Whether a dressing is raw dung or comes from it; signs that contradict each other make it raw."""
    kind = case.said("kind")
    if kind is None:
        return case.unsaid("kind")
    if kind in TEA_KINDS:
        return _tea_is_raw(case)
    if kind not in _MAY_HOLD_DUNG:
        return False
    if case.said("treatment") == "heat_processed":
        return False
    if case.said("treatment") == "composted" or kind in {"compost", "worm_compost"}:
        return not heat_was_measured(case.entry)
    return True


def _tea_is_raw(case: Case) -> bool:
    made_from = {tea.said("source_treatment") for tea in cases(case.entry, "tea")}
    if "raw" in made_from or case.said("treatment") == "raw":
        return True
    if made_from == {"plants"}:
        return False
    composted = "composted" in made_from or case.said("kind") == "compost_tea" or case.said("treatment") == "composted"
    return not (composted and heat_was_measured(case.entry))


def contact(case: Case) -> str | Unsaid:
    """Give how a dressing meets what is eaten: edible_soil, edible_none or not_eaten.

    What wets leaves or another edible part counts as touching it; where only roots are grown they touch the soil;
    "not eaten" does not hold where every crop of the entry is known to be eaten.

    Source: cfr205-c1-i, for what nobody eats.
    """
    said = case.said("contact")
    eaten = in_any(case.entry, "crop", lambda crop: not_(crop.is_in("part", "none")))
    if eaten is False or (said == "not_eaten" and not _all_are_eaten(case.entry)):
        return "not_eaten"
    wets = case.said("mode") == "foliar" or case.said("wets_edible") is True
    if wets or _parts(case.entry) == {"root"} or said in {"edible_soil", "not_eaten"}:
        return "edible_soil"
    return case.unsaid("contact") if said is None else str(said)


def _parts(entry: Entry) -> set[str | None]:
    return {crop.get("part") for crop in entry.facts.items("crop")}


def _all_are_eaten(entry: Entry) -> bool:
    """True where every crop is known to be eaten."""
    return bool(_parts(entry)) and _parts(entry).isdisjoint({None, "none"})


def meets(case: Case, *wanted: str) -> Truth:
    """Whether a dressing meets what is eaten in one of these ways."""
    how = contact(case)
    return how if isinstance(how, Unsaid) else how in wanted


def reaches_food(case: Case) -> Truth:
    """Whether a dressing is for a crop that somebody eats."""
    eaten = not_(meets(case, "not_eaten"))
    return True if isinstance(eaten, Unsaid) and _all_are_eaten(case.entry) else eaten


def claimed_waits_d(entry: Entry) -> list[tuple[str, Decimal]]:
    """Give the waits that the entry claims after dung, steeps or urine, with their paths [days]."""
    claimed = [(case.path("claimed_wait_d"), case.number("claimed_wait_d")) for case in cases(entry, "harvest")]
    return [*shown_waits_d(entry), *((path, days) for path, days in claimed if days is not None)]


def shown_waits_d(entry: Entry, *, after: tuple[str | None, ...] = _AFTER_DUNG) -> list[tuple[str, Decimal]]:
    """Give the waits before picking that readers see, with their paths [days]; none published is no wait."""
    found = []
    for n, row in enumerate(entry.rows("waiting")):
        if row.get("before") in _BEFORE_EATING and row.get("after") in after:
            days = row.get("days_min")
            found.append((f"waiting[{n}].days_min", Decimal(0) if days == NONE_PUBLISHED else decimal_of(days)))
    return [(path, days) for path, days in found if days is not None]


def wait_needed_d(case: Case) -> int:
    """Give the wait that the organic rule asks after raw dung in this way [d]; where it is not known, the longer.

    Source: cfr205-c1-ii, cfr205-c1-iii.
    """
    return 90 if meets(case, "edible_none") is True else 120


def wait_kept_d(case: Case) -> Decimal | None:
    """Give the days that people will really wait after a dressing, or None where it is not said.

    A longer wait that stands in the facts alone protects nobody: of the waits that readers see the longest is kept,
    and a shorter claim in the text undoes it.
    """
    shown = [days for _, days in shown_waits_d(case.entry)]
    claimed = [days for one in cases(case.entry, "harvest") if (days := one.number("claimed_wait_d")) is not None]
    waits = [days for days in (case.number("wait_d"), max(shown, default=None), *claimed) if days is not None]
    return min(waits, default=None)
