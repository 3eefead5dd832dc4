"""The rules that a place decides, judged with the facts of the place: the edge cases of the checklist, at the start.

120 and 90 days: 7 CFR 205.203(c)(1)(ii) and (iii). Roof: 19.22 kg/m² per cm of wet garden soil (120 lb/ft³) against
20 lb/ft² = 97.6 kg/m², a US code text's least live load. Hens: 1999/74/EC, 9 for each m². Cans: FAO Pesticide Disposal
Series 7, Annex 1.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from fieldbook.review import PLACE_FACTS, PlaceError, findings_at_start, place_facts_wanted, read_place
from tests.review.practice import BARE, LETTUCE, TOMATO, practice

DUNGED = practice(inputs=[{"kind": "goat_manure", "treatment": "raw", **BARE}], crop=LETTUCE)
STAKED = practice(inputs=[{"kind": "goat_manure", "treatment": "raw", **BARE, "contact": "edible_none"}], crop=TOMATO)
ROOF = practice(structure={"kind": "bed", "on_roof": True, "depth_cm": 30, "density": 1922}, demands=["engineer_ok"])
HENS = practice(animals={"species": "hen", "litter": "deep_litter", "over_water": False})
CAN = practice(vessel={"volume_l": 20, "cover": "lid", "prior_use": "food", "age_water_d": 1}, demands=["prior_use"])


def at_start(entry: Any, rule: str, **place: Any) -> list[str]:
    return [one.result for one in findings_at_start(entry, place) if one.rule == rule]


@pytest.mark.parametrize(("harvest_on", "expected"), [(date(2026, 6, 28), ["stop"]), (date(2026, 6, 29), [])])
def test_lettuce_is_picked_120_days_after_raw_dung(harvest_on: date, expected: list[str]) -> None:
    """MAN-01: applied on 1 March, 119 and 120 days."""
    assert at_start(DUNGED, "MAN-01", applied_on=date(2026, 3, 1), harvest_on=harvest_on) == expected


@pytest.mark.parametrize(("harvest_on", "expected"), [("2026-05-29", ["stop"]), ("2026-05-30", [])])
def test_staked_tomato_is_picked_90_days_after_raw_dung(harvest_on: str, expected: list[str]) -> None:
    assert at_start(STAKED, "MAN-02", applied_on="2026-03-01", harvest_on=harvest_on) == expected


def test_a_harvest_that_is_not_said_is_unknown_and_asked_for() -> None:
    found = findings_at_start(DUNGED, {"applied_on": date(2026, 3, 1)})
    assert [one.result for one in found if one.rule == "MAN-01"] == ["unknown"]
    assert {"applied_on", "harvest_on"} <= set(place_facts_wanted(found))


def test_days_between_serve_where_no_clock_is_trusted() -> None:
    assert at_start(DUNGED, "MAN-01", wait_d=119) == ["stop"]
    assert at_start(DUNGED, "MAN-01", wait_d=120) == []


def test_what_the_author_wrote_about_a_wait_elsewhere_is_not_believed_at_the_start() -> None:
    entry = practice(inputs=[{"kind": "goat_manure", "treatment": "raw", **BARE, "wait_d": 120}], crop=LETTUCE)
    assert at_start(entry, "MAN-01") == ["unknown"]
    assert at_start(entry, "MAN-01", wait_d=14) == ["stop"]


def test_a_roof_that_nobody_checked_is_not_said_and_a_no_stops() -> None:
    """STR-01: unknown, and the form asks for it; the entry's own demand no longer counts."""
    assert at_start(ROOF, "STR-01") == ["unknown"]
    assert at_start(ROOF, "STR-01", engineer_ok=False) == ["stop"]
    assert at_start(ROOF, "STR-01", engineer_ok=True) == []
    assert "engineer_ok" in place_facts_wanted(findings_at_start(ROOF, {}))


@pytest.mark.parametrize(("depth", "expected"), [(30, ["stop"]), (12, ["stop"]), ("5.1", ["stop"]), (5, [])])
def test_wet_soil_is_held_against_the_stated_load(depth: Any, expected: list[str]) -> None:
    """STR-02: 30 cm x 19.22 = 577 kg/m² against 97.6; 5 cm are 96.1."""
    assert at_start(ROOF, "STR-02", safe_load_kg_m2="97.6", depth_cm=depth) == expected


def test_the_stop_of_a_roof_says_both_numbers() -> None:
    (stop,) = (one for one in findings_at_start(ROOF, {"safe_load_kg_m2": "97.6"}) if one.rule == "STR-02")
    assert (stop.value, stop.limit) == ("577 kg/m²", "97.6 kg/m²")


def test_a_load_that_nobody_stated_is_not_said_although_the_entry_names_one() -> None:
    named = practice(structure={"kind": "bed", "on_roof": True, "depth_cm": 5, "density": 1000, "safe_load_kg_m2": 900})
    assert at_start(named, "STR-02") == ["unknown"]


@pytest.mark.parametrize(("room", "expected"), [("2.20", ["stop"]), ("2.25", ["answer"]), (7, [])])
def test_twenty_hens_need_their_room(room: Any, expected: list[str]) -> None:
    """ANI-01: 9.09 and 8.89 hens for each m²; three on deep litter."""
    assert at_start(HENS, "ANI-01", hen_n=20, hen_room_m2=room) == expected


def test_a_count_that_nobody_made_is_not_said() -> None:
    assert at_start(HENS, "ANI-01", hen_n=20) == ["unknown"]


