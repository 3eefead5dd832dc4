"""A question put to the engine: words, the names and topics that they lead to, and the order of the answers.

What it is: the translation of ``Asked`` words into a query, and of scored rows into hits. What it is not: parsing of
any query language; people type words, not operators.

Its one rule: a better place in the list is earned by relevance only among documents of the same tier; a hit that
answers far worse than the best one never profits from its tier.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from whoosh import query

from fieldbook.languages import checked_tag, primary
from fieldbook.search.asked import Asked, asked_words
from fieldbook.search.best import Best
from fieldbook.search.names import shipped_names_table
from fieldbook.search.topics import shipped_topic_table
from fieldbook.search.values import Hit

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from fieldbook.search.slips import Lexicon

_TITLE: Final = 1.0
_TEXT: Final = 0.6
_TOPIC: Final = {"topics": 2.0, "chief": 0.3, "guessed": 0.6}  # chosen by the author; the first of these; our guess
_NAME: Final = 2.0
_LIKELY: Final = 0.5  # topics with less than this share of the best one's score are left out
_AS_GOOD: Final = 0.9  # a row with this share of the score of the best row of its document answers as well
_LANGUAGES_OF_ONE: Final = 4  # rows looked at for each hit wanted, since a document has one for each language


@dataclass(frozen=True)
class Question:
    """A question, understood as far as the tables go.

    Attributes:
        words: Those that carry meaning, with their shapes.
        names: Ids of the names table -> how sure.
        topics: Likely topics -> how strongly the words speak for them.
    """

    words: Sequence[Asked]
    names: Mapping[str, float]
    topics: Mapping[str, float]

    @classmethod
    def of(cls, text: str, *, languages: Collection[str], lexicon: Lexicon) -> Question:
        """Return the question that a text asks."""
        words = asked_words(text, languages=languages, lexicon=lexicon)
        names = shipped_names_table().ids_in([word.shapes for word in words])
        scores = shipped_topic_table().rank(words, names)
        least = _LIKELY * max(scores.values(), default=0)
        return cls(words, names, {topic: score for topic, score in scores.items() if score >= least})

    def hits(
        self, searcher: Any, *, tiers: Sequence[str], language: str | None, limit: int, preferred: Sequence[str]
    ) -> list[Hit]:
        """Return the best answers, tier after tier: what was checked comes before what was not, whatever fits best."""
        asked, reader = self._query(searcher), searcher.reader()
        spoken = _in_language(searcher, language)  # a tag that is none is refused, whatever is here
        found: list[Hit] = []
        for tier in (one for one in tiers if ("tier", one) in reader):  # most sites have nothing of their own unchecked
            wanted = query.And([query.Term("tier", tier), *spoken])
            rows = searcher.search(asked, filter=wanted, limit=limit * _LANGUAGES_OF_ONE)
            found += _one_of_each([_hit(row) for row in rows], preferred)
        return found[:limit]

    def _query(self, searcher: Any) -> query.Query:
        reader = searcher.reader()
        parts: list[query.Query] = [Best(terms) for word in self.words if (terms := list(_terms(reader, word)))]
        for topic, score in self.topics.items():
            parts += [_constant(name, topic, score * weight) for name, weight in _TOPIC.items()]
        parts += [_constant("names", row, sure * _NAME) for row, sure in self.names.items()]
        return query.Or(parts)


def _terms(reader: Any, word: Asked) -> Iterator[query.Term]:
    for shape, sure in word.shapes.items():
        for name, weight in (("title", _TITLE), ("text", _TEXT)):
            if (name, shape) in reader:
                yield query.Term(name, shape, boost=sure * weight)


def _constant(name: str, code: str, score: float) -> query.Query:
    return query.ConstantScoreQuery(query.Term(name, code), score)


def _in_language(searcher: Any, language: str | None) -> list[query.Query]:
    """Return the condition on a text's language: any tag of the same primary language."""
    if language is None:
        return []
    wanted = primary(checked_tag(language))
    tags = [tag for tag in searcher.reader().field_terms("language") if primary(tag) == wanted]
    return [query.Or([query.Term("language", tag) for tag in tags])]


def _hit(row: Any) -> Hit:
    entry, edition, title, language, state, standing, topics = json.loads(row["shown"])
    return Hit(entry, edition, title, language, state, standing, tuple(topics), row.score)


def _one_of_each(hits: Sequence[Hit], preferred: Sequence[str]) -> list[Hit]:
    """Return each document once, where its best row stands, in the language that answers best.

    Of rows that answer about as well, the one that the reader prefers: the engine's scores of short and long texts
    differ by a few parts in a hundred for no reason that a reader would see.
    """

    def wish(hit: Hit) -> tuple[int, float, str]:
        place = preferred.index(hit.language) if hit.language in preferred else len(preferred)
        return (place, -round(hit.score, 6), hit.language)

    rows: dict[str, list[Hit]] = {}
    for hit in sorted(hits, key=lambda hit: (-round(hit.score, 6), wish(hit))):
        rows.setdefault(hit.edition, []).append(hit)
    return [min((hit for hit in same if hit.score >= _AS_GOOD * same[0].score), key=wish) for same in rows.values()]
