"""Every step typed: the way out of two rival lists, and a stop whose good words return and that two voices lift.

On real stores and a stick that goes from site to site; at the end of each journey all sites hold one state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import FOLDERS, Terminal, refused
from tests.orrendal import PASSPHRASE, practice

if TYPE_CHECKING:
    from tests.orrendal import Circle

ALARM = "Two rival lists of signatories are in force; only what both allow counts."


@pytest.fixture
def terminal(circle: Circle, monkeypatch: pytest.MonkeyPatch) -> Terminal:
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", PASSPHRASE)
    for letter in FOLDERS:
        circle.shut(letter)
    return Terminal(circle.folder)


def carry(terminal: Terminal, letters: str, stick: str = "stick") -> None:
    """Carry a stick on which voices may wait for more."""
    for letter in letters:
        report = terminal.asked(letter, "exchange", terminal.stick(stick))
        assert (report["refused"], report["safe_to_remove"]) == ([], True)


def waits(terminal: Terminal, letter: str, beginning: str) -> str:
    """The id of what waits for voices at a site, by how its sentence begins."""
    motions = terminal.asked(letter, "who")["motions"]
    (name,) = [str(one["id"]) for one in motions if one["words"].startswith(beginning)]
    return name


def words_of(terminal: Terminal, label: str) -> list[str]:
    """The eight words of a person, as they read them at their own site."""
    words: str = terminal.asked(label[0], "who", label)["words"]
    return words.split()


def become_rivals(terminal: Terminal) -> None:
    """L1 gives a voice for two lists; each finds its second voice before the two meet."""
    for leaving, letter, stick, beginning in (
        ("S1", "C", "west", "The signatories are C1 and L1,"),
        ("C1", "S", "east", "The signatories are L1 and S1,"),
    ):
        terminal.asked("L", "stewards", "--leave", leaving, "--as", "L1")
        carry(terminal, "L" + letter, stick)
        name = waits(terminal, letter, beginning)
        assert terminal.asked(letter, "agree", name, "--as", f"{letter}1")["in_force"] is True
    carry(terminal, "CSLTC")


def test_two_rival_lists_are_ended_by_one_list_that_people_of_both_agree_to(terminal: Terminal) -> None:
    become_rivals(terminal)
    for letter in FOLDERS:
        told = terminal.at(letter, "who").done().out
        assert ALARM in told
        assert "One list names C1 and L1; 2 must agree. C1 and L1 said it." in told
        assert "One list names L1 and S1; 2 must agree. L1 and S1 said it." in told
        assert "a new network" not in told  # there is a way out
    for step in (
        ("grant", *words_of(terminal, "T1")),
        ("stop", "L2", "--nothing"),
        ("stop", "L2", "--nothing", "--try"),
    ):
        refused(terminal.at("C", *step, "--as", "C1"), "C1 stands in one of the rival lists only", "`stewards`")
    assert "L2 is no longer" in terminal.at("L", "stop", "L2", "--nothing", "--try", "--as", "L1").done().out

    tried = terminal.asked("C", "stewards", "--try", "--as", "C1")
    assert [one["label"] for one in tried["gained"]] == ["C1", "S1"]
    assert terminal.asked("C", "stewards", "--as", "C1")["lacking"] == 2
    name = waits(terminal, "C", "The signatories are C1, L1 and S1,")
    carry(terminal, "CL")
    assert terminal.asked("L", "agree", name, "--as", "L1")["lacking"] == 1  # S1 of the other list has to agree as well
    carry(terminal, "LS")
    assert terminal.asked("S", "agree", name, "--as", "S1")["in_force"] is True  # by the name that C1 told
    carry(terminal, "SCLT")
    for letter in FOLDERS:
        told = terminal.at(letter, "who").done().out
        assert "rival" not in told
        assert "Signatories whose word counts: C1, L1 and S1. 2 must agree." in told
    assert len({terminal.asked(letter, "verify")["state"] for letter in FOLDERS}) == 1


def test_good_words_of_a_stopped_key_return_by_one_voice_and_all_of_them_by_two(terminal: Terminal) -> None:
    editions = [terminal.write("C1", practice(f"Onions in crate {number}")) for number in range(3)]
    carry(terminal, "CL")
    for edition in editions:
        terminal.approve("L2", edition)
    carry(terminal, "LCS")
    first, second, third = [one["id"] for one in terminal.asked("S", "who", "L2")["said"]]

    def checked(letter: str) -> list[bool]:
        """Whether each of the three is approved as readers of a site see it."""
        found = terminal.found(letter, "onions")
        return [edition in found and found[edition][1] == "checked-once" for edition in editions]

    assert checked("S") == [True, True, True]
    assert set(terminal.asked("S", "stop", "L2", "--doubted", second, "--as", "S1")["set_aside"]) == {second, third}
    carry(terminal, "SCLT")
    assert [checked(letter) for letter in "CT"] == [[True, False, False]] * 2
    refused(terminal.at("L", "adopt", third, "--as", "L2"), "L2 may not take this back in")
    refused(terminal.at("L", "adopt", first, "--as", "L1"), "nothing set aside here")
    assert terminal.asked("L", "adopt", third, "--as", "L1")["adopted"] == [third]
    carry(terminal, "LCST")
    assert [checked(letter) for letter in "ST"] == [[True, False, True]] * 2

    assert terminal.asked("C", "lift", "L2", "--as", "C1")["lacking"] == 1
    refused(terminal.at("C", "lift", "L2", "--as", "C1"), "C1 has said this already")
    carry(terminal, "CS")
    assert terminal.asked("S", "agree", waits(terminal, "S", "The stop of L2"), "--as", "S1")["in_force"] is True
    carry(terminal, "SCLTSC")
    assert [checked(letter) for letter in "LT"] == [[True, True, True]] * 2
    assert "L2, reviewer and trainer: " in terminal.at("T", "who").done().out
    assert len({terminal.asked(letter, "verify")["state"] for letter in FOLDERS}) == 1


def test_a_signatory_whose_key_is_lost_goes_on_with_a_new_one_by_a_new_list(terminal: Terminal) -> None:
    granted = terminal.asked("S", "who", "C3")["roles"]
    terminal.asked("S", "person", "S2", "--role", "trainer")
    carry(terminal, "SC")
    words = " ".join(words_of(terminal, "S2"))
    step = ("stewards", "--add", words, "--leave", "S1")
    assert terminal.at("C", *step, "--try", "--as", "C1").done().out.count("S1 is no longer signatory.") == 1
    assert terminal.asked("C", *step, "--as", "C1")["lacking"] == 1
    carry(terminal, "CL")
    name = waits(terminal, "L", "The signatories are C1, L1 and S2,")
    refused(terminal.at("L", "agree", name, "--as", "L1"), "the words of S2 were not compared")
    assert terminal.asked("L", "agree", name, "--words", words, "--as", "L1")["in_force"] is True
    terminal.asked("L", "stop", "S1", "--nothing", "--as", "L1")
    carry(terminal, "LSCT")
    for letter in FOLDERS:
        told = terminal.at(letter, "who").done().out
        assert "Signatories whose word counts: C1, L1 and S2. 2 must agree.\n" in told
        assert terminal.asked(letter, "who", "C3")["roles"] == granted  # what S1 had a voice in stands
    assert terminal.asked("S", "stop", "T1", "--nothing", "--as", "S2")["lost"] == [
        {"label": "T1", "roles": ["trainer"]}
    ]


def test_a_network_goes_on_when_too_many_signatories_have_lost_their_keys(terminal: Terminal) -> None:
    for label in ("L1", "S1"):
        terminal.asked("C", "stop", label, "--nothing", "--as", "C1")
    carry(terminal, "CLTS")
    for letter in FOLDERS:
        told = terminal.at(letter, "who").done().out
        assert "2 must agree. Stopped of them: L1 and S1." in told
        assert "Too few signatories are left that were not stopped: 1, where 2 must agree." in told
    edition = terminal.write("T1", practice("Onions in a crate"))
    carry(terminal, "TL")
    terminal.approve("L2", edition)
    carry(terminal, "LS")
    assert terminal.found("S", "onions")[edition][1] == "checked-once"
    recalled = terminal.write("T1", practice("Onions in a drum"))
    carry(terminal, "TC")
    words = ("--harm", "a child was sick", "--now", "pour it away", "--instead", "use a crate")
    terminal.asked("C", "recall", recalled, *words, "--as", "C3")
    carry(terminal, "CS")
    assert [one["entry"] for one in terminal.asked("S", "withdrawn")["withdrawn"]] == [recalled]
    assert terminal.asked("C", "stop", "L2", "--nothing", "--as", "C1")["lost"]
    assert terminal.asked("C", "grant", *words_of(terminal, "T1"), "--as", "C1")["lacking"] == 1  # for ever
    assert terminal.asked("C", "stewards", "--leave", "L1", "--leave", "S1", "--threshold", "1", "--as", "C1")[
        "lacking"
    ]
    carry(terminal, "CSLT")
    assert len({terminal.asked(letter, "verify")["state"] for letter in FOLDERS}) == 1


def test_what_was_written_with_a_forgotten_passphrase_stays_and_goes_on_under_a_new_number(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    edition = terminal.write("T1", practice("Onions in a crate"))
    carry(terminal, "TL")
    terminal.approve("L2", edition)
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", "not the one that it was")
    refused(terminal.at("T", "write", terminal.entry_file(practice()), "--as", "T1"), "does not open this key")
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", PASSPHRASE)
    terminal.asked("T", "person", "t4", "--role", "trainer")
    carry(terminal, "TC")
    terminal.asked("C", "stop", "t1", "--nothing", "--as", "c1")
    carry(terminal, "CLTC")
    refused(terminal.at("T", "write", terminal.entry_file(practice()), "--as", "T1"), "the key of T1 was stopped")
    for letter in "TCL":
        assert terminal.found(letter, "onions")[edition] == ("approved", "checked-once")
        assert terminal.asked(letter, "who", "T1")["said"][0]["stands"] == "accepted"
    second = terminal.write("T4", practice("Onions in two crates"), "--after", edition)
    carry(terminal, "TL")
    terminal.approve("L2", second)
    assert set(terminal.found("L", "onions")) == {second}
