"""Watering, open water, fish and wicks, against the works that the rules name."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import LETTUCE, TOMATO, found, practice, results, rules

BUCKET = {"volume_l": 15, "area_m2": "0.07", "cover": "lid", "age_water_d": 1, "prior_use": "food"}
TANK = {"volume_l": 1000, "area_m2": 1, "cover": "fence", "age_water_d": 5, "prior_use": "never_used"}
CATFISH = {"species": "catfish", "n": 5, "purpose": "food", "aeration": True, "manure_fed": False}
HENS = {"species": "hen", "n": 2, "area_m2": 1, "litter": "deep_litter", "over_water": False, "droppings_to": ["heap"]}


def without(group: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in group.items() if name not in names}


@pytest.mark.parametrize(
    ("change", "crop", "expected"),
    [
        ({"wait_d": 11}, LETTUCE, ["stop"]),
        ({"wait_d": 12}, LETTUCE, []),
        ({"wait_d": 0}, {**LETTUCE, "eaten_raw": False}, []),
        ({"wait_d": 0}, TOMATO, []),
        ({"wait_d": 0, "mode": "foot"}, LETTUCE, []),
        ({"wait_d": 0, "source": "clean"}, LETTUCE, []),
        ({"wait_d": 12, "dunged": True}, LETTUCE, ["stop"]),
        ({"wait_d": "none published"}, LETTUCE, ["stop"]),
        ({}, LETTUCE, ["unknown"]),
    ],
)
def test_pond_water_stays_off_leaves_eaten_raw(
    change: dict[str, Any], crop: dict[str, Any], expected: list[str]
) -> None:
    """(7 - 1) / 0.5 = 12 days: WHO 2006 vol. 2 credits as quoted, with washing; with dung the 120 days of 7 CFR 205.203."""
    entry = practice(irrigation={"source": "pond", "mode": "foliar", **change}, crop=crop)
    assert results(entry, "IRR-01") == expected


def test_fish_water_among_the_inputs_is_judged_alike() -> None:
    water = {"kind": "fish_water", "mode": "foliar", "wait_d": 2, "contact": "edible_soil"}
    assert results(practice(inputs=[water], crop=LETTUCE), "IRR-01") == ["stop"]
    drench = {**water, "mode": "drench", "wets_edible": True}
    assert results(practice(inputs=[drench], crop=LETTUCE), "IRR-01") == ["stop"]


@pytest.mark.parametrize("cover", ["none", "mesh"])
def test_an_open_bucket_is_stopped_whatever_is_asked_at_start(cover: str) -> None:
    """Facts for Life ch. 13: minutes, and very little water."""
    assert results(practice(vessel={**BUCKET, "cover": cover}, demands=["cover"]), "DRN-01") == ["stop"]


@pytest.mark.parametrize("cover", ["lid", "lock", "fence", "narrow_neck", "stone_filled_tray"])
def test_a_cover_a_fence_and_the_two_hen_drinkers_pass(cover: str) -> None:
    assert results(practice(vessel={**BUCKET, "cover": cover}), "DRN-01") == []


def test_a_cover_that_is_not_said_must_be_asked_for_before_the_start() -> None:
    bare = without(BUCKET, "cover")
    assert results(practice(vessel=bare), "DRN-01") == ["answer"]
    assert results(practice(vessel=bare, demands=["cover"]), "DRN-01") == []


@pytest.mark.parametrize(("days", "expected"), [(6, []), (7, ["answer"]), (None, ["unknown"])])
def test_standing_water_is_emptied_every_week(days: int | None, expected: list[str]) -> None:
    vessel = without(BUCKET, "age_water_d") | {"cover": "none"} | ({} if days is None else {"age_water_d": days})
    assert results(practice(vessel=vessel), "MOS-01") == expected


def test_a_lid_keeps_mosquitoes_out_however_old_the_water() -> None:
    assert results(practice(vessel={**BUCKET, "age_water_d": 30}), "MOS-01") == []


@pytest.mark.parametrize(
    ("birds", "surface", "expected"), [(1, 1, ["answer"]), (50, 100, []), (1, 2, []), (51, 100, ["answer"])]
)
def test_half_a_bird_for_each_square_metre_of_water(birds: int, surface: int, expected: list[str]) -> None:
    """A government's advisory page: 5,000 to 5,500 birds per hectare of pond."""
    hens = {**HENS, "n": birds, "over_water": True}
    assert results(practice(animals=hens, vessel={**TANK, "area_m2": surface}, fish=CATFISH), "FSH-01") == expected


def test_birds_over_water_of_unsaid_number_must_be_asked_for() -> None:
    hens = without({**HENS, "over_water": True}, "n")
    assert results(practice(animals=hens, vessel=TANK, fish=CATFISH), "FSH-01") == ["answer"]
    assert results(practice(animals=hens, vessel=TANK, fish=CATFISH, demands=["area"]), "FSH-01") == []
    assert results(practice(animals=without(HENS, "over_water"), vessel=TANK, fish=CATFISH), "FSH-01") == ["unknown"]


