"""Planting again and again: no gap between the shortest harvests, and no planting outside the window."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.planting import Opening
from fieldbook.climate.stretches import Stretch
from fieldbook.climate.succession import succession
from tests.climate.places import calendar_of, crop, crop_table


def opening(days: int) -> Opening:
    return Opening(Stretch(100, None), 0, days - 1)


def test_amaranth_picked_for_30_days_is_sown_every_four_weeks() -> None:
    found = succession(crop("amaranth"), opening(60), lasting=False)
    assert found is not None
    assert (found.every_weeks, found.plantings, found.uneven_days) == (4, 3, 14)  # days 1, 29 and 57


@given(st.sampled_from(crop_table()), st.integers(1, 365))
@settings(max_examples=80, deadline=None, derandomize=True, database=None)
def test_the_next_is_ready_before_the_last_is_over_and_all_lie_in_the_window(grown: object, days: int) -> None:
    found = succession(grown, opening(days), lasting=False)  # type: ignore[arg-type]
    if found is None:
        return
    every = 7 * found.every_weeks
    assert every <= grown.harvest.least  # type: ignore[attr-defined]
    assert (found.plantings - 1) * every < days <= found.plantings * every


@pytest.mark.parametrize("crop_id", ["onion", "groundnut"])
def test_what_is_harvested_at_one_go_is_not_sown_for_picking(crop_id: str) -> None:
    assert succession(crop(crop_id), opening(365), lasting=False) is None


def test_windows_say_it_in_words() -> None:
    said = {window.crop: [one.words for one in window.again] for window in calendar_of("saltreed").windows}
    assert said["amaranth"][0].startswith("for picking without a gap plant a new square metre every 4 weeks: ")
    assert said["mint"] == []  # stands for years
    once = next(window for window in calendar_of("thornpan").windows if window.crop == "okra")
    assert once.again[0].words.startswith("plant once")
