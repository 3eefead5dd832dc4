"""Dung day: raw dung waits 120 days before what touches the soil is eaten, 90 before what does not.

Source: US organic rule, 7 CFR 205.203(c)(1)(i) to (iii). The dates were worked by hand from the crop table: a calendar
of 365 days, counted back from the first bite.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.dung import dung_day, dung_days
from fieldbook.climate.normals import Normals
from fieldbook.climate.windows import Window, planting_windows
from fieldbook.climate.year import day_of_date, day_words
from tests.climate.places import FACTS, PLACES, calendar_of, crop, crop_table, normals_of


def windows(site: str, crop_id: str) -> list[Window]:
    return [window for window in calendar_of(site).windows if window.crop == crop_id]


def dung_words(window: Window) -> str:
    return " | ".join(one.words for one in window.dung)


def test_kale_planted_on_3_august_has_its_dung_by_20_may() -> None:
    """First leaf 45 days later, on 17 September; 120 days before that is 20 May."""
    planted = day_of_date(month=8, day=3)
    assert day_words(planted + 45) == "17 September"
    assert day_words(dung_day(planted_day=planted, eaten_after_days=45, wait_days=120)) == "20 May"
    (only,) = dung_days(crop("kale"), first_day=planted, last_day=planted)
    assert (day_words(only.first_day), only.before_planting_days) == ("20 May", 75)


def test_amaranth_sown_on_5_july_has_its_dung_by_28_march() -> None:
    (only,) = dung_days(crop("amaranth"), first_day=day_of_date(month=7, day=5), last_day=day_of_date(month=7, day=5))
    assert day_words(only.first_day) == "28 March"


@pytest.mark.parametrize(
    ("crop_id", "days", "enough"),
    [("sweet_pepper", 102, True), ("chilli", 112, True), ("eggplant", 95, True), ("tomato", 88, False)],
)
def test_dung_on_the_day_that_the_nursery_is_sown_is_early_enough_for_some(
    crop_id: str, days: int, enough: object
) -> None:
    """Shortest nursery and time to the first fruit, together, against 90 days for what hangs off the soil."""
    found = crop(crop_id)
    assert found.nursery is not None
    nursery_sown = day_of_date(month=6, day=1)
    planted = nursery_sown + found.nursery.least
    assert found.nursery.least + (found.eaten_after_days or 0) == days
    last = dung_days(found, first_day=planted, last_day=planted)[-1]
    assert last.wait_days == 90
    assert ((last.first_day - nursery_sown) % 365 < 180) is enough


def test_a_day_less_is_a_day_short_at_either_wait() -> None:
    for wait in (90, 120):
        day = dung_day(planted_day=200, eaten_after_days=30, wait_days=wait)
        assert 200 + 30 - day == wait


@given(st.integers(1, 365), st.integers(1, 119), st.sampled_from((90, 120)))
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_dung_never_goes_in_later_than_the_wait_allows_nor_after_planting(planted: int, eaten: int, wait: int) -> None:
    before = (planted - dung_day(planted_day=planted, eaten_after_days=eaten, wait_days=wait)) % 365
    assert before + eaten >= wait
    assert before == max(0, wait - eaten)


def test_every_window_prints_its_dung_day_the_law_or_why_there_is_none() -> None:
    for site in PLACES:
        for window in calendar_of(site).windows:
            assert window.dung, window.crop
            known = crop(window.crop)
            if known.contact == "not eaten" or known.eaten_after_days is None:
                assert window.dung_days == ()
            else:
                assert all(one.law.startswith("US organic rule, 7 CFR 205.203") for one in window.dung_days)
                assert window.dung_days[0].eaten_after_days <= known.first_harvest.least


def test_a_window_says_the_dates_for_its_first_and_its_last_day() -> None:
    (window,) = windows("thornpan", "amaranth")
    (only,) = window.dung_days
    assert (window.start_day - only.first_day, window.end_day - only.last_day) == (99, 99)
    assert f"by {day_words(only.first_day)} at the latest if you plant on {day_words(window.start_day)}" in dung_words(
        window
    )
    assert "120 days before the first bite, which may come 21 days after sowing" in dung_words(window)
    (value,) = window.as_value()["dung_days"]
    assert (value["wait_days"], value["before_planting_days"]) == (120, 99)
    assert value["law"].endswith("(c)(1)(ii)")


def test_a_window_of_one_day_says_one_date() -> None:
    (window,) = [one for one in windows("cloudstep", "carrot") if one.start_day == one.end_day]
    assert dung_words(window) == (
        "dung day: raw dung goes into this bed by 24 June at the latest: 120 days before the first bite, which may come "
        "75 days after sowing"
    )


def test_what_may_be_raised_in_a_nursery_counts_from_sowing_there() -> None:
    """Amaranth set out at three weeks can be picked at once: the bed's dung must be three weeks older."""
    raised = {
        window.crop for window in calendar_of("saltreed").windows if "raised in a nursery first" in dung_words(window)
    }
    assert raised == {"amaranth", "chard"}


def test_thinnings_that_are_eaten_count_as_the_first_bite() -> None:
    spiderplant = crop("spiderplant")
    assert (spiderplant.eaten_after_days, spiderplant.first_harvest.least) == (21, 35)


def test_fruit_on_stakes_has_90_days_only_if_it_stays_off_the_soil() -> None:
    careful, staked = windows("cloudstep", "tomato")[0].dung_days
    assert ((careful.wait_days, careful.staked), (staked.wait_days, staked.staked)) == ((120, False), (90, True))
    assert "on stakes and no fruit touches the soil" in dung_words(windows("cloudstep", "tomato")[0])


def test_roots_whose_leaves_are_eaten_have_no_dung_day_until_the_day_of_the_leaf_is_entered() -> None:
    for crop_id in ("sweet_potato", "beetroot"):
        window = windows("cloudstep", crop_id)[0]
        assert window.dung_days == ()
        assert "no dung day" in dung_words(window)
    entered = planting_windows(
        [crop("sweet_potato")],
        normals_of("cloudstep"),
        PLACES["cloudstep"],
        FACTS["cloudstep"],
        eaten_after_days={"sweet_potato": 30},
    ).windows[0]
    (only,) = entered.dung_days
    assert only.before_planting_days == 90
    assert "30 days after planting" in dung_words(entered)


def test_what_nobody_eats_waits_for_nothing() -> None:
    assert "nobody eats it" in dung_words(windows("cloudstep", "marigold")[0])


def test_a_window_of_the_whole_year_says_how_long_before_planting() -> None:
    even = Normals(rain_mm=(150.0,) * 12, tmin_c=(16.0,) * 12, tmax_c=(26.0,) * 12)
    (window,) = planting_windows([crop("carrot")], even, PLACES["cloudstep"]).windows
    assert window.all_year
    assert window.as_value()["dung_days"][0]["by"] is None
    assert "45 days or more before you plant" in dung_words(window)


def test_leaves_and_roots_and_low_pods_count_as_touching_the_soil() -> None:
    touching = {found.crop_id for found in crop_table() if found.contact in {"soil", "staked"}}
    for found in crop_table():
        if {"leaf", "root", "tuber", "bulb", "head"} & set(found.part_used.split(", ")) and found.crop_id != "marigold":
            assert found.crop_id in touching


def test_a_first_bite_on_no_day_is_refused() -> None:
    with pytest.raises(ClimateError, match="time to the first bite is 0 days"):
        dung_day(planted_day=1, eaten_after_days=0, wait_days=120)
