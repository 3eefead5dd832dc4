"""Practices and questions for the tests of search: one short practice for each topic, and two sets of questions.

``open_queries.tsv`` came with the task; ``own_queries.tsv`` is ours, worded apart from the table of topics. Neither has
been checked by speakers of its languages. ``practices.tsv`` is ours.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fieldbook.search import Document, Text

if TYPE_CHECKING:
    from fieldbook.search.values import Standing, State

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True)
class Asking:
    """A question and the topic that must be among the first three answers."""

    words: str
    language: str
    topic: str


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


def practices(*, with_topics: bool = True) -> list[Document]:
    """One approved practice for each topic, in one language each."""
    return [
        document(
            row["topic"],
            texts={row["language"]: Text(row["title"], row["summary"])},
            topics=(row["topic"],) if with_topics else (),
        )
        for row in _rows("practices.tsv")
    ]


def questions(name: str) -> list[Asking]:
    """The questions of a file, each with its first expected topic."""
    rows = _rows(name)
    wanted = "expected_topics" if "expected_topics" in rows[0] else "expected_topic"
    return [Asking(row["query"], row["language"], row[wanted].split(";")[0]) for row in rows]


def document(
    entry: str,
    *,
    texts: dict[str, Text],
    topics: tuple[str, ...] = (),
    state: State = "approved",
    standing: Standing | None = "checked-once",
    own: bool = False,
    withheld: bool = False,
    names: tuple[str, ...] = (),
) -> Document:
    """A document whose edition is named after its entry."""
    return Document(entry, f"edition of {entry}", state, standing, own, topics, texts, names, withheld)


def english(entry: str, title: str, summary: str = "", body: str = "", **more: object) -> Document:
    """A document in English."""
    return document(entry, texts={"en": Text(title, summary, body)}, **more)  # type: ignore[arg-type]
