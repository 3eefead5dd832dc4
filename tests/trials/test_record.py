"""A trial is kept whole, and one that would mislead is refused with a reason that a volunteer can act on."""

from __future__ import annotations

import contextlib
import copy
import json
from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices.faults import Reading
from fieldbook.shipped import shipped_text
from fieldbook.trials import TrialError, read_trial
from fieldbook.trials.documents import SCHEMA_NAME, schema_text
from tests.trials.kale import halves, kale

SCHEMA = jsonschema.Draft202012Validator(json.loads(schema_text()))
GOOD = kale([3, 1, [2, "0.5"]], [14, 20, 9])


def faults_of(body: Any) -> list[str]:
    try:
        read_trial(body)
    except TrialError as error:
        return [str(fault) for fault in error.faults]
    return []


def changed(at: str, value: Any, body: dict[str, Any] = GOOD) -> dict[str, Any]:
    """Give a copy with one place changed, such as ``units.0.counted``; None takes it away."""
    out: Any = copy.deepcopy(body)
    *way, last = [int(part) if part.isdigit() else part for part in at.split(".")]
    inner = out
    for part in way:
        inner = inner[part]
    if value is None:
        del inner[last]
    else:
        inner[last] = value
    return dict(out)


def test_a_trial_is_read_with_every_count_and_each_row_a_unit() -> None:
    trial = read_trial(GOOD)
    assert [row.counted for row in trial.rows[:3]] == [(Decimal(3),), (Decimal(1),), (Decimal(2), Decimal("0.5"))]
    assert [arm.usual_way for arm in trial.arms] == [False, True]
    assert (trial.question, trial.good, trial.comparison) == ("less-pest", "lower", "water-only")
    assert not trial.disagreements


def test_what_is_kept_is_valid_by_the_shipped_schema() -> None:
    """Jsonschema is the outside judge."""
    assert shipped_text(f"schemas/{SCHEMA_NAME}") == schema_text(), f"write schemas/{SCHEMA_NAME} anew"
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_text()))
    SCHEMA.validate(read_trial(GOOD).document)
    SCHEMA.validate(read_trial(halves([(3, 5), (2, 8)])).document)


LEAF = changed("units.0.label", None)
TWICE = changed("units.1.label", "1")
BEFORE_AFTER = changed("design", "before-after")
BAD = [
    ("a count by leaf, of no sack", LEAF, "counted leaf by leaf or plant by plant?; say which sack each count is of"),
    ("two rows for one sack", TWICE, "units[1].label: sack 1 has a row already, row 1"),
    ("a leaf as the unit", changed("unit", "leaf"), "“leaf”: those of one sack are no separate tries"),
    ("another unit", changed("unit", "sak"), "did you mean sack?"),
    ("one way alone", changed("arms", GOOD["arms"][:1]), "there is one way only, so nothing to compare it with"),
    ("three ways", changed("arms", [*GOOD["arms"], {"name": {"en": "x"}, "usual_way": False}]), "there are 3 ways"),
    ("no usual way", changed("arms.1.usual_way", "no"), "neither way is the usual way"),
    ("two usual ways", changed("arms.0.usual_way", "yes"), "both ways are the usual way"),
    ("one name for both", changed("arms.1.name", GOOD["arms"][0]["name"]), "is the name of the other way too"),
    ("nothing it was compared with", changed("comparison", None), "say what the practice is compared with"),
    ("a way that is not there", changed("units.0.arm", 2), "there is no way 2"),
    ("nobody had the usual way", kale([1, 2, 3], []), "none had way 1, so nothing to compare"),
    ("a count below nought", changed("units.0.counted", [-1]), "-1 is out of range"),
    ("a count of a thousand million", changed("units.0.counted", 10**9), "1000000000 is out of range"),
    ("not a number", changed("units.0.counted", ["NaN"]), "“NaN” is not a number"),
    ("no end", changed("units.0.counted", ["Infinity"]), "“Infinity” is not a number"),
    ("a float that is no number", changed("units.0.counted", float("nan")), "nan is not a number"),
    ("no counts", changed("units.0.counted", []), "units[0].counted: is empty"),
    ("more than there were", changed("units.0.out_of", 2), "3 is more than the 2 that there were"),
    ("totals that do not fit", changed("units.2.out_of", 9), "has 1 totals for 2 counts"),
    ("totals for some", changed("units.0.out_of", 9), "some rows say out of how many and some do not"),
    ("counted and lost", changed("units.0.lost", "stolen"), "is counted and lost at once"),
    ("neither", changed("units.0.counted", None), "is neither counted nor lost"),
    ("several counts of who knows what", changed("counted_per", None), "there are several counts of one sack"),
    ("no day", changed("units.0.day", None), "say how many days after the start it was counted"),
    ("ways on other days", kale([1, 2], [3], day=7) | {"units": [
        {"label": "1", "arm": 0, "counted": 1, "day": 7}, {"label": "2", "arm": 1, "counted": 1, "day": 8}]},
        "the two ways were counted on different days"),
    ("a pair side by side", changed("units.0.pair", 1), "says a pair"),
    ("halves without a pair", changed("units.0.pair", None, halves([(1, 2), (3, 4)])), "says no pair"),
    ("three in a pair", changed("units.2.pair", 1, halves([(1, 2), (3, 4)])), "pair 1 has 3 units"),
    ("harm without words", changed("outcome", "harmed"), "say what it did and to whom"),
    ("two beginnings", changed("start.day", 3), "does not say one beginning"),
    ("a season without its week", changed("start", {"season": "rains"}), "does not say one beginning"),
    ("before and after of two", BEFORE_AFTER, "before and after is told of one way"),
    ("after alone", changed("arms", GOOD["arms"][:1], kale([1], [], design="before-after")), "units[0].before: is missing"),
    ("the dead as lost", changed("units.0", {"label": "1", "arm": 0, "lost": "died"}, GOOD | {"question": "survives"}),
        "what died is what you count here"),
    ("a name that nobody knows", changed("crops", "kale"), "did you mean crop?"),
    ("too many units", kale([1] * 60, [1] * 60), "has 120 items"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "reason"), [one[1:] for one in BAD], ids=[one[0] for one in BAD])
