"""Who may do what, from a terminal: slips and wrong orders are told in words that say what to do, and change nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.notebook import Person
from fieldbook.site.people import one_labelled
from tests.cli.terminal import refused
from tests.cli.test_roles import one, travel
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def waiting(terminal: Terminal, letter: str) -> str:
    """The id of the one thing that waits for voices at a site."""
    (motion,) = terminal.asked(letter, "who")["motions"]
    name: str = motion["id"]
    return name


def test_a_slip_in_a_persons_words_is_named(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"].split()
    cases = (
        ([*words[:-1], "qqq"], "word 8 of what was typed is none of the list"),
        (words[1:], "eight words name a key, here are 7"),
        ([*words[1:], words[0]], "no person of the network has these words"),
        (one(terminal, "T", "T")["words"].split(), "these are the words of the site T, not of a person"),
    )
    with terminal.nothing_lost("C"):
        for typed, told in cases:
            refused(terminal.at("C", "grant", *typed, "--as", "C1"), told)
            refused(terminal.at("C", "stewards", "--add", " ".join(typed), "--as", "C1"), told)


def test_what_is_so_already_is_not_said_once_more(terminal: Terminal) -> None:
    c3 = one(terminal, "C", "C3")["words"].split()
    words = one(terminal, "C", "T1")["words"]
    terminal.write("L2", practice())
    terminal.carry("LC")
    terminal.asked("C", "stop", "L2", "--nothing", "--as", "C1")
    terminal.asked("C", "stewards", "--add", words, "--leave", "S1", "--as", "C1")
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "grant", *c3, "--as", "C1"), "C3 is a reviewer of that already")
        refused(terminal.at("C", "grant", *c3, "--scope", "compost", "--as", "C1"), "C3 is a reviewer of that already")
        refused(terminal.at("C", "stop", "L2", "--nothing", "--as", "C1"), "C1 has stopped this key so already")
        refused(terminal.at("C", "stewards", "--as", "C1"), "this is the list that is in force")
        refused(terminal.at("C", "stewards", "--try", "--as", "C1"), "this is the list that is in force")
        again = ("stewards", "--add", words, "--leave", "S1", "--as")
        refused(terminal.at("C", *again, "C1"), "C1 has said this already")
        refused(terminal.at("C", *again, "C3"), "C3 is no signatory of the network")
    terminal.asked("C", "stop", "L2", "--everything", "--as", "C1")  # a deeper cut is another stop


def test_a_reviewer_of_one_kind_is_given_a_second_kind(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"]
    for kind in ("teaching", "compost"):
        terminal.asked("C", "grant", *words.split(), "--scope", kind, "--as", "C1")
        travel(terminal, "CL")
        terminal.asked("L", "agree", waiting(terminal, "L"), "--words", words, "--as", "L1")
        travel(terminal, "LC")
    refused(terminal.at("C", "grant", *words.split(), "--scope", "compost", "--as", "C1"), "T1 is a reviewer of that")
    out = terminal.at("C", "grant", *words.split(), "--as", "C1").done().out
    assert "C1 says: T1 becomes a reviewer of all kinds of entries." in out


def test_a_second_list_by_the_same_person_is_warned_of_before_and_after(terminal: Terminal) -> None:
    first = terminal.at("L", "stewards", "--leave", "S1", "--as", "L1").done().out
    assert "another list" not in first
    warning = "L1 said another list before: if both find enough voices, two rival lists stand."
    for tried in (("--try",), ()):
        assert warning in terminal.at("L", "stewards", "--leave", "C1", *tried, "--as", "L1").done().out


def test_what_waits_for_a_voice_is_told_by_the_exchange_that_brings_it(terminal: Terminal) -> None:
    words = one(terminal, "T", "T1")["words"]
    terminal.asked("C", "grant", *words.split(), "--as", "C1")
    stick = terminal.stick()
    line = "1 thing waits for a voice from here: `who` lists them."
    assert line not in terminal.at("C", "exchange", stick).done().out  # C1 has said it
    told = terminal.at("L", "exchange", stick).done().out
    assert line in told
    assert "Waiting for what they answer, for a role or for more voices: 1." in told
    assert line not in terminal.at("T", "exchange", stick).done().out  # nobody there has a voice


def test_what_waits_keeps_its_name_while_voices_are_added(terminal: Terminal) -> None:
    """Whoever was told a name by telephone can use it, whichever voice a site lists first."""
    words = one(terminal, "T", "T1")["words"]
    everybody = ("--add", words, "--threshold", "3")
    terminal.asked("C", "stewards", *everybody, "--as", "C1")
    name = waiting(terminal, "C")
    travel(terminal, "CLS")
    terminal.asked("L", "agree", name, "--words", words, "--as", "L1")
    travel(terminal, "LS")
    assert terminal.asked("S", "agree", name, "--words", words, "--as", "S1")["in_force"] is True
    for typed in (name, waiting_of(terminal, "S", "S1")):
        refused(terminal.at("S", "agree", typed, "--as", "S1"), "has all its voices and is in force")


def waiting_of(terminal: Terminal, letter: str, label: str) -> str:
    """The id of the last voice that a person gave."""
    name: str = terminal.asked(letter, "who", label)["said"][-1]["id"]
    return name


def test_what_a_stop_sets_aside_is_listed_in_the_order_in_which_it_was_said(terminal: Terminal) -> None:
    editions = [terminal.write("L2", practice(f"Onions in crate {number}")) for number in range(6)]
    travel(terminal, "LC")
    tried = terminal.at("C", "stop", "L2", "--doubted", editions[1], "--try", "--as", "C1").done().out
    listed = [tried.index(f"“Onions in crate {number}”") for number in range(1, 6)]
    assert listed == sorted(listed)


def test_a_list_of_one_is_said_as_one(terminal: Terminal) -> None:
    out = terminal.at("C", "stewards", "--leave", "L1", "--leave", "S1", "--threshold", "1", "--try", "--as", "C1")
    assert "The only signatory is C1, whose voice alone is enough." in out.done().out
    refused(terminal.at("C", "stewards", "--threshold", "two", "--as", "C1"), "'two' is no whole number", code=2)


def test_labels_are_understood_in_whatever_case_they_are_typed(terminal: Terminal) -> None:
    terminal.write("L2", practice())
    travel(terminal, "LC")
    (edition,) = [said["id"] for said in one(terminal, "C", "l2")["said"]]
    assert (
        terminal.at("C", "stop", "l2", "--doubted", edition.upper(), "--as", "c1").done().out.startswith("C1 stopped")
    )
    assert terminal.asked("C", "stewards", "--leave", "s1", "--try", "--as", "c1")["lost"][0]["label"] == "S1"
    assert terminal.asked("C", "person", "c7", "--role", "trainer")["person"] == "C7"
    refused(terminal.at("C", "person", "C7", "--role", "trainer"), "there is already a C7 here")
    refused(terminal.at("C", "stop", "l9", "--nothing", "--as", "C1"), "nobody in the network is called 'l9'")


def test_a_label_that_may_mean_two_is_taken_as_it_is_written_or_not_at_all() -> None:
    people = [Person(label, "", "trainer", "") for label in ("C3-3f2a", "c3-3F2A", "C4")]
    found = [one_labelled(typed, people) for typed in ("C3-3f2a", "c3-3F2A", "C3-3F2A", "c4", " C4 ", "C3", "")]
    assert [person and person.label for person in found] == ["C3-3f2a", "c3-3F2A", None, "C4", "C4", None, None]
