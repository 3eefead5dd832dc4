"""What harms, by verbs: telling, answering, the notice with its lines, typing them in, allowing again."""

from __future__ import annotations

from tests.cli.terminal import Terminal, refused
from tests.orrendal import practice

RECALL = ("--harm", "Two children were sick.", "--now", "Pour it away.", "--instead", "Use soap.")


def withdrawn_at_l(terminal: Terminal) -> str:
    edition = terminal.write("T1", practice("Smoke spray"))
    terminal.carry("TL")
    terminal.approve("L2", edition)
    terminal.carry("LS")
    terminal.at("L", "recall", edition, *RECALL, "--as", "L2").done()
    return edition


def test_harm_is_told_without_a_person_listed_and_answered(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Smoke spray"))
    said = terminal.at("C", "tell", edition[:12], "--hurt", "--words", "The skin burnt.").done()
    assert said.out == "Told; the practice is paused at this site, and a reviewer must answer.\n"
    report = terminal.asked("C", "told")["told"][0]
    assert (report["harm"], report["by"], report["open"], report["words"]) == (True, "C", True, "The skin burnt.")
    refused(terminal.at("C", "show", edition), "it is paused at this site")
    terminal.at("C", "answer", report["statement"][:12], "--words", "Use less.", "--as", "C3").done()
    lines = terminal.at("C", "told").done().out.splitlines()
    assert lines[0].endswith("told at site C. It hurt someone: The skin burnt.")
    assert lines[1] == "    C3 answers: Use less."
    terminal.at("C", "tell", edition, "--did-not-work", "--as", "C1").done()
    assert {one["by"] for one in terminal.asked("C", "told")["told"]} == {"C", "C1"}
    refused(terminal.at("C", "tell", edition), "one of the arguments", code=2)


def test_lines_of_a_notice_are_typed_in_elsewhere(terminal: Terminal) -> None:
    edition = withdrawn_at_l(terminal)
    (notice,) = terminal.asked("L", "withdrawn", edition)["withdrawn"]
    first, second = notice["lines"]
    assert first in terminal.at("L", "withdrawn").done().out
    with terminal.nothing_lost("S"):
        refused(terminal.at("S", "heard", "STOP mango", "--as", "S1"), "line 1 has 8 words after STOP, here are 1")
        refused(terminal.at("S", "heard", first, "POUR IT MANGO", "--as", "S1"), "line 2 was misheard")
    heard = terminal.asked("S", "heard", first, second, "--as", "S1")
    assert heard["entries"] == [edition]
    assert "paused here by word of radio, typed in by S1. POUR IT AWAY" in terminal.at("S", "withdrawn").done().out
    assert terminal.hits("S", "smoke") == []
    terminal.at("S", "release", edition, "--as", "S1").done()
    assert [hit["edition"] for hit in terminal.hits("S", "smoke")] == [edition]


def test_a_notice_says_who_is_at_risk_and_how_it_is_known_on_every_list(terminal: Terminal) -> None:
    edition = terminal.write("L1", practice("Smoke spray"))
    more = ("--at-risk", "Children under five who ate of it.", "--sources", "Told by the health officer.")
    terminal.at("L", "recall", edition, *RECALL, *more, "--as", "L2").done()
    (document,) = terminal.asked("L", "withdrawn")["withdrawn"]
    assert document["at_risk"] == "Children under five who ate of it."
    assert document["sources"] == "Told by the health officer."
    for lines in (terminal.at("L", "withdrawn").done().out, terminal.at("L", "show", edition).done().out):
        assert "ho is at risk: Children under five who ate of it." in lines
        assert "ow it is known: Told by the health officer." in lines
    for name, what in (("--sources", "how it is known"), ("--at-risk", "who is at risk")):
        spoilt = terminal.at("L", "recall", edition, *RECALL, name, "x" * 5000, "--as", "L2")
        refused(spoilt, f"{what} is longer than 300 characters")
    refused(
        terminal.at("L", "recall", edition, *RECALL, "--at-risk", "ش" * 299, "--sources", "ش" * 299, "--as", "L2"),
        "bytes, and 1024 go over any link",
    )


def test_two_sites_allow_again_by_verb(terminal: Terminal) -> None:
    edition = withdrawn_at_l(terminal)
    terminal.carry("LCTSL")
    one = terminal.asked("L", "allow", edition[:12], "--reason", "It was the pot.", "--as", "L2")
    assert one["waits"] is True
    refused(terminal.at("L", "allow", edition, "--reason", "again", "--as", "L1"), "site L has allowed this again")
    terminal.carry("LC")
    assert "    L2 has allowed it again: It was the pot." in terminal.at("C", "withdrawn").done().out.splitlines()
    two = terminal.at("C", "allow", edition, "--reason", "It was the pot.", "--as", "C3").done()
    assert two.out == "Said. Two sites allow it again, so it is shown again here, and wherever both words arrive.\n"
    terminal.carry("CS")
    assert terminal.found("S", "smoke") == {edition: ("approved", "checked-once")}
    assert terminal.at("S", "withdrawn").done().out == "Nothing that is known here is withdrawn.\n"


def test_paper_reach_and_a_second_reviewer_by_verb(terminal: Terminal) -> None:
    edition = withdrawn_at_l(terminal)
    terminal.at("S", "printed", edition, "--sheets", 12, "--where", "tap stand", "--as", "S1").done()
    refused(terminal.at("S", "printed", edition, "--sheets", "a few", "--where", "x"), "is no whole number", code=2)
    refused(terminal.at("S", "took-down", edition, "--sheets", 1, "--as", "S1"), "this practice is not withdrawn")
    refused(terminal.at("L", "second", edition, "--as", "L2"), "nobody else withdrew this practice")
    terminal.carry("LSC")
    lines = terminal.at("S", "withdrawn", edition).done().out.splitlines()
    assert f"    take down: 12 with the code {edition[:12]}, tap stand" in lines
    terminal.at("S", "took-down", edition, "--sheets", 12, "--as", "S1").done()
    terminal.at("C", "second", edition, "--as", "C3").done()
    terminal.carry("SCL")
    first = next(one for one in terminal.asked("L", "withdrawn")["withdrawn"] if one["by"] == "L2")
    assert (first["reach"]["knowing"], first["reach"]["cleared"], first["seconded_by"]) == (3, 1, ["C3"])
    assert first["not_seconded"] is False


def test_a_drill_by_verb(terminal: Terminal) -> None:
    assert terminal.at("L", "drill").done().out == "No drill was begun here yet.\n"
    terminal.at("L", "drill", "--as", "L2").done()
    terminal.carry("LSCTL")
    assert (
        terminal.at("L", "drill")
        .done()
        .out.startswith("4 of 4 sites know of it; 0 have taken their paper down. It took 2")
    )
    refused(terminal.at("L", "drill", "--as", "L1"), "L1 may not say “recall” here")


def test_a_withdrawal_by_ingredient_by_verb(terminal: Terminal) -> None:
    edition = terminal.write("L1", practice("Smoke spray"))
    recall = ("recall", edition, *RECALL, "--as", "L2", "--ingredient")
    refused(terminal.at("L", *recall, "spray moonlight"), "is no ingredient that can be named", "spray ash basil")
    terminal.at("L", *recall, "spray tobacco").done()
