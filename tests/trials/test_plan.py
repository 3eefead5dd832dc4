"""A plan and its counts: whatever is typed sack by sack is what is signed, under the label and the way that lots gave."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.trials import TrialError
from fieldbook.trials.counting import finished, uncounted, with_counts
from fieldbook.trials.lots import draw_lots
from fieldbook.trials.plan import read_plan, unit_rows
from tests.trying import plan

_QUICK = settings(derandomize=True, database=None, deadline=None, max_examples=40)
_COUNT = st.one_of(st.integers(0, 500), st.decimals(0, 500, places=1), st.none())


def planned(design: str, each: int, seed: int) -> dict[str, Any]:
    """A body with its lots drawn."""
    body = read_plan(plan(design=design, each=each))["body"]
    labels = [row["label"] for row in unit_rows(design, each, (0, 1))]
    lots = draw_lots(labels, paired=design == "paired-halves", below=Random(seed).randrange)
    return {**body, "units": unit_rows(design, each, lots)}


@given(st.data(), st.sampled_from(["side-by-side", "paired-halves"]), st.integers(2, 8), st.integers(0, 99))
@_QUICK
def test_in_any_order_of_counting_every_sack_keeps_its_label_its_way_and_its_counts(
    data: st.DataObject, design: str, each: int, seed: int
) -> None:
    body = begun = planned(design, each, seed)
    counts = data.draw(st.lists(st.lists(_COUNT, min_size=1, max_size=3), min_size=2 * each, max_size=2 * each))
    for row in data.draw(st.permutations(range(2 * each))):
        typed = ["" if one is None else str(one) for one in counts[row]]
        counted = {"counted": typed, "day": "7"} if any(typed) else {"lost": "eaten"}
        body = with_counts(body, row, counted)
    assert uncounted(body) == ()
    trial = finished(body, {"outcome": "no"})
    assert [(row.label, row.arm, row.pair) for row in trial.rows] == [
        (row["label"], row["arm"], row.get("pair")) for row in begun["units"]
    ]
    for unit, given_counts in zip(trial.rows, counts, strict=True):
        assert list(unit.counted) == [Decimal(str(one)) for one in given_counts if one is not None]
        assert (unit.lost == "eaten") == (not unit.counted)
    assert Counter(row.arm for row in trial.rows) == {0: each, 1: each}


def test_totals_stay_with_the_boxes_in_which_a_count_was_typed() -> None:
    body = {**planned("side-by-side", 2, 1), "question": "more-sprout"}
    typed = {"counted": ["7", "", "9"], "out_of": ["10", "11", "12"], "day": "7"}
    row = with_counts(body, 0, typed)["units"][0]
    assert (row["counted"], row["out_of"]) == ([7, 9], [10, 12])


def test_emptied_boxes_are_not_counted_again_and_a_wrong_outcome_is_refused() -> None:
    body = with_counts(planned("side-by-side", 2, 1), 0, {"counted": ["3"], "day": "7"})
    assert uncounted(body) == ("2", "3", "4")
    body = with_counts(body, 0, {"counted": [""], "day": "7"})
    assert uncounted(body) == ("1", "2", "3", "4")
    for row in range(4):
        body = with_counts(body, row, {"lost": "flooded"})
    with pytest.raises(TrialError, match="outcome"):
        finished(body, {"outcome": "splendid"})
