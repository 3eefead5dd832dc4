"""Planting windows at the four invented sites and at the edges of what a year can be."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.normals import Normals
from fieldbook.climate.place import Place
from fieldbook.climate.siteyear import SiteFacts
from fieldbook.climate.stretches import Stretch, bars, open_runs
from fieldbook.climate.windows import Calendar, Window, planting_windows
from tests.climate.places import FACTS, PLACES, calendar_of, crop, crop_table, normals_of

if TYPE_CHECKING:
    from fieldbook.climate.crops import Crop

QUICK = ("amaranth", "cowpea_leaf", "nightshade")
EVEN = Normals(rain_mm=(150.0,) * 12, tmin_c=(16.0,) * 12, tmax_c=(26.0,) * 12)
EQUATOR = Place(latitude_deg=0, elevation_m=1000)


def windows(site: str, crop_id: str) -> list[Window]:
    return [window for window in calendar_of(site).windows if window.crop == crop_id]


def calendar(*crops: Crop, normals: Normals = EVEN, facts: SiteFacts | None = None) -> Calendar:
    return planting_windows(crops, normals, EQUATOR, facts or SiteFacts())


def words(found: Window) -> str:
    return " | ".join(remark.words for remark in (*found.limits, *found.reasons))


def standing_days(window: Window) -> set[int]:
    """Each day of the year on which something planted in the window stands or is harvested."""
    length = (window.harvest_to_day - window.start_day) % 365 + 1
    return {(window.start_day - 1 + offset) % 365 + 1 for offset in range(length)}


# Four calendars from one crop list ------------------------------------------------------------------------------------


@pytest.mark.parametrize("crop_id", QUICK)
def test_two_rains_give_a_quick_crop_two_windows_a_year(crop_id: str) -> None:
    first, second = windows("cloudstep", crop_id)
    assert first.start < first.end < first.harvest_to < second.start < second.end
    assert (first.supply, second.supply) == ("rain", "rain")


@pytest.mark.parametrize("crop_id", QUICK)
def test_one_short_rain_gives_one_short_window(crop_id: str) -> None:
    (window,) = windows("thornpan", crop_id)
    assert (window.end_day - window.start_day) < 60
    assert "06-15" < window.start < window.end < "08-31"


def test_summer_rain_in_the_south_gives_windows_over_the_new_year_where_nothing_is_watered() -> None:
    dry = planting_windows(
        crop_table(), normals_of("longshade"), PLACES["longshade"], replace(FACTS["longshade"], watering=False)
    )
    for window in dry.windows:
        assert "10-15" < window.start < "11-10"
        assert window.supply == "rain"


def test_frost_leaves_a_gap_from_june_to_august_for_what_it_kills() -> None:
    june_to_august = set(range(152, 244))
    tender = {found.crop_id for found in crop_table() if found.frost == "always"}
    found = [window for window in calendar_of("longshade").windows if window.crop in tender]
    assert len({window.crop for window in found}) >= 15
    for window in found:
        assert not standing_days(window) & june_to_august, window.crop
        assert window.start == "09-01"
        assert "frost that kills it, 1 June" in words(window)


def test_what_frost_spares_stands_through_the_winter() -> None:
    (beetroot,) = windows("longshade", "beetroot")
    assert beetroot.all_year
    (kale,) = windows("longshade", "kale")
    assert (kale.harvest_from, kale.harvest_to) == ("01-01", "12-31")
    assert "still young when frost comes, 1 June" in words(kale)


@pytest.mark.parametrize("crop_id", QUICK)
def test_salty_wells_leave_a_gap_in_january_and_february_in_a_year_otherwise_open(crop_id: str) -> None:
    (window,) = windows("saltreed", crop_id)
    assert standing_days(window) == set(range(60, 366))  # 1 March to 31 December
    assert window.end > "11-01"
    assert "until the water turns salty, 1 January" in words(window)


def test_salty_months_close_nothing_where_rain_covers_all_that_a_crop_uses() -> None:
    wet = replace(normals_of("saltreed"), rain_mm=(400.0,) * 12)
    found = planting_windows(crop_table(), wet, PLACES["saltreed"], FACTS["saltreed"])
    assert not [window.crop for window in found.windows if "salty" in words(window)]
    assert len([window for window in found.windows if window.all_year]) >= 26
    assert "effective rain covers all that it can use" in words(found.windows[0])


def test_the_four_calendars_are_four() -> None:
    printed = {json.dumps(calendar_of(site).as_value()["windows"]) for site in PLACES}
    assert len(printed) == 4


# What a window says ---------------------------------------------------------------------------------------------------


def test_each_crop_has_a_window_or_a_reason() -> None:
    for site in PLACES:
        found = calendar_of(site)
        named = {window.crop for window in found.windows} | {none.crop for none in found.without}
        assert named == {found_crop.crop_id for found_crop in crop_table()}
        assert all(none.reasons for none in found.without)
        assert all(window.reasons and window.sources and window.how_sure for window in found.windows)


def test_a_crop_longer_than_the_growing_period_is_refused_with_what_it_lacks() -> None:
    none = {none.crop: none for none in calendar_of("thornpan").without}
    assert [reason.words for reason in none["maize"].reasons] == [
        "needs 132 days in the bed: 125 to the first harvest at the slow end, 7 of harvest",
        "the longest growing period has 97 days: it would have to be watered for 35 days",
    ]


def test_heat_is_told_with_the_mean_that_is_compared() -> None:
    (kale,) = windows("thornpan", "kale")
    assert kale.start == "07-01"
    assert "opens 1 July: before that the mean temperature is above the 30 C that it bears" in words(kale)
    assert "daily means compared, not the day's extremes: 27.2 to 30 C while it stands" in words(kale)
    assert "warmer than it likes: mean up to 30 C, best up to 22 C" in words(kale)
    watered = planting_windows([crop("tomato")], normals_of("thornpan"), PLACES["thornpan"], SiteFacts(watering=True))
    assert "the warmest of the day is 40.6 C on average in April" in words(watered.windows[0])
    assert "hot days" not in words(windows("saltreed", "tomato")[0])


def test_cool_nights_slow_a_crop_without_closing_it() -> None:
    """A cool highland: mean of 16 to 19 C, under okra's optimum of 20 and above its limit of 12."""
    (first, _) = windows("cloudstep", "okra")
    assert "cooler than it likes: mean down to 16.4 C, best from 20 C" in words(first)


