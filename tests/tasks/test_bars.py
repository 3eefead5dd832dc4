"""Waits of a bed, held against the sections of law and guidance that they come from.

7 CFR 205.203(c)(1) and the WHO Guidelines (2006) bind farms that sell and advise health authorities; they are borrowed
here as the careful side. Worked dates: safety reference, section 4.3.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.sources import SOURCES
from fieldbook.tasks.bars import HANGS_CLEAR, NOT_EATEN, TOUCHES_SOIL, bar_of, bars_on, earliest_day
from fieldbook.tasks.spots import WHATS, Happening
from tests.tasks.gardens import MARCH, happened

DUNG = happened("dung", 0)


def test_dung_of_1_march_allows_leaves_on_29_june_and_not_the_day_before() -> None:
    """7 CFR 205.203(c)(1)(ii): not less than 120 days before the harvest where the edible part touches soil."""
    assert bars_on([DUNG], MARCH.read("2026-06-28"), TOUCHES_SOIL)
    assert not bars_on([DUNG], MARCH.read("2026-06-29"), TOUCHES_SOIL)


def test_dung_of_1_march_allows_staked_tomatoes_on_30_may_and_not_the_day_before() -> None:
    """7 CFR 205.203(c)(1)(iii): not less than 90 days where the edible part has no contact with soil."""
    assert bars_on([DUNG], MARCH.read("2026-05-29"), HANGS_CLEAR)
    assert not bars_on([DUNG], MARCH.read("2026-05-30"), HANGS_CLEAR)


def test_what_nobody_eats_waits_for_nothing() -> None:
    """7 CFR 205.203(c)(1)(i): land used for a crop not intended for human consumption."""
    assert [what for what in WHATS if bar_of(happened(what, 0), NOT_EATEN)] == []


@pytest.mark.parametrize("what", ["animal_urine", "fresh_urine", "compost", "flood", "drain"])
def test_what_counts_as_raw_dung_waits_as_long(what: str) -> None:
    """URI-02 (animal urine), CMP-03 (compost without a record: NOP Guidance 5021), FLD-01; the counting is ours."""
    assert [bar_of(happened(what, 5), contact).until for contact in (TOUCHES_SOIL, HANGS_CLEAR)] == [125, 95]  # type: ignore[union-attr]


def test_dung_water_on_leaves_waits_as_what_touches_soil_even_where_the_fruit_hangs_clear() -> None:
    """Safety reference, section 4.4, mend 13: what wets an edible part counts as touching soil."""
    assert bar_of(happened("dung_on_leaves", 0), HANGS_CLEAR).until == 120  # type: ignore[union-attr]


def test_pond_water_on_leaves_waits_12_days() -> None:
    """IRR-01: (7 - 1) log / 0.5 log a day, with washing; WHO Guidelines (2006) vol. 2, as quoted."""
    pond = happened("pond_water", 0)
    assert (7 - 1) / 0.5 == 12
    assert (bool(bars_on([pond], 11, TOUCHES_SOIL)), bool(bars_on([pond], 12, TOUCHES_SOIL))) == (True, False)


def test_urine_that_stood_a_month_waits_a_month_and_where_others_eat_it_stands_six() -> None:
    """WHO Guidelines (2006) vol. 4, as quoted: 1 month, 6 months where others eat; what stood shorter is as dung (ours)."""
    waits = {
        (stored, shared): bar_of(happened("urine", 0, stored_days=stored), TOUCHES_SOIL, shared=shared).days  # type: ignore[union-attr]
        for stored in (29, 30, 179, 180)
        for shared in (False, True)
    }
    assert waits == {
        (29, False): 120,
        (29, True): 120,
        (30, False): 30,
        (30, True): 120,
        (179, False): 30,
        (179, True): 120,
        (180, False): 30,
        (180, True): 30,
    }


def test_a_spray_waits_what_its_entry_says_and_nothing_is_invented_where_nothing_is_published() -> None:
    assert bar_of(happened("spray", 3, said="soap", wait_days=None), TOUCHES_SOIL) is None
    assert bar_of(happened("spray", 3, said="tobacco", wait_days=45), TOUCHES_SOIL).until == 48  # type: ignore[union-attr]


def test_a_health_officers_word_lengthens_a_wait_and_never_shortens_one() -> None:
    """FLD-01 (ours): flood water counts as raw dung of that day unless the officer's dated word is longer."""
    flood = happened("flood", 0)
    longer, shorter = (happened("officer", 1, until=until, said="health officer") for until in (200, 20))
    assert earliest_day([flood, longer], TOUCHES_SOIL) == 200
    assert earliest_day([flood, shorter], TOUCHES_SOIL) == 120


