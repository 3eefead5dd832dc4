"""A way that mends a draft in one tap: the stop is gone, and nothing but what it names is other than before."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import Entry, differences, read_entry
from fieldbook.review import changed, findings_of
from fieldbook.review.changing import CHANGES
from fieldbook.review.ways import WAYS
from tests.review.known_drafts import BAD, Draft
from tests.review.practice import BARE, LETTUCE, found, practice, results, rules

DRAFTS = {draft.rule: draft for draft in BAD}


def mended(entry: Entry, rule: str) -> Entry:
    """The draft after the first way of the rule's first finding that changes it."""
    finding = found(entry, rule)[0]
    documents = (changed(entry, finding, way) for way in finding.instead)
    return read_entry(next(document for document in documents if document is not None))


def fields_of_change(before: Entry, after: Entry) -> set[str]:
    return {one.field for one in differences(before, after)}


ONE_TAP = (
    ("MAN-01", {"facts.inputs[0].wait_d", "waiting"}),
    ("MAN-02", {"facts.inputs[0].wait_d", "waiting"}),
    (
        "MAN-03",
        {"facts.inputs[0].mode", "facts.inputs[0].wets_edible", "facts.tea.mode", "waiting"},
    ),
    (
        "MAN-06",
        {
            "facts.inputs[0].mode",
            "facts.inputs[0].wait_d",
            "facts.inputs[0].wets_edible",
            "facts.tea.mode",
            "waiting[0].days_min",
            "waiting[0].source",
        },
    ),
    ("DRN-01", {"facts.vessel.cover", "facts.demands"}),
    ("PST-01", {"facts.spray.ppe[1]", "facts.spray.ppe[2]", "facts.spray.ppe[3]", "facts.spray.ppe[0]", "protect"}),
    ("IRR-01", {"facts.irrigation.mode", "facts.irrigation.wets_edible"}),
    ("FSH-06", {"facts.cautions[0]"}),
    ("GAS-01", {"facts.cautions[0]"}),
    ("PLT-01", {"facts.cautions[0]"}),
)


@pytest.mark.parametrize(("rule", "fields"), ONE_TAP, ids=[rule for rule, _ in ONE_TAP])
def test_one_tap_clears_the_stop_and_touches_only_what_it_names(rule: str, fields: set[str]) -> None:
    draft = DRAFTS[rule].entry
    assert "stop" in results(draft, rule)
    after = mended(draft, rule)
    assert "stop" not in results(after, rule)
    assert fields_of_change(draft, after) <= fields


def test_a_dung_tea_with_a_two_day_wait_is_mended_in_one_tap() -> None:
    """7 CFR 205.203(c)(1)(ii): all three of its stops go at once, and no new one comes."""
    draft = DRAFTS["MAN-06"].entry
    assert {"MAN-01", "MAN-03", "MAN-06"} <= rules(draft, "stop")
    after = mended(draft, "MAN-06")
    assert rules(after, "stop") == set()
    assert [row["days_min"] for row in after.rows("waiting")] == [120]
    assert after.rows("waiting")[0]["source"] == "7 CFR 205.203(c)(1)"


def test_a_missing_caution_and_all_others_are_added_in_one_tap() -> None:
    draft = DRAFTS["GEN-02"].entry
    after = mended(draft, "GEN-02")
    assert "stop" not in results(after, "GEN-02")
    assert {field.partition("[")[0] for field in fields_of_change(draft, after)} == {"facts.cautions"}


def test_a_wait_that_is_longer_already_stays() -> None:
    rows = [{"before": "harvest", "after": "dung", "days_min": days, "source": "a handbook"} for days in (2, 150)]
    inputs = [{"kind": "goat_manure", **BARE, "wait_d": 2}, {"kind": "hen_manure", **BARE, "wait_d": 150}]
    after = mended(practice({"waiting": rows}, inputs=inputs, crop=LETTUCE), "MAN-01")
    assert [row["days_min"] for row in after.rows("waiting")] == [120, 150]
    assert [row["source"] for row in after.rows("waiting")] == ["7 CFR 205.203(c)(1)", "a handbook"]
    assert [item["wait_d"] for item in after.facts.items("inputs")] == [120, 150]


def test_a_wait_after_a_spray_is_left_alone() -> None:
    rows = [{"before": "harvest", "after": "spray", "days_min": 2, "source": "a label"}]
    inputs = [{"kind": "goat_manure", **BARE, "wait_d": 2}]
    after = mended(practice({"waiting": rows}, inputs=inputs, crop=LETTUCE), "MAN-01")
    assert after.rows("waiting")[0]["days_min"] == 2


