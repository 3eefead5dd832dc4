"""What is due: days of plantings by the crop table, moved only by what went into the bed; steps of practices; ticks."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.tasks.days import Count
from fieldbook.tasks.due import Due, Task, due_between, follow_up, open_on, step_tasks, tasks_of
from fieldbook.tasks.plantings import contacts_of, first_picking, plantings_of
from tests.starters import entry_of
from tests.tasks.gardens import HAND, bed, crops, happened, planted

if TYPE_CHECKING:
    from fieldbook.tasks.spots import Happening

AUGUST = Count(dt.date(2026, 8, 3))


def days(history: list[Happening], **spot: object) -> dict[str, tuple[int, int]]:
    return {one.key: (one.day, one.last) for one in tasks_of(bed(**spot), history, crops())}  # type: ignore[arg-type]


def test_kale_planted_on_3_august_is_first_picked_from_17_september() -> None:
    """Safety reference, section 4.5, worked: kale planted 3 August at C, first leaf 17 September (45 days)."""
    (kale,) = plantings_of([planted("kale", 0, 5, raised="seedling")], crops())
    assert AUGUST.words(first_picking(kale, [], bed(AUGUST)).day) == "17 September 2026"


def test_dung_by_20_may_leaves_that_day_as_it_is_and_dung_a_day_later_moves_it() -> None:
    """Safety reference, section 4.5, worked: dung by 20 May for kale planted 3 August, picked 17 September."""
    history = [planted("kale", 0, 5, raised="seedling")]
    (kale,) = plantings_of(history, crops())
    for dung, words in (("2026-05-20", "17 September 2026"), ("2026-05-21", "18 September 2026")):
        first = first_picking(kale, [*history, happened("dung", AUGUST.read(dung))], bed(AUGUST))
        assert AUGUST.words(first.day) == words


def test_amaranth_sown_on_5_july_is_dunged_by_28_march() -> None:
    """Safety reference, section 4.5, worked: amaranth sown 5 July at T: dung by 28 March."""
    july = Count(dt.date(2026, 7, 5))
    history = [planted("amaranth", 0, 5)]
    (one,) = plantings_of(history, crops())
    first = {
        dung: first_picking(one, [*history, happened("dung", july.read(dung))], bed(july)).bar
        for dung in ("2026-03-28", "2026-03-29")
    }
    assert first["2026-03-28"] is None
    assert first["2026-03-29"] is not None


def test_a_bed_dunged_when_its_nursery_is_sown_passes_90_days_for_some_crops_and_not_for_tomato() -> None:
    """Safety reference, section 4.5: passes for pepper (102), chilli (112), eggplant (95), not for tomato (88)."""
    passed = {}
    for crop in ("sweet_pepper", "chilli", "eggplant", "tomato"):
        history = [happened("dung", 0), planted(crop, 0, 5, raised="nursery", contact="edible_none")]
        (one,) = plantings_of(history, crops())
        passed[crop] = (one.harvest_window[0], first_picking(one, history, bed()).bar is None)
    assert passed == {"sweet_pepper": (102, True), "chilli": (112, True), "eggplant": (95, True), "tomato": (88, False)}


def test_a_nursery_gives_a_span_to_plant_out_and_the_real_day_moves_the_harvest() -> None:
    """Crop table: kale 28 to 42 days in the nursery, 45 to 60 from planting out to the first harvest."""
    sown = planted("kale", 0, 5, raised="nursery")
    assert days([sown])["h5-out"] == (28, 42)
    assert days([sown])["h5-pick"] == (28 + 45, 42 + 60)
    out = happened("planted_out", 50, of=5)
    assert days([sown, out])["h5-pick"] == (95, 110)
    assert "h5-out" not in days([sown, out])


def test_a_crop_that_is_counted_from_sowing_is_not_counted_from_planting_out() -> None:
    """Crop table: chard 45 to 60 days from sowing, whatever the nursery."""
    sown, out = planted("chard", 0, 5, raised="nursery"), happened("planted_out", 25, of=5)
    assert days([sown, out])["h5-pick"] == (45, 60)


def test_thinnings_are_eaten_before_the_harvest_and_unknown_first_bites_count_from_the_planting() -> None:
    """Crop table: spider plant thinned at 21 days, first harvest 35; of beetroot the leaves' day is not known."""
    spider, beet = planted("spiderplant", 0, 5), planted("beetroot", 0, 5)
    assert days([spider])["h5-pick"][0] == 21
    assert days([spider, happened("dung", -98)])["h5-pick"][0] == 22
    assert days([beet])["h5-pick"][0] == 55
    assert days([beet, happened("dung", -119)])["h5-pick"][0] == 1