@pytest.mark.parametrize(
    ("volume", "aeration", "expected"),
    [(20, True, ["answer"]), (21, True, []), (200, False, ["answer"]), (201, False, []), (200, None, ["unknown"])],
)
def test_a_bucket_or_an_unaired_drum_is_no_meal(volume: int, *, aeration: bool | None, expected: list[str]) -> None:
    """Computed from FAO TP 362 section 6.1: 1 kg of fish on a square metre of still water."""
    fish = without(CATFISH, "aeration") | ({} if aeration is None else {"aeration": aeration})
    assert results(practice(fish=fish, vessel={**TANK, "volume_l": volume}), "FSH-05") == expected


def test_a_drum_that_is_said_to_be_for_showing_passes() -> None:
    fish = {**CATFISH, "purpose": "showing", "aeration": False}
    assert results(practice(fish=fish, vessel=[{**TANK, "volume_l": 200}, BUCKET]), "FSH-05") == []


def test_fish_always_stand_in_something() -> None:
    assert {"DRN-01", "MOS-01", "MAT-01", "FSH-05"} <= rules(practice(fish=CATFISH), "unknown")


def test_dung_fed_fish_need_two_knives() -> None:
    """Lan et al."""
    fish = {**CATFISH, "manure_fed": True}
    assert results(practice(fish=fish, vessel=TANK, cautions=[]), "FSH-06") == ["stop"]
    assert results(practice(fish=fish, vessel=TANK, cautions=["C15"]), "FSH-06") == []
    assert results(practice(fish=without(fish, "manure_fed"), vessel=TANK, cautions=[]), "FSH-06") == ["unknown"]


@pytest.mark.parametrize(
    ("rise", "medium", "expected"),
    [(30, "cloth", []), (31, "cloth", ["answer"]), (15, "sand", []), (16, "sand", ["answer"]), (16, None, ["unknown"])],
)
def test_water_climbs_30_cm_and_15_in_sand(rise: int, medium: str | None, expected: list[str]) -> None:
    wick = {"rise_cm": rise} | ({} if medium is None else {"medium": medium})
    assert results(practice(wick=wick), "WCK-01") == expected


def test_every_water_finding_says_what_to_do_instead() -> None:
    entry = practice(vessel={**BUCKET, "cover": "none", "age_water_d": 9}, wick={"rise_cm": 40})
    assert all(finding.instead for rule in ("DRN-01", "MOS-01", "WCK-01") for finding in found(entry, rule))


@pytest.mark.parametrize(
    ("weight", "surface", "exchange", "expected"),
    [
        (1, 1, 0, []),
        ("1.01", 1, 24, ["answer"]),
        ("1.01", 1, 25, []),
        (4, 1, 25, []),
        ("4.1", 1, 25, ["answer"]),
        (2, 1, None, ["unknown"]),
        (5, 1, None, ["answer"]),
    ],
)
def test_still_water_carries_a_kilogram_of_fish_on_a_square_metre(
    weight: Any, surface: int, exchange: int | None, expected: list[str]
) -> None:
    """FAO TP 362 section 6.1."""
    fish = {**CATFISH, "kg": weight} | ({} if exchange is None else {"exchange_pct_d": exchange})
    assert results(practice(fish=fish, vessel={**TANK, "area_m2": surface}), "FSH-02") == expected


def test_the_weight_of_fish_that_is_not_said_must_be_asked_for() -> None:
    assert results(practice(fish=CATFISH, vessel=TANK), "FSH-02") == ["answer"]
    assert results(practice(fish=CATFISH, vessel=TANK, demands=["area"]), "FSH-02") == []


@pytest.mark.parametrize(("tan", "expected"), [("1.00", ["answer"]), ("0.99", [])])
def test_ammonia_harms_above_a_twentieth_of_a_milligram(tan: str, expected: list[str]) -> None:
    """UF-IFAS FA16 (a copy) and Emerson et al. 1975: at 24 °C and pH 8.0 0.0502 and 0.0497 mg/L."""
    water = {"tan": tan, "ph": 8, "temp_c": 24, "do": 5}
    assert results(practice(water=water), "FSH-03") == expected


def test_the_ammonia_that_was_found_is_said() -> None:
    (finding,) = found(practice(water={"tan": 1, "ph": 8, "temp_c": 24, "do": 5}), "FSH-03")
    assert (finding.value, finding.limit) == ("0.0502 mg/L", "0.05 mg/L")


@pytest.mark.parametrize("missing", ["tan", "ph", "temp_c"])
def test_ammonia_without_its_measure_is_not_said(missing: str) -> None:
    (finding,) = found(practice(water=without({"tan": 1, "ph": 8, "temp_c": 24, "do": 5}, missing)), "FSH-03")
    assert (finding.result, finding.missing) == ("unknown", (f"facts.water.{missing}",))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"do": "3.9"}, ["answer"]),
        ({"ph": "6.4"}, ["answer"]),
        ({"ph": "8.6"}, ["answer"]),
        ({"ph": "8.5"}, []),
    ],
)
def test_fish_need_air_and_water_neither_sour_nor_chalky(change: dict[str, Any], expected: list[str]) -> None:
    """FAO TP 589."""
    assert results(practice(water={"tan": 0, "ph": 7, "temp_c": 24, "do": 4, **change}), "FSH-04") == expected
