"""A group of facts that nobody filled is named in plain words where a rule needs it."""

from __future__ import annotations

import re
from typing import Any

from fieldbook.practices import read_entry
from fieldbook.review import findings_of
from fieldbook.review.engine import GROUP_WORDS

# one group at a time is filled just so far that rules go on to ask for others
FILLED: tuple[dict[str, Any], ...] = (
    {},
    {"inputs": [{"kind": "cow_manure", "amount_kg": 3}]},
    {"spray": {"plants": ["neem"]}},
    {"materials": [{"kind": "tyre"}]},
    {"soil": {"source": "roadside"}},
    {"fish": {"species": "tilapia"}},
    {"animals": [{"species": "hen", "n": 4}]},
    {"irrigation": {"source": "drain"}},
)


def things_not_said(filled: dict[str, Any]) -> set[str]:
    found = findings_of(read_entry({"kind": "teaching", "title": {"en": "A practice"}, "facts": filled}))
    words = [one.words for one in found if one.result == "unknown"]
    assert words
    said = [re.match(r"Not said: (.+?)\. So this cannot be judged: .", each) for each in words]
    return {thing for each in said if each for thing in each[1].split("; ")}


def test_groups_that_nobody_filled_are_asked_for_in_plain_words_alone() -> None:
    asked = set().union(*map(things_not_said, FILLED))
    assert asked <= set(GROUP_WORDS.values())
    assert len(asked) > len(GROUP_WORDS) // 2
