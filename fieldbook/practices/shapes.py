"""The plain shapes of values: codes, text, numbers; the composed ones stand in ``records``.

A shape reads a value and collects *every* fault in plain words; the same shape writes itself as JSON Schema 2020-12,
so that the schema in ``schemas/`` and the reader cannot drift apart (a test compares them).

Not a general validator: only the few shapes that our documents need. Its one rule: reading never raises and never
guesses; a value that is not understood is a fault with a hint, and what is returned for it is the value as it came.
"""

from __future__ import annotations

import re
import unicodedata
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

from fieldbook.practices.codes import SAME_WORDS
from fieldbook.practices.faults import Reading, listed, near, shown
from fieldbook.practices.numbers import DECIMAL_PATTERN, decimal_of, kept_number

TAG_PATTERN = r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$"
_DATE = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
_DURATION = r"^P(?=.)([0-9]+Y)?([0-9]+M)?([0-9]+W)?([0-9]+D)?(T(?=.)([0-9]+H)?([0-9]+M)?([0-9]+S)?)?$"
# Format overrides would let "1:10" be shown as "10:1"; the marks that Arabic text needs are not among them.
# Half of a character (a lone surrogate) has no bytes at all, so nobody could sign it.
_FORBIDDEN_CHARACTERS = re.compile("[\x00-\x08\x0b-\x1f\x7f\u202d\u202e\ud800-\udfff]")
_YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True, kw_only=True)
class Shape(ABC):
    """A kind of value; the subclasses say which."""

    named: str = ""

    @abstractmethod
    def read(self, value: Any, at: str, reading: Reading) -> Any:
        """Give the value as it is kept, noting faults under the path `at`."""

    def schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        """Give this shape as JSON Schema; a named shape is put into `defs` once and referred to."""
        if not self.named:
            return self._schema(defs)
        if self.named not in defs:
            defs[self.named] = {}
            defs[self.named] = self._schema(defs)
        return {"$ref": f"#/$defs/{self.named}"}

    @abstractmethod
    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        """Give this shape as JSON Schema, written out."""


@dataclass(frozen=True, kw_only=True)
class Leaf(Shape):
    """A shape that holds no other."""

    @abstractmethod
    def plain_schema(self) -> dict[str, Any]:
        """Give this shape as JSON Schema."""

    def _schema(self, defs: dict[str, Any]) -> dict[str, Any]:  # noqa: ARG002 -- a leaf refers to nothing
        return self.plain_schema()


@dataclass(frozen=True, kw_only=True)
class Flag(Leaf):
    """true or false; an author may write yes or no."""

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        said = _YES_NO.get(value, value) if reading.strict and isinstance(value, str) else value
        if not isinstance(said, bool):
            reading.fault(at, f"{shown(value)} is neither true nor false", "write true or false, without quotes")
        return said

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        return {"type": "boolean"}


@dataclass(frozen=True, kw_only=True)
class Code(Leaf):
    """One word of a closed list; a word that newer software has added is kept on arrival.

    An author may write it with spaces, hyphens, underscores or capitals as they like, or with another word for the
    same thing: it is kept as in the list.
    """

    codes: tuple[str, ...]

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, str):
            reading.fault(at, f"{shown(value)} is not a code", f"use one of: {listed(self.codes)}")
        elif reading.strict and value not in self.codes:
            return self._read_spelled(value, at, reading)
        return value

    def _read_spelled(self, value: str, at: str, reading: Reading) -> str:
        same = [code for code in self.codes if _letters(code) == _letters(value)]
        if len(same) == 1:
            return same[0]
        reading.fault(at, f"{shown(value)} is not a word we know here", near(value, self.codes))
        return value

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        return {"enum": list(self.codes)}


def _letters(words: str) -> str:
    return "".join(SAME_WORDS.get(word, word) for word in re.split(r"[\s_-]+", words.casefold()))


@dataclass(frozen=True, kw_only=True)
class Text(Leaf):
    """Words of people, or a string of a given pattern; an author's are kept in Unicode NFC."""

    max_chars: int = 4000
    pattern: str = ""
    like: str = ""
    may_be_blank: bool = False

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        if not isinstance(value, str):
            reading.fault(at, f"{shown(value)} is not text", "write it as text in quotes")
            return value
        return self._read_typed(value, at, reading) if reading.strict else value

    def _read_typed(self, value: str, at: str, reading: Reading) -> str:
        text = unicodedata.normalize("NFC", value).replace("\r\n", "\n")
        if not text.strip():
            if not self.may_be_blank:
                reading.fault(at, "is empty", "fill it in, or leave it out")
        elif len(text) > self.max_chars:
            reading.fault(at, f"has {len(text)} characters", f"shorten it to {self.max_chars} or fewer")
        elif self.pattern and not re.fullmatch(self.pattern, text):
            reading.fault(at, f"{shown(text)} is not {self.like}", f"write it as {self.like}")
        if _FORBIDDEN_CHARACTERS.search(text):
            reading.fault(at, "holds an invisible control character", "type the text again without it")
        return text

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        least = 0 if self.may_be_blank else 1
        out: dict[str, Any] = {"type": "string", "minLength": least, "maxLength": self.max_chars}
        return out | {"pattern": self.pattern} if self.pattern else out


@dataclass(frozen=True, kw_only=True)
class Whole(Leaf):
    """A whole number."""

    low: int = 0
    high: int = 1_000_000

    def read(self, value: Any, at: str, reading: Reading) -> Any:  # noqa: D102
        number = (
            int(value) if reading.strict and isinstance(value, str) and re.fullmatch(r"-?[0-9]{1,9}", value) else value
        )
        if not isinstance(number, int) or isinstance(number, bool):
            reading.fault(
                at, f"{shown(value)} is not a whole number", f"write a whole number from {self.low} to {self.high}"
            )
        elif reading.strict and not self.low <= number <= self.high:
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
            reading.fault(at, f"{shown(value)} is not a number", 'write 3 or "2.5": digits, and a point for decimals')
            return value
        if reading.strict and not self.low <= number <= self.high:
            reading.fault(at, f"{number} is out of range", f"write a number from {self.low} to {self.high}")
        return kept_number(number) if reading.strict else value

    def plain_schema(self) -> dict[str, Any]:  # noqa: D102
        whole = {"type": "integer", "minimum": self.low, "maximum": self.high}
        return {"anyOf": [whole, {"type": "string", "pattern": DECIMAL_PATTERN}]}


TAG = Text(max_chars=35, pattern=TAG_PATTERN, like="a language tag such as en or pt-BR", named="tag")
DATE = Text(max_chars=10, pattern=_DATE, like="a date such as 2026-11-25", named="date")
DURATION = Text(max_chars=30, pattern=_DURATION, like="an ISO 8601 duration such as PT30M or P2W", named="duration")
IDENTIFIER = Text(max_chars=64, pattern=r"^[0-9a-f]{64}$", like="an id of 64 hex digits", named="id")
