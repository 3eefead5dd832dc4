"""Words to stems, so that a word is found in its other forms.

What it is: Snowball's algorithms for the languages that have one, and light folds of our own for Kiswahili and Arabic.
What it is not: grammar; a stem only has to be the same for most forms of a word and rarely for two different words.

Its one rule: a stem carries its language (``fr:arros``), so that stems of two languages never meet, and it always
counts less than the word itself.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Final

import snowballstemmer

if TYPE_CHECKING:
    from collections.abc import Iterable

_SNOWBALL: Final = {
    "en": "english",
    "es": "spanish",
    "fa": "persian",
    "fr": "french",
    "hi": "hindi",
    "ne": "nepali",
    "pt": "portuguese",
    "st": "sesotho",
    "ta": "tamil",
    "tr": "turkish",
}
_LATIN: Final = frozenset({"en", "es", "fr", "pt", "st", "sw", "tr"})

# Kiswahili, from memory: what may stand before a verb's root, its endings, class prefixes of nouns, the ending of place
_SW_SUBJECT: Final = "(?:ni|tu|wa|u|a|m|i|ya|li|zi|ki|vi)"
_SW_OBJECT: Final = "(?:ni|ku|tu|wa|m(?!w)|i|zi|vi|ki|ya)"
_SW_VERB: Final = re.compile(
    rf"(?:(?:ha|si)?{_SW_SUBJECT}(?:na|li|ta|me|ki|nge|ka|ja){_SW_OBJECT}?(?=\w{{4}})"  # tense, with or without object
    rf"|(?:ha|si)?{_SW_SUBJECT}(?:na|li|ta|me|ki|nge|ka|ja)(?=\w{{3}})"
    rf"|ha{_SW_SUBJECT}(?=\w{{3}})|ku(?=\w{{3}})|(?:ni|tu)(?=\w{{4}}))"  # it does not; to do; that I do
)
_SW_VERB_END: Final = re.compile(r"(?<=\w{2})(?:ish|esh|ian|an|w|i|e)?[aei]$")
_SW_NOUN: Final = re.compile(r"^(?:ki|vi|mi|wa|ma|mw|m|ku|ji|ny)(?=\w{3})")
_SW_PLACE: Final = re.compile(r"(?<=\w{4})ni$")

# Arabic, from memory of the "light" stemmers in use: and, the, with, for before; endings of number, gender and owner
_AR_FRONT: Final = re.compile(r"^(?:و?(?:ال|بال|كال|فال|لل)(?=\w{3})|و(?=\w{4}))")
_AR_LETTER: Final = re.compile(r"^[بلفك](?=\w{3})")
_AR_END: Final = re.compile(r"(?<=\w{2})(?:هما|ها|هم|هن|نا|ات|ان|ون|ين|يه|ه|ي)$")


def stems_of(word: str, languages: Iterable[str]) -> frozenset[str]:
    """Return the stems of a folded word in each of the languages, as ``language:stem``.

    Args:
        word: As ``words_of`` gives it.
        languages: Primary tags; one without an algorithm, or of another script than the word, gives nothing.
    """
    return frozenset(f"{language}:{stem}" for language in languages for stem in _stems(word, language))


@cache
def _snowball(language: str) -> snowballstemmer.stemmer:
    return snowballstemmer.stemmer(_SNOWBALL[language])


@lru_cache(maxsize=50_000)  # a rebuild meets the same words again and again, and a stemmer takes 0.1 ms
def _stems(word: str, language: str) -> frozenset[str]:
    is_latin = "a" <= word[0] <= "z"
    if len(word) < 3 or is_latin is not (language in _LATIN):
        return frozenset()
    if language == "sw":
        return _swahili(word)
    if language == "ar":
        return _arabic(word)
    if language not in _SNOWBALL:
        return frozenset()
    stem = _snowball(language).stemWord(word)
    # without accents the French stemmer leaves the e of arrosé(e) standing
    return frozenset({stem.rstrip("e") or stem if language == "fr" else stem})


def _swahili(word: str) -> frozenset[str]:
    """Return a word without its class prefix, the same without the ending of place, and, as a verb, its bare root."""
    found = _SW_VERB.match(word)
    root = _SW_VERB_END.sub("", word[found.end() :] if found else word)
    return frozenset({root, *(_SW_NOUN.sub("", shape) for shape in (word, _SW_PLACE.sub("", word)))})


def _arabic(word: str) -> frozenset[str]:
    """Return a word without article and endings; and without a one-letter preposition, if it begins like one."""
    bare = _AR_FRONT.sub("", word)
    shapes = {bare, _AR_LETTER.sub("", bare)}
    return frozenset(_AR_END.sub("", shape) for shape in shapes)
