"""The places where two editions differ, as a person chooses between them.

Not the laying over (``practices.merging``). Its one rule: every wording is shown whole, with who wrote it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.web.differences import place_words, value_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.practices.merging import Choice, Side
    from fieldbook.site.merging import Brought, Laid
    from fieldbook.view import EditionLine

WHY_WORDS = {
    "safety": "Somebody's health hangs on this, so a person decides.",
    "both-changed": "Both changed it.",
    "left-out": "One of them left it out. Whether that was meant cannot be seen.",
    "": "Only one of them changed it.",
}
_SIDES = ("one", "other", "both", "new")


@dataclass(frozen=True)
class ChoiceRow:
    """One place: its number, where it is, why it is asked, the wording before, and what may be chosen.

    ``options`` are: side, whose wording, the wording (None: nothing), whether it is chosen now, and the picture that
    stands for it, where it is a photo.
    """

    number: int
    place: str
    why: str
    before: str | None
    options: tuple[tuple[Side, str, str | None, bool, str | None], ...]
    asked: bool


def edition_words(line: EditionLine) -> str:
    """An edition as it is named: ``Edition 2 by C1``."""
    return f"Edition {line.number} by {line.author}"


def choice_rows(laid: Laid, chosen: Mapping[int, Side]) -> list[ChoiceRow]:
    """Every place where the two differ, with what is chosen now or else proposed."""
    return [_row(n, choice, laid, chosen.get(n, choice.proposed)) for n, choice in enumerate(laid.merge.choices)]


def _row(number: int, choice: Choice, laid: Laid, now: Side | None) -> ChoiceRow:
    names = {"one": edition_words(laid.one), "other": edition_words(laid.other), "both": "Both, one after the other"}
    return ChoiceRow(
        number=number,
        place=place_words(choice.field),
        why=WHY_WORDS[choice.why],
        before=value_at(choice.field, choice.base),
        options=tuple(
            (side, names[side], value_at(choice.field, taken), side == now, _picture(taken))
            for side, taken in ((side, choice.taken(side)) for side in choice.sides)
        ),
        asked=choice.proposed is None,
    )


def _picture(value: Any) -> str | None:
    found = value.get("thumb") if isinstance(value, dict) else None
    return found if isinstance(found, str) else None


def taken_lines(brought: Brought) -> list[tuple[str, list[str]]]:
    """From where each place was taken: whose words, and the places."""
    names = {
        "one": f"As edition {brought.one.number} by {brought.one.author} says",
        "other": f"As edition {brought.other.number} by {brought.other.author} says",
        "both": "As both say, one after the other",
        "new": "In new words, as neither says",
    }
    found: list[tuple[str, list[str]]] = []
    for side in _SIDES:
        places = _places(taken.field for taken in brought.taken if taken.side == side)
        found += [(names[side], places)] if places else []
    return found


def _places(fields: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(map(place_words, fields)))
