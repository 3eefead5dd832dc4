"""The starter entries: whole, careful, the same in each language, judged by the rules and by hand."""

from __future__ import annotations

import csv
import io
import json
import re

import jsonschema

from fieldbook.practices import missing_to_approve, missing_to_repeat, read_entry
from fieldbook.practices.codes import FACT_GROUPS, MARKS
from fieldbook.review import findings_of
from fieldbook.review.approval import approval_body
from fieldbook.shipped import shipped_text
from tests.starters import FOLDERS, answers_of, entry_of, every_entry, texts_of

SIX_KINDS = {"pest-deterrent", "manure", "companions", "structure", "linked-system"}
WRITERS = {"C1", "T1", "L1", "S1"}
REVIEWERS = {"C3", "L2"}
STEP_WORDS = 25
SECOND_LANGUAGES = {"ar", "es", "fr", "sw"}
# The checklist of 55, the three rules added to it, and the twelve ways in which it is to be read.
RULES_OF_FAMILY = {
    "MAN": 7, "CMP": 6, "HUM": 1, "URI": 1, "GRW": 1, "WAT": 1, "GAS": 1, "FSH": 6, "DRN": 1, "MOS": 1, "STR": 3,
    "WCK": 1, "MAT": 3, "SOI": 1, "PST": 8, "ANI": 4, "ZOO": 3, "NUT": 2, "PLT": 1, "SPC": 1, "GEN": 2,
}  # fmt: skip
CHECKLIST = {f"{family}-{n:02}" for family, count in RULES_OF_FAMILY.items() for n in range(1, count + 1)}
ADDED_RULES = {"URI-02", "IRR-01", "FLD-01"}
READINGS = {
    *("two-places", "first-questions", "instead", "warned-against", "compost-scope", "covers", "none-published"),
    *("dose", "cook-only", "whom-it-binds", "for-sale", "wetting"),
}


def test_the_six_kinds_of_practice_are_there() -> None:
    entries = [entry_of(name) for name in FOLDERS]
    topics = {topic for entry in entries for topic in entry["topics"]}
    assert len(entries) >= 6
    assert {entry["kind"] for entry in entries} >= SIX_KINDS
    assert topics >= {"chilli-garlic-spray", "steeped-manure", "companion-planting", "wall-bottle", "roof-bed"}
    assert "linked-system" in topics


@every_entry
def test_an_entry_is_valid_by_the_schema_and_has_no_fault(name: str) -> None:
    entry = entry_of(name)
    jsonschema.Draft202012Validator(json.loads(shipped_text("schemas/entry.schema.json"))).validate(entry)
    assert read_entry(entry).kind == entry["kind"]


@every_entry
def test_nothing_is_missing_to_repeat_or_to_approve(name: str) -> None:
    entry = read_entry(entry_of(name))
    assert missing_to_repeat(entry) == ()
    assert missing_to_approve(entry) == ()


@every_entry
def test_what_is_optional_but_wanted_is_filled(name: str) -> None:
    entry = entry_of(name)
    assert {"yield", "first_result_days", "first_aid", "disposal", "sources", "taxa", "not_for"} <= set(entry)
    assert entry["licence"] == "CC-BY-4.0"
    assert entry["yield"]["basis"] == "guessed"
    assert len(entry["success_signs"]) >= 2
    assert all({"sign", "likely_cause", "first_action"} <= set(sign) for sign in entry["failure_signs"])


@every_entry
def test_every_group_of_facts_is_filled_or_known_to_be_absent(name: str) -> None:
    facts = entry_of(name)["facts"]
    unsaid = set(FACT_GROUPS) - set(facts) - set(facts["none"])
    assert unsaid <= {"area", "harvest", "water"}
    # bird flu is a fact of one place, and the water of a drum is measured there
    assert "area" not in unsaid or "bird_flu" in facts["demands"]
    assert "water" not in unsaid or "fish" in facts


@every_entry
def test_no_rule_stops_it(name: str) -> None:
    assert [finding for finding in findings_of(read_entry(entry_of(name))) if finding.result == "stop"] == []


@every_entry
def test_every_finding_has_a_reviewers_words_and_every_answer_its_finding(name: str) -> None:
    found = {finding.rule for finding in findings_of(read_entry(entry_of(name))) if finding.result != "note"}
    for approval in answers_of(name)["approvals"]:
        assert set(approval["answers"]) == found
        assert all(len(words.split()) >= 8 for words in approval["answers"].values())


@every_entry
def test_each_recorded_approval_can_be_signed_as_it_stands(name: str) -> None:
    entry = read_entry(entry_of(name))
    for approval in answers_of(name)["approvals"]:
        body = approval_body(entry, answers=approval["answers"], limits=approval["limits"])
        assert body["answers"] == approval["answers"]
        assert body["limits"] == approval["limits"]


@every_entry
def test_nobody_approves_their_own_and_every_approval_has_a_limit(name: str) -> None:
    answers = answers_of(name)
    reviewers = [approval["reviewer"] for approval in answers["approvals"]]
    assert answers["writer"] in WRITERS
    assert answers["writer"][0] == entry_of(name)["credit"]["name"][-1]
    assert reviewers
    assert set(reviewers) <= REVIEWERS - {answers["writer"]}
    assert len(set(reviewers)) == len(reviewers)
    assert all(approval["limits"] for approval in answers["approvals"])


@every_entry
def test_germs_load_spray_and_open_water_have_a_second_word(name: str) -> None:
    facts = entry_of(name)["facts"]
    if {"C01", "C07", "C09"} & set(facts["cautions"]) or "spray" in facts:
        assert len(answers_of(name)["approvals"]) == 2


