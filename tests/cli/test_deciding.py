"""What reviewers and trainers decide at the command, and what readers then find at each site."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site
from tests.cli.terminal import refused
from tests.orrendal import PASSPHRASE, practice

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal

RECALL = ("--harm", "two children were sick", "--instead", "pick off by hand")


def test_an_approval_travels_and_names_one_edition_with_its_limits(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    assert terminal.found("C", "onions") == {edition: ("offered", "unchecked")}
    terminal.approve("C3", edition, "--limit", "clean water only")
    terminal.carry("CL")
    assert terminal.found("L", "onions") == {edition: ("approved", "checked-once")}
    shown = terminal.asked("L", "show", edition)
    assert (shown["state"], shown["standing"], shown["edition"]) == ("approved", "checked-once", edition)
    assert [(one["by"], one["limits"]) for one in shown["approvals"]] == [("C3", ["clean water only"])]
    terminal.approve("L2", edition)
    assert terminal.found("L", "onions") == {edition: ("approved", "checked-twice")}


def test_a_reviewer_without_pages_gets_the_ordered_list_with_reasons(terminal: Terminal) -> None:
    plain = terminal.write("C1", practice("Onions in rows"))
    stopped = terminal.write("C1", practice("Open drums", hazards=[{"code": "C09"}]))
    mine = terminal.write("C3", practice("Leeks in rows"))
    said = terminal.asked("C", "queue", "--minutes", "3", "--as", "C3")
    assert [(one["edition"], one["now"]) for one in said["waiting"]] == [(stopped, True), (plain, False)]
    assert said["waiting"][0]["reasons"] == [{"reason": "open-water", "number": 1}]
    assert said["waiting"][0]["words"] == ["At stake: open water."]
    assert mine not in str(said)


def test_what_nobody_has_checked_is_found_at_its_own_site_only(terminal: Terminal) -> None:
    edition = terminal.write("T1", practice("Onions in rows"))
    terminal.carry("TC")
    assert terminal.found("T", "onions") == {edition: ("offered", "unchecked")}
    assert terminal.found("C", "onions") == {}
    refused(terminal.at("C", "show", edition), "no reviewer has approved it yet")
    assert terminal.found("C", "onions", "--as", "C3") == {edition: ("offered", "unchecked")}
    assert terminal.asked("C", "show", edition, "--as", "C3")["state"] == "offered"


def test_nobody_approves_their_own_and_only_reviewers_approve(terminal: Terminal) -> None:
    own, other = terminal.write("C3", practice("Mine")), terminal.write("C1", practice("Theirs"))
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "approve", own, "--as", "C3"), "nobody approves their own work")
        refused(terminal.at("C", "approve", other, "--as", "C1"), "C1 may not say", "takes a reviewer")
        refused(terminal.at("C", "approve", other, "--as", "L2"), "there is no person 'L2' at this site")


def test_the_beginning_of_an_id_is_enough_where_it_is_the_only_one(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice())
    assert terminal.asked("C", "approve", edition[:8], "--as", "C3")["edition"] == edition
    refused(terminal.at("C", "approve", edition[:7], "--as", "C3"), "first eight characters")


def test_what_was_sent_back_is_hidden_from_readers_until_it_is_approved(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    said = terminal.asked("C", "send-back", edition, "--reason", "say how deep", "--as", "C3")
    assert said["edition"] == edition
    assert terminal.found("C", "onions") == {}
    refused(terminal.at("C", "show", edition), "it was sent back to its author")
    assert terminal.found("C", "onions", "--as", "C1") == {edition: ("sent-back", None)}
    shown = terminal.asked("C", "show", edition, "--as", "C1")
    assert [one["reason"] for one in shown["sent_back"]] == ["say how deep"]
    terminal.approve("C3", edition)
    assert terminal.found("C", "onions") == {edition: ("approved", "checked-once")}


def test_an_author_sends_back_their_own_but_not_anothers(terminal: Terminal) -> None:
    own, other = terminal.write("C1", practice("Mine")), terminal.write("C3", practice("Theirs"))
    terminal.asked("C", "send-back", own, "--reason", "I was wrong", "--as", "C1")
    refused(terminal.at("C", "send-back", other, "--reason", "no", "--as", "C1"), "C1 is no reviewer")


@pytest.mark.parametrize("named", ["entry", "edition", "adaptation's parent"])
def test_a_recall_reaches_all_editions_and_all_that_was_made_from_them(terminal: Terminal, named: str) -> None:
    """By whichever id it names, at a site that had approved it, whatever came before or comes later."""
    first = terminal.write("C1", practice("Onions in rows"))
    second = terminal.write("C1", practice("Onions in rows, wider"), "--after", first)
    child = terminal.write("L1", practice("Onions by the door"))
    terminal.carry("LC")
    made = terminal.write("C1", practice("Onions in sacks"), "--after", second, "--adaptation")
    for edition in (first, second, made, child):
        terminal.approve("C3", edition)
    terminal.carry("CLST")
    target = {"entry": first, "edition": second, "adaptation's parent": second[:12]}[named]
    terminal.asked("L", "recall", target, *RECALL, "--now", "throw it away", "--as", "L2")
    terminal.carry("LSCT")
    for letter in "LSCT":
        found = terminal.found(letter, "onions")
        assert found.pop(child) == ("approved", "checked-once")
        assert {state for state, _ in found.values()} == {"recalled"}
        assert {standing for _, standing in found.values()} == {None}
        entries = {hit["entry"] for hit in terminal.hits(letter, "onions")}
        assert entries == {first, made, child}
        for edition in (first, second, made):
            shown = terminal.asked(letter, "show", edition)
            assert (shown["state"], shown["standing"], shown["document"]) == ("recalled", None, {})
            assert shown["notice"]["harm"] == "two children were sick"
            assert (shown["notice"]["now"], shown["notice"]["instead"]) == ("throw it away", "pick off by hand")


def test_a_recall_beats_an_approval_that_comes_later_from_elsewhere(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    terminal.carry("CLS")
    terminal.asked("L", "recall", edition, *RECALL, "--as", "L2")
    terminal.carry("LS", "new stick")
    terminal.approve("C3", edition)
    terminal.carry("CS", "old stick")
    assert terminal.found("S", "onions") == {edition: ("recalled", None)}
    refused(terminal.at("L", "approve", edition, "--as", "L2"), "is withdrawn")


def test_a_recall_acts_where_it_arrives_before_the_entry(terminal: Terminal) -> None:
    edition = terminal.write("T1", practice("Onions in rows"))
    terminal.carry("TLT")
    terminal.approve("L2", edition)
    terminal.carry("L", "old stick")
    terminal.asked("L", "recall", edition, *RECALL, "--as", "L2")
    terminal.carry("L", "new stick")
    texts = [path for path in terminal.stick("new stick").rglob("*.bundle") if "text" in path.parts]
    for path in texts:
        path.unlink()
    report = terminal.asked("S", "exchange", terminal.stick("new stick"))
    assert (report["waiting"], report["refused"]) == (1, [])
    terminal.carry("S", "old stick")
    assert terminal.found("S", "onions") == {edition: ("recalled", None)}


def test_what_is_out_of_date_says_what_to_use_now(terminal: Terminal) -> None:
    old, new = (terminal.write("C1", practice(title)) for title in ("Onions in rows", "Onions in beds"))
    for edition in (old, new):
        terminal.approve("C3", edition)
    terminal.asked("C", "retire", old, "--reason", "beds do better", "--replaced-by", new, "--as", "C3")
    assert terminal.found("C", "onions") == {new: ("approved", "checked-once"), old: ("retired", None)}
    assert [hit["edition"] for hit in terminal.hits("C", "onions")] == [new, old]
    (remark,) = terminal.asked("C", "show", old)["retired"]
    assert (remark["reason"], remark["replaced_by"]) == ("beds do better", new)


def test_a_pause_hides_it_at_that_site_only_until_it_is_released_there(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    terminal.approve("C3", edition)
    terminal.carry("CLC")
    terminal.asked("C", "hold", edition, "--reason", "the drums here held fuel", "--as", "C1")
    terminal.carry("CL")
    assert terminal.found("C", "onions") == {}
    refused(terminal.at("C", "show", edition), "it is paused at this site")
    assert terminal.found("L", "onions") == {edition: ("approved", "checked-once")}
    (mark,) = terminal.asked("L", "show", edition)["paused"]
    assert (mark["site_letter"], mark["reason"]) == ("C", "the drums here held fuel")
    refused(terminal.at("L", "release", edition, "--as", "L1"), "not paused here")
    terminal.asked("C", "release", edition, "--as", "C3")
    assert terminal.found("C", "onions") == {edition: ("approved", "checked-once")}
    refused(terminal.at("C", "release", edition, "--as", "C3"), "not paused here")


def test_a_move_that_the_state_does_not_allow_changes_nothing(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    terminal.asked("C", "recall", edition, *RECALL, "--as", "C3")
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "retire", edition, "--reason", "old", "--as", "C3"), "withdrawn")
        refused(terminal.at("C", "send-back", edition, "--reason", "old", "--as", "C3"), "withdrawn")
        refused(terminal.at("C", "approve", edition, "--as", "C3"), "is withdrawn")


@pytest.mark.parametrize("verb", ["approve", "findings", "send-back", "recall", "retire", "hold", "release", "show"])
def test_an_id_that_names_nothing_here_is_refused(terminal: Terminal, verb: str) -> None:
    words = {
        "recall": RECALL,
        "retire": ("--reason", "x"),
        "hold": ("--reason", "x"),
        "send-back": ("--reason", "x"),
    }.get(verb, ())
    person = () if verb in {"findings", "show"} else ("--as", "C3")
    for named in ("f" * 64, "f" * 8):
        refused(terminal.at("C", verb, named, *words, *person), "no edition here begins")
    for named in ("oniony", "", "../site.key", "' OR 1=1 --"):
        refused(terminal.at("C", verb, named, *words, *person), "is no id of an edition")


@pytest.mark.parametrize("words", ["   ", "", "x" * 1001])
def test_a_reason_needs_words_and_not_too_many(terminal: Terminal, words: str) -> None:
    edition = terminal.write("C1", practice())
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "send-back", edition, "--reason", words, "--as", "C3"), "the reason is")
        refused(terminal.at("C", "hold", edition, "--reason", words, "--as", "C3"), "the reason is")
        harm = ("--harm", words, "--instead", "wash")
        refused(terminal.at("C", "recall", edition, *harm, "--as", "C3"), "the harm is")


def test_an_answer_needs_a_rule_and_words(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions", ratios=[{"a": "x", "b": "y", "by": "mass", "value": 3}]))
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "approve", edition, "--as", "C3"), "GEN-01: needs the reviewer's words")
        refused(terminal.at("C", "approve", edition, "--answer", "GEN-01=  ", "--as", "C3"), "answered with nothing")
        refused(terminal.at("C", "approve", edition, "--answer", "GEN-01", "--as", "C3"), "RULE=WORDS", code=2)
        both = ("--answer", "GEN-01=a", "--answer", "NOT-01=b")
        refused(terminal.at("C", "approve", edition, *both, "--as", "C3"), "NOT-01: is no rule")
    terminal.at("C", "approve", edition, "--answer", "GEN-01=a = b", "--as", "C3").done()
    (approval,) = terminal.asked("C", "show", edition)["approvals"]
    assert approval["answers"] == {"GEN-01": "a = b"}


def test_one_answer_covers_all_findings_of_its_rule(terminal: Terminal) -> None:
    ratio = {"a": "x", "b": "y", "by": "mass", "value": 3}
    edition = terminal.write("C1", practice("Onions", ratios=[ratio, ratio]))
    found = terminal.asked("C", "findings", edition)["findings"]
    assert [one["rule"] for one in found] == ["GEN-01", "GEN-01"]
    answers = ("--answer", "GEN-01=common practice here", "--answer", "GEN-01=common practice here")
    terminal.at("C", "approve", edition, *answers, "--answer", "GEN-01=seen here", "--as", "C3").done()
    (approval,) = terminal.asked("C", "show", edition)["approvals"]
    assert approval["answers"] == {"GEN-01": "common practice here; seen here"}


def test_a_person_whose_key_was_stopped_is_told_so(terminal: Terminal) -> None:
    site = Site.open(terminal.place("C"))
    person = site.notebook.person("C3")
    assert person is not None
    signer = site.unlock("C1", PASSPHRASE)
    site._say_as(signer, "sync/revocation", {"key": person.key, "last": []})
    site.close()
    refused(terminal.at("C", "write", terminal.entry_file(practice()), "--as", "C3"), "the key of C3 was stopped")
    edition = terminal.write("C1", practice())
    refused(terminal.at("C", "approve", edition, "--as", "C3"), "the key of C3 was stopped")
