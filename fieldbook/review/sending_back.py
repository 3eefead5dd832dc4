"""Why an edition is sent back: a short list, so that reasons can be counted and read at a glance.

Not the words that the reviewer adds. Its one rule: what is signed is readable without this list, for older software
knows only the words.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

REASONS: Final = MappingProxyType(
    {
        "amount": "An amount, a ratio or a unit is wrong or missing",
        "wait": "A waiting time is wrong or missing",
        "danger": "A danger is not named, or what is done about it is not enough",
        "source": "A number needs a better source",
        "unclear": "A step cannot be followed as it is written",
        "picture": "A picture is missing, or shows another thing",
        "same": "Another practice entry says the same",
        "place": "It does not fit the places that it is meant for",
        "other": "Another reason, said in words",
    }
)


def reason_words(code: str, note: str) -> str:
    """Give the words that are signed: the reason from the list, then what the reviewer adds.

    Args:
        code: one of the list, or empty where the reviewer says it in words alone.
        note: the reviewer's own words; may be empty where a code says enough.
    """
    added = " ".join(note.split())
    if code not in REASONS or code == "other":
        return added
    return f"{REASONS[code]}: {added}" if added else f"{REASONS[code]}."
