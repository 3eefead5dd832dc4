"""What a calculator asks for, and reading it: exact decimals in, all faults at once, nothing guessed.

Not the sums. Its one rule: a number comes in as a whole number or a decimal string and goes out the same way; a number
outside its range is refused, never clipped.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Any, Literal

from fieldbook.quantities.errors import QuantityError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Kind = Literal["decimal", "integer", "choice", "text", "rows"]
Given = dict[str, Any]
_NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,9})?")
_ABSURD = Decimal(10) ** 12  # and what is below stays exact in every reader of JSON
_TEXT_MAX_CHARACTERS = 80
_ROWS_MAX = 50


@dataclass(frozen=True)
class Input:
    """One thing that a calculator asks for.

    Attributes:
        name: its field, with the unit in it.
        unit: for people; empty where it has none.
        label: what it is called on a page, in plain words.
        about: what to give, in a few words.
        kind: of value.
        least: smallest value; with ``above`` it must be larger.
        most: largest value.
        above: True where ``least`` itself is too small.
        choices: the codes of a choice.
        says: the choices in words, in the same order; empty where the codes are words.
        may_lack: True where it may be left out or null.
        apart: True where few people need it, so that a form may fold it away.
        rows: for ``rows``, what stands in each.
    """

    name: str
    unit: str
    label: str
    about: str
    kind: Kind = "decimal"
    least: Decimal | int = 0
    most: Decimal | int = 1_000_000
    above: bool = False
    choices: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    may_lack: bool = False
    apart: bool = False
    rows: tuple[Input, ...] = ()

    def as_document(self) -> Given:
        """The input as JSON, for ``--describe``."""
        told: Given = {"name": self.name, "kind": self.kind, "label": self.label, "about": self.about}
        told["may_lack"] = self.may_lack
        if self.unit:
            told["unit"] = self.unit
        if self.kind in {"decimal", "integer"}:
            told |= {"above" if self.above else "least": number(self.least), "most": number(self.most)}
        if self.choices:
            told["choices"] = list(self.choices)
        if self.rows:
            told["rows"] = [each.as_document() for each in self.rows]
        return told


class Noted:
    """The faults of one input so far, in its order."""

    def __init__(self, *, plain: bool = False) -> None:
        """Begin with none; ``plain`` names places by their labels, for people who see no fields."""
        self.faults: list[str] = []
        self.paths: list[str] = []
        self.plain = plain

    def amiss(self, message: str, *, path: str) -> None:
        """Note one fault and the path of what it speaks of."""
        self.faults.append(message)
        self.paths.append(path)

    @property
    def words(self) -> str:
        """The first fault, and how many more there are."""
        first, more = self.faults[0], len(self.faults) - 1
        return f"{first} (and {more} more)" if more else first


class InputError(QuantityError):
    """What a calculator was given cannot be used.

    Attributes:
        faults: all that is wrong with it, one sentence each.
        paths: for each fault, the path of the value that it speaks of, such as ``materials[0].wet_kg``.
    """

    def __init__(self, noted: Noted) -> None:
        """Say the first fault in the message, and keep all."""
        self.faults = tuple(noted.faults)
        self.paths = tuple(noted.paths)
        super().__init__(noted.words, hint="mend what is named; `--describe` lists what is asked for")


@dataclass(frozen=True)
class _Place:
    """Where a value stands, as a path and as people call it."""

    path: str
    words: str

    def of(self, asked: Input, *, plain: bool) -> _Place:
        """The place of one value in here."""
        path = f"{self.path}.{asked.name}" if self.path else asked.name
        return _Place(path, f"{self.words}{asked.label}" if plain else path)

    def row(self, index: int, *, plain: bool) -> _Place:
        """One row of the rows at this place."""
        path = f"{self.path}[{index}]"
        return _Place(path, f"{self.words} {index + 1}: " if plain else path)


def number(value: Decimal | int, *, places: int | None = None, digits: int = 0) -> int | str:
    """A figure as it stands in what comes out: whole as an integer, any other as a decimal string.

    Args:
        value: the figure, in any unit.
        places: decimals kept, halves to the even digit; None keeps all.
        digits: as many more decimals as it takes to keep so many digits that say something.

    Raises:
        QuantityError: it is larger than anything that a garden holds.
    """
    exact = Decimal(value)
    if abs(exact) >= _ABSURD:
        raise QuantityError(
            "the answer comes out larger than anything in a garden",
            hint="look for a figure that is far too small or far too large",
        )
    if places is not None:
        finest = max(places, digits - 1 - exact.adjusted()) if digits and exact else places
        exact = exact.quantize(Decimal(1).scaleb(-finest), rounding=ROUND_HALF_EVEN)
    if exact == exact.to_integral_value():
        return int(exact)
    return format(exact.normalize(), "f")


def read_inputs(inputs: Sequence[Input], document: object, *, plain: bool = False) -> Given:
    """Read what was given, checked against what is asked for.

    Args:
        inputs: what is asked for.
        document: JSON as parsed; numbers as integers or decimal strings.
        plain: name places by their labels in what is said, for people who see no fields.

    Returns:
        Values by name: Decimal, int, str, list of such, or None where something may lack and does.

    Raises:
        QuantityError: something is missing, unknown or out of range; all faults are in it.
    """
    noted = Noted(plain=plain)
    given = _read(inputs, document, _Place("", ""), noted)
    if noted.faults:
        raise InputError(noted)
    return given


def _read(inputs: Sequence[Input], document: object, where: _Place, noted: Noted) -> Given:
    if not isinstance(document, dict):
        place = where.path or "the input"
        noted.amiss(f"{place} is not an object with names and values", path=where.path)
        return {}
    known = {each.name for each in inputs}
    for name in sorted(document.keys() - known):
        place = f"{where.path}.{name}" if where.path else name
        noted.amiss(f"{place} is not asked for", path=where.path)
    return {each.name: _value(each, document, where.of(each, plain=noted.plain), noted) for each in inputs}


def _value(asked: Input, document: Mapping[str, Any], at: _Place, noted: Noted) -> Any:
    value, place = document.get(asked.name), at.words
    if value is None:
        if not asked.may_lack:
            noted.amiss(f"{place} is missing ({asked.about})", path=at.path)
        return None
    if asked.kind == "rows":
        return _rows(asked, value, at, noted)
    if asked.kind == "choice":
        if value not in asked.choices:
            choices = ", ".join(asked.choices)
            noted.amiss(f"{place} is {value!r}, not one of {choices}", path=at.path)
        return value
    if asked.kind == "text":
        if not isinstance(value, str) or not value.strip() or len(value) > _TEXT_MAX_CHARACTERS:
            noted.amiss(f"{place} is not a text of 1 to {_TEXT_MAX_CHARACTERS} characters", path=at.path)
        return value
    return _figure(asked, value, at, noted)


def _rows(asked: Input, value: object, at: _Place, noted: Noted) -> list[Given]:
    if not isinstance(value, list) or not 1 <= len(value) <= _ROWS_MAX:
        place = at.words
        noted.amiss(f"{place} is not a list of 1 to {_ROWS_MAX}", path=at.path)
        return []
    return [_read(asked.rows, row, at.row(index, plain=noted.plain), noted) for index, row in enumerate(value)]


def _figure(asked: Input, value: object, at: _Place, noted: Noted) -> Decimal | int:
    place = at.words
    text = str(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if not isinstance(text, str) or _NUMBER.fullmatch(text) is None:
        noted.amiss(f'{place} is not a number; write it like 3 or "0.25"', path=at.path)
        return Decimal(0)
    exact = Decimal(text)
    if asked.kind == "integer" and exact != exact.to_integral_value():
        noted.amiss(f"{place} is {text}, not a whole number", path=at.path)
        return 0
    low = exact <= asked.least if asked.above else exact < asked.least
    if low or exact > asked.most:
        least, most, unit = number(asked.least), number(asked.most), asked.unit or "in number"
        if asked.above:
            noted.amiss(f"{place} is {text}; it must be above {least} and at most {most} {unit}", path=at.path)
        else:
            noted.amiss(f"{place} is {text}; it must be from {least} to {most} {unit}", path=at.path)
    return int(exact) if asked.kind == "integer" else exact
