"""The words of sums in the reader's language, with the English beneath: labels, hints, figures, units, what was given.

Not the words themselves: they stand with their calculators, and in the catalogue. Its one rule: where a part is not
known in the reader's language the whole stays English, and the English never goes missing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

from fieldbook.languages import ENGLISH, in_digits
from fieldbook.sentences import shipped_sentences
from fieldbook.web.here import sentence_tag
from fieldbook.web.words import sentence, where_and_both

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldbook.quantities import Input

_EMPTY = "or empty"
_ARABIC_POINT = "\N{ARABIC DECIMAL SEPARATOR}"
_GIVEN = "From what you gave"
_PLAIN = Markup('<bdi dir="ltr">{}</bdi>')


@dataclass(frozen=True)
class Figure:
    """One figure: what it is called, its value and unit, and in a list what it is of and which of them."""

    words: str
    value: str
    unit: str = ""
    of: str = ""
    number: int = 0


def both(text: str) -> str:
    """Words as they stand."""
    return _beside(text, (text,), "{}")


def whole(text: str) -> str:
    """Words as a whole sentence."""
    said = _said(text)
    english = sentence(text)
    return english if said is None else where_and_both("", sentence_tag(), sentence(said), english)


def drawn(text: str) -> str:
    """Words inside a drawing, which has no room for two languages: its table says the same in both."""
    return _said(text) or text


def name_drawn(text: str) -> str:
    """The name of a material in a drawing."""
    return _said(text) or text


def label(asked: Input, *, unit: bool) -> str:
    """What a box asks for, with its unit where that is not picked."""
    if not (unit and asked.unit):
        return both(asked.label)
    return _beside(f"{asked.label}, in {asked.unit}", (asked.label, asked.unit), "{} ({})")


def hint(asked: Input) -> str:
    """What to give, and that it may be left empty."""
    if not asked.may_lack or "empty" in asked.about:
        return both(asked.about)
    return _beside(f"{asked.about}, {_EMPTY}", (asked.about, _EMPTY), "{}, {}")


def option(text: str) -> str:
    """A choice of a list, which takes no markup."""
    said = _said(text)
    return text if said is None or said == text else f"{said} ({text})"


def amount(one: Figure, digits: str = "") -> str:
    """A figure with its unit; ``digits`` is what was typed, whose digits it takes."""
    arabic = any("\u0660" <= letter <= "\u0669" for letter in digits)
    number = in_digits(one.value, arabic_indic=True).replace(".", _ARABIC_POINT) if arabic else one.value
    english = f"{number} {one.unit}".strip()
    said = f"{_said(one.value) or number} {_said(one.unit) or one.unit}".strip()
    shown = _PLAIN.format(english)
    return shown if said == english else where_and_both("", sentence_tag(), said, shown)


def given(figures: Sequence[Figure]) -> str:
    """What an answer was reckoned from, in one line for each language."""
    english = "; ".join(_line(one, one.of, one.words, one.value, one.unit) for one in figures)
    parts = [_given(one) for one in figures]
    intro = _said(_GIVEN)
    text = f"{_GIVEN}: {english}."
    known = [part for part in parts if part is not None]
    if intro is None or len(known) < len(parts):
        return text
    return where_and_both("", sentence_tag(), f"{intro}: {'; '.join(known)}.", text)


def _given(one: Figure) -> str | None:
    of, words = _said(one.of) if one.of else "", _said(one.words)
    if of is None or words is None:
        return None
    return _line(one, of, words, _said(one.value) or one.value, _said(one.unit) or one.unit)


def _line(one: Figure, of: str, words: str, value: str, unit: str) -> str:
    return f"{f'{of} {one.number}, ' if of else ''}{words} {value} {unit}".strip()


def _beside(english: str, parts: Sequence[str], frame: str) -> str:
    found = [_said(part) or (part if part == parts[-1] and len(parts) > 1 else None) for part in parts]
    if found[0] is None or None in found:
        return english
    return where_and_both("", sentence_tag(), frame.format(*found), english)


def _said(text: str) -> str | None:
    tag = sentence_tag()
    return None if tag == ENGLISH or not text else shipped_sentences().say(text, tag)
