"""When things change: the order in which plantings are saved, and what can follow in a barred bed."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.tasks.changes import Thirst, can_follow, save_first
from tests.tasks.gardens import crops

THIRSTS = st.lists(
    st.builds(
        Thirst,
        label=st.sampled_from(["B1", "B2", "B3"]),
        crop=st.just("Kale"),
        days=st.integers(1, 200),
        litres_day=st.floats(0, 50),
        litres=st.floats(0, 5000),
        plates=st.none() | st.integers(0, 100),
    ),
    max_size=6,
)


def thirst(label: str, *, litres_day: float, litres: float, days: int = 20, plates: int | None = None) -> Thirst:
    return Thirst(label, "Kale", days, litres_day, litres, plates)


def test_the_fewest_litres_for_a_plate_come_first_and_then_the_soonest_ready() -> None:
    dear = thirst("B1", litres_day=4, litres=100, plates=10)
    cheap = thirst("B2", litres_day=4, litres=100, plates=50)
    soon = thirst("B3", litres_day=4, litres=100, days=5)
    late = thirst("B4", litres_day=4, litres=100, days=50)
    order = save_first([late, soon, dear, cheap], water_l_day=8)
    assert [(one.thirst.label, one.kept) for one in order] == [("B2", True), ("B1", True), ("B3", False), ("B4", False)]


def test_what_the_rest_of_the_water_cannot_carry_makes_way_for_something_smaller() -> None:
    order = save_first(
        [thirst("B1", litres_day=9, litres=1, days=1), thirst("B2", litres_day=2, litres=1, days=2)], water_l_day=5
    )
    assert [one.kept for one in order] == [False, True]


@given(thirsts=THIRSTS, water=st.floats(0, 200), more=st.floats(0, 200))
@settings(max_examples=60, derandomize=True, database=None, deadline=None)
def test_no_more_water_is_given_out_than_there_is(thirsts: list[Thirst], water: float, more: float) -> None:
    order = save_first(thirsts, water_l_day=water)
    assert sum(one.thirst.litres_day for one in order if one.kept) <= water + 1e-6
    assert [one.thirst for one in order] == [one.thirst for one in save_first(thirsts, water_l_day=water + more)]


def test_what_follows_a_flood_is_first_eaten_after_the_wait() -> None:
    """FLD-01 (ours): 120 days. By the crop table maize is first eaten 75 days after sowing, carrot 75, onion 90."""
    days = {crop.crop_id: wait for crop, wait in can_follow(crops(), wait_days=120)}
    assert (days["marigold"], days["onion"], days["carrot"], days["kale"]) == (0, 30, 45, 75)
    assert days["beetroot"] == 120  # its leaves may be eaten any day
    assert all(wait + (crops()[name].eaten_after_days or 0) >= 120 for name, wait in days.items() if name != "marigold")