def test_seedlings_are_sown_in_the_nursery_before_the_rains_and_in_the_year_before_if_need_be() -> None:
    (first, _) = windows("cloudstep", "tomato")
    assert (first.nursery_from, first.start) == ("12-20", "01-24")  # 35 days before the first, 28 before the last
    assert first.nursery_to is not None
    assert first.nursery_to < first.end
    assert "seedlings stand 28 to 35 days in a nursery" in words(first)


def test_the_first_window_names_the_season_that_is_too_short() -> None:
    rain_mm = (120, 130, 120, 20, 0, 0, 0, 130, 10, 0, 0, 60)
    found = calendar(crop("tomato"), normals=replace(EVEN, rain_mm=tuple(map(float, rain_mm))))
    assert len(found.periods) == 2
    (window,) = found.windows
    assert re.search("not in the growing period from [0-9]+ July", words(window))


def test_harvest_ends_with_the_soil_water_and_says_how_much_is_cut_off() -> None:
    first, _ = windows("cloudstep", "chilli")
    assert first.harvest_to == calendar_of("cloudstep").periods[0].end
    assert "planted last, its harvest is cut short: 14 days instead of 90 and more" in words(first)


def test_sources_name_document_and_table_and_leave_out_what_is_from_memory() -> None:
    (first, _) = windows("cloudstep", "eggplant")
    assert "temperature limits: FAO Ecocrop row 1965 (read)" in first.sources
    assert "water use: FAO-56 Table 12, Egg plant (read)" in first.sources
    assert not any(source.startswith("durations") for source in first.sources)
    assert "durations from memory" in first.how_sure
    (first, _) = windows("cloudstep", "okra")
    assert "water use of another crop" in first.how_sure
    assert "stages of growth not published" in first.how_sure


def test_watering_is_told_as_the_thirstiest_month_and_the_mean() -> None:
    (window,) = windows("saltreed", "tomato")
    value = window.as_value()
    assert value["water_l_m2_day"] == "4.4"
    assert 0 < window.average_l_m2_day < window.highest_l_m2_day
    assert value["supply"] == "rain and watering"
    assert "rain and stored water alone carry plantings from" in words(window)
    assert "what the soil has stored is not counted" in words(window)


def test_water_to_spare_without_a_word_on_salt_asks_for_it() -> None:
    assert [note.words for note in calendar(crop("kale"), facts=SiteFacts(watering=True)).notes] == [
        "salty months are not stated: ask whether the water turns salty"
    ]
    assert calendar_of("saltreed").notes == calendar_of("thornpan").notes == ()


def test_frost_that_was_not_stated_is_asked_for_where_nights_are_cold() -> None:
    unstated = planting_windows(
        [crop("tomato"), crop("beetroot")], normals_of("longshade"), PLACES["longshade"], SiteFacts(watering=True)
    )
    tomato, beetroot = unstated.windows
    assert "frost months are not stated; the mean minimum is 4.6 C in July" in words(tomato)
    assert "frost months are not stated" not in words(beetroot)


