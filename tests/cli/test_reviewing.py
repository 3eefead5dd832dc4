"""What a reviewer without pages says at the command: a local person's word, and a coded reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.cli.terminal import refused
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal


def test_a_builders_word_is_signed_at_the_command_and_counts_there_only(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Lettuce on a roof", hazards=[{"code": "C07"}]))
    word = ("--second-word", "builder", "2026-11-20", "It carries 120 kg on each square metre.")
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "approve", edition, *word, "--as", "C3"), "on which danger of this edition")
        refused(terminal.at("C", "approve", edition, *word[:3], "--as", "C3"), "expected 3 arguments", code=2)
    assert terminal.asked("C", "show", edition)["lacks_for_home"] == ["unchecked"]
    terminal.approve("C3", edition, *word, "--about", "C07")
    assert terminal.found("C", "lettuce") == {edition: ("approved", "checked-twice")}
    assert terminal.asked("C", "show", edition)["lacks_for_home"] == []
    terminal.carry("CL")
    assert terminal.asked("L", "show", edition)["lacks_for_home"] == ["load"]


def test_an_edition_is_sent_back_by_a_code_with_or_without_words(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    refused(terminal.at("C", "send-back", edition, "--as", "C3"), "the reason is empty")
    refused(terminal.at("C", "send-back", edition, "--code", "gossip", "--as", "C3"), "invalid choice", code=2)
    terminal.asked("C", "send-back", edition, "--code", "unclear", "--as", "C3")
    shown = terminal.asked("C", "show", edition, "--as", "C1")
    assert [one["reason"] for one in shown["sent_back"]] == ["A step cannot be followed as it is written."]


def test_no_minutes_are_no_answer_and_one_minute_has_room_for_one(terminal: Terminal) -> None:
    editions = {terminal.write("C1", practice(f"Rows of onions {number}")) for number in range(2)}
    refused(terminal.at("C", "queue", "--minutes", 0, "--as", "C3"), "0 minutes are none; write 1 or more", code=2)
    waiting = terminal.asked("C", "queue", "--minutes", 1, "--as", "C3")["waiting"]
    assert {one["edition"] for one in waiting} == editions
    assert [one["now"] for one in waiting] == [True, False]
