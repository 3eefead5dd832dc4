"""From signs and plain words to topics: "white powder" leads to the mildew, in the language of whoever asks.

What it is: the table of topics and their words (``seed_entries/topics.csv``), asked with the words of a question. What
it is not: a diagnosis; it only says in which order to look.

Its one rule: a word tells the more, the fewer topics it belongs to.
"""

from __future__ import annotations

import csv
import io
import math
from functools import cache
from typing import TYPE_CHECKING, Final

from fieldbook.search.asked import known_shapes
from fieldbook.search.smallwords import SMALL_WORDS
from fieldbook.search.words import words_of
from fieldbook.shipped import shipped_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fieldbook.search.asked import Asked

_NAMES: Final = "names"  # in the column of languages: ids of the names table
_NAME_WEIGHT: Final = 0.6  # a crop's name alone says little of what ails it


class TopicTable:
    """The words of every topic, asked with words and their shapes."""

    def __init__(self, text: str) -> None:
        """Read the table from its CSV text."""
        self.codes: list[str] = []
        self.words: set[str] = set()
        self._topics_of: dict[str, set[str]] = {}
        for row in csv.DictReader(io.StringIO(text)):
            if row["topic"] not in self.codes:
                self.codes.append(row["topic"])
            self._add(row["topic"], row["language"], row["words"])

    def _add(self, topic: str, language: str, text: str) -> None:
        if language == _NAMES:
            shapes: Iterable[str] = (f"{_NAMES}:{row}" for row in text.split("|"))
        else:
            words = [word for word in words_of(text) if word not in SMALL_WORDS]
            self.words.update(words)
            shapes = frozenset().union(*known_shapes(words, (language,)))
        for shape in shapes:
            self._topics_of.setdefault(shape, set()).add(topic)

    def rank(self, asked: Iterable[Asked], names: Mapping[str, float]) -> dict[str, float]:
        """Return topic -> how strongly the words speak for it, in bits that tell topics apart.

        Args:
            asked: The words of a question.
            names: Ids of the names table that were named -> how sure.
        """
        scores: dict[str, float] = {}
        for word in asked:
            _add_all(scores, self._best(word.shapes))
        for row, sure in names.items():
            _add_all(scores, self._best({f"{_NAMES}:{row}": sure * _NAME_WEIGHT}))
        return scores

    def _best(self, shapes: Mapping[str, float]) -> dict[str, float]:
        """Return topic -> what its best fitting shape of one word tells."""
        best: dict[str, float] = {}
        for shape, sure in shapes.items():
            topics = self._topics_of.get(shape, ())
            for topic in topics:
                best[topic] = max(best.get(topic, 0), sure * math.log2(1 + len(self.codes) / len(topics)))
        return best


def _add_all(scores: dict[str, float], more: Mapping[str, float]) -> None:
    for topic, score in more.items():
        scores[topic] = scores.get(topic, 0) + score


@cache
def shipped_topic_table() -> TopicTable:
    """Return the table of topics that comes with the program."""
    return TopicTable(shipped_text("seed_entries/topics.csv"))