@pytest.mark.parametrize(
    ("prior_use", "expected"), [("food", []), ("unknown", ["stop"]), ("paint", ["stop"]), (None, ["unknown"])]
)
def test_a_cans_past_is_asked_for_at_the_place_whatever_the_entry_hopes(prior_use: Any, expected: list[str]) -> None:
    assert at_start(CAN, "MAT-01", prior_use=prior_use) == expected


@pytest.mark.parametrize(("cover", "expected"), [("lid", []), ("mesh", ["stop"]), (None, ["unknown"])])
def test_a_lid_counts_where_it_is_seen(cover: Any, expected: list[str]) -> None:
    assert at_start(CAN, "DRN-01", cover=cover) == expected


@pytest.mark.parametrize(
    ("bird_flu", "expected"), [("free", []), ("affected", ["stop"]), ("unknown", ["stop"]), (None, ["unknown"])]
)
def test_droppings_are_fed_only_where_the_area_is_known_to_be_free(bird_flu: Any, expected: list[str]) -> None:
    ducks = {"species": "duck", "over_water": False, "droppings_to": ["fish_feed"]}
    entry = practice(animals=ducks, demands=["bird_flu"], area={"bird_flu": "unknown"})
    assert at_start(entry, "ZOO-03", bird_flu=bird_flu) == expected


@pytest.mark.parametrize(("hens", "water", "expected"), [(1, 1, ["answer"]), (50, 100, []), (50, None, ["unknown"])])
def test_birds_over_the_water_of_the_place_are_counted(hens: int, water: Any, expected: list[str]) -> None:
    """FSH-01: half a bird for each m²; 0.5 is not above 0.5."""
    entry = practice(animals={"species": "hen", "over_water": True}, vessel={"cover": "fence"}, fish={"n": 5})
    assert at_start(entry, "FSH-01", hen_n=hens, water_area_m2=water) == expected


def test_ten_hens_on_200_square_metres_of_this_place_leave_too_much_nitrogen() -> None:
    """MAN-07: USDA NRCS 0.383 kg N for each hen and year after losses; 91/676/EEC Annex III, 17 g/m²."""
    hens = {"species": "hen", "over_water": False, "droppings_to": ["soil"]}
    inputs = [{"kind": "hen_manure", "treatment": "raw", "mode": "soil_incorporated", "contact": "edible_soil"}]
    entry = practice(inputs=inputs, animals=hens, crop=LETTUCE, demands=["area"])
    (finding,) = (one for one in findings_at_start(entry, {"hen_n": 10, "dunged_area_m2": 200}) if one.rule == "MAN-07")
    assert (finding.result, finding.value) == ("answer", "19.2 g/m² a year")
    assert at_start(entry, "MAN-07") == ["unknown"]
    assert at_start(entry, "MAN-07", dung_kg_year=18, dunged_area_m2=10) == []
    assert at_start(entry, "MAN-07", dung_kg_year=19, dunged_area_m2=10) == ["answer"]


def test_for_sale_makes_a_months_store_of_urine_six() -> None:
    """The twelfth mend; WHO 2006 vol. 4 as quoted: one month for the own household, six where others eat."""
    urine = {"kind": "human_urine", **BARE, "stored_d": 60, "wait_d": 30, "eaten_by_others": False}
    entry = practice(inputs=[urine], crop=LETTUCE)
    assert at_start(entry, "URI-01", wait_d=30, for_sale=False) == []
    assert at_start(entry, "URI-01", wait_d=30, for_sale=True) == ["stop"]


def test_an_entry_without_such_things_asks_nothing_of_a_place() -> None:
    assert findings_at_start(practice(crop=LETTUCE), {}) == ()
    assert findings_at_start(practice(crop=LETTUCE), {"engineer_ok": False, "hen_n": 9}) == ()


def test_spaces_are_no_answer() -> None:
    assert at_start(ROOF, "STR-01", engineer_ok="  ") == ["unknown"]
    assert dict(read_place({"engineer_ok": "  ", "cover": None})) == {}


@pytest.mark.parametrize(
    ("place", "field", "says"),
    [
        ({"enginer_ok": True}, "enginer_ok", "is not a fact of a place that the rules know"),
        ({"engineer_ok": "perhaps"}, "engineer_ok", "neither true nor false"),
        ({"safe_load_kg_m2": "120 kg"}, "safe_load_kg_m2", "is not a number"),
        ({"cover": "cloth"}, "cover", "is not a word we know here"),
        ({"applied_on": "2026-02-30"}, "applied_on", "this day is in no calendar"),
        ({"applied_on": "1 March"}, "applied_on", "is not a date"),
        ({"applied_on": "2026-03-02", "harvest_on": "2026-03-01"}, "harvest_on", "the harvest is before the dung"),
        (
            {"applied_on": "2026-03-01", "harvest_on": "2026-03-03", "wait_d": 120},
            "wait_d",
            "the days between do not fit the two dates",
        ),
    ],
)
def test_facts_that_are_not_understood_are_faults_and_judge_nothing(
    place: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(PlaceError) as caught:
        findings_at_start(ROOF, place)
    assert caught.value.faults[0].field == field
    assert says in caught.value.message
    assert caught.value.hint


def test_the_facts_of_a_place_cannot_be_changed_under_a_judgement() -> None:
    with pytest.raises(TypeError):
        read_place({"hen_n": 3})["hen_n"] = 4  # type: ignore[index]
    assert set(PLACE_FACTS) >= {"engineer_ok", "safe_load_kg_m2", "prior_use", "bird_flu", "soil_source", "cover"}
