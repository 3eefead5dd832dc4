"""What licensed local people said, what was answered before, and what keeps an entry off a sheet, in sentences.

Not who may say what (``site.second_words``). Its one rule: a word is shown with the office that gave it, its day, and
where it counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.review.cautions import NAMES
from fieldbook.web.queue_words import STAKE_WORDS
from fieldbook.web.words import joined

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from typing import Any

    from fieldbook.site.earlier_answers import Offered
    from fieldbook.view import Approved

OFFICE_WORDS = {
    "animal-health-worker": "animal-health worker",
    "builder": "builder",
    "doctor": "doctor",
    "engineer": "engineer",
    "environmental-health-officer": "environmental-health officer",
    "vet": "vet",
}


def office_words(role: str) -> str:
    """The office of a licensed person."""
    return OFFICE_WORDS.get(role, role.replace("-", " "))


def danger_words(keys: Iterable[str]) -> str:
    """Cautions by what they are about."""
    return joined(NAMES.get(key, key) for key in keys)


def second_word_sentences(approved: Approved) -> list[str]:
    """A local person's word that was signed with an approval: who, when, on what, where it counts, and the words."""
    word: Mapping[str, Any] = approved.second_word or {}
    if not word:
        return []
    about = danger_words(word.get("about") or ())
    counts = "It counts at this site." if approved.word_counts else f"It counts at site {approved.site_letter} only."
    return [
        f"The {office_words(word['role'])} said on {word['on']}{f', on {about}' if about else ''}: {word['words']}",
        counts,
    ]


def home_sentence(lacks: Iterable[str]) -> str:
    """Why an edition is not for a sheet to take home, in a sentence; empty where nothing keeps it off."""
    found = list(lacks)
    if not found:
        return ""
    if "stop" in found:
        return "Not for a sheet to take home: it is stopped, paused, sent back or out of date."
    if "unchecked" in found:
        return "Not for a sheet to take home: nobody has checked it."
    stakes = joined(STAKE_WORDS[one] for one in found)
    return f"Not for a sheet to take home yet: a second check is missing on {stakes}."


def offered_by_rule(offered: Iterable[Offered]) -> dict[str, list[tuple[Offered, str]]]:
    """Answers that may be taken over, by rule, each with where it comes from."""
    found: dict[str, list[tuple[Offered, str]]] = {}
    for one in offered:
        day = f" on {one.on}" if one.on else ""
        whence = f"the {office_words(one.role)} answered{day}" if one.role else f"you answered{day} for the same value"
        found.setdefault(one.rule, []).append((one, whence))
    return found
