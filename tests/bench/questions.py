"""How long a question takes, against SQLite's FTS5 over the same texts, which knows no slips, stems, names or topics."""

from __future__ import annotations

import sqlite3
import time
from random import Random
from statistics import quantiles
from typing import TYPE_CHECKING

from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.garden import garden

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from fieldbook.site import Site

QUESTIONS = 60
QUESTION_WORDS = 3
LIMIT = 20


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Ask both the same, in turns."""
    with garden(size.entries) as circle:
        site = circle["C"]
        texts = _texts(site)
        table = sqlite3.connect(":memory:")
        table.execute("CREATE VIRTUAL TABLE texts USING fts5(words)")
        table.executemany("INSERT INTO texts VALUES (?)", [(text,) for text in texts])
        asked = _questions(texts)

        def by_table(question: str) -> None:
            words = " OR ".join(f'"{word}"' for word in question.split())
            line = "SELECT rowid FROM texts WHERE texts MATCH ? ORDER BY bm25(texts) LIMIT ?"
            table.execute(line, (words, LIMIT)).fetchall()

        floor, ours = _ask(asked, by_table, lambda question: site.search(question, limit=LIMIT, reader=None))
        table.close()
    for name, place in (("p50", 49), ("p95", 94)):
        least = f"{seconds(floor[place])}: FTS5, any of the words, bm25"
        what = f"a question at {number(size.entries + 2)} entries, {name}"
        yield Figure(what, least, seconds(ours[place]), times(ours[place], floor[place]))


def _texts(site: Site) -> list[str]:
    """All that the index was given of each edition."""
    return [
        " ".join(f"{text.title} {text.summary} {text.body}" for text in document.texts.values())
        for document in site.documents(site.view.entries())
    ]


def _questions(texts: list[str]) -> list[str]:
    """Words out of the texts; every second question has a slip in one of them."""
    chance = Random(11)
    asked = []
    for place in range(QUESTIONS):
        words = [word for word in chance.choice(texts).split() if word.isalpha() and len(word) > 3]
        chosen = chance.sample(words, min(QUESTION_WORDS, len(words)))
        if place % 2:
            chosen[0] = chosen[0][:1] + chosen[0][2:]
        asked.append(" ".join(chosen))
    return asked


def _ask(asked: list[str], *answering: Callable[[str], object]) -> list[list[float]]:
    """For each way of answering the percentiles 1 to 99 of its processor time; each question counts by its least."""
    took: list[list[float]] = [[] for _ in answering]
    for question in asked:
        for way, answer in enumerate(answering):
            least = []
            for _ in range(3):
                started = time.process_time()
                answer(question)
                least.append(time.process_time() - started)
            took[way].append(min(least))
    return [quantiles(each, n=100) for each in took]