def test_a_flood_during_a_wait_and_a_second_dung_leave_the_longest_wait() -> None:
    assert earliest_day([DUNG, happened("flood", 100)], TOUCHES_SOIL) == 220
    assert earliest_day([DUNG, happened("dung", 10)], TOUCHES_SOIL) == 130
    assert [bar.until for bar in bars_on([DUNG, happened("dung", 10)], 15, TOUCHES_SOIL)] == [130, 120]


def test_what_was_picked_before_the_dung_came_is_not_barred_by_it() -> None:
    assert bars_on([happened("dung", 100)], 99, TOUCHES_SOIL) == ()


def test_what_was_struck_out_counts_for_nothing() -> None:
    assert earliest_day([happened("dung", 0, struck="another bed")], TOUCHES_SOIL) is None


def test_each_wait_names_a_work_that_is_cited() -> None:
    named = {
        bar.source
        for what in WHATS
        for contact in (TOUCHES_SOIL, HANGS_CLEAR)
        if (bar := bar_of(happened(what, 0, until=9, wait_days=3, stored_days=40, said="x"), contact))
    }
    assert named - {"entry", "officer"} <= set(SOURCES)


HAPPENINGS = st.builds(
    Happening,
    number=st.integers(1, 999),
    what=st.sampled_from(sorted(WHATS)),
    day=st.integers(-400, 400),
    stored_days=st.none() | st.integers(0, 400),
    wait_days=st.none() | st.integers(0, 90),
    until=st.none() | st.integers(-400, 900),
)


@given(
    history=st.lists(HAPPENINGS, max_size=6),
    later=HAPPENINGS,
    contact=st.sampled_from([TOUCHES_SOIL, HANGS_CLEAR, NOT_EATEN]),
    shared=st.booleans(),
)
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_whatever_is_added_the_earliest_day_never_moves_earlier(
    history: list[Happening], later: Happening, contact: str, *, shared: bool
) -> None:
    before = earliest_day(history, contact, shared=shared)
    after = earliest_day([*history, later], contact, shared=shared)
    assert before is None or (after is not None and after >= before)


@given(history=st.lists(HAPPENINGS, max_size=6), contact=st.sampled_from([TOUCHES_SOIL, HANGS_CLEAR]))
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_where_others_eat_no_wait_is_shorter(history: list[Happening], contact: str) -> None:
    own, others = (earliest_day(history, contact, shared=shared) for shared in (False, True))
    assert own is None or (others is not None and others >= own)


@given(history=st.lists(HAPPENINGS, max_size=6), contact=st.sampled_from([TOUCHES_SOIL, HANGS_CLEAR]))
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_on_the_earliest_day_nothing_runs_and_on_the_day_before_it_something_does(
    history: list[Happening], contact: str
) -> None:
    earliest = earliest_day(history, contact)
    if earliest is None:
        return
    assert bars_on(history, earliest, contact) == ()
    longest = [one for one in history if (bar := bar_of(one, contact)) and bar.until == earliest and bar.days > 0]
    assert not longest or bars_on(history, earliest - 1, contact)
