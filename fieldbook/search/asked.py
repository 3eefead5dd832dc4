"""A question, word by word, with all the shapes in which each word may be found.

What it is: the step between what was typed and what is looked up: the word itself, its stems in every language at
hand, and the known words one slip away. What it is not: meaning; names and topics come after.

Its one rule: each shape says how sure it is, from 1 for the word as typed downwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fieldbook.search.smallwords import SMALL_WORDS
from fieldbook.search.stems import stems_of
from fieldbook.search.words import words_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from fieldbook.search.slips import Lexicon

WORD: Final = 1.0
STEM: Final = 0.8
SLIP: Final = 0.55
SLIP_OF_A_KNOWN_WORD: Final = 0.2  # a word that exists is seldom a slip of another
MAX_WORDS: Final = 32  # a question of more words than this is a pasted page


@dataclass(frozen=True)
class Asked:
    """One word of a question.

    Attributes:
        word: Folded, as typed.
        shapes: Word or ``language:stem`` -> how sure it is meant, 0 to 1.
    """

    word: str
    shapes: Mapping[str, float]


def asked_words(text: str, *, languages: Collection[str], lexicon: Lexicon) -> list[Asked]:
    """Return the words of a question that carry meaning; all of them, where none does."""
    typed = words_of(text)[:MAX_WORDS]
    telling = [word for word in typed if word not in SMALL_WORDS] or typed
    return [Asked(word, _shapes(word, languages, lexicon)) for word in dict.fromkeys(telling)]


def _shapes(word: str, languages: Collection[str], lexicon: Lexicon) -> dict[str, float]:
    shapes: dict[str, float] = {}
    slip = SLIP_OF_A_KNOWN_WORD if word in lexicon.words else SLIP
    for near in sorted(lexicon.near(word)):
        shapes[near] = slip
        shapes.update(dict.fromkeys(stems_of(near, languages), slip * STEM))
    shapes.update(dict.fromkeys(stems_of(word, languages), STEM))
    shapes[word] = WORD
    return shapes


def known_shapes(words: Sequence[str], languages: Collection[str]) -> list[frozenset[str]]:
    """Return each word of a text of ours with its stems: the other side of ``Asked.shapes``."""
    return [frozenset({word, *stems_of(word, languages)}) for word in words]
