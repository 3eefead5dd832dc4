"""A word counts once: the best of its terms, by comparison with the engine's scores of each term alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st
from whoosh import fields
from whoosh.analysis import SpaceSeparatedTokenizer
from whoosh.filedb.filestore import RamStorage
from whoosh.query import Term

from fieldbook.search.best import Best

if TYPE_CHECKING:
    from whoosh.searching import Searcher

LETTERS = "abcd"


def scores(searcher: Searcher, query: object) -> dict[str, float]:
    return {hit["name"]: round(hit.score, 9) for hit in searcher.search(query, limit=None)}


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.text(LETTERS, min_size=1, max_size=9), min_size=1, max_size=8),
    st.lists(st.floats(0.1, 3), min_size=4, max_size=4),
)
def test_a_document_has_the_best_score_among_the_terms_that_it_holds(texts: list[str], boosts: list[float]) -> None:
    words = fields.TEXT(analyzer=SpaceSeparatedTokenizer(), phrase=False)
    index = RamStorage().create_index(fields.Schema(name=fields.STORED, words=words))
    with index.writer() as writer:
        for number, text in enumerate(texts):
            writer.add_document(name=str(number), words=" ".join(text))
    terms = [Term("words", letter, boost=boost) for letter, boost in zip(LETTERS, boosts, strict=True)]
    with index.searcher() as searcher:
        alone = [scores(searcher, term) for term in terms]
        wanted = {name: max(of[name] for of in alone if name in of) for name in {name for of in alone for name in of}}
        assert scores(searcher, Best(terms)) == wanted
