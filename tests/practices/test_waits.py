"""Waiting times: two values for one condition stay two, and the longer one is shown."""

from __future__ import annotations

from typing import Any

from fieldbook.practices import Entry, longer_waits, read_entry, waits_shown


def with_waits(*rows: dict[str, Any]) -> Entry:
    return read_entry(
        {"kind": "teaching", "title": {"en": "x"}, "waiting": [{"before": "harvest", **row} for row in rows]}
    )


def test_of_two_values_for_one_condition_the_longer_is_shown_and_the_other_kept() -> None:
    """Web pages give 4 and 45 days for one and the same tobacco spray."""
    (wait,) = waits_shown(with_waits({"days_min": 4, "source": "page 1"}, {"days_min": 45, "source": "page 2"}))
    assert (wait.days, wait.row["source"]) == (45, "page 2")
    assert [row["days_min"] for row in wait.others] == [4]


def test_other_conditions_stand_by_themselves_in_their_order() -> None:
    waits = waits_shown(
        with_waits({"days_min": 90, "condition": "off the soil"}, {"days_min": 120, "condition": {"en": "on the soil"}})
    )
    assert [(wait.days, wait.others) for wait in waits] == [(90, ()), (120, ())]


def test_where_none_is_published_none_is_invented() -> None:
    (wait,) = waits_shown(with_waits({"days_min": "none published"}))
    assert wait.days is None
    (wait,) = waits_shown(with_waits({"days_min": "none published"}, {"days_min": 0}))
    assert wait.days == 0


def test_a_longer_wait_of_an_edition_beside_it_is_found_whatever_its_condition_says() -> None:
    shown = with_waits({"days_min": 4, "after": "spray"}, {"days_min": 90, "after": "dung"})
    beside = with_waits(
        {"days_min": 45, "after": "spray", "condition": "in the rains"}, {"days_min": 60, "after": "dung"}
    )
    assert [row["days_min"] for row in longer_waits(shown, beside)] == [45]
    assert [row["days_min"] for row in longer_waits(beside, shown)] == [90]


def test_a_wait_that_this_edition_does_not_state_is_longer_than_none() -> None:
    assert [row["days_min"] for row in longer_waits(with_waits(), with_waits({"days_min": 2}))] == [2]
    assert longer_waits(with_waits(), with_waits({"days_min": 0}, {"days_min": "none published"})) == ()
