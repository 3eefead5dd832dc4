"""The amounts in the words of a step: which of them are those of a material, and so change with the size.

Not a rewriting: the words stay, this says where in them a figure no longer holds. Its one rule: an amount belongs to a
material only where the words beside it name that material better than any other; of every other amount it is said that
it is the entry's own, and whoever reads decides.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from fieldbook.practices.scaled import Mark

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fieldbook.practices.scaled import ScaledThing

_NUMBER = r"(?<![\w.,/–-])(\d+(?:[.,]\d+)?)[ \u00a0]?"
_SQUARE_METRES = r"m²|square met(?:re|er)s?|mètres? carrés?|metros? cuadrados?|mita(?: za)? mraba|أمتار مربعة|متر مربع"
_AMOUNT: Final = re.compile(rf"{_NUMBER}(mL|L|kg|g|{_SQUARE_METRES})(?![\w/])")
_COUNT: Final = re.compile(rf"{_NUMBER}(?!(?:mm|cm|m|km|min|h)\b)(?=[^\W\d_])")
_SIDES: Final = re.compile(rf"{_NUMBER}(?:c?m)[ \u00a0](?:[^\W\d]{{1,4}}|×)[ \u00a0]\d+(?:[.,]\d+)?[ \u00a0]?c?m(?!\w)")
_BESIDE: Final = re.compile(r"[^\d.;:!?]*")  # up to the next figure or the end of the sentence
_WORD: Final = re.compile(r"[^\W\d_]{3,}")
_WORDS_BESIDE: Final = 5
_ENDING_MOST: Final = 2  # letters by which two forms of one word differ: chard, chards


@dataclass(frozen=True)
class Named:
    """A material: its words in the language of the step, and what becomes of it; None where it has no amount."""

    words: frozenset[str]
    thing: ScaledThing | None


def words_of(text: str) -> frozenset[str]:
    """The words of a material's name that can be met in a step."""
    return frozenset(_WORD.findall(text.casefold()))


def marks_in(text: str, named: Sequence[Named], grounds: Sequence[ScaledThing]) -> tuple[Mark, ...]:
    """Find the figures of a step that change, and the amounts of which that is not known.

    Args:
        text: the words of the step in one language.
        named: every material, with its words in that language.
        grounds: areas of the entry that grow and shrink with it, and what it weighs in all.

    Returns:
        In their order; counts stand among them only where they are those of a material. The two sides of a bed, box or
        house are one mark: nobody knows which of them grows.

    Source: ours. Valid: figures in digits; a count that is spelled out is not found.
    """
    sides = (Mark(found.start(), found.end(), None) for found in _SIDES.finditer(text))
    return tuple(sorted((*_amounts(text, named, grounds), *_counts(text, named), *sides), key=lambda mark: mark.start))


def _amounts(text: str, named: Sequence[Named], grounds: Sequence[ScaledThing]) -> Iterator[Mark]:
    for found in _AMOUNT.finditer(text):
        amount, unit = Decimal(found[1].replace(",", ".")), found[2]
        beside: Sequence[ScaledThing] = ()
        if unit in {"mL", "L", "kg", "g"}:
            beside = _best(_beside(text, found.end()), named) or _best(text, named)
        else:
            unit = "m²"
        yield Mark(found.start(), found.end(), _of_amount(beside, amount, unit) or _of_amount(grounds, amount, unit))


def _counts(text: str, named: Sequence[Named]) -> Iterator[Mark]:
    taken = {found.start() for found in _AMOUNT.finditer(text)}
    for found in _COUNT.finditer(text):
        thing = _of_amount(_best(_beside(text, found.end()), named), Decimal(found[1].replace(",", ".")), "pieces")
        if thing is not None and found.start() not in taken:
            yield Mark(found.start(), found.end(1), thing)


def _beside(text: str, start: int) -> str:
    beside = _BESIDE.match(text, start)
    return " ".join(re.findall(r"\w+", beside[0])[:_WORDS_BESIDE]) if beside else ""


def _best(text: str, named: Sequence[Named]) -> list[ScaledThing]:
    """What the words name best; nothing where they name no material, or one that has no amount."""
    spoken = words_of(text)
    scores = [sum(any(_alike(word, said) for said in spoken) for word in one.words) for one in named]
    top = max(scores, default=0)
    best = [one.thing for one, score in zip(named, scores, strict=True) if score == top and one.thing is not None]
    return best if top else []


def _alike(one: str, other: str) -> bool:
    short, long = sorted((one, other), key=len)
    return long.startswith(short) and len(long) - len(short) <= _ENDING_MOST


def _of_amount(things: Sequence[ScaledThing], amount: Decimal, unit: str) -> ScaledThing | None:
    return next((one for one in things if Decimal(str(one.was)) == amount and one.was_unit == unit), None)
