"""Differences between two editions as a reviewer reads them: the place in words, and both wordings.

Not the comparison (``practices``). Its one rule: both wordings are shown whole, each in its own direction.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from fieldbook.languages import LanguageError, autonym, direction
from fieldbook.practices.changes import spelled
from fieldbook.practices.entry_shape import SET_MAX_CHARACTERS
from fieldbook.web.boxes import Box
from fieldbook.web.code_words import code_words
from fieldbook.web.entry_form import SECTIONS
from fieldbook.web.fact_questions import NOUNS, QUESTIONS
from fieldbook.web.said import isolated

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.practices import Difference

_PHOTO_FILE = re.compile(r"^photos\[\d+\]\.(ref|thumb)$")  # shown as pictures instead
_BY_RULE = "by_rule"  # shown apart: what a tap set is no sentence of the author
_PART = re.compile(r"[^.\[\]]+|\[\d+\]")


Parts = tuple[tuple[str, bool], ...]


@dataclass(frozen=True)
class DifferenceLine:
    """One place that differs; None where there was, or is, nothing.

    The parts are the same words in pieces, each with whether it stands on this side alone; ``tag`` is their language,
    where the place names one.
    """

    place: str
    before: str | None
    now: str | None
    before_parts: Parts = ()
    now_parts: Parts = ()
    tag: str = ""


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


def _choices() -> dict[str, dict[str, str]]:
    """The words of the codes that the form offers at each place."""
    rows = [part for section in SECTIONS for part in section.parts if not isinstance(part, Box)]
    alone = [part for section in SECTIONS for part in section.parts if isinstance(part, Box)]
    boxes = [(box.at, box) for box in alone]
    for one in (*rows, *(question.rows for question in QUESTIONS)):
        boxes += [(f"{one.at}[].{box.at}" if box.at else f"{one.at}[]", box) for box in one.boxes]
    found = {at: dict(box.choices) for at, box in boxes if box.choices}
    return found | {f"{at}[]": dict(box.choices) for at, box in boxes if box.takes == "picks"}


_LABELS = _labels()
_CHOICES = _choices()


def difference_lines(found: Iterable[Difference]) -> list[DifferenceLine]:
    """The differences in words, in their order."""
    return [_line(one) for one in found if not (_PHOTO_FILE.search(one.field) or one.field.startswith(_BY_RULE))]


def set_by_rule(document: Mapping[str, Any]) -> list[tuple[str, str, bool]]:
    """What a tap of *instead* set: the rule, the place in words, and whether it stands there still as it was set."""
    return [
        (
            str(row.get("rule", "")),
            place_words(at),
            spelled(_standing_at(document, at))[:SET_MAX_CHARACTERS] == one["to"],
        )
        for row in document.get(_BY_RULE) or ()
        for one in row.get("places") or ()
        for at in (str(one.get("at", "")),)
    ]


def _standing_at(document: Any, field: str) -> Any:
    for part in _PART.findall(field):
        if part.startswith("["):
            number = int(part[1:-1])
            document = document[number] if isinstance(document, list) and number < len(document) else None
        else:
            document = document.get(part) if isinstance(document, dict) else None
    return document


def _line(one: Difference) -> DifferenceLine:
    tag = _language_tag(one.field)
    before, now = (_isolated(value_at(one.field, value), tag) for value in (one.old, one.new))
    return DifferenceLine(place_words(one.field), before, now, *marked_apart(before or "", now or ""), tag=tag)


def _told(field: str, value: Any) -> Any:
    """A value without what only machines read: the names of a photo's files."""
    if field.startswith("photos[") and isinstance(value, dict):
        return {name: one for name, one in value.items() if name not in {"ref", "thumb"}}
    return value


def marked_apart(before: str, now: str) -> tuple[Parts, Parts]:
    """Two wordings in pieces of whole words, each piece marked where the other wording lacks it."""
    words = [re.findall(r"\s+|\S+", text) for text in (before, now)]
    matcher = SequenceMatcher(None, words[0], words[1], autojunk=False)
    sides: tuple[list[tuple[str, bool]], list[tuple[str, bool]]] = ([], [])
    for tag, from_a, to_a, from_b, to_b in matcher.get_opcodes():
        for side, text in zip(sides, ("".join(words[0][from_a:to_a]), "".join(words[1][from_b:to_b])), strict=True):
            if text:
                side.append((text, tag != "equal"))
    return tuple(sides[0]), tuple(sides[1])


def _language_tag(field: str) -> str:
    """The language that the last part of a place names, or empty."""
    last = field.rpartition(".")[2]
    return last if "." in field and _language(last) else ""


def _isolated(text: str | None, tag: str) -> str | None:
    return isolated(text) if text and tag and direction(tag) == "rtl" else text


@dataclass(frozen=True)
class PhotoPair:
    """A photo that differs between two editions: its name, and the files of both sides; None where there is none."""

    name: str
    before: Mapping[str, Any] | None
    now: Mapping[str, Any] | None


def photo_pairs(before: Mapping[str, Any], now: Mapping[str, Any]) -> list[PhotoPair]:
    """The photos that two documents do not share, by name."""
    sides = [{photo["name"]: photo for photo in document.get("photos") or ()} for document in (before, now)]
    pairs = (PhotoPair(name, sides[0].get(name), sides[1].get(name)) for name in dict.fromkeys((*sides[0], *sides[1])))
    return [pair for pair in pairs if (pair.before or {}).get("ref") != (pair.now or {}).get("ref")]


def value_at(field: str, value: Any) -> str | None:
    """A value as text, in the words of its place."""
    return value_words(_told(field, value), re.sub(r"\[\d+\]", "[]", field))


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
        label = _label(at)
        said.append((_language(part) or part.replace("_", " ")) if label is None else label)
    return ": ".join(filter(None, said)) or "safety facts"


def _language(part: str) -> str:
    try:
        name = autonym(part)
    except LanguageError:
        return ""
    return name if name != part else ""


def value_words(value: Any, at: str = "") -> str | None:
    """A value as text: words as they are, codes in their words, what is composed as lines of ``name: value``.

    Args:
        value: what stands there.
        at: its place, with ``[]`` for any row; empty where it is not known.
    """
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "\n".join(
            f"{_name_words(at, str(name))}: {value_words(one, f'{at}.{name}')}" for name, one in value.items()
        )
    if isinstance(value, list):
        return "\n".join(value_words(one, f"{at}[]") or "" for one in value)
    return _coded(str(value), at)


def _name_words(at: str, name: str) -> str:
    label = _label(f"{at}.{name}")
    return (_language(name) or name.replace("_", " ")) if label is None else label.rstrip("?") or name


def _coded(text: str, at: str) -> str:
    words = _CHOICES.get(at, _CHOICES.get(_in_rows(at), {}))
    if text in words:
        return words[text]
    return code_words(text) if at.startswith("facts.") and re.fullmatch(r"[a-z0-9_]+", text) else text


def _in_rows(at: str) -> str:
    """The place of a fact as the form names it: in a row, though a single one may stand alone."""
    return re.sub(r"^(facts\.[a-z]+)\.", r"\1[].", at)


def _label(at: str) -> str | None:
    return _LABELS.get(at, _LABELS.get(_in_rows(at)))
