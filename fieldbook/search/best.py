"""A query that counts a word once, by the best of its shapes and places.

What it is: a repair. The engine's own query of this kind takes the higher of two scores even where only one of the two
terms stands in the document at hand, and so gives it another document's score. What it is not: a scoring of our own.

Its one rule: the score of a document is the highest among the terms that it holds.
"""

from __future__ import annotations

from typing import Any

from whoosh.matching import DisjunctionMaxMatcher
from whoosh.query import DisjunctionMax


class _BestMatcher(DisjunctionMaxMatcher):  # type: ignore[misc]  # the engine has no types
    """Walks two lists of documents at once; a list that is not at the present document has no say."""

    def score(self) -> float:
        here = self.id()
        return max(float(side.score()) for side in (self.a, self.b) if side.is_active() and side.id() == here)

    def supports_block_quality(self) -> bool:
        """Say no: the engine would skip documents by the scores that were wrong."""
        return False


class Best(DisjunctionMax):  # type: ignore[misc]  # the engine has no types
    """Matches what any of the terms matches, and scores it by the best of those that do."""

    def _matcher(self, subs: Any, searcher: Any, context: Any) -> Any:
        reader = searcher.reader()
        return self._tree_matcher(subs, _BestMatcher, searcher, context, lambda term: term.estimate_size(reader))