def test_all_four_trainers_write() -> None:
    assert {answers_of(name)["writer"] for name in FOLDERS} == WRITERS


@every_entry
def test_it_was_read_by_hand_against_the_whole_checklist(name: str) -> None:
    assert len(CHECKLIST) == 55
    judged = answers_of(name)["read_by_hand"]
    assert set(judged) == CHECKLIST | ADDED_RULES | READINGS
    assert all(3 <= len(words.split()) <= 60 for words in judged.values())


@every_entry
def test_a_finding_of_the_rules_was_not_waved_through_by_hand(name: str) -> None:
    judged = answers_of(name)["read_by_hand"]
    for finding in findings_of(read_entry(entry_of(name))):
        assert not judged[finding.rule].startswith("does not apply")


@every_entry
def test_every_text_is_there_in_each_language_of_its_entry(name: str) -> None:
    entry = entry_of(name)
    languages = set(entry["title"])
    assert languages > {"en"}
    assert languages & SECOND_LANGUAGES
    assert set(entry["unread"]) == languages
    for at, text in texts_of(entry):
        assert set(text) == languages, at
        assert all(words.strip() for words in text.values()), at


def test_each_language_beside_english_is_used_at_least_three_times() -> None:
    others = [tag for name in FOLDERS for tag in entry_of(name)["title"] if tag != "en"]
    assert set(others) == SECOND_LANGUAGES
    assert all(others.count(tag) >= 3 for tag in SECOND_LANGUAGES)


@every_entry
def test_numbers_and_units_are_the_same_in_each_language(name: str) -> None:
    measured = re.compile(r"(\d+)(?: (kg|g|L|mL|cm|mm|m|C|%)\b)?")
    for at, text in texts_of(entry_of(name)):
        in_each = {tag: sorted(measured.findall(words)) for tag, words in text.items()}
        assert len({str(found) for found in in_each.values()}) == 1, f"{at}: {in_each}"


@every_entry
def test_a_step_is_one_short_sentence_of_action(name: str) -> None:
    steps = entry_of(name)["steps"]
    assert [step["n"] for step in steps] == list(range(1, len(steps) + 1))
    days = [step["day_offset"] for step in steps]
    assert days == sorted(days)
    for step in steps:
        assert all(len(words.split()) <= STEP_WORDS for words in step["say"].values()), step["n"]


@every_entry
def test_a_step_names_only_materials_that_are_listed(name: str) -> None:
    entry = entry_of(name)
    listed = [material["item"] for material in entry["materials"]]
    assert all(item in listed for step in entry["steps"] for item in step.get("materials", []))


@every_entry
def test_every_caution_has_a_hazard_with_a_control_and_every_hazard_its_caution(name: str) -> None:
    entry = entry_of(name)
    hazards = entry["hazards"]
    assert sorted(hazard["code"] for hazard in hazards) == sorted(entry["facts"]["cautions"])
    assert all({"likelihood", "who", "control", "raised_by"} <= set(hazard) for hazard in hazards)


@every_entry
def test_gear_that_a_hazard_names_is_in_protect(name: str) -> None:
    entry = entry_of(name)
    if {"C01", "C14", "C20"} & set(entry["facts"]["cautions"]):
        assert {"gloves", "wash-hands"} <= set(entry["protect"])
    if entry["facts"].get("spray"):
        assert {"gloves", "eyes", "mask", "wash-hands", "keep-children-away"} <= set(entry["protect"])


@every_entry
def test_every_source_says_how_it_is_known(name: str) -> None:
    sources = entry_of(name)["sources"]
    keys = [source["key"] for source in sources]
    assert len(set(keys)) == len(keys)
    for source in sources:
        assert source["mark"] in MARKS
        assert source["own_words"] is True
        assert source["mark"] != "read" or not re.search(r"not read|from memory", source["citation"])
    assert any(source["mark"] in {"read", "secondary"} for source in sources)
    assert any(source["mark"] in {"common practice", "from memory"} for source in sources)


@every_entry
def test_what_cites_a_source_finds_it(name: str) -> None:
    entry = entry_of(name)
    known = {source["key"] for source in entry["sources"]} | set(MARKS)
    rows = [*entry.get("waiting", []), *entry.get("ratios", []), *entry.get("companions", [])]
    rows += [other for material in entry["materials"] for other in material.get("substitutions", [])]
    assert {row["source"] for row in rows} <= known


@every_entry
def test_names_are_those_of_the_names_table(name: str) -> None:
    table = {
        row["id"]: row["scientific"] for row in csv.DictReader(io.StringIO(shipped_text("seed_entries/names.csv")))
    }
    for taxon in entry_of(name)["taxa"]:
        if "names_ref" in taxon:
            assert table[taxon["names_ref"]] == taxon["scientific"]


@every_entry
def test_a_waiting_time_names_its_source_or_says_that_none_is_published(name: str) -> None:
    for wait in entry_of(name).get("waiting", []):
        assert wait["source"]
        assert set(wait["condition"]) >= {"en"}
        assert wait["days_min"] == "none published" or isinstance(wait["days_min"], int)


@every_entry
def test_found_containers_name_what_they_must_not_have_held(name: str) -> None:
    contained = re.compile(r"\b(bottle|drum|tin|bucket|sack|crates|pipe)s?\b")
    for material in entry_of(name)["materials"]:
        if material.get("reclaimed") and contained.search(material["item"]["en"]):
            assert {"paint", "fuel", "pesticide", "unknown"} == set(material["must_not_have_held"])
