"""Text to words, in any script: the same for what is written and for what is asked.

What it is: folding (case, accents, apostrophes, Arabic marks and letter forms, digits) and cutting into words, done
here before the engine sees anything, because engines' own word cutters break Hindi, Burmese and vowelled Arabic.
What it is not: stemming, which needs a language.

Its one rule: whatever a hurried person leaves out or types otherwise (accents, hamza, an apostrophe) is left out of
both sides.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from itertools import pairwise
from typing import Final

_APOSTROPHES: Final = dict.fromkeys(map(ord, "’‘ʼʻ`´′＇ʿʾ"), "'")
_LETTERS: Final = str.maketrans(
    {
        "œ": "oe",
        "æ": "ae",
        "ø": "o",
        "ł": "l",
        "ı": "i",
        "ة": "ه",
        "ى": "ي",
        "ک": "ك",
        "ی": "ي",
        "ھ": "ه",
        "ہ": "ه",
        "ٱ": "ا",
    }
)
# dropped without a trace: Latin accents, Arabic vowel and Quran marks with hamza above and below, tatweel, joiners
_DROPPED: Final = re.compile(
    "[\u0300-\u036f\u0610-\u061a\u0640\u064b-\u065f\u0670\u06d6-\u06ed\u200b-\u200f\u00ad\ufeff]"
)
_KEPT: Final = ("L", "N", "M", "Co")
_ELISION: Final = re.compile(r"\b(?:[cdjlmnst]|qu|jusqu|lorsqu|puisqu)'(?=\w\w)")
_POSSESSIVE: Final = re.compile(r"'s\b")
# scripts written without spaces between words: Thai, Lao, Myanmar, Khmer, kana, Han
_UNSPACED: Final = re.compile("[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u9fff]")


def fold(text: str) -> str:
    """Return a text with all that does not tell words apart folded away: one case, no accents, 0-9 for any digit."""
    plain = unicodedata.normalize("NFKC", text).casefold().translate(_APOSTROPHES)
    plain = _DROPPED.sub("", unicodedata.normalize("NFD", plain)).translate(_LETTERS)
    plain = "".join(str(unicodedata.digit(sign)) if unicodedata.category(sign) == "Nd" else sign for sign in plain)
    return unicodedata.normalize("NFC", plain)


def words_of(text: str) -> list[str]:
    """Return the folded words of a text in order.

    An apostrophe parts French elisions (l'eau: l, eau), ends English possessives, and is left out elsewhere (ng'ombe).
    Scripts without spaces give, besides the whole run, each pair of neighbouring syllables.
    """
    folded = _POSSESSIVE.sub("", _ELISION.sub(lambda found: found[0][:-1] + " ", fold(text))).replace("'", "")
    spaced = "".join(sign if _is_kept(sign) else " " for sign in folded)
    return [part for word in spaced.split() for part in _parts(word)]


@cache  # at most one answer for each character that is ever met
def _is_kept(sign: str) -> bool:
    return unicodedata.category(sign).startswith(_KEPT)


def _parts(word: str) -> list[str]:
    if not _UNSPACED.search(word):
        return [word]
    syllables: list[str] = []
    for sign in word:
        if syllables and unicodedata.category(sign).startswith("M"):
            syllables[-1] += sign
        else:
            syllables.append(sign)
    pairs = [first + second for first, second in pairwise(syllables)]
    return [word, *pairs] if len(pairs) > 1 else [word]
