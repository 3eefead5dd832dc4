"""Compost, against the sections of the organic rule: 7 CFR 205.203(c)(2)(i) to (iii); moisture: Cooperband 2002."""

from __future__ import annotations

from typing import Any

import pytest

from tests.review.practice import BARE, LETTUCE, MARIGOLD, found, practice, results

GIVEN: dict[str, Any] = {
    "inputs": [{"kind": "compost", "treatment": "composted", **BARE, "wait_d": 0}],
    "crop": LETTUCE,
}
STATIC = {"of_dung": True, "system": "static", "temp_c": [60, 60, 60], "days_hot": 3}
WINDROW = {"of_dung": True, "system": "windrow", "temp_c": [60], "days_hot": 15, "turnings": 5}


def without(group: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in group.items() if name not in names}


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"days_hot": 2}, ["stop"]),
        ({}, []),
        ({"temp_c": [55]}, []),
        ({"temp_c": [54]}, ["stop"]),
        ({"temp_c": [77]}, []),
        ({"temp_c": [78]}, ["stop"]),
        ({"system": "in_vessel", "days_hot": 2}, ["stop"]),
        ({"of_dung": False, "days_hot": 2}, []),
    ],
)
def test_a_heap_that_is_not_turned_is_hot_for_three_days(change: dict[str, Any], expected: list[str]) -> None:
    """205.203(c)(2)(ii): 131 to 170 °F (55 to 77 °C) for 3 days."""
    assert results(practice(compost={**STATIC, **change}, **GIVEN), "CMP-01") == expected


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"turnings": 4}, ["stop"]),
        ({}, []),
        ({"days_hot": 14}, ["stop"]),
        ({"temp_c": [50]}, ["stop"]),
        ({"system": "turned", "turnings": 4}, ["stop"]),
        ({"system": "box", "turnings": 1}, ["stop"]),
        ({"of_dung": False, "turnings": 0}, []),
    ],
)
def test_a_turned_heap_is_hot_for_fifteen_days_and_turned_five_times(
    change: dict[str, Any], expected: list[str]
) -> None:
    """205.203(c)(2)(iii)."""
    assert results(practice(compost={**WINDROW, **change}, **GIVEN), "CMP-02") == expected


def test_a_box_turned_every_two_weeks_is_told_to_be_turned_every_third_day() -> None:
    """The fifth mend: one turning in 15 hot days is never five."""
    (finding,) = found(practice(compost={**WINDROW, "system": "box", "turnings": 1}, **GIVEN), "CMP-02")
    assert "every third day" in finding.words
    assert "every 14 days can never show" in finding.words


@pytest.mark.parametrize("missing", ["days_hot", "turnings"])
def test_a_record_with_a_hole_is_not_said(missing: str) -> None:
    assert results(practice(compost=without(WINDROW, missing), **GIVEN), "CMP-02") == ["unknown"]


def test_without_temperatures_it_is_the_raw_wait_that_holds() -> None:
    """NOP Guidance 5021 as quoted."""
    for system in ("static", "windrow", "worms", "box"):
        bare = {"of_dung": True, "system": system}
        assert results(practice(compost=bare, **GIVEN), "CMP-03") == ["answer"]
        assert results(practice(compost=bare, **GIVEN), "MAN-01") == ["stop"]
    assert results(practice(compost={"of_dung": True, "system": "worms", "temp_c": [60]}, **GIVEN), "CMP-03") == [
        "answer"
    ]


def test_compost_that_keeps_the_wait_of_raw_dung_relies_on_no_heat() -> None:
    kept: dict[str, Any] = {
        "inputs": [{"kind": "compost", "treatment": "composted", **BARE, "wait_d": 120}],
        "crop": LETTUCE,
    }
    for bare in ({"of_dung": True, "system": "static"}, {**STATIC, "days_hot": 1}, {**WINDROW, "turnings": 0}):
        entry = practice(compost=bare, **kept)
        assert [results(entry, f"CMP-0{n}") for n in (1, 2, 3)] == [[], [], []]


def test_compost_under_what_nobody_eats_needs_no_heat() -> None:
    """205.203(c)(1)(i)."""
    given: dict[str, Any] = {**GIVEN, "crop": MARIGOLD}
    assert results(practice(compost={"of_dung": True, "system": "static"}, **given), "CMP-03") == []


def test_whether_dung_is_in_the_heap_is_not_said_or_shown_by_what_is_given() -> None:
    """The fifth mend: heat is asked only where animal or human matter is in the box."""
    silent = {"system": "box"}
    assert results(practice(compost=silent), "CMP-03") == ["unknown"]
    assert results(practice(compost=silent, **GIVEN), "CMP-03") == ["answer"]
    assert results(practice(compost={**silent, "of_dung": False}), "CMP-03") == []


@pytest.mark.parametrize(
    ("cn", "expected"), [(24, ["answer"]), (25, []), (40, []), (41, ["answer"]), (None, ["unknown"])]
)
def test_the_mix_starts_between_25_and_40_to_one(cn: int | None, expected: list[str]) -> None:
    """205.203(c)(2)(i)."""
    compost = {"of_dung": False, "system": "box"} | ({} if cn is None else {"cn_start": cn})
    assert results(practice(compost=compost), "CMP-04") == expected


@pytest.mark.parametrize(("wet", "expected"), [(39, ["answer"]), (40, []), (65, []), (66, ["answer"])])
def test_a_heap_is_as_wet_as_a_wrung_cloth(wet: int, expected: list[str]) -> None:
    compost = {"of_dung": False, "system": "box", "moisture_pct": wet}
    assert results(practice(compost=compost), "CMP-05") == expected


@pytest.mark.parametrize(("degrees", "expected"), [(77, []), (78, ["answer"])])
def test_above_77_degrees_a_heap_is_opened(degrees: int, expected: list[str]) -> None:
    compost = {"of_dung": False, "system": "static", "temp_c": [60, degrees]}
    assert results(practice(compost=compost), "CMP-06") == expected
