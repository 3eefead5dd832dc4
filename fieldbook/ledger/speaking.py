"""Words for a radio: ids as words, and the word that checks a line.

Not the lines themselves (``fieldbook.site.stopping.hearing``). Its one rule: nothing is believed because of it;
it only says whether what was typed is what was read.
"""

from __future__ import annotations

import sync
from fieldbook.ledger.values import LedgerError

FINGERPRINT_WORDS = 8
_ASK_AGAIN = "let them say all eight words once more, slowly; a word is known by its first three letters"


def spoken(data: bytes) -> str:
    """A plain word for each byte."""
    return sync.spoken(data)


def heard_words(typed: str) -> tuple[int | None, ...]:
    """The byte of each word that was typed; None where it is none of the list."""
    return sync.heard_words(typed)


def check_eight_words(typed: str) -> None:
    """Check that what was typed can be somebody's eight words, before anybody is looked for by them.

    Raises:
        LedgerError: a word is none of the list, or there are not eight.
    """
    heard = sync.heard_words(typed)
    for place, word in enumerate(heard, start=1):
        if word is None:
            raise LedgerError(f"word {place} of what was typed is none of the list", hint=_ASK_AGAIN)
    if len(heard) != FINGERPRINT_WORDS:
        raise LedgerError(f"eight words name a key, here are {len(heard)}", hint=_ASK_AGAIN)


def check_word(data: bytes) -> str:
    """The word that checks these bytes."""
    return sync.check_word(data)
