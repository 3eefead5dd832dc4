"""What the fields of a trial must agree on, so that its counts can be compared at all.

Not the form of single fields (``shape``). Its one rule: a comparison that would mislead is refused before it is
signed, with a reason that a volunteer can act on; what arrives from elsewhere is kept, and never computed with.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from fieldbook.practices.numbers import decimal_of
from fieldbook.trials.shape import (
    BEFORE_AFTER,
    COUNTED_PER,
    DESIGNS,
    DIED,
    HARMED,
    MOST_COUNTED,
    MOST_COUNTS,
    MOST_DAYS,
    MOST_UNITS,
    PAIRED,
    QUESTIONS,
    SIDE_BY_SIDE,
    TRIED_UNITS,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.practices.faults import Reading

_PER_UNIT = ("counted", "before", "out_of")


def disagree(document: Mapping[str, Any], reading: Reading) -> None:
    """Note every disagreement between the fields of a trial whose fields are each of the right form."""
    _known(document, reading)
    _arms(document, reading)
    _start(document["start"], reading)
    if document["outcome"] == HARMED and not document.get("harm_note"):
        reading.fault("harm_note", "is missing", "say what it did and to whom, without names")
    for n, row in enumerate(document["units"]):
        _row(document, row, f"units[{n}]", reading)
    _labels(document, reading)
    _measure(document, reading)
    _both_ways_counted(document, reading)
    if document["design"] == PAIRED:
        _pairs(document["units"], reading)


def _known(document: Mapping[str, Any], reading: Reading) -> None:
    """What an author cannot write, but newer software may have sent."""
    closed = (("question", QUESTIONS), ("design", DESIGNS), ("unit", TRIED_UNITS), ("counted_per", COUNTED_PER))
    for name, codes in closed:
        if name in document and document[name] not in codes:
            reading.fault(name, "is of newer software", "bring this software up to date to compare it")
    if len(document["units"]) > MOST_UNITS:
        reading.fault("units", f"has {len(document['units'])} items", f"keep it to {MOST_UNITS}")


def _arms(document: Mapping[str, Any], reading: Reading) -> None:
    arms = document["arms"]
    if document["design"] == BEFORE_AFTER:
        if len(arms) != 1:
            reading.fault("arms", "before and after is told of one way", "leave one way, or choose side-by-side")
        return
    if len(arms) < 2:
        hint = "leave some units as usual and count those too, or choose before-after"
        reading.fault("arms", "there is one way only, so nothing to compare it with", hint)
        return
    if len(arms) > 2:
        hint = "record each further way as a comparison of its own, beside the same usual way"
        reading.fault("arms", f"there are {len(arms)} ways", hint)
        return
    usual = sum(arm["usual_way"] for arm in arms)
    if usual != 1:
        said = "both ways are" if usual else "neither way is"
        reading.fault("arms", f"{said} the usual way", "mark the one that the practice is compared with")
    if arms[0]["name"] == arms[1]["name"]:
        reading.fault("arms[1].name", "is the name of the other way too", "give each way its own name")
    if "comparison" not in document:
        reading.fault("comparison", "is missing", "say what the practice is compared with")


def _start(start: Mapping[str, Any], reading: Reading) -> None:
    said = [("date" in start), ("season" in start or "week" in start), ("day" in start)]
    if sum(said) != 1 or ("season" in start) != ("week" in start):
        reading.fault("start", "does not say one beginning", "write a date, or season and week, or a day number")


def _row(document: Mapping[str, Any], row: Mapping[str, Any], at: str, reading: Reading) -> None:
    unit, design = document["unit"], document["design"]
    if not 0 <= row["arm"] < len(document["arms"]):
        reading.fault(f"{at}.arm", f"there is no way {row['arm']}", "count the ways from 0")
    if not row.get("label"):
        hint = f"say which {unit} each count is of, and write the counts of one {unit} in one row"
        reading.fault(f"{at}.label", "counted leaf by leaf or plant by plant?", hint)
    if ("counted" in row) == ("lost" in row):
        said = "is counted and lost at once" if "lost" in row else "is neither counted nor lost"
        reading.fault(at, said, "write what was counted, or why it was lost")
    if row.get("lost") == DIED and document["question"] == "survives":
        reading.fault(f"{at}.lost", "what died is what you count here", "write 0, out of how many there were")
    if ("pair" in row) != (design == PAIRED):
        said = "says no pair" if design == PAIRED else "says a pair"
        reading.fault(f"{at}.pair", said, f"pairs belong to {PAIRED}, and each unit of it to a pair")
    if design == BEFORE_AFTER and "counted" in row and "before" not in row:
        reading.fault(f"{at}.before", "is missing", "write what was counted before")
    _day(row, at, reading)
    _numbers(row, at, reading)


def _day(row: Mapping[str, Any], at: str, reading: Reading) -> None:
    if "counted" in row and "day" not in row:
        reading.fault(f"{at}.day", "is missing", "say how many days after the start it was counted")
    if not 0 <= row.get("day", 0) <= MOST_DAYS:
        reading.fault(f"{at}.day", f"{row['day']} is out of range", "count again")


def _numbers(row: Mapping[str, Any], at: str, reading: Reading) -> None:
    for name in _PER_UNIT:
        numbers = [decimal_of(value) for value in row.get(name, ())]
        if len(numbers) > MOST_COUNTS:
            reading.fault(f"{at}.{name}", f"has {len(numbers)} items", f"keep it to {MOST_COUNTS}")
        for number in numbers:
            if number is None or not (name == "out_of") <= number <= MOST_COUNTED:  # nothing is counted out of none
                reading.fault(f"{at}.{name}", f"{number} is out of range", "count again")
    if "out_of" in row:
        for name in ("counted", "before"):
            _shares(row, name, at, reading)


def _shares(row: Mapping[str, Any], name: str, at: str, reading: Reading) -> None:
    parts, totals = row.get(name, row["out_of"]), row["out_of"]
    if len(parts) != len(totals):
        hint = "write one total for each count"
        reading.fault(f"{at}.out_of", f"has {len(totals)} totals for {len(parts)} counts", hint)
    for some, every in zip(parts, totals, strict=False):
        part, whole = decimal_of(some), decimal_of(every)
        if part is not None and whole is not None and part > whole:
            reading.fault(f"{at}.{name}", f"{some} is more than the {every} that there were", "count again")


def _labels(document: Mapping[str, Any], reading: Reading) -> None:
    first: dict[tuple[str, object], int] = {}
    for n, row in enumerate(document["units"]):
        label = row.get("label")
        # the two halves of one thing may carry its one label; they are told apart by their way
        key = (label, row["arm"] if document["design"] == PAIRED else "")
        if label and first.setdefault(key, n) != n:
            unit = document["unit"]
            hint = f"write the counts of one {unit} in one row: leaves or plants of one {unit} are no separate tries"
            reading.fault(f"units[{n}].label", f"{unit} {label} has a row already, row {first[key] + 1}", hint)


def _measure(document: Mapping[str, Any], reading: Reading) -> None:
    counted = [row for row in document["units"] if "counted" in row]
    with_total = sum("out_of" in row for row in counted)
    if 0 < with_total < len(counted):
        reading.fault("units", "some rows say out of how many and some do not", "say it in all of them, or in none")
    several = any(len(row["counted"]) > 1 for row in counted)
    if several and not with_total and "counted_per" not in document:
        unit = document["unit"]
        hint = f"say whether each number is of a plant, a leaf, a fruit or an animal; of a whole {unit} there is one"
        reading.fault("counted_per", f"there are several counts of one {unit}", hint)


def _both_ways_counted(document: Mapping[str, Any], reading: Reading) -> None:
    if document["design"] == BEFORE_AFTER or len(document["arms"]) != 2:
        return
    days: dict[int, list[int]] = defaultdict(list)
    for row in document["units"]:
        if "counted" in row:
            days[row["arm"]].append(row.get("day", 0))
    for arm in (0, 1):
        if not any(row["arm"] == arm for row in document["units"]):
            hint = "give some units to each way and write a row for each"
            reading.fault("units", f"none had way {arm}, so nothing to compare", hint)
    if days[0] and days[1] and (max(days[0]) < min(days[1]) or max(days[1]) < min(days[0])):
        hint = "count both on the same day: pests, plants and weather change from day to day"
        reading.fault("units", "the two ways were counted on different days", hint)


def _pairs(rows: Sequence[Mapping[str, Any]], reading: Reading) -> None:
    pairs: dict[int, list[int]] = defaultdict(list)
    for row in rows:
        if "pair" in row:
            pairs[row["pair"]].append(row["arm"])
    for pair, arms in sorted(pairs.items()):
        if sorted(arms) != [0, 1]:
            hint = f"a pair is two halves of one thing, one for each way; several of a kind are {SIDE_BY_SIDE}"
            reading.fault("units", f"pair {pair} has {len(arms)} units", hint)