def test_first_picking_waits_for_the_dung_and_says_so() -> None:
    history = [planted("kale", 0, 5, raised="seedling"), happened("dung", 10, 6)]
    (pick,) = [one for one in tasks_of(bed(), history, crops()) if one.key == "h5-pick"]
    assert (pick.day, pick.words) == (
        130,
        "First picking, not before this day: Kale / collard / sukuma wiki. The wait after dung ends.",
    )


def test_the_ends_of_waits_are_told_for_both_ways_of_growing() -> None:
    assert days([happened("dung", 0, 6)]) == {"h6-clear": (90, 90), "h6-touching": (120, 120)}
    assert days([happened("pond_water", 0, 6)]) == {"h6-touching": (12, 12)}


def test_a_can_says_from_when_it_is_used_and_for_whom() -> None:
    """WHO Guidelines (2006) vol. 4, as quoted: 1 month for the own household, 6 months where others eat."""
    filled = [happened("filled", 3, 8)]
    can = {"kind": "can", "holds": "urine", "label": "U2"}
    assert days(filled, **can) == {"h8-use-own": (33, 33), "h8-use-others": (183, 183)}
    assert days([*filled, happened("emptied", 40)], **can) == {}


def test_what_is_planned_is_due_until_it_is_planted() -> None:
    plan = happened("planned", 20, 5, crop="kale", raised="nursery", contact="edible_soil")
    assert days([plan]) == {"h5-sow": (20, 20)}
    assert "h5-sow" not in days([plan, planted("kale", 22, 6, raised="nursery")])
    assert "h5-sow" in days([plan, planted("maize", 22, 6)])


def test_what_was_cleared_or_left_behind_has_nothing_due_but_its_waits() -> None:
    history = [planted("kale", 0, 5, raised="seedling"), happened("dung", 10, 6), happened("cleared", 20)]
    assert set(days(history)) == {"h6-clear", "h6-touching"}
    assert days([*history, happened("left", 30)]) == {}


def test_only_few_crops_can_hang_clear_and_only_marigold_is_not_eaten() -> None:
    """Crop table (ours): roots, leaves and what grows in the soil never hang clear of it."""
    for crop in crops().values():
        if contacts_of(crop)[-1] == "edible_none":
            assert {"leaf", "root", "bulb", "head", "tuber"}.isdisjoint(crop.part_used.replace(",", " ").split()), (
                crop.crop_id
            )
    assert [name for name, crop in crops().items() if contacts_of(crop) == ("not_eaten",)] == ["marigold"]
    assert contacts_of(crops()["groundnut"]) == ("edible_soil",)


# practices


def test_a_dung_steep_is_shaken_opened_and_picked_after_by_its_own_steps() -> None:
    """The starter entry: rested 14 days, shaken after 3, opened after 7 more, leaves 120 days after the bed was fed."""
    found = sorted({one.day for one in step_tasks(entry_of("dung-steep")["steps"])})
    assert found == [0, 14, 17, 24, 144]
    assert 24 + 120 == 144


def test_a_practice_is_called_back_on_after_7_14_and_30_days() -> None:
    assert [one.day for one in follow_up()] == [7, 14, 30]


