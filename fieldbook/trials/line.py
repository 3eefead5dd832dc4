"""One line that is said of trials.

Its one rule: it is a sentence of the catalogue, so that a reader of another language is told the same.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """One thing said.

    Attributes:
        words: One sentence, beginning small, without a full stop.
        about: ``result``, ``hint``, ``counts``, ``caution`` or ``method``.
    """

    words: str
    about: str
