"""One slip of the finger: a letter left out, put in, changed, or two neighbours swapped.

What it is: the known words that lie one slip away from a typed one. What it is not: spelling by sound or meaning.

Its one rule: only words of five letters or more are forgiven a slip; shorter ones would turn into each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

FORGIVEN_LETTERS: Final = 5
LONGEST_LETTERS: Final = 40  # no word that people type is longer; the spellings of one grow with its length squared


class Lexicon:
    """The words known to an index, ready to be asked for near ones.

    All spellings one slip away are written out and looked up: some hundred look-ups a word, however many words are
    known, where comparing with each known word would grow with the index.
    """

    def __init__(self, words: Iterable[str]) -> None:
        """Keep the words and the letters they are made of, by script."""
        self.words = frozenset(words)
        self._letters: dict[int, set[str]] = {}
        for letter in set().union(*self.words):
            self._letters.setdefault(_script(letter), set()).add(letter)

    def near(self, word: str) -> frozenset[str]:
        """Return the known words of five letters or more that are exactly one slip from a word."""
        if not FORGIVEN_LETTERS - 1 <= len(word) <= LONGEST_LETTERS:
            return frozenset()
        letters = set().union(*(self._letters.get(_script(letter), set()) for letter in set(word)))
        found = {other for other in _one_slip(word, letters) if len(other) >= FORGIVEN_LETTERS and other in self.words}
        return frozenset(found - {word})


def _script(letter: str) -> int:
    """Return a number that letters of one script share: scripts fill blocks of 256 code points or less."""
    return ord(letter) >> 8


def _one_slip(word: str, letters: set[str]) -> Iterator[str]:
    for at in range(len(word) + 1):
        front, back = word[:at], word[at:]
        if len(back) > 1:
            yield front + back[1] + back[0] + back[2:]
        if back:
            yield front + back[1:]
        for letter in letters:
            yield front + letter + back
            if back:
                yield front + letter + back[1:]
