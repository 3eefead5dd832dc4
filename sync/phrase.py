"""A recovery phrase: a secret of 104 bits in fourteen plain words, to be written on paper and typed back.

Not a passphrase that a person chooses. One rule: a phrase with a word that was misread or left out is noticed before
anything is opened with it, because the last word checks the others.
"""

from __future__ import annotations

import re
from hashlib import sha256
from typing import TYPE_CHECKING

from sync.errors import LocalError
from sync.words import WORDS

if TYPE_CHECKING:
    from collections.abc import Callable

SECRET_BYTES = 13  # 104 bits, a word a byte: beyond any guessing, even without the stretching
PHRASE_WORDS = SECRET_BYTES + 1
_START = 3  # letters that tell a word of the list from every other
_BY_START = {word[:_START]: number for number, word in enumerate(WORDS)}
_HINT = "compare each word with the sheet; a word is known by its first three letters"


def invent_phrase(random: Callable[[int], bytes]) -> str:
    """A new phrase, fourteen words with a space between them.

    Args:
        random: Gives so many random bytes.
    """
    return _spelled(random(SECRET_BYTES))


def read_phrase(typed: str) -> str:
    """A phrase as a person typed it, in its one spelling.

    Capitals, spaces, line ends, numbers and punctuation do not matter; of each word the first three letters do.

    Raises:
        LocalError: A word is none of the list, one is missing, or they do not belong together.
    """
    tokens = re.findall(r"[a-z]+", typed.lower())
    if len(tokens) != PHRASE_WORDS:
        tokens = _cut("".join(tokens))
    numbers = [_number(token, place) for place, token in enumerate(tokens, start=1)]
    if len(numbers) != PHRASE_WORDS:
        raise LocalError(f"a recovery phrase has {PHRASE_WORDS} words, here are {len(numbers)}", hint=_HINT)
    phrase = _spelled(bytes(numbers[:SECRET_BYTES]))
    if WORDS[numbers[-1]] != phrase.rpartition(" ")[2]:
        raise LocalError("these words are not one recovery phrase: one is wrong, or two changed places", hint=_HINT)
    return phrase


def _spelled(secret: bytes) -> str:
    check = sha256(b"sync 1 phrase\n" + secret).digest()[:1]
    return " ".join(WORDS[number] for number in secret + check)


def _number(token: str, place: int) -> int:
    number = _BY_START.get(token[:_START])
    if number is None:
        raise LocalError(f"word {place} of the recovery phrase is none of the list", hint=_HINT)
    return number


def _cut(letters: str) -> list[str]:
    """Words out of letters that run together, or that were parted elsewhere; what fits no word stays in one piece."""
    tokens = []
    while letters:
        number = _BY_START.get(letters[:_START])
        word = letters if number is None or not letters.startswith(WORDS[number]) else WORDS[number]
        tokens.append(word)
        letters = letters[len(word) :]
    return tokens
