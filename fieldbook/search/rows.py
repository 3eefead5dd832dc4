"""A document as the engine keeps it: cut into words and stems, with the names and topics that its own words lead to.

What it is: the side of the entry, to which ``question`` is the other side. What it is not: storage.

Its one rule: a question meets an entry in four ways, each without the others: by its words, by the names of plants and
animals in any language, by the topics that its author chose, and by those that its title and summary speak of.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Final

from fieldbook.languages import primary
from fieldbook.search.asked import STEM, WORD, Asked
from fieldbook.search.names import shipped_names_table
from fieldbook.search.smallwords import SMALL_WORDS
from fieldbook.search.stems import stems_of
from fieldbook.search.tiers import tier_of
from fieldbook.search.topics import shipped_topic_table
from fieldbook.search.values import Document, Text
from fieldbook.search.words import words_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_SPOKEN_OF: Final = 0.7  # a topic is guessed if it has this share of the best one's score


def rows_of(document: Document) -> Iterator[dict[str, str]]:
    """Give the fields of a document as the engine takes them, once for each language."""
    for language, text in document.texts.items():
        # of a withdrawn entry nothing but the notice may ever be found, whatever is handed in beside it
        searched = Text(text.title, text.summary) if document.state == "recalled" else text
        title, summary = words_of(searched.title), words_of(searched.summary)
        said = [_said(word, language) for word in dict.fromkeys((*title, *summary)) if word not in SMALL_WORDS]
        names = shipped_names_table().ids_in([word.shapes for word in said])
        yield {
            "edition": document.edition,
            "language": language,
            "tier": tier_of(document),
            "title": _with_stems(title, language),
            "text": _with_stems([*summary, *words_of(searched.body)], language),
            "topics": " ".join(document.topics),
            "chief": " ".join(document.topics[:1]),
            "guessed": " ".join(_spoken_of(said, names)),
            "names": " ".join(sorted({*document.names, *names})),
            "shown": json.dumps(
                [
                    document.entry,
                    document.edition,
                    text.title,
                    language,
                    document.state,
                    document.standing,
                    document.topics,
                ]
            ),
        }


def _with_stems(words: Sequence[str], language: str) -> str:
    """Return words and their stems for one field; a stem holds a colon, which no word does."""
    return " ".join(shape for word in words for shape in (word, *sorted(stems_of(word, (primary(language),)))))


def _said(word: str, language: str) -> Asked:
    return Asked(word, dict.fromkeys(stems_of(word, (primary(language),)), STEM) | {word: WORD})


def _spoken_of(said: Sequence[Asked], names: dict[str, float]) -> list[str]:
    scores = shipped_topic_table().rank(said, names)
    least = _SPOKEN_OF * max(scores.values(), default=0)
    return sorted(topic for topic, score in scores.items() if score >= least)
