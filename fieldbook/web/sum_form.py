"""The forms of sums: boxes made from what a calculator asks for, and what was typed read back into its document.

Not the sums. Its one rule: what is typed reaches the calculator as it was typed, but for its unit; a box left empty is
nothing said, never nought.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Any, Final

from fieldbook.quantities import number
from fieldbook.quantities.measures import UNITS, LocalMeasure
from fieldbook.web.boxes import plain_number

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from fieldbook.quantities import Input, InputError

Typed = dict[str, list[str]]
MEASURE: Final = "measure-"
ROWS_AT_FIRST: Final = 3
ROWS_MOST: Final = 20
_OFFERED: Final = {"mm": ("cm", "m", "mm"), "cm": ("cm", "m"), "L": ("L", "mL"), "kg": ("kg", "g"), "g": ("g", "kg")}
_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,6})?")
_FINEST = Decimal("1e-9")


@dataclass(frozen=True)
class Box:
    """One box of a form.

    Attributes:
        name: what it is sent as.
        asked: what it asks for.
        value: as it was typed.
        units: the units it may be typed in, with their words; empty where there is one alone, or none.
        unit: the one that is picked.
        fault: what is wrong with it.
    """

    name: str
    asked: Input
    value: str
    units: tuple[tuple[str, str], ...]
    unit: str
    fault: str

    @property
    def choices(self) -> tuple[tuple[str, str], ...]:
        """What can be picked, each with its words."""
        return tuple(zip(self.asked.choices, self.asked.says or self.asked.choices, strict=True))


@dataclass(frozen=True)
class Rows:
    """A list in a form: its rows of boxes, how many, and what is wrong with it as a whole."""

    asked: Input
    rows: tuple[tuple[Box, ...], ...]
    fault: str


def boxes_of(
    inputs: Sequence[Input], typed: Typed, faults: Mapping[str, str], measures: Sequence[LocalMeasure]
) -> tuple[Box | Rows, ...]:
    """The form of a calculator, with what was typed and what is wrong with it."""
    return tuple(
        _rows(each, typed, faults, measures) if each.kind == "rows" else _box(each, each.name, typed, faults, measures)
        for each in inputs
    )


def _rows(asked: Input, typed: Typed, faults: Mapping[str, str], measures: Sequence[LocalMeasure]) -> Rows:
    rows = tuple(
        tuple(_box(each, f"{asked.name}.{n}.{each.name}", typed, faults, measures) for each in asked.rows)
        for n in range(row_count(asked.name, typed))
    )
    return Rows(asked, rows, faults.get(asked.name, ""))


def row_count(name: str, typed: Typed) -> int:
    """How many rows a list shows: as many as were sent, and two more where that was asked for."""
    sent = [int(found[1]) + 1 for key in typed if (found := re.fullmatch(rf"{name}\.([0-9]{{1,2}})\.\w+(\.in)?", key))]
    shown = max([ROWS_AT_FIRST, *sent])
    return min(ROWS_MOST, shown + (2 if typed.get("more") else 0))


def _box(asked: Input, name: str, typed: Typed, faults: Mapping[str, str], measures: Sequence[LocalMeasure]) -> Box:
    value, units = first(typed, name), units_of(asked, measures)
    picked = first(typed, f"{name}.in")
    unit = picked if picked in dict(units) else (asked.unit if value else next(iter(dict(units)), asked.unit))
    return Box(name, asked, value, units, unit, faults.get(name, ""))


def first(typed: Typed, name: str) -> str:
    """What was typed into one box, without what stands around it."""
    return (typed.get(name) or [""])[0].strip()


def units_of(asked: Input, measures: Sequence[LocalMeasure]) -> tuple[tuple[str, str], ...]:
    """The units that a box may be typed in, the site's own measures last; none where there is but one."""
    offered = _OFFERED.get(asked.unit, ())
    kind = UNITS[asked.unit][0] if asked.unit in UNITS else ""
    own = [(f"{MEASURE}{one.number}", one.name) for one in measures if one.kind == kind]
    units = [*((unit, unit) for unit in offered or ((asked.unit,) if own else ())), *own]
    return tuple(units) if len(units) > 1 else ()


def document_of(inputs: Sequence[Input], typed: Typed, measures: Sequence[LocalMeasure]) -> dict[str, Any]:
    """What was typed, as the calculator takes it; boxes and rows left empty are left out."""
    found = {}
    for each in inputs:
        value = _list(each, typed, measures) if each.kind == "rows" else _value(each, each.name, typed, measures)
        if value is not None:
            found[each.name] = value
    return found


def _list(asked: Input, typed: Typed, measures: Sequence[LocalMeasure]) -> list[dict[str, Any]] | None:
    rows = (_row(asked, n, typed, measures) for n in range(row_count(asked.name, typed)))
    return [row for row in rows if row] or None


def _row(asked: Input, n: int, typed: Typed, measures: Sequence[LocalMeasure]) -> dict[str, Any]:
    values = ((each.name, _value(each, f"{asked.name}.{n}.{each.name}", typed, measures)) for each in asked.rows)
    return {name: value for name, value in values if value is not None}


def _value(asked: Input, name: str, typed: Typed, measures: Sequence[LocalMeasure]) -> int | str | None:
    text = first(typed, name)
    if not text:
        return None
    if asked.kind in {"decimal", "integer"}:
        text = plain_number(text)
    unit = first(typed, f"{name}.in")
    if not unit or unit == asked.unit or _NUMBER.fullmatch(text) is None:
        return text
    exact = in_unit(Decimal(text), unit, asked.unit, measures)
    if exact is None:
        return text
    return number(exact.quantize(Decimal(1) if asked.kind == "integer" else _FINEST, rounding=ROUND_HALF_EVEN))


def in_unit(amount: Decimal, unit: str, wanted: str, measures: Sequence[LocalMeasure]) -> Decimal | None:
    """An amount in another unit of its kind, a measure of the site among them; None where that is of another kind."""
    own = next((one for one in measures if unit == f"{MEASURE}{one.number}"), None)
    if own is not None:
        amount, unit = amount * own.holds, own.unit
    if unit not in UNITS or wanted not in UNITS or UNITS[unit][0] != UNITS[wanted][0]:
        return None
    return amount * UNITS[unit][1] / UNITS[wanted][1]


def faults_by_box(error: InputError, inputs: Sequence[Input], typed: Typed) -> dict[str, str]:
    """What is wrong, by the box that it speaks of; a row that was left empty is counted in."""
    found: dict[str, str] = {}
    for path, fault in zip(error.paths, error.faults, strict=True):
        found.setdefault(_box_name(path, inputs, typed), fault)
    return found


def _box_name(path: str, inputs: Sequence[Input], typed: Typed) -> str:
    inside = re.fullmatch(r"(\w+)\[([0-9]+)\](?:\.(\w+))?", path)
    if inside is None:
        return path
    name, index, field = inside.groups()
    asked = next(each for each in inputs if each.name == name)
    filled = [n for n in range(row_count(name, typed)) if _row(asked, n, typed, ())]
    return f"{name}.{filled[int(index)]}.{field}" if field and int(index) < len(filled) else name


def typed_of(given: Mapping[str, Any]) -> dict[str, str]:
    """What is given to a calculator, as the boxes of its form hold it; for a link that opens it filled in."""
    found: dict[str, str] = {}
    for name, value in given.items():
        if isinstance(value, list):
            for n, row in enumerate(value):
                found |= {f"{name}.{n}.{inner}": str(text) for inner, text in row.items() if text is not None}
        elif value is not None:
            found[name] = str(value)
    return found
