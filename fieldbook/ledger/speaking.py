"""Words for a radio: ids as words, and the word that checks a line.

Not the lines themselves (``fieldbook.site.stopping.hearing``). Its one rule: nothing is believed because of it;
it only says whether what was typed is what was read.
"""

from __future__ import annotations

import sync


def spoken(data: bytes) -> str:
    """A plain word for each byte."""
    return sync.spoken(data)


def heard_words(typed: str) -> tuple[int | None, ...]:
    """The byte of each word that was typed; None where it is none of the list."""
    return sync.heard_words(typed)


def check_word(data: bytes) -> str:
    """The word that checks these bytes."""
    return sync.check_word(data)
