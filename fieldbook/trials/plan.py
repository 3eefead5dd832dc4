"""The plan of a comparison: from what people type before anything is counted to the body of a trial without counts.

Not the counts (``counting``) and not the drawing of lots, which is given. Its one rule: what could not be signed in
the end, whatever is counted, is refused before anybody begins.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.faults import Fault, shown
from fieldbook.practices.numbers import decimal_of
from fieldbook.trials.record import TrialError, read_trial
from fieldbook.trials.shape import BY_LOT, NOT_HEARD, OUTCOMES, PAIRED, SIDE_BY_SIDE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

LEAST_EACH, MOST_EACH = 2, 50  # units of each way: ours; a trial has at most 100
MOST_PER_UNIT = 10  # plants counted in one unit: as many boxes as a small screen and a sheet of paper take (ours)
MOST_DAYS = 400
PLANNED_DESIGNS: Final = (SIDE_BY_SIDE, PAIRED)
PLAN_FIELDS: Final[tuple[str, ...]] = (
    *(
        "question",
        "thing",
        "counted_per",
        "measured_in",
        "crop",
        "unit",
        "design",
        "comparison",
        "way",
        "way_what",
        "usual",
    ),
    *("usual_what", "each", "per_unit", "out_of", "day", "date", "season", "week", "language"),
)
_TYPED_AS = {  # where in the body a fault lies, and the box in which it was typed
    "arms[0].name": "way",
    "arms[0].what": "way_what",
    "arms[1].name": "usual",
    "arms[1].what": "usual_what",
    "start.date": "date",
    "start.season": "season",
    "start.week": "week",
    "start": "date",
}
_WHOLE = re.compile(r"\d{1,6}")  # digits of any script


def read_plan(typed: Mapping[str, Any]) -> dict[str, Any]:
    """Read what was typed; the body of a trial whose units are not there yet stands in ``body``.

    Returns:
        ``each``, ``per_unit``, ``out_of`` (0 where nothing is counted out of a total), ``day`` [days from the start],
        and ``body``.

    Raises:
        TrialError: it cannot be compared so; its faults name the boxes.
    """
    said = {name: " ".join(str(typed.get(name) or "").split()) for name in PLAN_FIELDS}
    faults = [
        Fault(name, f"{shown(name)} is not a name we know here", f"use {', '.join(PLAN_FIELDS)}")
        for name in typed
        if name not in PLAN_FIELDS
    ]
    numbers = {
        "each": _whole(said, "each", LEAST_EACH, MOST_EACH, faults),
        "per_unit": _whole(said, "per_unit", 1, MOST_PER_UNIT, faults),
        "out_of": _whole(said, "out_of", 0, 10_000, faults) if said["out_of"] else 0,
        "day": _whole(said, "day", 0, MOST_DAYS, faults),
    }
    if faults:
        raise TrialError(tuple(faults))
    if numbers["per_unit"] > 1 and not said["counted_per"] and not numbers["out_of"]:
        hint = "say whether each number is of a plant, a leaf, a fruit or an animal"
        raise TrialError((Fault("counted_per", "there are several counts of one unit", hint),))
    return {**numbers, "body": _read(_body(said), numbers["each"])}


def unit_rows(design: str, each: int, lots: Sequence[int]) -> list[dict[str, Any]]:
    """The rows of a comparison before anything is counted.

    Args:
        design: side by side, or in pairs.
        each: how many units each way gets.
        lots: the way of each unit in turn; a shorter list is repeated.
    """
    ways = [lots[n % len(lots)] for n in range(2 * each)]
    if design == PAIRED:
        return [{"label": f"{n // 2 + 1}{'ab'[n % 2]}", "arm": way, "pair": n // 2 + 1} for n, way in enumerate(ways)]
    return [{"label": str(n + 1), "arm": way} for n, way in enumerate(ways)]


def _body(said: Mapping[str, str]) -> dict[str, Any]:
    tag = said["language"] or "en"
    arms = [
        {"name": {tag: said[name]}, **({"what": {tag: said[what]}} if said[what] else {}), "usual_way": usual}
        for name, what, usual in (("way", "way_what", False), ("usual", "usual_what", True))
    ]
    optional = {name: said[name] for name in ("measured_in", "comparison", "counted_per") if said[name]}
    return {
        "question": said["question"],
        "crop": {tag: said["crop"]},
        "thing": {tag: said["thing"]},
        "design": said["design"] or SIDE_BY_SIDE,
        "unit": said["unit"],
        "chosen": BY_LOT,
        "arms": arms,
        "start": _start(said),
        **optional,
    }


def _start(said: Mapping[str, str]) -> dict[str, Any]:
    if said["date"]:
        return {"date": said["date"]}
    week = decimal_of(said["week"])
    return {
        **({"season": said["season"]} if said["season"] else {}),
        **({"week": said["week"] if week is None else int(week)} if said["week"] else {}),
    }


def _read(body: Mapping[str, Any], each: int) -> dict[str, Any]:
    """A plan as it is kept; it is read as the trial that it would be, had it lost every unit."""
    lost = [{**row, "lost": NOT_HEARD} for row in unit_rows(body["design"], each, (0, 1))]
    try:
        read = read_trial({**body, "units": lost, "outcome": OUTCOMES[-1]})
    except TrialError as error:
        faults = [Fault(_box_of(fault.field), fault.message, fault.hint) for fault in error.faults]
        raise TrialError(tuple(faults)) from error
    return {name: value for name, value in read.document.items() if name not in {"units", "outcome"}}


def _box_of(field: str) -> str:
    """The box of a fault: language tags stand behind the names of words."""
    if field in _TYPED_AS:
        return _TYPED_AS[field]
    stem = field.rpartition(".")[0]
    return _TYPED_AS.get(stem) or (stem if stem in PLAN_FIELDS else field)


def _whole(said: Mapping[str, str], name: str, low: int, high: int, faults: list[Fault]) -> int:
    text = said[name]
    if not _WHOLE.fullmatch(text) or not low <= int(text) <= high:
        faults.append(Fault(name, f"{shown(text)} is out of range", f"write a whole number from {low} to {high}"))
        return low
    return int(text)