def test_a_mean_minimum_at_or_below_nought_is_frost_whether_stated_or_not() -> None:
    lows = (16.0,) * 6 + (0.0,) + (16.0,) * 5
    found = calendar(crop("amaranth"), normals=replace(EVEN, tmin_c=lows), facts=SiteFacts(watering=True))
    (window,) = found.windows
    assert not standing_days(window) & set(range(182, 213))


def test_a_window_is_open_in_each_month_that_it_touches() -> None:
    (window,) = windows("longshade", "amaranth")  # 1 September to 13 April
    assert [month for month in range(1, 13) if window.open_in(month)] == [1, 2, 3, 4, 9, 10, 11, 12]
    (short,) = windows("thornpan", "okra")  # 24 to 30 June
    assert [month for month in range(1, 13) if short.open_in(month)] == [6]


# Crops that stand for long --------------------------------------------------------------------------------------------


def test_cassava_may_be_harvested_in_a_later_year_and_is_not_clipped_at_365_days() -> None:
    first, second = windows("cloudstep", "cassava")
    assert "first harvest 240 to 540 days after planting, so it may come in a later year" in words(first)
    assert "needs 60 days of moist soil to take hold" in words(first)  # initial and development stage of Table 11
    assert (first.harvest_from, first.harvest_to) == ("01-01", "12-31")
    assert second.start == calendar_of("cloudstep").periods[1].start


def test_a_perennial_that_frost_kills_is_refused_where_frost_comes_before_its_harvest() -> None:
    none = {none.crop: none for none in calendar_of("longshade").without}
    assert [reason.words for reason in none["cassava"].reasons] == [
        "needs 554 days in the bed: 540 to the first harvest at the slow end, 14 of harvest",
        "its longest stretch without frost has 273 days",
    ]


def test_a_perennial_is_refused_where_the_year_is_too_dry_for_it() -> None:
    none = {none.crop: none for none in calendar_of("thornpan").without}
    assert [reason.words for reason in none["mint"].reasons] == [
        "it wants 600 mm of rain a year to stand through the dry months, and has 513"
    ]


# Edges ----------------------------------------------------------------------------------------------------------------


def test_a_year_that_is_wet_and_mild_throughout_is_open_all_year() -> None:
    (window,) = calendar(crop("kale")).windows
    assert window.all_year
    assert (window.start, window.end, window.harvest_from, window.harvest_to) == ("01-01", "12-31", "01-01", "12-31")
    assert (window.nursery_from, window.nursery_to) == ("01-01", "12-31")
    assert "open all year" in words(window)


def test_a_year_without_rain_has_no_window_unless_there_is_water() -> None:
    desert = replace(EVEN, rain_mm=(0.0,) * 12)
    found = calendar(crop("amaranth"), normals=desert)
    assert found.windows == ()
    assert found.without[0].reasons[-1].words.startswith("no growing period")
    (window,) = calendar(crop("amaranth"), normals=desert, facts=SiteFacts(watering=True)).windows
    assert window.supply == "watering"
    assert "rain alone carries no planting of this window" in words(window)


def test_a_site_too_hot_all_year_says_so() -> None:
    furnace = replace(EVEN, tmin_c=(26.0,) * 12, tmax_c=(40.0,) * 12)
    found = calendar(crop("lettuce"), normals=furnace, facts=SiteFacts(watering=True))
    assert [reason.words for reason in found.without[0].reasons][1] == "heat above what it bears all year"


def test_two_periods_that_touch_give_two_windows() -> None:
    rain_mm = (200, 200, 30, 30, 200, 200, 0, 0, 0, 0, 0, 0)
    found = calendar(crop("amaranth"), normals=replace(EVEN, rain_mm=tuple(map(float, rain_mm))))
    assert len(found.periods) == 2
    assert len(found.windows) == 2


def test_a_window_lies_in_its_growing_period_and_leaves_time_for_the_harvest() -> None:
    periods = calendar_of("cloudstep").periods
    for window in calendar_of("cloudstep").windows:
        period = next(found for found in periods if found.start_day == window.start_day)
        assert period.end_day is not None
        needed = crop(window.crop)
        if needed.life == "season":
            left = (period.end_day - window.end_day) % 365 + 1
            assert left >= needed.first_harvest.most + min(14, needed.harvest.least)


def test_nothing_changes_across_the_equator() -> None:
    north, south = (
        planting_windows(crop_table(), normals_of("cloudstep"), Place(latitude_deg=latitude_deg, elevation_m=1900))
        for latitude_deg in (0.0001, -0.0001)
    )
    assert north.as_value()["windows"] == south.as_value()["windows"]