def test_a_tea_that_stands_alone_is_put_on_dung_day() -> None:
    tea = {"source_treatment": "raw", "mode": "foliar"}
    draft = practice({"waiting": [{"before": "harvest", "days_min": 2}]}, tea=tea, crop=LETTUCE)
    after = mended(draft, "MAN-06")
    assert rules(after, "stop") & {"MAN-01", "MAN-03", "MAN-06"} == set()


@pytest.mark.parametrize(
    ("rule", "groups", "demand"),
    [
        ("STR-01", {"structure": {"kind": "roof_bed"}}, "engineer_ok"),
        ("STR-02", {"structure": {"kind": "roof_bed", "depth_cm": 5, "density": 1000}}, "safe_load"),
        ("MAT-01", {"vessel": {"cover": "lid"}}, "prior_use"),
        ("DRN-01", {"vessel": {"prior_use": "food"}}, "cover"),
        ("MAN-07", {"inputs": [{"kind": "goat_manure"}], "crop": LETTUCE}, "area"),
        ("ANI-01", {"animals": {"species": "hen"}}, "area"),
        ("ANI-02", {"animals": {"species": "rabbit"}}, "area"),
        ("ANI-03", {"animals": {"species": "goat"}}, "area"),
        ("FSH-01", {"animals": {"species": "hen", "over_water": True}, "vessel": {}}, "area"),
        ("FSH-02", {"fish": {"n": 3}, "vessel": {}}, "area"),
        ("SOI-01", {"soil": {}, "crop": LETTUCE}, "soil_source"),
        (
            "ZOO-03",
            {"animals": {"species": "duck", "over_water": False, "droppings_to": ["fish_feed"]}, "area": {}},
            "bird_flu",
        ),
    ],
)
def test_what_only_a_place_can_tell_is_asked_for_in_one_tap(rule: str, groups: dict[str, Any], demand: str) -> None:
    draft = practice(**groups)
    assert results(draft, rule) == ["answer"]
    after = mended(draft, rule)
    assert results(after, rule) == []
    assert after.facts.demands == {demand}
    assert {field.partition("[")[0] for field in fields_of_change(draft, after)} == {"facts.demands"}


def test_a_spray_without_a_published_wait_says_so_in_one_tap() -> None:
    after = mended(DRAFTS["PST-08"].entry, "PST-08")
    assert results(after, "PST-08") == []
    assert after.rows("waiting")[0]["days_min"] == "none published"


@pytest.mark.parametrize("draft", BAD, ids=lambda draft: draft.id)
def test_no_change_is_offered_that_leaves_the_finding_or_brings_a_stop(draft: Draft) -> None:
    before = draft.entry
    kept = json.dumps(before.document, sort_keys=True)
    for finding in findings_of(before):
        for way in finding.instead:
            document = changed(before, finding, way)
            if document is None:
                continue
            after = read_entry(document)
            assert (finding.rule, finding.result) not in {(one.rule, one.result) for one in findings_of(after)}
            assert rules(after, "stop") <= rules(before, "stop")
            assert json.dumps(before.document, sort_keys=True) == kept


TWO_DRAFTS = st.tuples(st.sampled_from(BAD), st.sampled_from(BAD))


@settings(derandomize=True, database=None, deadline=None, max_examples=60)
@given(TWO_DRAFTS)
def test_of_two_bad_drafts_in_one_each_rule_still_speaks_and_no_change_brings_a_stop(two: tuple[Draft, Draft]) -> None:
    first, second = two
    groups = {**second.groups, **first.groups}
    entry = read_entry(practice({**second.document, **first.document}, **groups).document, strict=False)
    assert results(entry, first.rule)
    for finding in findings_of(entry):
        for way in finding.instead:
            document = changed(entry, finding, way)
            if document is not None:
                assert rules(Entry(document), "stop") <= rules(entry, "stop")


def test_spraying_by_day_is_moved_to_dusk_in_one_tap() -> None:
    draft = DRAFTS["PST-04"].entry
    after = mended(draft, "PST-04")
    assert results(after, "PST-04") == []
    assert fields_of_change(draft, after) == {"facts.spray.time_of_day"}


def test_every_change_that_a_way_names_is_there_and_used() -> None:
    assert {way.change for way in WAYS.values()} - {""} == set(CHANGES)


def test_a_way_that_people_must_go_themselves_changes_nothing() -> None:
    finding = found(DRAFTS["STR-02"].entry, "STR-02")[0]
    assert [changed(DRAFTS["STR-02"].entry, finding, way) for way in finding.instead] == [None, None, None]


def test_what_is_not_said_is_never_said_by_a_change() -> None:
    draft = read_entry({"kind": "teaching", "title": {"en": "x"}})
    assert all(changed(draft, finding, way) is None for finding in findings_of(draft) for way in finding.instead)
