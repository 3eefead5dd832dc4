"""How well questions are answered; the figures are printed with ``-s``."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest

from fieldbook.search import Index
from tests.search.corpus import practices, questions

if TYPE_CHECKING:
    from collections.abc import Iterator

FILES = ["open_queries.tsv", "own_queries.tsv"]


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Index]:
    built = Index(tmp_path_factory.mktemp("index"))
    built.rebuild(practices())
    yield built
    built.close()


def share_in_top(index: Index, name: str, *, first: int) -> float:
    """Return the share of questions whose topic is among the first hits; the misses are printed."""
    asked = questions(name)
    missed = [
        q for q in asked if q.topic not in [topic for hit in index.search(q.words)[:first] for topic in hit.topics]
    ]
    print(f"\n{name}: {len(asked) - len(missed)} of {len(asked)} in the first {first}; missed:")
    print(Counter(q.language for q in missed), *(f"{q.words} ({q.topic})" for q in missed), sep="\n  ")
    return 1 - len(missed) / len(asked)


# 85 % of open and 75 % of unseen questions in the first three: what a volunteer needs, an aim of ours
@pytest.mark.parametrize("name", FILES)
def test_the_right_topic_is_among_the_first_three(index: Index, name: str) -> None:
    assert share_in_top(index, name, first=3) >= 0.9


@pytest.mark.parametrize("name", FILES)
def test_the_right_topic_is_mostly_the_first(index: Index, name: str) -> None:
    assert share_in_top(index, name, first=1) >= 0.8


@pytest.mark.parametrize("name", FILES)
def test_entries_without_topics_are_mostly_found_by_what_they_say(
    name: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    bare = Index(tmp_path_factory.mktemp("bare"))
    bare.rebuild(practices(with_topics=False))
    asked = questions(name)
    right = sum(q.topic in [hit.entry for hit in bare.search(q.words)[:3]] for q in asked)
    bare.close()
    assert right / len(asked) >= 0.75
