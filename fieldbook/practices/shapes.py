"""The shapes that a document may have: one table, used twice.

A shape reads a value and collects *every* fault in plain words; the same shape writes itself as JSON Schema 2020-12,
so that the schema in ``schemas/`` and the reader cannot drift apart (a test compares them).

Not a general validator: only the few shapes that our documents need. Its one rule: reading never raises and never
guesses; a value that is not understood is a fault with a hint, and what is returned for it is the value as it came.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_DECIMAL = r"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$"
_TAG = r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$"
_DATE = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
_DURATION = r"^P(?=.)([0-9]+Y)?([0-9]+M)?([0-9]+W)?([0-9]+D)?(T(?=.)([0-9]+H)?([0-9]+M)?([0-9]+S)?)?$"
# Format overrides would let "1:10" be shown as "10:1"; the marks that Arabic text needs are not among them.
_FORBIDDEN_CHARACTERS = re.compile("[\x00-\x08\x0b-\x1f\x7f\u202d\u202e]")


@dataclass(frozen=True)
class Fault:
    """One thing wrong with a document.

    Attributes:
        field: where, as a path such as ``steps[0].say.en``; empty for the document itself.
        message: what is wrong, one plain clause.
        hint: what to do about it.
    """

    field: str
    message: str
    hint: str

    def __str__(self) -> str:
        """The fault as one sentence for people."""
        return f"{self.field or 'the document'}: {self.message}; {self.hint}"


@dataclass
class Reading:
    """What is collected while one document is read.

    Attributes:
        strict: an author is writing, so an unknown name is a typing error; on arrival from elsewhere it is kept.
        faults: all faults so far, in the order of the document.
    """

    strict: bool
    faults: list[Fault] = field(default_factory=list)

    def fault(self, at: str, message: str, hint: str) -> None:
        """Note one fault."""
        self.faults.append(Fault(at, message, hint))


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else type(value).__name__
    return f"“{text[:40]}”" if isinstance(value, str) else f"a {text}"


def _listed(codes: Sequence[str]) -> str:
    return ", ".join(codes)


def _near(word: str, known: Sequence[str]) -> str:
    """The hint for a word that is not in a closed list."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]}?"
    return f"use one of: {_listed(known)}" if len(known) <= 30 else "look it up in the list of the schema"


@dataclass(frozen=True, kw_only=True)
class Shape:
    """A kind of value; the subclasses say which."""

    named: str = ""

    def read(self, value: Any, at: str, reading: Reading) -> Any:
        """Give the value as it is kept, noting faults under the path `at`."""
        raise NotImplementedError

    def schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        """Give this shape as JSON Schema; a named shape is put into `defs` once and referred to."""
        if not self.named:
            return self._schema(defs)
        if self.named not in defs:
            defs[self.named] = {}
            defs[self.named] = self._schema(defs)
        return {"$ref": f"#/$defs/{self.named}"}

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        raise NotImplementedError


@dataclass(frozen=True, kw_only=True)
class Leaf(Shape):
    """A shape that holds no other."""

    def plain_schema(self) -> dict[str, Any]:
        """Give this shape as JSON Schema."""
        raise NotImplementedError

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:  # noqa: ARG002 -- a leaf refers to nothing
        return self.plain_schema()


@dataclass(frozen=True, kw_only=True)
class Flag(Leaf):
    """true or false."""

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, bool):
            reading.fault(at, f"{_shown(value)} is neither true nor false", "write true or false, without quotes")
        return value

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        return {"type": "boolean"}


@dataclass(frozen=True, kw_only=True)
class Code(Leaf):
    """One word of a closed list."""

    codes: tuple[str, ...]

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, str):
            reading.fault(at, f"{_shown(value)} is not a code", f"use one of: {_listed(self.codes)}")
        elif value not in self.codes:
            reading.fault(at, f"{_shown(value)} is not a word we know here", self._hint(value))
        return value

    def _hint(self, value: str) -> str:
        return _near(value, self.codes)

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        return {"enum": list(self.codes)}


