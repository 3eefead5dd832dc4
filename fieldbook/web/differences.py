"""Differences between two editions as a reviewer reads them: the place in words, and both wordings.

Not the comparison (``practices``). Its one rule: both wordings are shown whole, each in its own direction.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.languages import LanguageError, autonym
from fieldbook.web.boxes import Box
from fieldbook.web.code_words import code_words
from fieldbook.web.entry_form import SECTIONS
from fieldbook.web.fact_questions import NOUNS, QUESTIONS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fieldbook.practices import Difference

_PART = re.compile(r"[^.\[\]]+|\[\d+\]")


@dataclass(frozen=True)
class DifferenceLine:
    """One place that differs; None where there was, or is, nothing."""

    place: str
    before: str | None
    now: str | None


def _labels() -> dict[str, str]:
    """What the form calls each place, so that writer and reviewer read the same words."""
    labels = {
        "facts": "",
        "facts.none": "what is known not to be there",
        "facts.cautions": "cautions",
        "facts.warned_against": "what the text warns against",
        "unread": "languages that nobody else has read",
        "title": "name",
        "summary": "summary",
        "photos": "photo",
        "sure": "your word that you know",
    }
    for section in SECTIONS:
        for part in section.parts:
            if isinstance(part, Box):
                labels.setdefault(part.at, part.label)
                continue
            labels.setdefault(part.at, part.label)
            labels |= {f"{part.at}[].{box.at}": box.label for box in part.boxes if box.at}
    for question in QUESTIONS:
        labels |= {f"{question.rows.at}[].{box.at}": box.label for box in question.rows.boxes}
        labels[question.rows.at] = NOUNS[question.group]
    return labels


_LABELS = _labels()


def difference_lines(found: Iterable[Difference]) -> list[DifferenceLine]:
    """The differences in words, in their order."""
    return [
        DifferenceLine(place_words(one.field), *(value_at(one.field, value) for value in (one.old, one.new)))
        for one in found
    ]


def value_at(field: str, value: Any) -> str | None:
    """A value as text; what is a code of the facts is said in its words."""
    coded = isinstance(value, str) and re.fullmatch(r"[a-z0-9_]+", value) and field.startswith("facts.")
    return code_words(value) if coded else value_words(value)


def place_words(field: str) -> str:
    """A place in a document in the words of the form: ``Step 4: What to do (English)``."""
    said: list[str] = []
    at = ""
    for part in _PART.findall(field):
        if part.startswith("["):
            row = ", row" if at.startswith("facts.") else ""
            at += "[]"
            said[-1:] = [f"{said[-1] if said else ''}{row} {int(part[1:-1]) + 1}".strip()]
            continue
        at = f"{at}.{part}" if at else part
        label = _LABELS.get(at, _LABELS.get(re.sub(r"^(facts\.[a-z]+)\.", r"\1[].", at)))
        said.append((_language(part) or part.replace("_", " ")) if label is None else label)
    return ": ".join(filter(None, said)) or "safety facts"


def _language(part: str) -> str:
    try:
        name = autonym(part)
    except LanguageError:
        return ""
    return name if name != part else ""


def value_words(value: Any) -> str | None:
    """A value as text: words as they are, what is composed as lines of ``name: value``."""
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "\n".join(
            f"{_language(str(name)) or str(name).replace('_', ' ')}: {value_words(one)}" for name, one in value.items()
        )
    if isinstance(value, list):
        return "\n".join(value_words(one) or "" for one in value)
    return str(value)
