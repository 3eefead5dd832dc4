"""How two editions differ: every field, both wordings, nothing else."""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from fieldbook.practices import Difference, Entry, differences, read_entry

BASE: dict[str, Any] = {
    "kind": "manure",
    "title": {"en": "Steep", "fr": "Macération"},
    "ratios": [{"a": "steep", "b": "water", "by": "volume", "value": 2}],
    "steps": [
        {"say": {"en": "Fill."}},
        {"say": {"en": "Shake."}, "day_offset": 3},
        {"say": {"en": "Open."}, "day_offset": 10},
    ],
}


def between(**change: Any) -> tuple[Difference, ...]:
    return differences(read_entry(BASE), read_entry({**BASE, **change}))


def test_equal_editions_do_not_differ() -> None:
    assert between() == ()


def test_a_changed_ratio_is_named_with_both_values() -> None:
    ratio = {**BASE["ratios"][0], "value": 4}
    assert between(ratios=[ratio]) == (Difference("ratios[0].value", 2, 4),)


def test_a_step_put_in_between_is_one_difference() -> None:
    first, *rest = BASE["steps"]
    new = {"say": {"en": "Cover."}}
    assert between(steps=[first, new, *rest]) == (Difference("steps[1]", None, new),)
    assert between(steps=rest) == (Difference("steps[0]", first, None),)


def test_new_and_lost_fields_are_named() -> None:
    assert between(disposal={"en": "Bury it."}) == (Difference("disposal", None, {"en": "Bury it."}),)
    assert between(title={"en": "Steep"}) == (Difference("title.fr", "Macération", None),)


VALUES = st.recursive(
    st.one_of(st.integers(0, 3), st.sampled_from(["a", "b"])),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.sampled_from("xyz"), inner, max_size=3)),
    max_leaves=6,
)


@given(VALUES, VALUES)
def test_there_is_a_difference_exactly_where_documents_are_not_equal(old: Any, new: Any) -> None:
    found = differences(Entry({"x": old}), Entry({"x": new}))
    assert bool(found) is (old != new)


def at_path(document: Any, path: str) -> Any:
    for part in re.findall(r"[^.\[\]]+", path):
        document = document[int(part)] if isinstance(document, list) else document[part]
    return document


@given(VALUES, VALUES)
def test_what_a_difference_names_stands_where_it_says(old: Any, new: Any) -> None:
    before, after = {"x": old}, {"x": new}
    for one in differences(Entry(before), Entry(after)):
        where, value = (before, one.old) if one.new is None else (after, one.new)
        assert at_path(where, one.field) == value
