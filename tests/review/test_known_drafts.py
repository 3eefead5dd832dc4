"""Known drafts of the four sites: each bad one is caught by its rule, no good one is stopped, nothing left out helps."""

from __future__ import annotations

import json

import pytest

from fieldbook.practices import read_entry
from fieldbook.practices.codes import FACT_GROUPS
from fieldbook.review import RULES
from tests.review.known_drafts import BAD, GOOD, Draft
from tests.review.practice import found, practice, results, rules

READS_CLAIMS = {"GEN-01", "GEN-03"}  # these two read what the entry claims, not only its facts


@pytest.mark.parametrize("draft", BAD, ids=lambda draft: draft.id)
def test_a_bad_draft_is_caught_by_its_rule(draft: Draft) -> None:
    assert draft.result in results(draft.entry, draft.rule)


@pytest.mark.parametrize("draft", GOOD, ids=lambda draft: draft.id)
def test_a_good_draft_is_not_stopped(draft: Draft) -> None:
    assert rules(draft.entry, "stop") == set()


def test_there_are_thirty_bad_drafts_and_more_and_twenty_good_ones_from_all_four_sites() -> None:
    assert len(BAD) >= 30
    assert len(GOOD) >= 20
    assert {draft.at for draft in BAD} == {draft.at for draft in GOOD} == set("CTLS")
    assert len({draft.title for draft in (*BAD, *GOOD)}) == len(BAD) + len(GOOD)


def test_every_rule_has_a_bad_draft_of_its_own() -> None:
    assert [draft.rule for draft in BAD] == list(dict.fromkeys(draft.rule for draft in BAD))
    assert {draft.rule for draft in BAD} == {rule.id for rule in RULES}


@pytest.mark.parametrize("draft", BAD, ids=lambda draft: draft.id)
def test_what_catches_a_bad_draft_names_its_source_and_what_to_do_instead(draft: Draft) -> None:
    for finding in found(draft.entry, draft.rule):
        assert finding.source
        assert 1 <= len(finding.instead) <= 3
        assert finding.field


@pytest.mark.parametrize("draft", BAD, ids=lambda draft: draft.id)
def test_leaving_a_group_out_never_silences_the_rule(draft: Draft) -> None:
    """Whatever a bad draft leaves unsaid, its rule still speaks: as it did, or as not said."""
    if draft.rule in READS_CLAIMS:
        return
    for group in draft.groups.keys() & set(FACT_GROUPS):
        block = json.loads(json.dumps(practice(**draft.groups).document["facts"]))
        block.pop(group)
        document = {**draft.document, "kind": "teaching", "title": {"en": "x"}, "facts": block}
        assert results(read_entry(document), draft.rule), f"{draft.rule} is silent without {group}"


@pytest.mark.parametrize("draft", GOOD, ids=lambda draft: draft.id)
def test_a_good_draft_that_rules_nothing_out_has_things_not_said(draft: Draft) -> None:
    """A no is a known fact; without it the rules of that group ask."""
    block = {**json.loads(json.dumps(draft.entry.document["facts"])), "none": []}
    entry = read_entry({**draft.document, "kind": "teaching", "title": {"en": "x"}, "facts": block})
    assert rules(entry, "unknown")
    assert rules(entry, "stop") == set()
