"""Bytes as words that are read aloud over a radio and typed in elsewhere, with a word that checks them.

Not a fingerprint and not a secret: whoever hears the words knows the bytes, and nobody is proved by them. Its one rule:
a word is known by its first three letters, so that a slip of the ear is a word of no list or another check word.
"""

from __future__ import annotations

import re
from hashlib import sha256

from sync.words import WORDS

_START = 3  # letters that tell a word of the list from every other
_BY_START = {word[:_START]: number for number, word in enumerate(WORDS)}


def spoken(data: bytes) -> str:
    """A word for each byte, with a space between them."""
    return " ".join(WORDS[number] for number in data)


def heard(typed: str) -> tuple[int | None, ...]:
    """The byte of each word that was typed, None where it is no word of the list; capitals and signs do not matter."""
    return tuple(_BY_START.get(token[:_START]) for token in re.findall(r"[a-z]+", typed.lower()))


def check_word(data: bytes) -> str:
    """The word that checks these bytes: the first of SHA-256 over "sync 1 spoken", a newline, and them."""
    return WORDS[sha256(b"sync 1 spoken\n" + data).digest()[0]]
