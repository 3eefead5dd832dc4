"""Dung, steeps, teas and human waste, against the sections of law that the rules name.

The figures 120 and 90 days: 7 CFR 205.203(c)(1)(ii) and (iii). Compost heat: 7 CFR 205.203(c)(2). Teas: 21 CFR 112.51
and 112.56(a)(1). Human waste: 21 CFR 112.53; urine: WHO 2006 vol. 4 as quoted. Nitrogen: 91/676/EEC Annex III.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import BARE, LETTUCE, MARIGOLD, TOMATO, found, practice, results, rules

TEA = {"kind": "manure_tea", "treatment": "steeped", **BARE, "mode": "drench"}


def dunged(wait_d: Any = None, crop: Any = LETTUCE, **more: Any) -> dict[str, Any]:
    wait = {} if wait_d is None else {"wait_d": wait_d}
    return {"inputs": [{"kind": "goat_manure", "treatment": "raw", **BARE, **wait, **more}], "crop": crop}


def waiting(days: Any, **more: Any) -> dict[str, Any]:
    return {"waiting": [{"before": "harvest", "days_min": days, "source": "common practice", **more}]}


@pytest.mark.parametrize(("wait_d", "expected"), [(119, ["stop"]), (120, []), (0, ["stop"])])
def test_raw_dung_on_lettuce_waits_120_days(wait_d: int, expected: list[str]) -> None:
    assert results(practice(**dunged(wait_d)), "MAN-01") == expected


@pytest.mark.parametrize(("wait_d", "expected"), [(89, ["stop"]), (90, [])])
def test_raw_dung_under_staked_tomato_waits_90_days(wait_d: int, expected: list[str]) -> None:
    assert results(practice(**dunged(wait_d, TOMATO, contact="edible_none")), "MAN-02") == expected


def test_food_that_nobody_eats_needs_no_wait() -> None:
    """7 CFR 205.203(c)(1)(i)."""
    entry = practice(**dunged(0, MARIGOLD, contact="not_eaten"))
    assert results(entry, "MAN-01") == results(entry, "MAN-02") == []


def test_a_missing_wait_is_not_said_and_never_a_pass() -> None:
    (finding,) = found(practice(**dunged()), "MAN-01")
    assert finding.result == "unknown"
    assert finding.field == "facts.inputs[0].wait_d"


def test_a_wait_that_is_nowhere_published_counts_as_none_at_all() -> None:
    assert results(practice(**dunged("none published")), "MAN-01") == ["stop"]


def test_a_stop_names_the_law_whom_it_binds_and_what_to_do_instead() -> None:
    (finding,) = found(practice(**dunged(2)), "MAN-01")
    assert "7 CFR 205.203, (c)(1)(ii) (read)" in finding.source
    assert "binds farms that sell" in finding.source
    assert len(finding.instead) == 3
    assert all(way.words and way.basis for way in finding.instead)
    assert (finding.value, finding.limit) == ("2 days", "120 days")


def steep(claim: int) -> Any:
    return practice(
        waiting(claim),
        inputs=[
            {"kind": "manure_tea", "treatment": "steeped", "mode": "foliar", "contact": "edible_soil", "wait_d": claim}
        ],
        tea={"source_treatment": "raw", "water": "rain", "additive": "none"},
        harvest={"claimed_wait_d": claim},
        crop={**LETTUCE, "eaten_raw": False},
    )


def test_leaves_cut_two_days_after_a_steep_are_stopped_three_ways() -> None:
    assert {"MAN-01", "MAN-03", "MAN-06"} <= rules(steep(2), "stop")


def test_the_two_day_steep_is_told_why_with_the_law_and_three_ways_instead() -> None:
    finding = found(steep(2), "MAN-06")[0]
    assert "205.203" in finding.source
    assert "112.56" in finding.source
    assert "88 to 118 days" in finding.words
    assert len(finding.instead) == 3


@pytest.mark.parametrize(("claim", "fires"), [(2, True), (7, True), (8, False)])
def test_a_claim_of_a_week_or_less_after_dung_water_is_stopped(claim: int, *, fires: bool) -> None:
    assert ("stop" in results(steep(claim), "MAN-06")) is fires


def test_a_steep_without_any_waiting_is_not_said() -> None:
    entry = practice(inputs=[{**TEA, "wait_d": 120}], crop=LETTUCE)
    assert results(entry, "MAN-06") == ["unknown"]


def test_a_wait_after_a_spray_is_no_claim_about_dung() -> None:
    entry = practice(waiting(2, after="spray"), inputs=[{**TEA, "wait_d": 120}], crop=LETTUCE)
    assert "stop" not in results(entry, "MAN-06")


def test_free_text_is_not_read_for_waits() -> None:
    spoken = waiting(120, condition="some say that two days are enough")
    assert rules(practice(spoken, inputs=[{**TEA, "wait_d": 120}], crop=LETTUCE), "stop") == set()


def test_a_long_wait_in_the_facts_does_not_hide_a_short_one_in_the_text() -> None:
    assert results(practice(waiting(30), **dunged(120)), "MAN-01") == ["stop"]


def test_of_two_waits_that_readers_see_the_longer_holds() -> None:
    both = [{"before": "harvest", "days_min": days, "source": "from memory"} for days in (90, 120)]
    assert results(practice({"waiting": both}, **dunged(120)), "MAN-01") == []


def test_dung_that_is_called_treated_with_no_wait_is_judged_as_raw() -> None:
    entry = practice(**dunged(0, treatment="treated"), tea={"source_treatment": "raw"})
    assert "stop" in results(entry, "MAN-01")


def test_a_rest_of_two_weeks_is_no_treatment() -> None:
    assert results(practice(**dunged(14, treatment="rested")), "MAN-01") == ["stop"]


def test_heat_processed_dung_is_not_raw_and_an_unnamed_input_is_not_said() -> None:
    assert results(practice(**dunged(0, treatment="heat_processed")), "MAN-01") == []
    unnamed = practice(inputs=[{**BARE, "wait_d": 0}], crop=LETTUCE)
    assert {"MAN-01", "MAN-07", "HUM-01"} <= rules(unnamed, "unknown")


def test_a_tea_that_is_said_to_be_of_plants_is_no_dung() -> None:
    entry = practice(inputs=[{**TEA, "wait_d": 2}], tea={"source_treatment": "plants"}, crop=LETTUCE)
    assert results(entry, "MAN-01") == results(entry, "MAN-06") == []


COMPOSTED = {"treatment": "composted", "wait_d": 0}


@pytest.mark.parametrize(
    ("record", "raw"),
    [
        ({"system": "static", "temp_c": [60, 58, 61], "days_hot": 3}, False),
        ({"system": "static", "temp_c": [60, 58], "days_hot": 2}, True),
        ({"system": "windrow", "temp_c": [60], "days_hot": 15, "turnings": 5}, False),
        ({"system": "windrow", "temp_c": [60], "days_hot": 15, "turnings": 4}, True),
        ({"system": "windrow", "temp_c": [54], "days_hot": 15, "turnings": 5}, True),
        ({"system": "static", "days_hot": 3}, True),
        ({"system": "worms", "temp_c": [60], "days_hot": 30}, True),
        ({}, True),
    ],
)
def test_compost_is_raw_dung_until_its_heat_was_measured(record: dict[str, Any], *, raw: bool) -> None:
    """7 CFR 205.203(c)(2)(ii) and (iii): 55 to 77 °C for 3 days, or 15 days and 5 turnings in a turned heap."""
    entry = practice(**dunged(**COMPOSTED), compost=record)
    assert (results(entry, "MAN-01") == ["stop"]) is raw


def test_compost_of_plants_alone_is_no_dung() -> None:
    entry = practice(**dunged(0, kind="plant_compost", treatment="composted"))
    assert rules(entry, "stop", "unknown") & {"MAN-01", "MAN-02", "MAN-03"} == set()


def test_wetting_an_edible_leaf_counts_as_touching_it() -> None:
    """The thirteenth mend: a leaf spray, or a drench that wets what is eaten, is contact."""
    for how in ({"mode": "foliar"}, {"mode": "drench", "wets_edible": True}):
        assert results(practice(**dunged(100, contact="edible_none", **how)), "MAN-01") == ["stop"]
    assert results(practice(**dunged(100, contact="edible_none", mode="drench")), "MAN-01") == []


def test_nobody_eats_it_is_not_believed_of_lettuce() -> None:
    assert results(practice(**dunged(2, LETTUCE, contact="not_eaten")), "MAN-01") == ["stop"]


@pytest.mark.parametrize("kind", ["manure_tea", "animal_urine", "cow_manure"])
def test_dung_and_urine_on_leaves_are_stopped_although_they_are_cooked(kind: str) -> None:
    """21 CFR 112.56(a)(1); 112.2(a)(1) does not list kale or amaranth among what is rarely eaten raw."""
    entry = practice(**dunged(130, {**LETTUCE, "eaten_raw": False}, kind=kind, mode="foliar"))
    assert results(entry, "MAN-03") == ["stop"]


def test_a_steep_of_leaves_alone_is_no_dung() -> None:
    entry = practice(waiting(2), inputs=[{**TEA, "kind": "leaf_steep", "mode": "foliar", "wait_d": 2}], crop=LETTUCE)
    assert not {rule for rule in rules(entry, "stop", "unknown") if rule.startswith("MAN")}


@pytest.mark.parametrize(("days", "expected"), [(3, []), (4, ["answer"]), ("never", ["answer"]), (None, ["unknown"])])
def test_dung_on_the_surface_is_mixed_in_within_three_days(days: Any, expected: list[str]) -> None:
    mixed = {} if days is None else {"incorporated_after_d": days}
    assert results(practice(**dunged(120, mode="soil_surface", **mixed)), "MAN-04") == expected


GOOD_TEA = {"source_treatment": "composted", "water": "drinking", "additive": "none", "ecoli_cfu_100ml": 0}
HOT = {"system": "static", "temp_c": [60, 60, 60], "days_hot": 3}


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"water": "surface"}, ["stop"]),
        ({"additive": "molasses"}, ["stop"]),
        ({"ecoli_cfu_100ml": 1}, ["stop"]),
        ({"ecoli_cfu_100ml": None}, ["stop"]),
        ({"additive": None}, ["unknown"]),
    ],
)
def test_compost_tea_on_leaves_needs_clean_tested_water_and_no_sugar(
    change: dict[str, Any], expected: list[str]
) -> None:
    """21 CFR 112.51: no generic E. coli in 100 mL; an additive makes it untreated."""
    tea = {name: value for name, value in {**GOOD_TEA, **change}.items() if value is not None}
    inputs = [{"kind": "compost_tea", "mode": "foliar", "contact": "edible_soil", "wait_d": 0}]
    entry = practice(inputs=inputs, tea=tea, compost=HOT, crop=LETTUCE)
    assert results(entry, "MAN-05") == expected
    assert results(entry, "MAN-03") == []


def test_tea_from_compost_without_a_record_is_raw() -> None:
    inputs = [{"kind": "compost_tea", "mode": "foliar", "contact": "edible_soil", "wait_d": 0}]
    assert results(practice(inputs=inputs, tea=GOOD_TEA, crop=LETTUCE), "MAN-03") == ["stop"]


def test_a_tea_that_stands_alone_is_judged_too() -> None:
    entry = practice(waiting(2), tea={"source_treatment": "raw", "mode": "foliar"}, crop=LETTUCE)
    assert {"MAN-01", "MAN-03", "MAN-06"} <= rules(entry, "stop")


def test_ten_hens_on_200_square_metres_leave_too_much_nitrogen() -> None:
    """91/676/EEC Annex III, 17 g/m² a year; USDA NRCS table: 0.383 kg N per hen and year after losses, so 19.2 g/m²."""
    inputs = [{"kind": "hen_manure", "treatment": "raw", **BARE, "area_m2": 200, "wait_d": 120}]
    hens = {
        "species": "hen",
        "n": 10,
        "area_m2": 4,
        "litter": "deep_litter",
        "over_water": False,
        "droppings_to": ["soil"],
    }
    (finding,) = found(practice(inputs=inputs, animals=hens, crop=LETTUCE), "MAN-07")
    assert (finding.result, finding.value) == ("answer", "19.2 g/m² a year")
    assert "1.8 kg of hen dung per m²" in finding.words


def test_a_dose_below_the_ceiling_passes_and_an_unknown_one_must_be_asked_for() -> None:
    given = {"kind": "hen_manure", "amount_kg": 8}
    assert results(practice(**dunged(120, **given)), "MAN-07") == []
    assert results(practice(**dunged(120, **given, times_a_year=2)), "MAN-07") == ["answer"]
    assert results(practice(**dunged(120)), "MAN-07") == ["answer"]
    assert results(practice(**dunged(120), demands=["area"]), "MAN-07") == []


@pytest.mark.parametrize("kind", ["human_faeces", "sludge", "septic"])
def test_human_waste_stays_off_food(kind: str) -> None:
    assert results(practice(**dunged(400, kind=kind)), "HUM-01") == ["stop"]
    assert results(practice(**dunged(400, MARIGOLD, kind=kind)), "HUM-01") == []


@pytest.mark.parametrize(
    ("stored", "others", "wait", "expected"),
    [
        (30, False, 30, []),
        (29, False, 30, ["stop"]),
        (30, False, 29, ["stop"]),
        (179, True, 30, ["stop"]),
        (180, True, 30, []),
        (60, None, 30, ["unknown"]),
        (None, False, 30, ["unknown"]),
    ],
)
def test_human_urine_is_stored_a_month_or_six_and_kept_from_the_last_month(
    stored: int | None, *, others: bool | None, wait: int, expected: list[str]
) -> None:
    said = {"kind": "human_urine", "stored_d": stored, "eaten_by_others": others}
    known = {name: value for name, value in said.items() if value is not None}
    assert results(practice(**dunged(wait, **known)), "URI-01") == expected


@pytest.mark.parametrize(
    ("crop", "change", "expected"),
    [
        (TOMATO, {"wait_d": 20}, ["answer"]),
        (LETTUCE, {"wait_d": 20}, ["stop"]),
        (LETTUCE, {"wait_d": 120}, []),
        (LETTUCE, {"wait_d": 120, "mode": "foliar"}, ["stop"]),
        (TOMATO, {"wait_d": 90, "contact": "edible_none"}, []),
        (TOMATO, {"wait_d": 89, "contact": "edible_none"}, ["answer"]),
        (MARIGOLD, {"wait_d": 0, "contact": "not_eaten"}, []),
        (LETTUCE, {}, ["unknown"]),
    ],
)
def test_urine_of_animals_is_judged_as_raw_dung(crop: Any, change: dict[str, Any], expected: list[str]) -> None:
    """The sixth mend, ours; the waits: 7 CFR 205.203(c)(1)(ii) and (iii)."""
    assert (
        results(practice(**dunged(change.pop("wait_d", None), crop, kind="animal_urine", **change)), "URI-02")
        == expected
    )