@dataclass(frozen=True, kw_only=True)
class Text(Leaf):
    """Words of people, or a string of a given pattern; kept in Unicode NFC."""

    max_chars: int = 4000
    pattern: str = ""
    like: str = ""

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, str):
            reading.fault(at, f"{_shown(value)} is not text", "write it as text in quotes")
            return value
        text = unicodedata.normalize("NFC", value) if reading.strict else value
        if not text.strip():
            reading.fault(at, "is empty", "fill it or leave the name out")
        elif len(text) > self.max_chars:
            reading.fault(at, f"has {len(text)} characters", f"shorten it to {self.max_chars} or fewer")
        elif self.pattern and not re.search(self.pattern, text):
            reading.fault(at, f"{_shown(text)} is not {self.like}", f"write {self.like}")
        if _FORBIDDEN_CHARACTERS.search(text):
            reading.fault(at, "holds an invisible control character", "type the text again without it")
        return text

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        out: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": self.max_chars}
        return out | {"pattern": self.pattern} if self.pattern else out


@dataclass(frozen=True, kw_only=True)
class Whole(Leaf):
    """A whole number."""

    low: int = 0
    high: int = 1_000_000

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        number = (
            int(value) if reading.strict and isinstance(value, str) and re.search(r"^-?[0-9]{1,9}$", value) else value
        )
        if not isinstance(number, int) or isinstance(number, bool):
            reading.fault(at, f"{_shown(value)} is not a whole number", f"write one from {self.low} to {self.high}")
        elif not self.low <= number <= self.high:
            reading.fault(at, f"{number} is out of range", f"write a whole number from {self.low} to {self.high}")
        return number

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True, kw_only=True)
class Number(Leaf):
    """A number: an integer, or a decimal string where it is not whole (signed documents hold no floats)."""

    low: int = 0
    high: int = 1_000_000

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        number = decimal_of(value, any_spelling=reading.strict)
        if number is None:
            reading.fault(at, f"{_shown(value)} is not a number", 'write 3 or "2.5": digits, and a point for decimals')
            return value
        if not self.low <= number <= self.high:
            reading.fault(at, f"{number} is out of range", f"write a number from {self.low} to {self.high}")
        return kept_number(number) if reading.strict else value

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        whole = {"type": "integer", "minimum": self.low, "maximum": self.high}
        return {"anyOf": [whole, {"type": "string", "pattern": _DECIMAL}]}


def decimal_of(value: object, *, any_spelling: bool = False) -> Decimal | None:
    """Give a stored number as a decimal, or None where it is none.

    Args:
        value: an integer or a decimal string; a float never is a stored number.
        any_spelling: take exponents and leading zeros too, as an author's file may hold them.
    """
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    if not isinstance(value, str) or len(value) > 40 or not (any_spelling or re.search(_DECIMAL, value)):
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    return number if number.is_finite() and abs(number.adjusted()) < 20 else None


def kept_number(number: Decimal) -> int | str:
    """Give a number as it is stored: whole ones as integers, others as plain decimal strings."""
    return int(number) if number == number.to_integral_value() else f"{number:f}"


@dataclass(frozen=True, kw_only=True)
class Either(Shape):
    """A value of the first shape whose type fits."""

    options: tuple[Shape, ...]
    hint: str

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        tries = [(Reading(strict=reading.strict), shape) for shape in self.options]
        results = [(shape.read(value, at, attempt), attempt.faults) for attempt, shape in tries]
        for kept, faults in results:
            if not faults:
                return kept
        inner = [faults for _, faults in results if any(fault.field != at for fault in faults)]
        if inner:
            reading.faults.extend(inner[0])
        else:
            reading.fault(at, f"{_shown(value)} does not fit here", self.hint)
        return value

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        return {"anyOf": [shape.schema(defs) for shape in self.options]}


@dataclass(frozen=True, kw_only=True)
class ListOf(Shape):
    """A list of one shape."""

    item: Shape
    max_items: int = 200

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, list):
            reading.fault(at, f"{_shown(value)} is not a list", "put it between [ and ]")
            return value
        if len(value) > self.max_items:
            reading.fault(at, f"has {len(value)} items", f"keep it to {self.max_items}")
        return [self.item.read(item, f"{at}[{n}]", reading) for n, item in enumerate(value)]

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        return {"type": "array", "maxItems": self.max_items, "items": self.item.schema(defs)}