@given(st.lists(st.floats(0, 12), min_size=12, max_size=12))
@settings(max_examples=40, deadline=None)
def test_water_to_spare_never_takes_a_planting_day_away(rates: list[float]) -> None:
    normals = replace(EVEN, rain_mm=tuple(30 * rate for rate in rates))
    facts = SiteFacts(salt_water_months=frozenset({1, 2}), frost_months=frozenset({7}))
    crops = (crop("amaranth"), crop("tomato"))
    dry = planting_windows(crops, normals, EQUATOR, facts)
    wet = planting_windows(crops, normals, EQUATOR, replace(facts, watering=True))
    for name in ("amaranth", "tomato"):
        assert planting_days(dry, name) <= planting_days(wet, name)


@given(st.lists(st.floats(0, 12), min_size=12, max_size=12), st.lists(st.floats(0, 9), min_size=12, max_size=12))
@settings(max_examples=30, deadline=None, derandomize=True, database=None)
def test_more_rain_never_needs_more_watering_nor_closes_a_day(rates: list[float], more: list[float]) -> None:
    crops = [crop("amaranth"), crop("tomato"), crop("kale")]
    dry, wet = (
        replace(EVEN, rain_mm=tuple(30 * rate for rate in all_rates)) for all_rates in (rates, summed(rates, more))
    )
    watered = [planting_windows(crops, normals, EQUATOR, SiteFacts(watering=True)).windows for normals in (dry, wet)]
    for less, plenty in zip(*watered, strict=True):  # the same windows, since temperature alone closes them
        assert (less.start_day, less.end_day) == (plenty.start_day, plenty.end_day)
        assert plenty.total_l_m2 <= less.total_l_m2 + 1e-9  # the last bits of two plantings alike may differ
        assert plenty.highest_l_m2_day <= less.highest_l_m2_day + 1e-9


def summed(one: list[float], other: list[float]) -> list[float]:
    return [first + second for first, second in zip(one, other, strict=True)]


BARS = st.lists(st.sampled_from([None, None, None, "cold", "frost"]), min_size=73, max_size=73)


@given(BARS, st.integers(1, 364), st.integers(2, 200))
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_turning_what_bars_the_year_turns_the_days_that_are_open(
    fives: list[str | None], turn: int, need_days: int
) -> None:
    """To the day: here no month is longer than another."""
    barrier = tuple(cause for cause in fives for _ in range(5))
    turned = barrier[-turn:] + barrier[:-turn]

    def opened(barred: tuple[str | None, ...]) -> set[int]:
        found = bars(standing=barred, young=(None,) * 365, need_days=need_days, young_days=0)
        runs = open_runs(Stretch(1, None), found)
        return {offset % 365 for first, last in runs for offset in range(first, last + 1)}

    assert opened(turned) == {(day + turn) % 365 for day in opened(barrier)}


def planting_days(found: Calendar, crop_id: str) -> set[int]:
    return {
        (window.start_day - 1 + offset) % 365 + 1
        for window in found.windows
        if window.crop == crop_id
        for offset in range((window.end_day - window.start_day) % 365 + 1)
    }


@pytest.mark.parametrize("months", [3, 6, 9])
def test_turning_the_year_turns_the_windows(months: int) -> None:
    """At the equator, where the sun's year is nearly even; months differ by 3 days, the sun by a little more."""
    normals = normals_of("cloudstep")

    def turned(values: tuple[float, ...]) -> tuple[float, ...]:
        return values[-months:] + values[:-months]

    moved = Normals(turned(normals.rain_mm), turned(normals.tmin_c), turned(normals.tmax_c))
    before = planting_windows([crop("amaranth")], normals, EQUATOR).windows
    after = planting_windows([crop("amaranth")], moved, EQUATOR).windows
    assert len(before) == len(after) == 2
    expected = {round(window.start_day + months * 365 / 12) % 365 for window in before}
    for window in after:
        assert min(min((window.start_day - day) % 365, (day - window.start_day) % 365) for day in expected) <= 12


def test_printed_calendars_hold_no_fraction_as_a_number_and_are_the_same_each_time() -> None:
    def kinds(value: object) -> set[type]:
        if isinstance(value, dict):
            return set().union(*(kinds(part) for part in value.values()))
        if isinstance(value, list):
            return set().union(*(kinds(part) for part in value))
        return {type(value)}

    for site in PLACES:
        first = calendar_of(site).as_value()
        assert kinds(first) <= {str, int, bool, type(None)}
        again = planting_windows(tuple(crop_table()), normals_of(site), PLACES[site], FACTS[site])
        assert json.dumps(again.as_value()) == json.dumps(first)


def test_a_month_that_is_none_is_refused() -> None:
    with pytest.raises(ClimateError, match="there is no month 13"):
        SiteFacts(frost_months=frozenset({13}))