def test_steps_come_back_as_often_as_they_say() -> None:
    steps: list[dict[str, object]] = [
        {"say": {"en": "Turn"}, "day_offset": 3, "repeat": {"every_days": 3, "times": 2}},
        {"say": {"en": "Refill"}, "day_offset": 1, "repeat": {"every_days": 7, "until": "season-end"}},
        {"say": {"en": "No day"}},
    ]
    found = due_between(step_tasks(steps), 0, 20)
    assert [(one.task.step, one.day) for one in found] == [(1, 1), (0, 3), (0, 6), (1, 8), (1, 15)]
    assert [one.key for one in found][:2] == ["step-1@1", "step-0@3"]


def test_a_step_that_comes_back_in_a_way_that_is_not_known_is_due_once() -> None:
    """Newer software may write what this one does not know; it is read, and does not stop the list."""
    odd: list[object] = [{"every_days": 0}, {"every_days": -1}, {"every_days": "often"}, "weekly", {}, None]
    steps: list[dict[str, object]] = [{"say": {"en": "Do"}, "day_offset": 3, "repeat": one} for one in odd]
    assert [one.day for one in due_between(step_tasks(steps), 0, 20)] == [3] * len(odd)
    endless: list[dict[str, object]] = [
        {"say": {"en": "Do"}, "day_offset": 3, "repeat": {"every_days": 5, "times": -2}}
    ]
    assert [one.day for one in due_between(step_tasks(endless), 0, 20)] == [3, 8, 13, 18]


def test_what_was_not_ticked_stays_until_it_is_and_what_comes_back_does_not_pile_up() -> None:
    tasks = [Task("a", 3, "once", until=9), Task("b", 3, "often", every_days=1), Task("c", 3, "allowed", notice=True)]
    assert [one.key for one in open_on(tasks, 5)] == ["a"]
    assert open_on(tasks, 5, done=frozenset({"a"})) == ()


TASKS = st.lists(
    st.builds(
        Task,
        key=st.sampled_from("abcd"),
        day=st.integers(-50, 50),
        words=st.just("do"),
        until=st.none() | st.integers(50, 90),
        every_days=st.sampled_from([0, 0, 1, 7]),
    ),
    max_size=4,
    unique_by=lambda task: task.key,
)


@given(tasks=TASKS, ticked=st.lists(st.integers(0, 200), max_size=5), first=st.integers(-60, 60))
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_ticks_never_change_dates(tasks: list[Task], ticked: list[int], first: int) -> None:
    plain = due_between(tasks, first, first + 41)
    done = frozenset(plain[n % len(plain)].key for n in ticked) if plain else frozenset()
    marked = due_between(tasks, first, first + 41, done=done)
    assert [(one.key, one.day) for one in marked] == [(one.key, one.day) for one in plain]
    assert {one.key for one in marked if one.done} == done


@given(
    zero=st.dates(dt.date(2020, 1, 1), dt.date(2040, 1, 1)),
    crop=st.sampled_from(sorted(crops())),
    dung=st.integers(-200, 200),
)
@settings(max_examples=40, derandomize=True, database=None, deadline=None)
def test_days_marked_by_hand_give_the_same_offsets_as_dates(zero: dt.date, crop: str, dung: int) -> None:
    history = [planted(crop, 0, 5, contact=contacts_of(crops()[crop])[0]), happened("dung", dung, 6)]
    by_date, by_hand = (tasks_of(bed(count), history, crops()) for count in (Count(zero), HAND))
    assert by_date == by_hand
    assert all(Count(zero).date(one.day) == zero + dt.timedelta(days=one.day) for one in by_date)


@given(dungs=st.lists(st.integers(-100, 100), max_size=4), more=st.integers(-100, 100))
@settings(max_examples=40, derandomize=True, database=None, deadline=None)
def test_more_dung_never_brings_a_picking_forward(dungs: list[int], more: int) -> None:
    history = [
        planted("kale", 0, 5, raised="seedling"),
        *(happened("dung", day, 20 + n) for n, day in enumerate(dungs)),
    ]
    (kale,) = plantings_of(history, crops())
    later = [*history, happened("dung", more, 99)]
    assert first_picking(kale, later, bed()).day >= first_picking(kale, history, bed()).day


def test_a_due_thing_that_comes_back_has_a_name_for_each_day() -> None:
    assert Due(Task("step-2", 0, "", every_days=7), 14).key == "step-2@14"
