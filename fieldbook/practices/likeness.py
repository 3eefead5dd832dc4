"""Which practices read alike: so that what was withdrawn is known again when somebody types it anew under another name.

Not kinship (``review.kinship``): nothing here asks who wrote what after whom. Its one rule: total and tolerant, and
nothing hangs on the codes that this software happens to know, or sites of two ages would fold differently.
"""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
import zlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from fieldbook.practices.numbers import decimal_of, kept_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

MARK_CHARACTERS: Final = 26  # of SHA-256, 104 bits: as names on a stick
LETTERS_MIN: Final = 40  # ours: shorter steps could be anybody's
NEAR_SHARE: Final = 0.5  # ours: so much of the shorter text stands in the other one too
_RUN_LETTERS = 8
_LONG_LETTERS = 600  # of a longer text one run in four is looked at
_ONE_IN = 4
_SAID_ABOUT_FACTS = frozenset({"cautions", "demands", "none", "warned_against"})


def likenesses(document: object) -> frozenset[str]:
    """Give the marks of what a practice says, one a language of its steps; none where the steps say too little.

    A mark hangs on the letters and figures of the steps, on materials with their amounts, ratios, waits and facts. It
    does not hang on the name, on capitals, accents, signs, spaces, the spelling of numbers, or the order of languages,
    materials, ratios, waits and names.

    Args:
        document: the body of an edition; whatever else it is has no mark.
    """
    if not isinstance(document, dict):
        return frozenset()
    said = {tag: words for tag, words in _steps(document).items() if len(words) >= LETTERS_MIN}
    common = _common(document) if said else {}
    matters = (_plain({**common, **_in_language(document, tag), "steps": words}) for tag, words in said.items())
    marks = (hashlib.sha256(f"fieldbook likeness 1\n{matter}".encode()).hexdigest() for matter in matters)
    return frozenset(mark[:MARK_CHARACTERS] for mark in marks)


@dataclass(frozen=True)
class Sketch:
    """What the steps say in one language, for comparing: one in ``one_in`` of their runs of letters, as numbers."""

    one_in: int
    runs: frozenset[int]


def sketches(document: Mapping[str, Any]) -> dict[str, Sketch]:
    """Give the sketch of each language in which the steps say enough to be compared."""
    return {tag: _sketch(words) for tag, words in _steps(document).items() if len(words) >= LETTERS_MIN}


def are_near(one: Mapping[str, Sketch], other: Mapping[str, Sketch]) -> bool:
    """True where in some language half of the shorter steps stands in the longer ones too, in the same words."""
    return any(_share(one[tag], other[tag]) >= NEAR_SHARE for tag in one.keys() & other.keys())


def _share(one: Sketch, other: Sketch) -> float:
    step = max(one.one_in, other.one_in)
    mine, theirs = ({run for run in each.runs if run % step == 0} for each in (one, other))
    return len(mine & theirs) / max(1, min(len(mine), len(theirs)))


def _sketch(words: str) -> Sketch:
    step = _ONE_IN if len(words) >= _LONG_LETTERS else 1
    runs = (zlib.crc32(words[start : start + _RUN_LETTERS].encode()) for start in range(len(words) - _RUN_LETTERS + 1))
    return Sketch(step, frozenset(run for run in runs if run % step == 0))


def _steps(document: Mapping[str, Any]) -> dict[str, str]:
    """The letters of all steps by language."""
    found: dict[str, list[str]] = {}
    for step in _rows(document.get("steps")):
        for tag, words in step["say"].items() if isinstance(step.get("say"), dict) else ():
            found.setdefault(tag, []).append(words if isinstance(words, str) else "")
    return {tag: _letters(" ".join(words)) for tag, words in found.items()}


def _common(document: Mapping[str, Any]) -> dict[str, Any]:
    """What matters of a practice in any language."""
    facts = document.get("facts")
    groups = facts if isinstance(facts, dict) else {}
    return {
        "waiting": _sorted(
            [_same(one.get(name)) for name in ("before", "after", "days_min")] for one in _rows(document.get("waiting"))
        ),
        "facts": {name: _same(_listed(value)) for name, value in groups.items() if name not in _SAID_ABOUT_FACTS},
    }


def _in_language(document: Mapping[str, Any], tag: str) -> dict[str, Any]:
    """What matters of a practice and is named by words."""

    def item(value: object) -> str:
        said = value.get(tag, "") if isinstance(value, dict) else value
        return _letters(said) if isinstance(said, str) else ""

    return {
        "materials": _sorted(
            [item(one.get("item")), _same(one.get("qty"))] for one in _rows(document.get("materials"))
        ),
        "ratios": _sorted(
            [item(one.get("a")), item(one.get("b")), *(_same(one.get(name)) for name in ("by", "value", "low", "high"))]
            for one in _rows(document.get("ratios"))
        ),
    }


def _same(value: object) -> Any:
    """A value in which two spellings of one thing are alike."""
    if isinstance(value, dict):
        return {name: _same(inner) for name, inner in value.items() if inner is not None}
    if isinstance(value, list):
        return _sorted(_same(inner) for inner in value)
    if isinstance(value, str):
        number = decimal_of(value)
        return _letters(value) if number is None else str(kept_number(number.normalize()))
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _letters(text: str) -> str:
    """Letters and figures alone, in small, without marks; figures of any script as 0 to 9."""
    apart = unicodedata.normalize("NFKD", text).casefold()
    known = apart if apart.isascii() else re.sub(r"\d", lambda one: str(unicodedata.digit(one[0])), apart)
    return "".join(filter(str.isalnum, known))


def _rows(value: object) -> Iterator[Mapping[str, Any]]:
    return (one for one in _listed(value) if isinstance(one, dict))


def _listed(value: object) -> list[Any]:
    return value if isinstance(value, list) else [] if value is None else [value]


def _sorted(values: Iterator[Any]) -> list[Any]:
    return sorted(values, key=_plain)


def _plain(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"))
