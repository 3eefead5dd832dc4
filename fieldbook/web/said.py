"""The words of people, each with the language that it really has, and amounts as people read them.

What it is: the small values that every page of an entry is made of. What it is not: a translation. Its one rule: a text
never loses its language on the way to the page, so that it stands in its own direction.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.languages import autonym, direction, hides_letters, pick
from fieldbook.web import code_words as say

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

# digits of either kind, joined by the signs of decimals, spans, ratios and sizes, with the letters of a code before
# them (C-14) and the unit after them
_AMOUNT = re.compile(r"(?:[A-Za-z]+-?)?\d[\d.,٫:/×–-]*(?<=\d)(?:[ \u00a0]?[A-Za-zµ°%][A-Za-z0-9µ°%²³/]*)?%?")
_DURATION = re.compile(r"P(?:(\d+)Y)?(?:(\d+)M)?(?:(\d+)W)?(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?")
_DURATION_WORDS = ("year", "month", "week", "day", "hour", "minute", "second")


@dataclass(frozen=True)
class Said:
    """Words of a person in one language; ``tag`` is empty where it is not known.

    ``hides`` says that some of its letters cannot be seen, or pass for others.
    """

    tag: str
    text: str
    hides: bool = False

    @property
    def direction(self) -> str:
        """``ltr`` or ``rtl``, or ``auto`` where the language is not known."""
        return direction(self.tag) if self.tag else "auto"

    @property
    def language(self) -> str:
        """What the language calls itself."""
        return autonym(self.tag) if self.tag else ""


def in_language(value: Any, preferred: Sequence[str]) -> Said | None:
    """The words to show of a text in several languages, or of a plain one; None where there are none."""
    if isinstance(value, str) and value:
        return Said("", value, hides_letters(value))
    if not isinstance(value, dict):
        return None
    words = {tag: text for tag, text in value.items() if isinstance(text, str) and text}
    if not words:
        return None
    tag, text = pick(words, preferred)
    return Said(tag, isolated(text) if direction(tag) == "rtl" else text, hides_letters(text))


def isolated(text: str) -> str:
    """A text that runs from right to left with each amount in an isolate of its own.

    Without it, a number, a Latin unit, a colon and the next number run together from left to right, so that "30 cm: 8"
    is shown as "cm: 8 30" (Unicode Standard Annex 9).
    """
    return _AMOUNT.sub("\u2066\\g<0>\u2069", text)


def typed_words(text: str) -> str:
    """Words that somebody typed, to stand inside a sentence of ours: of their own direction, amounts kept whole.

    Source: Unicode Standard Annex 9: first strong isolate, pop directional isolate.
    """
    if not any(unicodedata.bidirectional(one) in {"R", "AL"} for one in text):
        return text
    return f"\u2068{isolated(text)}\u2069"


def all_in_language(values: Any, preferred: Sequence[str]) -> tuple[Said, ...]:
    """The words to show of a list of texts."""
    found = (in_language(value, preferred) for value in values or ())
    return tuple(one for one in found if one is not None)


def languages_of(document: Mapping[str, Any]) -> tuple[str, ...]:
    """The languages in which an entry has its title, sorted."""
    title = document.get("title")
    return tuple(sorted(title)) if isinstance(title, dict) else ()


def amount(quantity: Any) -> str:
    """A quantity as people read it: ``2 kg``, ``1 to 2 L``, ``3`` (pieces)."""
    if not isinstance(quantity, dict) or "value" not in quantity:
        return "" if quantity is None or isinstance(quantity, dict) else str(quantity)
    number = str(quantity["value"])
    if "low" in quantity and "high" in quantity:
        number = f"{number} ({quantity['low']} to {quantity['high']})"
    unit = say.UNIT_WORDS[quantity["unit"]] if quantity.get("unit") in say.UNIT_WORDS else ""
    if unit in {"", "pieces"}:
        return number
    if number == "1":
        unit = say.ONE_OF_UNIT.get(unit, unit)
    return f"{number} {unit}" if unit != "%" else f"{number} %"


def amount_in(value: Any, unit: str) -> str:
    """A number that may stand alone, with the unit that its field names; empty where nothing is said."""
    if value is None:
        return ""
    return amount(value if isinstance(value, dict) else {"value": value, "unit": unit})


def duration(text: Any) -> str:
    """An ISO 8601 duration in words: ``14 days``."""
    match = _DURATION.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        return ""
    parts = [
        f"{int(number)} {word}{'' if int(number) == 1 else 's'}"
        for number, word in zip(match.groups(), _DURATION_WORDS, strict=True)
        if number
    ]
    return " ".join(parts)


def days(value: Any) -> str:
    """Waiting days in words; where none are published, that is said."""
    if value in {1, "1"}:
        return "1 day"
    return f"{value} days" if isinstance(value, int) else str(value)
