"""The onset of the rains: the borders of the rule, two open records against a second program, and the odds."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.climate.bounds import ClimateError
from fieldbook.climate.onset import Look, OnsetRule, RainSeason, looks, onsets, rain_season
from fieldbook.climate.seasons import growing_periods
from tests.climate.places import CORDOBA_ETO_MM, CORDOBA_RAIN_MM, HYDERABAD_ETO_MM, HYDERABAD_RAIN_MM
from tests.climate.records import days_from, open_record, record_from

if TYPE_CHECKING:
    from collections.abc import Sequence

FIRST = dt.date(2025, 11, 1)
DRY = [0.0] * 300
SHOWERS = [3.0, 0, 0, 0, 0, 0, 0, 0, 0, 0] * 30  # nine dry days between two days of rain


def season(rain: Sequence[float | None], *, search_days: int | None = None) -> RainSeason:
    return rain_season(record_from(days_from(FIRST, rain)), FIRST, search_days=search_days)


def day(offset: int) -> dt.date:
    return FIRST + dt.timedelta(days=offset)


def after(rain: list[float], then: list[float]) -> list[float | None]:
    """Ten dry days, then this rain, then the rest."""
    whole: list[float | None] = [*DRY[:10], *rain, *then]
    return whole[:260]


@pytest.mark.parametrize(
    ("rain", "begins"),
    [
        ([20.0], 10),  # exactly 20 mm
        ([19.9], None),
        ([7.0, 6.5, 6.5], 12),  # on the last day of the window
        ([7.0, 6.5, 0.0, 6.5], None),  # the first of them has left the window
        ([6.7, 6.6, 6.7], 12),  # 20 mm that no binary fraction adds up to
        ([19.2, 0.84], None),  # enough, but the second day is no day of rain, and the first not enough alone
        ([19.2, 0.85], 11),
    ],
)
def test_the_onset_wants_20_mm_in_3_days_ending_on_a_day_of_rain(rain: list[float], begins: int | None) -> None:
    """The borders of our rule: 20.0 mm, the last day of a window, 0.84 and 0.85 mm."""
    found = season(after(rain, SHOWERS[5:]))
    assert found.onset == (None if begins is None else day(begins))
    assert found.outcome == ("none" if begins is None else "began")


def test_a_dry_spell_of_exactly_10_days_is_borne_and_one_of_11_makes_a_false_start() -> None:
    borne = season(after([25.0], [*DRY[:10], *SHOWERS]))
    assert borne.onset == day(10)
    broken = season(after([25.0], [*DRY[:11], 25.0, *SHOWERS]))
    assert broken.onset == day(22)
    (false,) = broken.false_starts
    assert (false.date, false.dry_from, false.dry_days) == (day(10), day(11), 11)
    assert false.as_value() == {"date": "2025-11-11", "dry_from": "2025-11-12", "dry_days": 11}


def test_a_dry_spell_counts_only_as_far_as_is_looked_ahead() -> None:
    """Ten dry days at the end of the thirty are borne, whatever follows; eleven are not."""
    assert season(after([25.0], [*[0.0, 3.0] * 10, *DRY])).onset == day(10)  # last rain on day 30, dry from 31 to 40
    assert season(after([25.0], [*[3.0, 0.0] * 10, *DRY])).outcome == "none"  # last rain on day 29, dry from 30 to 40


def test_several_good_days_before_one_dry_spell_are_one_false_start() -> None:
    found = season(after([25.0, 25.0, 0.0, 9.0], DRY))
    assert found.outcome == "none"
    assert [(one.date, one.dry_from) for one in found.false_starts] == [(day(10), day(14))]
    assert found.false_starts[0].dry_days == 27  # as far as was looked from the first good day


def test_rain_before_the_earliest_day_fills_the_window_and_its_gaps_do_no_harm() -> None:
    rain = days_from(FIRST, after([10.0, 10.0], SHOWERS[8:]))
    assert rain_season(record_from(rain), day(11)).onset == day(11)
    del rain[day(10)]
    assert rain_season(record_from(rain), day(11)).onset != day(11)  # what nobody read adds nothing
    assert rain_season(record_from(rain), day(11)).outcome != "unknown"


@pytest.mark.parametrize("missing", [0, 9, 10, 11, 40])
def test_a_day_missing_up_to_30_days_after_the_onset_makes_the_season_unknown(missing: int) -> None:
    rain = after([25.0], SHOWERS[5:])
    assert season(rain).onset == day(10)
    rain[missing] = None
    assert season(rain).outcome == "unknown"
    assert season(rain).missing == day(missing)


def test_a_day_missing_later_does_not() -> None:
    rain = after([25.0], SHOWERS[5:])
    rain[41] = None
    assert season(rain).onset == day(10)


def test_a_record_that_ends_in_the_days_ahead_is_unknown_and_not_none() -> None:
    assert season(after([25.0], SHOWERS[5:])[:30]).outcome == "unknown"
    assert season(DRY[:229]).outcome == "unknown"  # the 200 days of the search and 29 of the 30 after them
    assert season(DRY[:230]).outcome == "none"
    assert season(DRY[:40], search_days=10).outcome == "none"


def test_the_search_goes_over_31_december() -> None:
    rain = [*DRY[:70], 30.0, *SHOWERS][:260]
    assert season(rain).onset == dt.date(2026, 1, 10)


# A second program of the same rule, written with rolling windows instead of loops


def second(rain_mm: pd.Series[float], earliest: dt.date, days: int) -> dt.date | None:
    wet = rain_mm >= 0.85
    enough = wet & (rain_mm.rolling(3, min_periods=1).sum().round(6) >= 20)
    for date in rain_mm.index[enough]:
        if not earliest <= date.date() < earliest + dt.timedelta(days=days):
            continue
        ahead = ~wet[date + pd.Timedelta(days=1) : date + pd.Timedelta(days=30)]
        runs = ahead.groupby((~ahead).cumsum()).sum()
        if runs.max() <= 10:
            return dt.date(date.year, date.month, date.day)
    return None


@pytest.mark.parametrize(
    ("place", "rain_mm", "eto_mm", "known"),
    [
        ("hyderabad", HYDERABAD_RAIN_MM, HYDERABAD_ETO_MM, 11),
        ("cordoba", CORDOBA_RAIN_MM, CORDOBA_ETO_MM, 31),
    ],
)
def test_onsets_of_open_records_are_those_of_a_second_program(
    place: str, rain_mm: tuple[float, ...], eto_mm: tuple[float, ...], known: int
) -> None:
    record = open_record(place)
    series = pd.Series(record.rain_mm, dtype=float)
    series.index = pd.DatetimeIndex(series.index)
    (look,) = looks(growing_periods(rain_mm=rain_mm, eto_mm=eto_mm))
    found = onsets(record, look)
    assert len(found.known) == known
    assert [one.onset for one in found.known] == [second(series, one.earliest, look.days) for one in found.known]
    assert any(one.false_starts for one in found.known)
    for one in found.known:
        assert all(false.date < (one.onset or dt.date.max) and false.dry_days > 10 for false in one.false_starts)


def test_odds_by_week_are_counts_of_known_seasons() -> None:
    found = onsets(open_record("cordoba"), Look(earliest_day=228, days=200))
    assert all(week.of == 31 for week in found.weeks)
    begun = [week.begun for week in found.weeks]
    assert begun == sorted(begun)
    assert begun[-1] == sum(one.outcome == "began" for one in found.known) == 31
    half = next(week for week in found.weeks if week.begun * 2 >= week.of)
    onsets_in_order = sorted(one.onset.replace(year=2001) for one in found.known if one.onset is not None)
    assert half.as_value()["from"] <= f"{onsets_in_order[15]:%m-%d}" <= half.as_value()["to"]  # type: ignore[operator]
    assert sum(week.false for week in found.weeks) > 0


def test_under_ten_known_seasons_there_are_no_odds() -> None:
    record = open_record("hyderabad")
    nine = {date: rain for date, rain in record.rain_mm.items() if date.year >= 2002}
    assert onsets(record_from(nine), Look(100, 200)).weeks == ()
    ten = {date: rain for date, rain in record.rain_mm.items() if date.year >= 2001}
    assert onsets(record_from(ten), Look(100, 200)).weeks != ()
    del ten[dt.date(2005, 5, 1)]
    holed = onsets(record_from(ten), Look(100, 200))
    assert (len(holed.known), holed.weeks) == (9, ())
    assert onsets(record_from({}), Look(100, 200)).seasons == ()


def test_a_season_of_which_nobody_read_a_day_is_no_season() -> None:
    record = open_record("hyderabad")
    parted = {date: rain for date, rain in record.rain_mm.items() if date.year in {2001, 2009}}
    assert [one.earliest.year for one in onsets(record_from(parted), Look(100, 200)).seasons] == [2001, 2009]


def test_where_to_look_comes_from_the_growing_periods_and_never_reaches_into_the_one_before() -> None:
    (north,) = looks(growing_periods(rain_mm=HYDERABAD_RAIN_MM, eto_mm=HYDERABAD_ETO_MM))
    assert north == Look(earliest_day=100, days=200)  # 60 days before 9 June
    one, other = looks(growing_periods(rain_mm=[200, 200, 30, 30, 200, 200, *[0] * 6], eto_mm=[100] * 12))
    assert one.earliest_day != other.earliest_day
    assert looks(growing_periods(rain_mm=[200] * 12, eto_mm=[100] * 12)) == ()
    assert looks(growing_periods(rain_mm=[0] * 12, eto_mm=[100] * 12)) == ()


@settings(derandomize=True, database=None, deadline=None, max_examples=20)
@given(st.integers(0, 364), st.lists(st.sampled_from([0.0, 0.5, 3.0, 12.0, 25.0]), min_size=240, max_size=260))
def test_a_season_moved_in_the_year_is_the_same_season_moved(shift: int, rain: list[float]) -> None:
    moved = dt.timedelta(days=shift)
    here, there = season(rain), rain_season(record_from(days_from(FIRST + moved, rain)), FIRST + moved)
    assert here.outcome == there.outcome
    assert (here.onset is None) == (there.onset is None)
    assert here.onset is None or there.onset == here.onset + moved
    assert [one.date + moved for one in here.false_starts] == [one.date for one in there.false_starts]


@settings(derandomize=True, database=None, deadline=None, max_examples=20)
@given(st.lists(st.sampled_from([0.0, 0.5, 3.0, 12.0, 25.0]), min_size=240, max_size=240), st.integers(0, 239))
def test_taking_a_day_away_never_turns_a_season_into_another_known_one(rain: list[float], at: int) -> None:
    """What nobody read can hide an answer; it can never change one."""
    whole = season(rain)
    holed = season([*rain[:at], None, *rain[at + 1 :]])
    assert holed.outcome in {"unknown", whole.outcome}
    assert holed.outcome == "unknown" or holed.onset == whole.onset


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ({"total_mm": 0.0}, "the rain of the onset is 0 mm"),
        ({"window_days": 0}, "the window of the onset is 0 days"),
        ({"rain_day_mm": 0.0}, "the least rain of a day is 0 mm"),
        ({"dry_days": 2}, "the longest dry spell is 2 days"),
        ({"ahead_days": 90}, "the days looked ahead is 90 days"),
        ({"search_days": 400}, "the days of the search is 400 days"),
        ({"dry_days": 12, "ahead_days": 12}, "a dry spell of over 12 days does not fit into 12 days"),
    ],
)
def test_a_rule_that_judges_nothing_is_refused(figures: dict[str, float], said: str) -> None:
    with pytest.raises(ClimateError, match=said) as refused:
        OnsetRule(**figures)  # type: ignore[arg-type]
    assert refused.value.hint


def test_another_rule_gives_another_answer_and_is_shown_with_it() -> None:
    rain = after([25.0], [*DRY[:8], *SHOWERS])
    assert season(rain).onset == day(10)
    strict = OnsetRule(dry_days=7)
    assert rain_season(record_from(days_from(FIRST, rain)), FIRST, strict).onset != day(10)
    assert strict.as_value()["dry_days"] == 7
    value = onsets(open_record("hyderabad"), Look(100, 200)).as_value()
    assert value["rule"] == {
        "total_mm": 20,
        "window_days": 3,
        "rain_day_mm": "0.85",
        "dry_days": 10,
        "ahead_days": 30,
        "search_days": 200,
    }