@dataclass(frozen=True, kw_only=True)
class TextMap(Shape):
    """The same words in several languages: a map from language tag (BCP 47) to text."""

    max_chars: int = 4000
    max_words: int = 0

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, dict) or not value:
            reading.fault(at, f"{_shown(value)} does not say its language", 'write {"en": "...", "sw": "..."}')
            return value
        for tag in value:
            if not re.search(_TAG, str(tag)):
                reading.fault(
                    f"{at}.{tag}", f"{_shown(tag)} is not a language tag", "use a tag such as en, sw, fr, pt-BR"
                )
        return {tag: self._read_words(words, f"{at}.{tag}", reading) for tag, words in value.items()}

    def _read_words(self, value: Any, at: str, reading: Reading) -> Any:
        words = Text(max_chars=self.max_chars).read(value, at, reading)
        count = len(words.split()) if isinstance(words, str) else 0
        if self.max_words and count > self.max_words:
            reading.fault(at, f"has {count} words", f"say it in {self.max_words} or fewer, or make two of it")
        return words

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        words = Text(max_chars=self.max_chars).schema(defs)
        names = {"pattern": _TAG}
        return {"type": "object", "minProperties": 1, "propertyNames": names, "additionalProperties": words}


@dataclass(frozen=True, kw_only=True)
class Field:
    """One name of a record.

    Attributes:
        shape: what its value may be.
        about: what it means, for the schema and for whoever fills it.
        need: ``R`` needed to be called repeatable, ``S`` needed before approval, empty for neither.
    """

    shape: Shape
    about: str = ""
    need: str = ""


@dataclass(frozen=True, kw_only=True)
class Record(Shape):
    """An object with names we know; others are kept on arrival and a fault for an author.

    Attributes:
        fields: the names.
        required: those without which the object means nothing.
        elsewhere: names an author might expect here, each with the hint that says where they belong.
    """

    fields: Mapping[str, Field]
    required: tuple[str, ...] = ()
    elsewhere: Mapping[str, str] = field(default_factory=dict)

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, dict):
            reading.fault(at, f"{_shown(value)} is not a group of names", "put it between { and }")
            return value
        for name in self.required:
            if name not in value:
                reading.fault(_under(at, name), "is missing", self.fields[name].about or "fill it")
        return {name: self._read_name(name, item, at, reading) for name, item in value.items()}

    def _read_name(self, name: str, value: Any, at: str, reading: Reading) -> Any:
        here = _under(at, name)
        if name in self.fields:
            return self.fields[name].shape.read(value, here, reading)
        if reading.strict:
            hint = self.elsewhere.get(name) or _near(name, tuple(self.fields))
            reading.fault(here, f"{_shown(name)} is not a name we know here", hint)
        return value

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        names = {name: _described(one, defs) for name, one in self.fields.items()}
        out: dict[str, Any] = {"type": "object", "properties": names}
        return out | {"required": list(self.required)} if self.required else out


def _under(at: str, name: str) -> str:
    return f"{at}.{name}" if at else name


def _described(one: Field, defs: dict[str, Any]) -> dict[str, Any]:
    needs = {"R": "Needed to be repeatable.", "S": "Needed before approval where it applies."}
    about = " ".join(part for part in (one.about, needs.get(one.need, "")) if part)
    return one.shape.schema(defs) | ({"description": about} if about else {})


@dataclass(frozen=True, kw_only=True)
class OneOrMore(Shape):
    """One object, or a list of them; kept as given."""

    item: Record

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if isinstance(value, list):
            return ListOf(item=self.item).read(value, at, reading)
        return self.item.read(value, at, reading)

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        one = self.item.schema(defs)
        return {"anyOf": [one, {"type": "array", "maxItems": 200, "items": one}]}


TAG = Text(max_chars=35, pattern=_TAG, like="a language tag such as en or pt-BR", named="tag")
DATE = Text(max_chars=10, pattern=_DATE, like="a date such as 2026-11-25", named="date")
DURATION = Text(max_chars=30, pattern=_DURATION, like="an ISO 8601 duration such as PT30M or P2W", named="duration")
IDENTIFIER = Text(max_chars=64, pattern=r"^[0-9a-f]{64}$", like="an id of 64 hex digits", named="id")


def as_json_schema(shape: Record, *, title: str, description: str) -> dict[str, Any]:
    """Give a whole document's shape as a JSON Schema 2020-12 document."""
    defs: dict[str, Any] = {}
    body = shape.schema(defs)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, "description": description}
    return head | body | ({"$defs": defs} if defs else {})
