"""The composed shapes: alternatives, lists, words by language, and records of named fields.

Not the fields of any document. Its one rule: a name that is not known is a typing error when an author writes, and is
kept as it is when it arrives from elsewhere, where newer software may have written it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fieldbook.practices.faults import Reading, near, shown
from fieldbook.practices.shapes import TAG_PATTERN, Shape, Text

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


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
            reading.fault(at, f"{shown(value)} does not fit here", self.hint)
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
            reading.fault(at, f"{shown(value)} is not a list", "put it between [ and ]")
            return value
        if reading.strict and len(value) > self.max_items:
            reading.fault(at, f"has {len(value)} items", f"keep it to {self.max_items}")
        return [self.item.read(item, f"{at}[{n}]", reading) for n, item in enumerate(value)]

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        return {"type": "array", "maxItems": self.max_items, "items": self.item.schema(defs)}


@dataclass(frozen=True, kw_only=True)
class TextMap(Shape):
    """The same words in several languages: a map from language tag (BCP 47) to text."""

    max_chars: int = 4000
    max_words: int = 0
    may_be_empty: bool = False

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, dict) or not (value or self.may_be_empty):
            reading.fault(at, f"{shown(value)} does not say its language", 'write {"en": "...", "sw": "..."}')
            return value
        for tag in value:
            if reading.strict and not re.fullmatch(TAG_PATTERN, str(tag)):
                reading.fault(
                    f"{at}.{tag}", f"{shown(tag)} is not a language tag", "use a tag such as en, sw, fr, pt-BR"
                )
        return {tag: self._read_words(words, f"{at}.{tag}", reading) for tag, words in value.items()}

    def _read_words(self, value: Any, at: str, reading: Reading) -> Any:
        words = Text(max_chars=self.max_chars).read(value, at, reading)
        count = len(words.split()) if isinstance(words, str) else 0
        if reading.strict and self.max_words and count > self.max_words:
            reading.fault(at, f"has {count} words", f"say it in {self.max_words} or fewer, or make two of it")
        return words

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        words = Text(max_chars=self.max_chars).schema(defs)
        names = {"pattern": TAG_PATTERN}
        least = 0 if self.may_be_empty else 1
        return {"type": "object", "minProperties": least, "propertyNames": names, "additionalProperties": words}


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


@dataclass(frozen=True)
class Elsewhere:
    """A name that an author might expect in a record, and the hint that says where it belongs."""

    hint: str


@dataclass(frozen=True, kw_only=True)
class Record(Shape):
    """An object with names we know; others are kept on arrival and a fault for an author.

    Attributes:
        fields: the names.
        required: those without which the object means nothing.
        elsewhere: names that an author might expect here.
    """

    fields: Mapping[str, Field]
    required: tuple[str, ...] = ()
    elsewhere: Mapping[str, Elsewhere] = field(default_factory=dict)

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, dict):
            reading.fault(at, f"{shown(value)} is not a group of names", "put it between { and }")
            return value
        for name in self.required:
            if name not in value:
                reading.fault(_under(at, name), "is missing", "fill it in")
        return {name: self._read_name(name, item, at, reading) for name, item in value.items()}

    def _read_name(self, name: str, value: Any, at: str, reading: Reading) -> Any:
        here = _under(at, name)
        if name in self.fields:
            return self.fields[name].shape.read(value, here, reading)
        if reading.strict:
            hint = self.elsewhere[name].hint if name in self.elsewhere else near(name, tuple(self.fields))
            reading.fault(here, f"{shown(name)} is not a name we know here", hint)
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


def text_maps(shape: Shape, value: Any, at: str = "") -> Iterator[tuple[str, Mapping[str, str]]]:
    """Give all words by language within a value that was read by this shape, each with its path."""
    if isinstance(shape, TextMap) and isinstance(value, dict):
        yield at, value
    elif isinstance(shape, Either) and isinstance(value, dict):
        for option in shape.options:
            yield from text_maps(option, value, at)
    elif isinstance(shape, ListOf | OneOrMore) and isinstance(value, list):
        for n, item in enumerate(value):
            yield from text_maps(shape.item, item, f"{at}[{n}]")
    elif isinstance(shape, Record) and isinstance(value, dict):
        for name, one in shape.fields.items():
            yield from text_maps(one.shape, value.get(name), _under(at, name))


def as_json_schema(shape: Record, *, title: str, description: str) -> dict[str, Any]:
    """Give a whole document's shape as a JSON Schema 2020-12 document."""
    defs: dict[str, Any] = {}
    body = shape.schema(defs)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, "description": description}
    return head | body | ({"$defs": defs} if defs else {})
