"""Who may do what, from a terminal: what is warned of before a voice is given and told again after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.cli.test_roles import one, travel
from tests.orrendal import practice
from tests.web.test_role_warnings import ALL_MUST_AGREE, ONE_MORE, ONLY_ONE, TOO_FEW

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def test_a_list_of_which_all_must_agree_is_warned_of_at_each_step(terminal: Terminal) -> None:
    words = ("stewards", "--leave", "S1", "--threshold", "2", "--as", "C1")
    assert ALL_MUST_AGREE in terminal.at("C", *words, "--try").done().out
    document = terminal.asked("C", *words)
    assert document["warned"][0].startswith(ALL_MUST_AGREE)
    travel(terminal, "CL")
    (motion,) = terminal.asked("L", "who")["motions"]
    for tried in (("--try",), ()):
        assert ALL_MUST_AGREE in terminal.at("L", "agree", motion["id"], *tried, "--as", "L1").done().out
    assert ALL_MUST_AGREE in terminal.at("L", "who").done().out


def test_one_signatory_alone_is_warned_of(terminal: Terminal) -> None:
    words = ("stewards", "--leave", "L1", "--leave", "S1", "--threshold", "1", "--try", "--as", "C1")
    assert ONLY_ONE in terminal.at("C", *words).done().out
    assert terminal.asked("C", "who")["warned"] == []


def test_who_may_do_what_says_how_many_are_left(terminal: Terminal) -> None:
    for label, told in (("S1", ONE_MORE), ("L1", TOO_FEW)):
        terminal.asked("C", "stop", label, "--nothing", "--as", "C1")
        assert told in terminal.at("C", "who").done().out
    assert "C1, L1 and S1. 2 must agree. Stopped of them: L1 and S1." in terminal.at("C", "who").done().out


def test_a_stop_tells_how_far_it_reaches_beyond_what_is_here(terminal: Terminal) -> None:
    words = ("stop", "L2", "--nothing", "--as", "C1")
    for way in (("--try",), ("--try", "--json")):
        assert "Nothing that L2 said is known here" in terminal.at("C", *words, *way).done().out
    terminal.write("L2", practice())
    travel(terminal, "LC")
    for tried in (("--try",), ()):
        out = terminal.at("C", *words, *tried).done().out
        assert "What L2 said after what is known here, and is still on its way, is set aside too, at every site." in out
    assert one(terminal, "C", "L2")["stopped"] is True


def test_what_a_stop_sets_aside_stands_on_lines_of_its_own(terminal: Terminal) -> None:
    for number in range(2):
        terminal.write("L2", practice(f"Onions in crate {number}"))
    travel(terminal, "LC")
    lines = terminal.at("C", "stop", "L2", "--everything", "--try", "--as", "C1").done().out.splitlines()
    at = lines.index("Set aside at every site: 2 words of L2.")
    assert [line[:37] for line in lines[at + 1 :]] == [
        f"  an edition of “Onions in crate {number}” (" for number in (0, 1)
    ]
