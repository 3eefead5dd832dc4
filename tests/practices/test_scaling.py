"""A practice for one's own size: one factor for all amounts, round figures that keep ratios, and what does not scale."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import Entry, read_entry
from fieldbook.practices.limits_of_scale import FISH_SMALL, GROUND, STRENGTH, UNTRIED, WAITS
from fieldbook.practices.scaled import ScalingError, kept_size
from fieldbook.practices.scaling import bases, scale
from fieldbook.practices.sums_of_entry import sums_of
from fieldbook.quantities import CALCULATORS, QuantityError
from fieldbook.quantities.measures import LocalMeasure, converted, in_measure, round_figure
from tests.starters import FOLDERS, entry_of

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=80)
STEEP, FISH, APHIDS, SACK = (
    read_entry(entry_of(name)) for name in ("dung-steep", "fish-hen-garden", "aphid-soap", "sack-garden")
)


def sized(entry: Entry, base: str, amount: str | int, unit: str) -> Any:
    return scale(entry, base=base, amount=Decimal(amount), unit=unit)


def test_a_small_can_takes_its_share_of_everything_that_is_used_up() -> None:
    """2 kg, 10 L and 20 L for a can of 20 L (the entry): a quarter of each in 5 L."""
    found = sized(STEEP, "container", 5, "L")
    assert [(one.near, one.unit) for one in found.things[:3]] == [(500, "g"), (Decimal("2.5"), "L"), (5, "L")]
    assert found.mixing == (Decimal("2.5"), 5)
    assert (found.gives.exact, found.gives.unit) == (Decimal("7.5"), "L")


def test_litres_and_millilitres_metres_and_a_heap_of_dung_lead_to_the_same() -> None:
    by_can = sized(STEEP, "container", 5000, "mL")
    by_dung = sized(STEEP, "material-0", 500, "g")
    by_ground = sized(STEEP, "ground", "0.75", "m²")
    assert by_can.factor == by_dung.factor == by_ground.factor == Decimal("0.25")


def test_a_step_says_which_of_its_amounts_change_and_that_others_do_not() -> None:
    steps = sized(STEEP, "container", 10, "L").steps
    first, thinning, pouring = steps[0], steps[9], steps[10]
    assert [(one.was, one.near) for one in first.named] == [(2, 1)]
    assert not first.others
    assert pouring.others
    assert (thinning.day_offset, steps[14].day_offset) == (24, 144)


def test_days_and_strengths_stay_whatever_the_size() -> None:
    small, large = sized(STEEP, "container", 1, "L"), sized(STEEP, "container", 200, "L")
    assert [one.day_offset for one in small.steps] == [one.day_offset for one in large.steps]
    for found in (small, large):
        assert {WAITS, STRENGTH} <= set(found.stays)
        assert found.mixing[1] == 2 * found.mixing[0]


def test_a_can_of_twenty_litres_is_no_food_fish_pond() -> None:
    assert FISH_SMALL in sized(FISH, "container", 20, "L").stays
    assert FISH_SMALL in sized(FISH, "ground", 8, "m²").stays
    assert FISH_SMALL not in sized(FISH, "container", 1000, "L").stays
    assert FISH_SMALL not in sized(STEEP, "container", 20, "L").stays


def test_a_sack_says_that_depth_and_spacing_stay() -> None:
    assert GROUND in sized(SACK, "material-1", 60, "L").stays


def test_far_from_the_entry_it_is_said_that_nobody_tried_it_and_further_it_is_refused() -> None:
    assert UNTRIED not in sized(STEEP, "container", 200, "L").stays
    assert UNTRIED in sized(STEEP, "container", 201, "L").stays
    for amount in ("0.19", 2001):
        with pytest.raises(ScalingError, match="too far"):
            sized(STEEP, "container", amount, "L")


@pytest.mark.parametrize(
    ("base", "unit", "error", "words"),
    [
        ("pond", "L", ScalingError, "no such amount"),
        ("material-99", "kg", ScalingError, "no such amount"),
        ("container", "kg", QuantityError, "do not measure the same"),
        ("container", "cups", QuantityError, "no unit that is known"),
    ],
)
def test_what_cannot_be_compared_is_refused(base: str, unit: str, error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        sized(STEEP, base, 5, unit)


@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_every_starter_can_be_sized_and_leads_to_sums_that_take_what_it_says(name: str) -> None:
    entry = read_entry(entry_of(name))
    for base in bases(entry):
        found = scale(entry, base=base.key, amount=2 * base.amount, unit=base.unit)
        assert found.factor == 2
        assert len(found.steps) == len(entry.document["steps"])
    for one in sums_of(entry):
        asked = {each.name: each for each in CALCULATORS[one.name].inputs}
        assert set(one.given) <= set(asked)
        for field, value in one.given.items():
            if asked[field].choices:
                assert value in asked[field].choices


@given(st.integers(1, 4_000_000), st.integers(1, 4_000_000))
@_QUICK
def test_round_figures_keep_their_ratio_within_two_per_cent(one: int, other: int) -> None:
    exact = Decimal(one) / 1000, Decimal(other) / 1000
    near = tuple(map(round_figure, exact))
    assert abs((near[0] / near[1]) / (exact[0] / exact[1]) - 1) <= Decimal("0.02")
    assert len(near[0].normalize().as_tuple().digits) <= 4


@given(st.integers(1, 1000), st.integers(2, 40))
@_QUICK
def test_ratios_of_materials_stay_and_twice_the_can_is_twice_of_everything(tenths_l: int, times: int) -> None:
    litres = Decimal(tenths_l) / 10 + 2
    one, more = (scale(APHIDS, base="batch", amount=each, unit="L") for each in (litres / times, litres))
    for small, large in zip(one.things, more.things, strict=True):
        units = {"from_unit": large.unit, "to_unit": small.unit}
        assert abs(converted(large.exact, **units) / small.exact / times - 1) < Decimal("1e-20")
    weighed = [thing for thing in more.things if thing.was_unit == "g"]
    for a in weighed:
        for b in weighed:
            was = Decimal(str(a.was)) / Decimal(str(b.was))
            in_one = converted(a.near, from_unit=a.unit, to_unit=b.unit)
            assert abs(in_one / b.near / was - 1) <= Decimal("0.02")


def test_a_tin_of_the_site_is_counted_whole_with_the_rest_in_millilitres() -> None:
    tin = LocalMeasure(1, "tin", "volume", Decimal(400))
    assert in_measure(Decimal("2.5"), "L", tin) == (6, Decimal(100))


def test_a_size_that_is_kept_is_read_again() -> None:
    found = sized(STEEP, "container", "2.5", "L")
    document = json.loads(json.dumps(found.as_document()))
    again = kept_size(document)
    assert scale(STEEP, base=again[0], amount=again[1], unit=again[2]) == found
    assert document["things"][0] == {"number": 0, "exact": 250, "near": 250, "unit": "g"}
    assert "float" not in str({type(value) for value in document.values()})


@pytest.mark.parametrize("document", [None, [], {}, {"base": 1}, {"base": "container", "amount": -1, "unit": "L"}])
def test_a_kept_size_that_is_none_is_refused(document: Any) -> None:
    with pytest.raises(ScalingError, match="cannot be read"):
        kept_size(document)
