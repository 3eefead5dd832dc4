"""A draft held against the rules: what is found, one tap that mends it, and the tap back; the first questions; the table."""

from __future__ import annotations

import gzip
import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.practices.first_answers import TWELVE
from fieldbook.review import RULES, rules_of_ours
from tests.review.known_drafts import BAD
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page
from tests.web.test_writing_pages import sent

if TYPE_CHECKING:
    from tests.orrendal import Circle


STEPS = {"steps": [{"n": 1, "say": {"en": "Pour it over the kale leaves."}}]}
STEEP = {**next(draft.entry.document for draft in BAD if draft.rule == "MAN-06"), **STEPS}
KIB = 1024


@pytest.fixture
def writer(planted: Circle, visitor: Visitor) -> Visitor:
    """C1, with the dung steep of two days as a draft."""
    planted["C"].write(STEEP, signer=planted.signer("C1"), draft=True)
    return visitor.sit("C1")


def button(page: str, change: str) -> dict[str, str]:
    """What the button of a change sends."""
    forms = re.findall(r'<form method="post" action="/write/checked/change">(.*?)</form>', page, re.DOTALL)
    sends = [dict(re.findall(r'name="([a-z]+)" value="([^"]*)"', form)) for form in forms]
    return next(one for one in sends if one["change"] == change and one["result"] == "stop")


def test_the_two_day_steep_is_told_why_with_the_law_and_mended_in_one_tap(writer: Visitor) -> None:
    writer.get("/write/checked/?draft=draft-1")
    said = writer.words()
    assert "7 CFR 205.203" in said
    assert "21 CFR 112" in said
    assert "88 to 118 days" in said
    assert "found on the leaves" in said
    assert read_page(writer.page).judged() == []
    writer.post("/write/checked/change", button(writer.page, "keep-the-raw-wait"))
    said = writer.words()
    assert "What was changed" in said
    assert "Your sentences are as they were" in said
    assert "Pour it over the kale leaves." in said
    assert "120" in said
    assert 'value="stop"' not in writer.page
    assert read_page(writer.page).judged() == []


def test_the_reviewer_is_shown_what_a_tap_set_and_what_a_hand_changed_since(planted: Circle, writer: Visitor) -> None:
    steep = next(draft.entry.document for draft in BAD if draft.rule == "MAN-06")
    site, me = planted["C"], planted.signer("C1")
    draft = site.notebook.draft(str(site.write(steep, signer=me, draft=True).draft))
    written = site.instead.change(draft, ("MAN-06", "stop", "keep-the-raw-wait"), signer=me)
    edition = str(site.offer(str(written.draft), signer=me).edition)
    reviewer = visitor_of(planted).sit("C3")
    reviewer.get(f"/review/{edition}")
    assert "Set by a button, not by the author's hand" in reviewer.words()
    assert "changed by hand since" not in reviewer.words()
    assert reviewer.words().count("MAN-06:") >= 2
    writer.get(f"/write/form?after={edition}")
    assert "by_rule" not in writer.page
    document = {**site.entry_value(edition).document}
    first, *others = document["facts"]["inputs"]
    document["facts"] = {**document["facts"], "inputs": [{**first, "wait_d": 150}, *others]}
    later = planted.write("C1", document, after=[edition])
    reviewer.get(f"/review/{later}")
    assert reviewer.words().count("(changed by hand since)") == 1


def test_a_change_is_taken_back_in_one_tap(planted: Circle, writer: Visitor) -> None:
    before = planted["C"].notebook.draft("draft-1").document
    writer.get("/write/checked/?draft=draft-1")
    writer.post("/write/checked/change", button(writer.page, "keep-the-raw-wait"))
    name = planted["C"].notebook.drafts()[0].name
    writer.post("/write/checked/take-back", {"draft": name})
    assert planted["C"].notebook.drafts()[0].document == before
    assert "What was changed" not in writer.words()
    assert "MAN-06" in writer.words()


def test_a_button_that_is_pressed_twice_changes_nothing_the_second_time(planted: Circle, writer: Visitor) -> None:
    writer.get("/write/checked/?draft=draft-1")
    pressed = button(writer.page, "keep-the-raw-wait")
    writer.post("/write/checked/change", pressed)
    kept = planted["C"].notebook.drafts()
    writer.post("/write/checked/change", pressed)
    assert writer.status == 422
    assert planted["C"].notebook.drafts() == kept
    writer.post("/write/checked/change", {**pressed, "draft": kept[0].name})
    assert "cannot be changed so any more" in writer.words()


def test_nobody_elses_draft_is_shown_or_changed(writer: Visitor) -> None:
    writer.sit("C3").get("/write/checked/?draft=draft-1")
    assert "Draft-1 belongs to C1." in writer.words()


def test_keeping_may_lead_straight_to_what_the_rules_find(visitor: Visitor) -> None:
    visitor.sit("C1").get("/write/form?language=en")
    typed = {"title": "Mint in a tin", "kind": "growing", "unread": "yes", "action": "check"}
    visitor.post("/write/form", sent(visitor.page, **typed))
    assert "What the rules find in draft-1" in visitor.words()
    assert "Not said" in visitor.words()


def test_the_twelve_first_questions_take_questions_out_of_the_form(visitor: Visitor) -> None:
    visitor.sit("C1").get("/write/begin?language=en")
    assert read_page(visitor.page).judged() == []
    assert visitor.page.count("<fieldset") == len(TWELVE)
    visitor.get("/write/form?language=en&" + "&".join(f"first.{name}=no" for name in TWELVE))
    assert read_page(visitor.page).judged() == []
    folded = visitor.page.partition("<details>")[2].partition("</details>")[0]
    assert "12 questions were answered with no" in visitor.words()
    assert {"ask.spray", "ask.fish", "ask.vessel"} <= set(re.findall(r'name="(ask\.[a-z]+)"', folded))
    assert 'name="ask.compost"' not in folded
    typed = {"title": "Mint in a tin", "kind": "growing", "unread": "yes", "action": "check"}
    visitor.post("/write/form", sent(visitor.page, **typed))
    assert "the spray" not in visitor.words()
    assert "the compost" in visitor.words()


def test_do_not_know_takes_nothing_out(visitor: Visitor) -> None:
    visitor.sit("C1").get("/write/form?language=en&first.spray=&first.dung=perhaps")
    assert "answered with no" not in visitor.words()


def test_the_table_says_each_rule_its_source_and_whose_the_number_is(visitor: Visitor) -> None:
    visitor.get("/rules")
    said = visitor.words()
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    for rule in RULES:
        assert f'id="{rule.id}"' in visitor.page
        assert rule.words in said
    for rule in rules_of_ours():
        assert f"{rule.id}: {rule.figure}." in said
    assert len(gzip.compress(visitor.page.encode())) < 30 * KIB
    assert "is safe" not in said.replace("no proof that it is safe", "")
