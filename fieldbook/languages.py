"""Languages as tags: which way they run, what they call themselves, which text to show, in which digits.

What it is: small tables and pure functions over BCP 47 language tags (RFC 5646). What it is not: a catalogue of the
words on our screens, nor a translator.

Its one rule: a tag is never guessed; a text is always handed over together with the tag that it really has. Whoever
writes is held to the form (`checked_tag`); what arrived from elsewhere is read whatever its tags look like, since one
entry may never hide all others.
"""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Final, Literal

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Direction = Literal["ltr", "rtl"]
ENGLISH: Final = "en"  # the language of what our screens say themselves

# format characters that honest texts need: joiners, marks of direction and the soft hyphen
_HONEST_FORMATS: Final = frozenset("\u00ad\u061c\u200c\u200d\u200e\u200f")
_ALIKE: Final = frozenset(
    {"LATIN", "GREEK", "CYRILLIC", "ARMENIAN", "CHEROKEE"}
)  # scripts with letters that look alike
_MICRO: Final = "\N{GREEK SMALL LETTER MU}"  # stands for the micro sign before Latin units

# RFC 5646, section 2.1, without extensions, private use and grandfathered tags, which no entry needs
_TAG: Final = re.compile(
    r"(?P<language>[a-z]{2,3})"
    r"(?:-(?P<script>[A-Z][a-z]{3}))?"
    r"(?:-(?P<region>[A-Z]{2}|[0-9]{3}))?"
    r"(?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*"
)
_ANY_CASE: Final = re.compile(_TAG.pattern, re.IGNORECASE)  # RFC 5646, section 2.1.1: case carries no meaning
# scripts by ISO 15924 code, and the languages commonly written in them
_RTL_SCRIPTS: Final = frozenset({"Arab", "Aran", "Hebr", "Syrc", "Thaa", "Nkoo", "Adlm", "Rohg"})
_RTL_LANGUAGES: Final = frozenset({"ar", "fa", "ps", "ur", "ug", "ckb", "sd", "he", "yi", "syr", "dv", "nqo", "prs"})

# the names by which speakers call them; en, sw, fr, ar, es from the locale data that the tests compare with
AUTONYMS: Final[dict[str, str]] = {
    "am": "አማርኛ",
    "ar": "العربية",
    "bn": "বাংলা",
    "en": "English",
    "es": "español",
    "fa": "فارسی",
    "fr": "français",
    "hi": "हिन्दी",
    "ln": "lingála",
    "my": "မြန်မာ",
    "ne": "नेपाली",
    "om": "Oromoo",
    "ps": "پښتو",
    "pt": "português",
    "rn": "Ikirundi",
    "rw": "Ikinyarwanda",
    "so": "Soomaali",
    "sw": "Kiswahili",
    "ti": "ትግርኛ",
    "ur": "اردو",
}
_ARABIC_INDIC: Final = str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")
_LOCALE_VARIABLES: Final = ("LC_ALL", "LC_MESSAGES", "LANG")
_WESTERN: Final = {zero + digit: str(digit) for zero in (0x0660, 0x06F0) for digit in range(10)}


class LanguageError(FieldbookError):
    """A language tag or a set of texts cannot be used as it stands."""


def checked_tag(tag: str) -> str:
    """Return a tag that is well formed, as it is.

    Raises:
        LanguageError: The tag is not of the form language[-Script][-REGION][-variant], in this case of letters.

    Source: RFC 5646, sections 2.1 and 2.1.1
    """
    if _TAG.fullmatch(tag) is None:
        raise LanguageError(f"{tag!r} is not a language tag", hint="write it like en, sw, ar-SD or zh-Hant")
    return tag


def primary(tag: str) -> str:
    """Return the language of a tag without script, region or variant: ar for ar-SD; a tag out of form is its own."""
    return _language_and_script(tag)[0]


def direction(tag: str) -> Direction:
    """Return the direction of lines in a language: that of its script where the tag names one."""
    language, script = _language_and_script(tag)
    rtl = script in _RTL_SCRIPTS if script else language in _RTL_LANGUAGES
    return "rtl" if rtl else "ltr"


def autonym(tag: str) -> str:
    """Return what a language calls itself, or the tag itself where we do not know."""
    language = primary(tag)
    name = AUTONYMS.get(language)
    if name is None:
        return tag
    return name if tag == language else f"{name} ({tag})"


def pick(text_map: Mapping[str, str], preferred: Sequence[str]) -> tuple[str, str]:
    """Return the text to show and the tag it has: first wish first, then the same language of any region, then any.

    Args:
        text_map: Texts by tag.
        preferred: Tags, the reader's own language first.

    Raises:
        LanguageError: There is no text at all.
    """
    for wish in preferred:
        if wish in text_map:
            return wish, text_map[wish]
        kin = [tag for tag in sorted(text_map) if primary(tag) == primary(wish)]
        if kin:
            return kin[0], text_map[kin[0]]
    if not text_map:
        raise LanguageError("there is no text in any language", hint="write it in one language at least")
    first = "en" if "en" in text_map else min(text_map)  # the one that most who share no language can have read out
    return first, text_map[first]


def of_environment(environment: Mapping[str, str]) -> str | None:
    """Return the tag of the language that a system's environment asks messages in, or None where it names none.

    Args:
        environment: The variables of the process; LC_ALL is asked before LC_MESSAGES, and that before LANG.

    Source: IEEE Std 1003.1-2017, sections 8.2 and 15.1 of Base Definitions: precedence, and the form
        language[_territory][.codeset][@modifier] (from memory)
    """
    named = next((value for name in _LOCALE_VARIABLES if (value := environment.get(name))), "")
    tag = re.split(r"[.@]", named, maxsplit=1)[0].replace("_", "-")
    return None if _ANY_CASE.fullmatch(tag) is None else tag


def in_digits(text: str, *, arabic_indic: bool) -> str:
    """Return a text with its digits 0-9 as Arabic-Indic ones, or with those as 0-9."""
    return text.translate(_ARABIC_INDIC if arabic_indic else _WESTERN)


def hides_letters(text: str) -> bool:
    """Whether a text holds letters that cannot be seen, or that pass for others: those of two scripts that look alike.

    Unicode Standard Annex #9 on what turns the direction of a text unseen, Unicode Technical Standard #39 on letters
    of mixed scripts. A sign, not a proof: an honest author may have pasted it.
    """
    if any(unicodedata.category(one) in {"Cf", "Co"} and one not in _HONEST_FORMATS for one in text):
        return True
    names = (unicodedata.name(one, "") for one in text if one.isalpha() and one != _MICRO)
    return len({name.partition(" ")[0] for name in names} & _ALIKE) > 1


def _language_and_script(tag: str) -> tuple[str, str | None]:
    match = _ANY_CASE.fullmatch(tag)
    if match is None:
        return tag, None
    return match["language"].lower(), match["script"].title() if match["script"] else None
