"""What holds for all rules: not said, not applicable, cautions, sources, contradictions; bad drafts and good ones."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fieldbook.practices import read_entry
from fieldbook.practices.codes import CAUTIONS
from fieldbook.review import RULES, findings_of, rules_of_ours
from fieldbook.review.cautions import CALLED_BY, NAMES
from fieldbook.review.ways import WAYS
from fieldbook.sources import SOURCES
from tests.review.practice import ADULTS, BARE, LETTUCE, facts, found, practice, results, rules

CHECKLIST = {
    *(f"MAN-{n:02}" for n in range(1, 8)),
    *(f"CMP-{n:02}" for n in range(1, 7)),
    *(f"FSH-{n:02}" for n in range(1, 7)),
    *(f"STR-{n:02}" for n in range(1, 4)),
    *(f"MAT-{n:02}" for n in range(1, 4)),
    *(f"PST-{n:02}" for n in range(1, 9)),
    *(f"ANI-{n:02}" for n in range(1, 5)),
    *(f"ZOO-{n:02}" for n in range(1, 4)),
    *("HUM-01", "URI-01", "GRW-01", "WAT-01", "GAS-01", "DRN-01", "MOS-01", "WCK-01", "SOI-01"),
    *("NUT-01", "NUT-02", "PLT-01", "SPC-01", "GEN-01", "GEN-02"),
}
ADDED = {"URI-02", "IRR-01", "FLD-01", "GEN-03"}
FACTLESS = {"GEN-01", "GEN-03"}  # they read what the entry claims, not its facts


def test_every_rule_of_the_list_is_there_once() -> None:
    ids = [rule.id for rule in RULES]
    assert len(ids) == len(set(ids))
    assert len(CHECKLIST) == 55
    assert set(ids) == CHECKLIST | ADDED


def test_every_rule_names_works_that_exist_ways_that_exist_and_words() -> None:
    for rule in RULES:
        assert rule.sources
        assert set(rule.sources) <= set(SOURCES)
        assert set(rule.instead) <= set(WAYS)
        assert 1 <= len(rule.instead) <= 3
        assert rule.words.endswith((".", "?"))


def test_every_way_is_used_by_a_rule() -> None:
    assert {way for rule in RULES for way in rule.instead} | {"ask-first"} == set(WAYS)


LAWS = ("7 CFR", "21 CFR", "/EC", "/EEC", "EC rule", "Animal Welfare Act", "NIOSH")


def test_each_law_says_whom_it_binds() -> None:
    """The eleventh mend: 7 CFR and 21 CFR bind farms that sell; we borrow them as the careful side."""
    for rule in RULES:
        if any(law in SOURCES[key].words for key in rule.sources for law in LAWS):
            assert "bind" in rule.binds or "limit" in rule.binds, rule.id


def test_what_is_ours_says_which_number_it_is_and_what_is_not_says_none() -> None:
    assert {rule.id for rule in rules_of_ours()} == {rule.id for rule in RULES if rule.figure}
    assert {rule.id for rule in rules_of_ours()} >= {"STR-03", "PST-03", "FSH-05", "MAN-06", "SPC-01", "ANI-01"}
    assert all(rule.whose != "theirs" for rule in rules_of_ours())
    firsts = [rule.whose for rule in rules_of_ours()]
    assert firsts == sorted(firsts, key=("ours", "part").index)


def test_no_rule_rests_on_memory_alone() -> None:
    for rule in RULES:
        assert any(SOURCES[key].mark != "from memory" for key in rule.sources), rule.id


def test_with_every_field_missing_no_rule_passes() -> None:
    """The last edge case: each rule is not said; none passes, and none is merged into an answer."""
    entry = read_entry({"kind": "teaching", "title": {"en": "x"}, "facts": {}})
    assert rules(entry, "unknown") == {rule.id for rule in RULES} - FACTLESS
    assert {finding.result for finding in findings_of(entry)} == {"unknown"}


def test_without_a_facts_block_it_is_the_same() -> None:
    entry = read_entry({"kind": "teaching", "title": {"en": "x"}})
    assert rules(entry, "unknown") == {rule.id for rule in RULES} - FACTLESS


def test_what_is_known_not_to_be_present_makes_rules_fall_away() -> None:
    assert findings_of(practice()) == ()


def test_a_wall_of_bottles_is_clean() -> None:
    entry = practice(
        {"space": {"wall": True, "load_kg_m2_wet": 60}},
        crop=LETTUCE,
        structure={"kind": "bottle_wall", "on_roof": False, "height_cm": 160, "braced": True},
        vessel={"volume_l": "1.5", "cover": "narrow_neck", "age_water_d": 6, "prior_use": "drinking_water"},
        wick={"rise_cm": 12, "medium": "cloth"},
        irrigation={"source": "clean", "mode": "wick"},
        soil={"source": "clean"},
        task=ADULTS,
        materials={"kind": "plastic", "treatment": "clean"},
        cautions=["C04", "C07", "C10", "C22"],
    )
    assert findings_of(entry) == ()


def test_a_group_ruled_out_and_filled_is_judged_as_filled() -> None:
    """Such a document is a fault for an author; one that arrives from elsewhere is judged by the careful side."""
    block = facts(spray={"plants": ["chilli"], "ppe": []})
    document = {"kind": "teaching", "title": {"en": "x"}, "facts": {**block, "none": [*block["none"], "spray"]}}
    assert results(read_entry(document, strict=False), "PST-01") == ["stop"]


def test_a_kind_cannot_rule_out_what_it_is_about() -> None:
    document = {"kind": "manure", "title": {"en": "x"}, "facts": facts()}
    assert "MAN-01" in rules(read_entry(document, strict=False), "unknown")


def test_what_is_not_said_is_named_in_plain_words_with_its_field() -> None:
    entry = read_entry({"kind": "teaching", "title": {"en": "x"}, "facts": {}})
    (finding,) = found(entry, "WCK-01")
    assert finding.words.startswith("Not said: the wick. So this cannot be judged: Water will not climb")
    assert finding.missing == ("facts.wick",)


def test_a_word_that_only_newer_software_knows_counts_as_not_said() -> None:
    block = facts(vessel={"volume_l": 20, "cover": "floating_balls", "prior_use": "food", "age_water_d": 1})
    entry = read_entry({"kind": "teaching", "title": {"en": "x"}, "facts": block}, strict=False)
    assert results(entry, "DRN-01") == ["answer"]
    assert results(entry, "MOS-01") == []


@pytest.mark.parametrize("noise", [None, 3, [], {"inputs": 5, "none": "all", "spray": [1, "x", {"plants": "chilli"}]}])
def test_facts_that_are_no_facts_are_not_said_and_break_nothing(noise: Any) -> None:
    from fieldbook.practices import Entry

    entry = Entry({"kind": "teaching", "title": {"en": "x"}, "facts": noise})
    assert "MAN-01" in rules(entry, "unknown")


def test_findings_come_stops_first_and_as_plain_json() -> None:
    entry = practice(spray={"plants": ["chilli", "soap"], "soap_g_l": 9, "ppe": []}, crop=LETTUCE)
    order = [finding.result for finding in findings_of(entry)]
    assert order == sorted(order, key=("stop", "unknown", "answer", "note").index)
    document = json.loads(json.dumps([finding.as_document() for finding in findings_of(entry)]))
    assert {"rule", "result", "words", "source", "instead"} <= set(document[0])
    assert all(isinstance(way, str) for way in document[0]["instead"])


def test_each_caution_is_called_for_and_named() -> None:
    assert set(CALLED_BY) == set(NAMES) == set(CAUTIONS)


@pytest.mark.parametrize(
    ("groups", "called"),
    [
        ({"spray": {"plants": ["soap"]}}, {"C17", "C18", "C22"}),
        ({"spray": {"plants": ["ash"]}}, {"C16", "C17", "C18", "C22"}),
        ({"fish": {"species": "tilapia"}}, {"C09", "C15"}),
        ({"animals": {"species": "rabbit"}}, {"C12", "C14", "C23"}),
        ({"animals": {"species": "duck"}}, {"C12", "C13", "C14", "C23"}),
        ({"inputs": [{"kind": "goat_manure"}]}, {"C01", "C14"}),
        ({"structure": {"kind": "sack", "on_roof": False}}, {"C08"}),
        ({"structure": {"kind": "bed", "on_roof": True}}, {"C07", "C22"}),
        ({"vessel": {"cover": "none", "prior_use": "food"}}, {"C04", "C09", "C10"}),
        ({"vessel": {"cover": "lid", "prior_use": "food"}}, {"C04"}),
        ({"materials": {"kind": "tyre"}}, {"C05"}),
        ({"soil": {"source": "roadside"}}, {"C06"}),
        ({"irrigation": {"source": "greywater", "mode": "foot"}}, {"C03"}),
        ({"compost": {"system": "box"}}, {"C20", "C21"}),
        ({"task": {"kind": ["pit_or_tank_work"], "audience": ["adults"]}}, {"C11", "C22"}),
        ({"nutrition": {"nutrient": "iron"}}, {"C24"}),
        ({"crop": {"name": "African nightshade", "part": "leaf"}}, {"C19"}),
        ({"inputs": [{"kind": "human_urine"}]}, {"C02"}),
    ],
)
def test_a_hazard_without_its_caution_is_stopped(groups: dict[str, Any], called: set[str]) -> None:
    stops = [finding for finding in found(practice(**groups, cautions=[]), "GEN-02") if finding.result == "stop"]
    assert {finding.limit for finding in stops} == called
    assert not [one for one in found(practice(**groups, cautions=sorted(called)), "GEN-02") if one.result == "stop"]


RATIO = {"a": "soap", "b": "water", "by": "mass", "value": 200}


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        (None, ["answer"]),
        ("common practice", []),
        ("from memory", []),
        ("placed", []),
        ("unplaced", ["answer"]),
        ("marked", []),
        ("a handbook, p. 12", []),
    ],
)
def test_a_number_is_met_by_a_work_and_its_place_or_by_a_plain_mark(source: str | None, expected: list[str]) -> None:
    works = [
        {"key": "placed", "citation": "A handbook", "place": "p. 12"},
        {"key": "unplaced", "citation": "Another handbook"},
        {"key": "marked", "citation": "What growers do", "mark": "common practice"},
    ]
    ratio = RATIO if source is None else {**RATIO, "source": source}
    assert results(practice({"ratios": [ratio], "sources": works}), "GEN-01") == expected


def test_waits_and_guessed_yields_are_numbers_too_and_none_published_is_none() -> None:
    kale = {"qty": {"value": 2, "unit": "mass-kilogram"}}
    waits = [{"before": "harvest", "days_min": days} for days in ("none published", 4)]
    assert [one.field for one in found(practice({"waiting": waits}), "GEN-01")] == ["waiting[1].source"]
    assert results(practice({"yield": {**kale, "basis": "guessed"}}), "GEN-01") == ["answer"]
    assert results(practice({"yield": {**kale, "basis": "measured"}}), "GEN-01") == []


def test_what_is_warned_against_is_judged_by_no_rule() -> None:
    """The fourth mend."""
    warned = {"spray": {"plants": ["tobacco"], "interval_d": 4}, "inputs": [{"kind": "human_faeces"}]}
    assert findings_of(practice(warned_against=warned)) == ()


@pytest.mark.parametrize(
    "used",
    [
        {"materials": [{"item": {"en": "dry tobacco leaves"}}]},
        {"ratios": [{**RATIO, "a": "Tobacco", "source": "common practice"}]},
        {"steps": [{"say": {"en": "Boil it."}, "materials": ["tobacco"]}]},
    ],
)
def test_what_is_warned_against_and_used_is_stopped(used: dict[str, Any]) -> None:
    warned = {"spray": {"plants": ["tobacco"]}}
    assert results(practice(used, warned_against=warned), "GEN-03") == ["stop"]


def test_a_use_is_warned_against_while_another_use_of_the_same_thing_stands() -> None:
    dung = {"kind": "rabbit_manure", "treatment": "raw", **BARE, "wait_d": 120}
    used = {"materials": [{"item": {"en": "rabbit manure"}}]}
    on_leaves = {"inputs": [{"kind": "rabbit_manure", "mode": "foliar"}]}
    assert results(practice(used, inputs=[dung], crop=LETTUCE, warned_against=on_leaves), "GEN-03") == []
    assert results(practice(used, warned_against=on_leaves), "GEN-03") == ["stop"]
    plain = {"inputs": [{"kind": "rabbit_manure"}]}
    assert results(practice(used, inputs=[dung], crop=LETTUCE, warned_against=plain), "GEN-03") == ["stop"]
