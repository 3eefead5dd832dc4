"""Boxes of a form and the document behind them: a document fills the boxes, the boxes are read back into a document.

What it is: the small engine under every long form. What it is not: a check (`practices.read_entry` finds faults), or
a page. Its one rule: what a form does not show is kept as it was; what it shows is exactly what was typed, right or
wrong, so that nobody types anything twice.

A box's name is its place in the document (``steps[0].say``), so a fault finds its box by the same words.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, Protocol

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

Takes = Literal["words", "long", "text", "number", "pick", "picks", "flag", "days", "numbers", "answer"]
Values = dict[str, list[str]]
ROWS_MAX = 60  # rows of one list in one form; an entry with more steps than this is two entries
_COMMA_DECIMAL = re.compile(r"^[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})$")  # three digits after a comma may be thousands


class Posted(Protocol):
    """What a form sends: several values under one name."""

    def getlist(self, name: str) -> list[str]:
        """The values under a name."""
        ...


@dataclass(frozen=True, kw_only=True)
class Box:
    """One thing to fill in.

    Attributes:
        at: its place in the document, or in its row; empty where it is the row itself.
        label: the question, as a person would ask it.
        takes: ``words`` and ``long`` are text in the language of the form, ``text`` is text in none, ``days`` are
            whole days or "none published", ``numbers`` are several with spaces between, an ``answer`` is
            yes, no or words.
        hint: what helps to answer.
        choices: (code, words) for ``pick`` and ``picks``.
        width: ``narrow``, ``broad`` or empty: how much of a row it takes.
    """

    at: str
    label: str
    takes: Takes = "words"
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    width: str = ""


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A list in the document, one row of boxes for each item.

    Attributes:
        at: the list's place in the document.
        label: what one row is called ("Step").
        many: what stands above the rows ("Steps").
        boxes: the boxes of a row.
        blank: empty rows shown below what is there.
        hint: what helps to fill them.
        lone: an only item stands without a list around it.
    """

    at: str
    label: str
    boxes: tuple[Box, ...]
    many: str = ""
    blank: int = 2
    hint: str = ""
    lone: bool = False


Part = Box | Rows


def get_at(value: Any, path: str) -> Any:
    """What stands at a dotted place, or None."""
    for name in path.split(".") if path else ():
        if not isinstance(value, dict):
            return None
        value = value.get(name)
    return value


def put_at(value: Any, path: str, new: Any) -> Any:
    """A copy of the value with ``new`` at a dotted place; None takes the place away, and what is empty without it."""
    if not path:
        return new
    name, _, rest = path.partition(".")
    kept = dict(value) if isinstance(value, dict) else {}
    inner = put_at(kept.get(name), rest, new)
    if inner is None or (rest and inner == {}):
        kept.pop(name, None)
    else:
        kept[name] = inner
    return kept


def row_name(rows: Rows, number: int, box: Box | None = None) -> str:
    """The name of a row, or of a box in it."""
    return f"{rows.at}[{number}]" + (f".{box.at}" if box is not None and box.at else "")


def items_of(document: Mapping[str, Any], rows: Rows) -> list[Any]:
    """The items behind the rows, as a list even where an only one stands alone."""
    found = get_at(document, rows.at)
    if found is None:
        return []
    return list(found) if isinstance(found, list) else [found]


def fill(document: Mapping[str, Any], parts: Iterable[Part], *, language: str) -> Values:
    """What each box shows of a document; names of rows carry how many there are."""
    values: Values = {}
    for part in parts:
        if isinstance(part, Box):
            values[part.at] = _shown(get_at(document, part.at), part, language)
            continue
        items = items_of(document, part)
        values[part.at] = [str(len(items))]
        for number, item in enumerate(items):
            for box in part.boxes:
                values[row_name(part, number, box)] = _shown(get_at(item, box.at), box, language)
    return values


def read(posted: Posted, document: Mapping[str, Any], parts: Iterable[Part], *, language: str) -> dict[str, Any]:
    """The document with what the boxes say now; what no box shows stays.

    Args:
        posted: what the form sent.
        document: what the form was filled from.
        parts: the boxes and rows that it showed.
        language: the language in which its words are written.
    """
    out = dict(document)
    for part in parts:
        if isinstance(part, Box):
            new = _read_box(posted.getlist(part.at), get_at(out, part.at), part, language)
            out = put_at(out, part.at, new)
        else:
            out = put_at(out, part.at, _read_rows(posted, out, part, language))
    return out


