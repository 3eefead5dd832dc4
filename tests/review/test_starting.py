"""The slip "Before you start here": which questions an entry raises, what answers allow, what stands against beginning.

Wet garden soil 120 lb/ft³ = 19.22 kg/m² for each cm, and 20 lb/ft² = 97.6 kg/m² (published wet densities, and a US code
text's least live load, as `roof-media` and `roof-live-load` name them). 120 and 90 days: 7 CFR 205.203(c)(1)(ii), (iii).
1.8 kg of hen dung: 91/676/EEC Annex III and the USDA NRCS table, 17 g / 9.23 g. Hens: 1999/74/EC, 9 for each m²; FAO on
small-scale poultry, 3 on deep litter. Rabbits: US Animal Welfare Act. Ponds: FAO TP 362, 1 kg for each m².
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.practices import Entry, read_entry
from fieldbook.review import findings_at_start
from fieldbook.review.cautions import NAMES
from fieldbook.review.engine import RULES
from fieldbook.review.roles_here import ROLES_HERE
from fieldbook.review.slip_answers import SlipError, place_facts, read_answers
from fieldbook.review.slip_questions import questions_of
from fieldbook.review.slip_table import EVENTS, QUESTIONS
from fieldbook.review.starting import Outcome, judge
from fieldbook.review.ways import WAYS
from fieldbook.shipped import shipped_names, shipped_text
from tests.review.practice import BARE, LETTUCE, TOMATO, practice

EXAMPLES = settings(max_examples=40, deadline=None, derandomize=True, database=None)
ROOF = practice(structure={"kind": "roof_bed", "on_roof": True, "depth_cm": 12, "density": 1922}, demands=["safe_load"])
DUNGED = practice(inputs=[BARE | {"kind": "hen_manure", "treatment": "raw"}], crop=LETTUCE)
HENS = practice(
    animals={"species": "hen", "litter": "deep_litter", "over_water": False, "droppings_to": ["heap"]},
    area={"bird_flu": "unknown"},
)
CHECKED = {"engineer_ok": "yes", "way_up": "yes", "nobody_below": "yes", "bed_length_cm": 200, "bed_width_cm": 60}
KINDS = sorted(name.split("/")[1] for name in shipped_names("seed_entries") if name.endswith("entry.json"))


def starter(name: str) -> Entry:
    return read_entry(json.loads(shipped_text(f"seed_entries/{name}/entry.json")), strict=False)


def codes(entry: Entry) -> list[str]:
    return [question.code for question in questions_of(entry)]


def outcome(entry: Entry, **answers: Any) -> Outcome:
    return judge(entry, read_answers(questions_of(entry), answers))


def allowed(found: Outcome) -> str:
    return "; ".join(one.words for one in found.allows)


def careful(entry: Entry) -> dict[str, Any]:
    """Answers with which a starter entry may begin."""
    known = {
        "safe_load_kg_m2": 900,
        "depth_cm": 10,
        "bed_length_cm": 400,
        "bed_width_cm": 150,
        "water_area_m2": 2,
        "applied_on": "2026-03-01",
        "harvest_on": "2026-07-15",
        "dung_kg_year": 3,
        "fish_kg": 1,
        "hen_n": 3,
        "hen_floor_length_cm": 200,
        "hen_floor_width_cm": 150,
        "rabbit_n": 1,
        "rabbit_weight_kg": 4,
        "rabbit_floor_length_cm": 80,
        "rabbit_floor_width_cm": 60,
    }
    return {one.code: "yes" if one.takes == "yes" else known[one.code] for one in questions_of(entry)}


# which questions


def test_only_what_the_entry_has_is_asked() -> None:
    assert codes(practice()) == []
    assert codes(ROOF) == [
        *("engineer_ok", "way_up", "nobody_below", "safe_load_kg_m2", "depth_cm", "bed_length_cm", "bed_width_cm")
    ]
    assert codes(HENS) == [
        *("no_bird_flu", "outside_rooms", "air_ok", "hen_n", "hen_floor_length_cm", "hen_floor_width_cm")
    ]
    assert {"applied_on", "harvest_on", "dung_kg_year"} <= set(codes(DUNGED))


@pytest.mark.parametrize("name", KINDS)
def test_a_starter_entry_asks_twelve_yes_or_no_questions_at_most(name: str) -> None:
    asked = questions_of(starter(name))
    assert 1 <= len(asked) <= 16
    assert sum(one.takes == "yes" for one in asked) <= 12


def test_an_entry_that_says_nothing_of_itself_is_asked_all_that_it_may_have() -> None:
    """Not said is never a pass."""
    bare = read_entry({"kind": "teaching", "title": {"en": "Something"}})
    assert set(codes(bare)) >= {
        *("on_ground", "prior_use_known", "covered", "soil_clean", "no_bird_flu", "outside_rooms", "far_from_water"),
        *("applied_on", "harvest_on"),
    }


def test_a_wall_of_bottles_is_asked_for_the_word_of_the_builder_and_not_for_its_depth() -> None:
    assert {"engineer_ok", "safe_load_kg_m2"} <= set(codes(starter("bottle-wall")))
    assert "depth_cm" not in codes(starter("bottle-wall"))


@pytest.mark.parametrize("code", QUESTIONS)
def test_each_question_names_a_rule_a_role_and_ways_that_are_there(code: str) -> None:
    question = QUESTIONS[code]
    assert question.rule in {rule.id for rule in RULES} | NAMES.keys()
    assert question.ask in {"", *ROLES_HERE}
    assert set(question.instead) <= WAYS.keys()
    assert question.events <= EVENTS.keys()
    assert question.words.endswith("?")


# what answers allow


@pytest.mark.parametrize(("depth", "may"), [(12, False), (6, False), ("5.1", False), (5, True)])
def test_wet_soil_stays_below_what_the_builder_stated(depth: Any, may: bool) -> None:  # noqa: FBT001
    """STR-02: 12 cm x 19.22 = 230.64 against 97.6; five centimetres are 96.1."""
    found = outcome(ROOF, **CHECKED, safe_load_kg_m2="97.6", depth_cm=depth)
    assert found.may_begin is may
    assert "19.22 kg/m² for each cm of wet soil" in allowed(found)
    assert "at most 5 cm of it for the 97.6 kg/m² that were stated, before people, water" in allowed(found)


@pytest.mark.parametrize(("depth", "may"), [(12, False), (11, True)])
def test_one_centimetre_decides(depth: int, may: bool) -> None:  # noqa: FBT001
    """12 cm weigh 230.64 kg/m², eleven 211.42."""
    assert outcome(ROOF, **CHECKED, safe_load_kg_m2="230.6", depth_cm=depth).may_begin is may


def test_the_refusal_of_a_roof_says_both_figures_whom_to_ask_and_what_to_do_instead() -> None:
    (reason,) = outcome(ROOF, **CHECKED, safe_load_kg_m2="97.6", depth_cm=12).reasons
    assert (reason.rule, reason.value, reason.limit, reason.ask) == (
        "STR-02",
        "231 kg/m²",
        "97.6 kg/m² (5 cm)",
        "builder",
    )
    assert "own" in " ".join(way.words for way in reason.instead)
    assert reason.source


def test_the_whole_bed_is_weighed_and_rounded_up() -> None:
    """2 m x 0.6 m x 12 cm x 1,922 kg/m³ = 276.768 kg."""
    found = outcome(ROOF, **CHECKED, safe_load_kg_m2=300, depth_cm=12)
    assert "the whole bed of 1.2 m² weighs 276.8 kg" in allowed(found)
    assert "wet it weighs 230.7 kg/m²: not above the 300 kg/m² that were stated" in allowed(found)


def test_soil_of_no_known_weight_counts_as_the_heaviest_that_was_read() -> None:
    unknown = practice(structure={"kind": "roof_bed", "on_roof": True}, demands=["safe_load"])
    assert not outcome(unknown, **CHECKED, safe_load_kg_m2="97.6", depth_cm=6).may_begin
    assert outcome(unknown, **CHECKED, safe_load_kg_m2="97.6", depth_cm=5).may_begin


def test_a_wall_is_held_against_what_the_entry_says_that_it_weighs() -> None:
    """The starter entry states 38.4 kg on each m² of wall."""
    answers = careful(starter("bottle-wall"))
    assert outcome(starter("bottle-wall"), **{**answers, "safe_load_kg_m2": "38.4"}).may_begin
    (reason,) = outcome(starter("bottle-wall"), **{**answers, "safe_load_kg_m2": "38.3"}).reasons
    assert (reason.rule, reason.value) == ("STR-02", "38.4 kg/m²")


def test_the_place_decides_how_deep_it_is_whatever_the_entry_weighs() -> None:
    """The starter entry states 288.3 kg/m² for its own 15 cm; six of them weigh 115.3."""
    entry = starter("coop-roof-bed")
    assert outcome(entry, **{**careful(entry), "safe_load_kg_m2": 120, "depth_cm": 6}).may_begin
    assert not outcome(entry, **{**careful(entry), "safe_load_kg_m2": 120, "depth_cm": 7}).may_begin


@given(depth=st.decimals("0.1", 100, places=1), stated=st.decimals("0.1", 3000, places=1))
@EXAMPLES
def test_a_roof_begins_exactly_where_the_sum_is_not_above_what_was_stated(depth: Decimal, stated: Decimal) -> None:
    found = outcome(ROOF, **CHECKED, safe_load_kg_m2=str(stated), depth_cm=str(depth))
    assert found.may_begin is (depth * Decimal("19.22") <= stated)


@pytest.mark.parametrize(("day", "may"), [("2026-06-28", False), ("2026-06-29", True)])
def test_the_first_picking_is_told_from_the_day_of_the_dung(day: str, may: bool) -> None:  # noqa: FBT001
    """MAN-01: 119 and 120 days after 1 March."""
    answers = careful(DUNGED) | {"applied_on": "2026-03-01", "harvest_on": day}
    found = outcome(DUNGED, **answers)
    assert found.may_begin is may
    assert "dung on 2026-03-01: nothing is picked to be eaten before 2026-06-29, 120 days later" in allowed(found)


def test_a_longer_wait_of_the_entry_itself_is_the_one_that_is_told() -> None:
    waiting = {"waiting": [{"before": "harvest", "days_min": 150, "after": "dung"}]}
    entry = practice(waiting, inputs=[BARE | {"kind": "hen_manure", "treatment": "raw"}], crop=LETTUCE)
    assert "150 days between the last dung and the first picking" in allowed(outcome(entry))


def test_ninety_days_for_what_hangs_clear_of_the_soil() -> None:
    staked = practice(inputs=[BARE | {"kind": "hen_manure", "treatment": "raw", "contact": "edible_none"}], crop=TOMATO)
    answers = careful(staked) | {"applied_on": "2026-03-01"}
    assert outcome(staked, **answers | {"harvest_on": "2026-05-30"}).may_begin
    assert not outcome(staked, **answers | {"harvest_on": "2026-05-29"}).may_begin


def test_dung_is_told_as_a_dose_for_this_bed() -> None:
    """17 g of nitrogen / 9.23 g in a kilogram of hen dung = 1.84 kg; on 4 m² 7.36 kg; told on the low side."""
    answers = careful(DUNGED) | {"bed_length_cm": 400, "bed_width_cm": 100}
    found = outcome(DUNGED, **answers | {"dung_kg_year": "7.3"})
    assert "at most 1.8 kg of hen dung on each m² in a year: 7.3 kg on this bed of 4 m²" in allowed(found)
    assert found.may_begin
    (reason,) = outcome(DUNGED, **answers | {"dung_kg_year": "7.5"}).reasons
    assert (reason.rule, reason.ask) == ("MAN-07", "health-officer")


@pytest.mark.parametrize(("kg", "may"), [("3.8", False), ("3.7", True)])
def test_rabbit_dung_is_dosed_by_the_most_nitrogen_that_was_read_of_it(kg: str, may: bool) -> None:  # noqa: FBT001
    """2.7 % of it dry (a page on rabbit dung): 17 g / 27 g = 0.63 kg on each m², 3.78 kg on 6 m²."""
    steep = starter("dung-steep")
    found = outcome(steep, **careful(steep) | {"dung_kg_year": kg})
    assert "at most 0.62 kg of rabbit dung on each m² in a year: 3.7 kg on this bed of 6 m²" in allowed(found)
    assert found.may_begin is may


def test_where_no_figure_was_read_for_a_dung_none_is_invented() -> None:
    ducks = practice(inputs=[BARE | {"kind": "duck_manure", "treatment": "raw"}], crop=LETTUCE)
    found = outcome(ducks, **careful(ducks))
    assert "no figure was read for the nitrogen of duck dung" in allowed(found)
    assert found.may_begin


@pytest.mark.parametrize(("hens", "may"), [(7, False), (6, True)])
def test_hens_on_deep_litter_have_a_third_of_a_square_metre(hens: int, may: bool) -> None:  # noqa: FBT001
    answers = careful(HENS) | {"hen_n": hens, "hen_floor_length_cm": 200, "hen_floor_width_cm": 100}
    found = outcome(HENS, **answers)
    assert found.may_begin is may
    assert "at most 6 hens on the 2 m² that are there" in allowed(found)


def test_still_water_bears_a_kilogram_of_fish_on_each_square_metre() -> None:
    entry = starter("fish-hen-garden")
    found = outcome(entry, **careful(entry) | {"water_area_m2": "0.255"})
    assert "0.255 m² of still water bear 0.25 kg of fish, all together" in allowed(found)


@pytest.mark.parametrize("name", KINDS)
def test_a_starter_entry_may_begin_where_every_answer_is_the_careful_one(name: str) -> None:
    entry = starter(name)
    found = outcome(entry, **careful(entry))
    assert found.reasons == ()


@pytest.mark.parametrize("name", KINDS)
def test_each_answer_that_is_no_or_not_known_stands_against_a_starter_entry(name: str) -> None:
    entry = starter(name)
    for question in questions_of(entry):
        for said in ("no", "unknown", "", "  ", None) if question.takes == "yes" else ("unknown", "", "\t", None):
            found = outcome(entry, **careful(entry) | {question.code: said})
            assert [one.question for one in found.reasons if one.question] == [question.code], (question.code, said)
            assert not found.may_begin


def test_nothing_ever_says_safe() -> None:
    for name in KINDS:
        entry = starter(name)
        for answers in ({}, careful(entry)):
            told = json.dumps(outcome(entry, **answers).as_document() | {"reasons": []})
            assert "safe" not in told.casefold()


@given(data=st.data(), name=st.sampled_from(KINDS))
@EXAMPLES
def test_whatever_the_rules_find_at_the_start_stands_against_beginning(data: st.DataObject, name: str) -> None:
    entry = starter(name)
    said = {
        one.code: data.draw(st.sampled_from(["yes", "no", "unknown", ""]))
        if one.takes == "yes"
        else data.draw(st.sampled_from(["", careful(entry)[one.code]]))
        for one in questions_of(entry)
    }
    answers = read_answers(questions_of(entry), said)
    found = judge(entry, answers)
    findings = [
        one
        for one in findings_at_start(entry, place_facts(answers))
        if not (one.rule == "MAN-07" and one.result == "unknown")  # a dung without a figure, where it is said so
    ]
    assert not (found.may_begin and findings)
    assert found.may_begin is (all(value not in {"no", "unknown", ""} for value in said.values()) and not findings)


# bad answers


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("engineer_ok", "perhaps"),
        ("depth_cm", "0"),
        ("depth_cm", "-3"),
        ("depth_cm", "501"),
        ("depth_cm", "12 cm"),
        ("depth_cm", True),
        ("safe_load_kg_m2", "1e9"),
        ("depth_cm", "9" * 60),
        ("bed_length_cm", 12.5),
        ("roof", "yes"),
    ],
)
def test_an_answer_that_is_none_is_refused_beside_its_question(code: str, said: Any) -> None:
    with pytest.raises(SlipError) as refused:
        read_answers(questions_of(ROOF), {code: said})
    assert [one.field for one in refused.value.faults] == [code]


@pytest.mark.parametrize("day", ["2026-02-30", "30/02/2026", "2026-2-3", "1999-12-31", "2100-01-01", "20260203", "x"])
def test_a_day_that_no_calendar_has_is_refused(day: str) -> None:
    with pytest.raises(SlipError):
        read_answers(questions_of(DUNGED), {"applied_on": day})


def test_all_faults_are_said_at_once() -> None:
    with pytest.raises(SlipError) as refused:
        read_answers(questions_of(ROOF), {"engineer_ok": "hm", "depth_cm": "deep", "way_up": "yes"})
    assert [one.field for one in refused.value.faults] == ["engineer_ok", "depth_cm"]


def test_a_picking_before_the_dung_is_refused() -> None:
    with pytest.raises(SlipError, match="the harvest is before the dung"):
        outcome(DUNGED, applied_on="2026-03-02", harvest_on="2026-03-01")


def test_what_is_only_blank_is_no_answer_at_all() -> None:
    assert read_answers(questions_of(ROOF), {"engineer_ok": "   ", "depth_cm": "\n", "way_up": None}) == {}
    assert read_answers(questions_of(ROOF), {"engineer_ok": " yes "}) == {"engineer_ok": "yes"}
    assert read_answers(questions_of(ROOF), {"engineer_ok": True, "way_up": False}) == {
        "engineer_ok": "yes",
        "way_up": "no",
    }


def test_days_are_told_in_whole_days_of_the_calendar_across_a_leap_day() -> None:
    found = outcome(DUNGED, **careful(DUNGED) | {"applied_on": "2028-02-01", "harvest_on": "2028-05-31"})
    assert "before 2028-05-31, 120 days later" in allowed(found)
    assert found.may_begin
    assert (date(2028, 5, 31) - date(2028, 2, 1)).days == 120
