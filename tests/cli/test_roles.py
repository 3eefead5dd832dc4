"""Who may do what, from a terminal: reviewers by words, lists of signatories, stops with a cut, liftings, adoptions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.cli.terminal import Terminal, refused
from tests.orrendal import practice

if TYPE_CHECKING:
    from collections.abc import Mapping

WRONG = "amber amber amber amber amber amber amber amber"


def travel(terminal: Terminal, letters: str) -> None:
    """Carry a stick on which voices may wait for more."""
    for letter in letters:
        assert terminal.asked(letter, "exchange", terminal.stick())["refused"] == []


def one(terminal: Terminal, letter: str, label: str) -> dict[str, Any]:
    return terminal.asked(letter, "who", label)


def roles(terminal: Terminal, letter: str) -> Mapping[str, list[str]]:
    return {key["label"]: key["roles"] for key in terminal.asked(letter, "who")["keys"]}


def test_everybody_is_listed_with_roles_and_words(terminal: Terminal) -> None:
    document = terminal.asked("T", "who")
    assert {key["label"] for key in document["keys"]} >= {"C", "T", "L", "S", "C1", "C3", "T1", "L1", "L2", "S1"}
    assert (document["threshold"], document["motions"], document["rival_lists"]) == (2, [], [])
    lines = terminal.at("T", "who").done().out.splitlines()
    c3 = next(line for line in lines if line.startswith("C3, "))
    assert c3.startswith("C3, reviewer and trainer: ")
    assert len(c3.split(": ")[1].split()) == 8
    assert "Signatories whose word counts: C1, L1 and S1. 2 must agree." in lines
    words = one(terminal, "S", "C3")["words"]
    assert one(terminal, "L", words.upper())["label"] == "C3"
    refused(terminal.at("T", "who", "Z9"), "nobody in the network is called 'Z9'", "list everybody")


def test_a_reviewer_is_made_by_the_words_that_they_said_and_by_two_signatories(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"]
    first = terminal.asked("C", "grant", *words.split(), "--scope", "teaching", "--as", "C1")
    assert (first["in_force"], first["lacking"]) == (False, 1)
    refused(terminal.at("C", "grant", words, "--scope", "teaching", "--as", "C1"), "C1 has said this already")
    travel(terminal, "CL")
    (motion,) = terminal.asked("L", "who")["motions"]
    assert motion["words"] == "T1 becomes a reviewer of teaching."
    assert (motion["said"], motion["lacking"]) == (["C1"], 1)
    assert "Waits for voices: T1 becomes a reviewer" in terminal.at("L", "who").done().out
    tried = terminal.asked("L", "agree", motion["id"][:8], "--try", "--as", "L1")
    assert tried["gained"] == [{"label": "T1", "roles": ["reviewer"]}]
    assert "reviewer" not in roles(terminal, "L")["T1"]
    refused(terminal.at("L", "agree", motion["id"][:8], "--as", "L1"), "the words of T1 were not compared", "--words")
    out = terminal.at("L", "agree", motion["id"][:8], "--words", words, "--as", "L1").done().out
    assert "That is enough" in out
    travel(terminal, "LCTS")
    assert [roles(terminal, letter)["T1"] for letter in "CTLS"] == [["reviewer", "trainer"]] * 4
    assert terminal.asked("T", "who")["motions"] == []


def test_words_of_nobody_make_nobody_a_reviewer_and_only_signatories_have_a_voice(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"]
    with terminal.nothing_lost("C", "T"):
        refused(terminal.at("C", "grant", WRONG, "--as", "C1"), "no person of the network has these words")
        refused(terminal.at("C", "grant", words, "--as", "C3"), "C3 is no signatory", "names the signatories")
        refused(terminal.at("C", "grant", words, "--scope", "bees", "--as", "C1"), "invalid choice", code=2)
        refused(terminal.at("C", "agree", "abcd", "--as", "C1"), "nothing here waits for voices under the name 'abcd'")
        refused(terminal.at("C", "lift", "L2", "--as", "C1"), "the key of L2 is not stopped")
        refused(terminal.at("T", "stop", "L2", "--everything", "--as", "T1"), "T1 is no signatory")
        refused(terminal.at("C", "stop", "L2", "--as", "C1"), "--doubted --everything --nothing", code=2)
        refused(terminal.at("C", "stop", "L2", "--doubted", "abcd", "--as", "C1"), "nothing said by L2 here")
        refused(terminal.at("C", "adopt", "abcd", "--as", "C1"), "nothing set aside here")


def test_a_key_is_stopped_from_the_first_doubted_word_on_and_what_was_good_returns(terminal: Terminal) -> None:
    editions = [terminal.write("L2", practice(f"Onions in crate {number}")) for number in range(3)]
    travel(terminal, "LC")
    said = {line["id"]: line["words"] for line in one(terminal, "C", "L2")["said"]}
    assert [said[edition] for edition in editions] == [f"an edition of “Onions in crate {n}”" for n in range(3)]
    tried = terminal.at("C", "stop", "L2", "--doubted", editions[1][:12], "--try", "--as", "C1").done().out
    assert "Only tried, nothing was said." in tried
    assert "L2 is no longer reviewer and trainer." in tried
    assert "an edition of “Onions in crate 2” (2026-11-" in tried
    assert one(terminal, "C", "L2")["stopped"] is False
    stopped = terminal.asked("C", "stop", "L2", "--doubted", editions[1][:12], "--as", "C1")
    assert set(stopped["set_aside"]) == set(editions[1:])
    travel(terminal, "CLTS")
    assert one(terminal, "S", "L2")["stops"][0]["by"] == "C1"
    assert "set aside by the stop" in terminal.at("S", "who", "L2").done().out
    assert terminal.asked("L", "adopt", editions[2][:12], "--as", "L1")["adopted"] == [editions[2]]
    travel(terminal, "LCTS")
    titles = {hit["title"] for hit in terminal.asked("S", "search", "crate", "--as", "S1")["hits"]}
    assert titles == {"Onions in crate 0", "Onions in crate 2"}
    assert len({terminal.asked(letter, "verify")["state"] for letter in "CTLS"}) == 1


def test_a_stop_is_lifted_by_two_voices(terminal: Terminal) -> None:
    terminal.asked("C", "stop", "L2", "--nothing", "--as", "C1")
    travel(terminal, "CS")
    tried = terminal.asked("S", "lift", "L2", "--try", "--as", "S1")
    assert tried["gained"] == [{"label": "L2", "roles": ["reviewer", "trainer"]}]
    assert terminal.asked("S", "lift", "L2", "--as", "S1")["lacking"] == 1
    travel(terminal, "SC")
    assert terminal.asked("C", "lift", "L2", "--as", "C1")["in_force"] is True
    travel(terminal, "CLTS")
    assert [roles(terminal, letter)["L2"] for letter in "CTLS"] == [["reviewer", "trainer"]] * 4


def test_the_next_signatories_are_named_by_words_and_agreed_to(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"]
    tried = terminal.asked("C", "stewards", "--add", words, "--leave", "S1", "--try", "--as", "C1")
    assert tried["lost"] == [{"label": "S1", "roles": ["steward"]}]
    assert tried["gained"] == [{"label": "T1", "roles": ["steward"]}]
    out = terminal.at("C", "stewards", "--add", words, "--leave", "S1", "--as", "C1").done().out
    assert "The signatories are C1, L1 and T1, and 2 of them must agree." in out
    travel(terminal, "CL")
    (motion,) = terminal.asked("L", "who")["motions"]
    assert terminal.asked("L", "agree", motion["id"], "--words", words, "--as", "L1")["in_force"] is True
    travel(terminal, "LCTS")
    assert [roles(terminal, letter)["T1"] for letter in "CTLS"] == [["steward", "trainer"]] * 4
    assert [roles(terminal, letter)["S1"] for letter in "CTLS"] == [["trainer"]] * 4
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "stewards", "--threshold", "1", "--as", "C1"), "of 3 signatories 1 cannot be")
        refused(terminal.at("C", "stewards", "--leave", "S1", "--as", "C1"), "S1 is no signatory now")


def test_too_few_signatories_are_said_plainly(terminal: Terminal) -> None:
    for label in ("L1", "S1"):
        terminal.asked("C", "stop", label, "--nothing", "--as", "C1")
    assert terminal.asked("C", "who")["enough_signatories"] is False
    assert "a new network is the only way" in terminal.at("C", "who").done().out
    terminal.write("C1", practice())