def row_count(posted: Posted, rows: Rows) -> int:
    """How many rows of a list the form showed."""
    said = (posted.getlist(f"{rows.at}.rows") or ["0"])[0]
    return min(int(said), ROWS_MAX) if said.isascii() and said.isdigit() and len(said) < 4 else 0


def _read_rows(posted: Posted, document: Mapping[str, Any], rows: Rows, language: str) -> Any:
    before = items_of(document, rows)
    kept = []
    for number in range(max(row_count(posted, rows), len(before))):
        item = before[number] if number < len(before) else None
        if number < row_count(posted, rows):
            item = _read_row(posted, item, rows, number, language)
        if item is not None:
            kept.append(item)
    if not kept:
        return None
    was_list = isinstance(get_at(document, rows.at), list)
    return kept[0] if rows.lone and len(kept) == 1 and not was_list else kept


def _read_row(posted: Posted, item: Any, rows: Rows, number: int, language: str) -> Any:
    """One item; None where every box of it was emptied (a row that never showed anything here is kept)."""
    typed = [posted.getlist(row_name(rows, number, box)) for box in rows.boxes]
    shown = [_shown(get_at(item, box.at), box, language) for box in rows.boxes]
    if not any(_is_filled(values) for values in typed) and (
        item is None or any(_is_filled(values) for values in shown)
    ):
        return None
    for box, values in zip(rows.boxes, typed, strict=True):
        item = put_at(item, box.at, _read_box(values, get_at(item, box.at), box, language))
    return item


def _is_filled(values: Sequence[str]) -> bool:
    return any(value.strip() for value in values)


def _shown(value: Any, box: Box, language: str) -> list[str]:
    if value is None:
        return []
    if box.takes == "picks":
        return [str(code) for code in value] if isinstance(value, list) else [str(value)]
    if box.takes == "numbers":
        return [" ".join(str(number) for number in value)] if isinstance(value, list) else [str(value)]
    if box.takes in {"flag", "answer"}:
        return ["yes" if value is True else "no" if value is False else str(value)]
    if isinstance(value, dict):
        value = value.get(language, "") if box.takes in {"words", "long"} else value.get("value", "")
    return [str(value)] if value != "" else []


def _read_box(values: Sequence[str], before: Any, box: Box, language: str) -> Any:
    if box.takes == "picks":
        chosen = [value for value in values if value]
        same = sorted(before if isinstance(before, list) else [before or ""]) == sorted(chosen)
        return before if same else chosen or None
    text = values[0].strip().replace("\r\n", "\n") if values else ""
    if box.takes in {"words", "long"}:
        return _with_words(before, text, language)
    if not text:
        return None
    return _read_plain(text, before, box)


def _read_plain(text: str, before: Any, box: Box) -> Any:
    if box.takes in {"flag", "answer"}:
        return {"yes": True, "no": False}.get(text, text)
    if box.takes == "numbers":
        return [plain_number(part) for part in text.split()]
    if box.takes in {"number", "days"}:
        number = plain_number(text)
        return {**before, "value": number} if isinstance(before, dict) else number
    return text


def _with_words(before: Any, text: str, language: str) -> Any:
    if isinstance(before, str) and before == text:
        return before
    others = {tag: words for tag, words in before.items() if tag != language} if isinstance(before, dict) else {}
    return ({**others, language: text} if text else others) or None


def plain_number(text: str) -> str:
    """A number as typed on any keyboard, in ASCII digits and with a decimal point; other text is left as it is.

    A comma with three digits behind it may mean thousands, so it stays and is found as a fault.
    """
    digits = "".join(str(unicodedata.digit(c)) if c.isdigit() and not c.isascii() else c for c in text)
    digits = digits.replace("٫", ".")
    return digits.replace(",", ".") if _COMMA_DECIMAL.match(digits) else digits


def box_of_fault(field: str, names: Iterable[str]) -> str | None:
    """The box to which a fault belongs: the one at its place, around it, or the first one below it."""
    known = list(names)
    places = (field, re.sub(r"^facts\.([a-z]+)(?=\.|$)", r"facts.\1[0]", field))
    around = [name for name in known if any(_is_at_or_in(place, name) for place in places)]
    if around:
        return max(around, key=len)
    below = (name for name in known if field and any(_is_at_or_in(name, place) for place in places))
    return next(below, None)


def _is_at_or_in(place: str, name: str) -> bool:
    return bool(name) and (place == name or place.startswith((f"{name}.", f"{name}[")))