def test_a_trial_that_would_mislead_is_refused_with_its_reason(body: dict[str, Any], reason: str) -> None:
    assert reason in "\n".join(faults_of(body))


def test_counts_out_of_something_need_no_word_of_what_each_is_of() -> None:
    body = kale([[3, 4], [1, 2]], [[5, 5], [2, 4]])
    del body["counted_per"]
    for row in body["units"]:
        row["out_of"] = [10, 10]
    assert not faults_of(body)


def test_all_faults_are_told_at_once() -> None:
    body = changed("units.0.label", None, changed("arms.1.usual_way", False, changed("units.3.arm", 7)))
    assert len(faults_of(body)) == 3


def test_what_was_lost_stays_and_what_nobody_heard_of_is_told_apart() -> None:
    body = changed("units.0", {"label": "1", "arm": 0, "lost": "stolen", "why": "at night"})
    trial = read_trial(changed("units.4", {"label": "5", "arm": 1, "lost": "not-heard"}, body))
    assert trial.losses == {(0, "stolen"): 1, (1, "not-heard"): 1}
    assert trial.silent == 1
    assert len(trial.rows) == 6


def test_before_and_after_of_one_way_is_kept() -> None:
    body = kale([4, 2], [], before=[9, 8], design="before-after")
    body["arms"] = body["arms"][:1]
    del body["comparison"]
    assert read_trial(body).rows[0].before == (Decimal(9),)


def test_what_newer_software_wrote_is_kept_to_the_letter_and_what_cannot_be_compared_says_why() -> None:
    body = changed("question", "sweeter", changed("moon", "full", dict(read_trial(GOOD).document)))
    body["units"][0]["counted"] = ["1000000000"]
    trial = read_trial(body, strict=False)
    assert trial.document == body
    assert {fault.message for fault in trial.disagreements} == {"is of newer software", "1000000000 is out of range"}


NUMBERS = st.one_of(st.integers(-2, 30), st.sampled_from(["2.5", "1e3", "NaN", "", "x", 10**9]), st.none())
ROWS = st.fixed_dictionaries(
    {"arm": st.integers(0, 2)},
    optional={
        "label": st.one_of(st.integers(1, 4), st.sampled_from(["1", "2", "3", ""])),
        "pair": st.integers(0, 3),
        "counted": st.one_of(NUMBERS, st.lists(NUMBERS, max_size=3)),
        "before": st.lists(NUMBERS, max_size=2),
        "out_of": st.lists(NUMBERS, max_size=2),
        "day": NUMBERS,
        "knew_arm": st.sampled_from([True, "yes", None]),
        "lost": st.sampled_from(["stolen", "died", "gone"]),
    },
)
BODIES = st.builds(
    lambda rows, design, arms, more: (
        kale([], []) | {"units": rows, "design": design, "arms": GOOD["arms"][:arms]} | more
    ),
    st.lists(ROWS, max_size=5),
    st.sampled_from(["side-by-side", "paired-halves", "before-after", "beside"]),
    st.integers(0, 2),
    st.fixed_dictionaries({}, optional={"outcome": st.sampled_from(["harmed", "no", 3]), "start": st.just({"day": 1})}),
)


@settings(max_examples=150)
@given(BODIES)
def test_what_the_reader_takes_the_schema_takes_and_reading_again_changes_nothing(body: dict[str, Any]) -> None:
    if not faults_of(body):
        kept = read_trial(body).document
        assert [error.message for error in SCHEMA.iter_errors(kept)] == []
        assert read_trial(kept).document == kept


@settings(max_examples=150)
@given(BODIES)
def test_what_arrives_is_read_or_refused_and_never_breaks_the_reader(body: dict[str, Any]) -> None:
    with contextlib.suppress(TrialError):
        trial = read_trial(body, strict=False)
        assert isinstance(trial.disagreements, tuple)
        assert len(trial.rows) == len(body["units"])


def test_a_body_at_every_cap_stays_small() -> None:
    """The largest body that a statement may hold has 262,144 bytes (sync/limits.py)."""
    body = kale([["12345.678"] * 40] * 50, [["12345.678"] * 40] * 50, before=[["12345.678"] * 40] * 100)
    assert len(json.dumps(read_trial(body).document)) < 262_144


def test_a_fault_is_one_plain_sentence() -> None:
    reading = Reading(strict=True)
    assert reading.faults == []
    with pytest.raises(TrialError, match=r"^units\[0\].label: counted leaf by leaf or plant by plant\?$") as error:
        read_trial(LEAF)
    assert error.value.hint.startswith("say which sack each count is of")
