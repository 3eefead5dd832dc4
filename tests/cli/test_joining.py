"""Joining a network from a terminal: a request on a stick, words compared by voice, a steward's grant."""

from __future__ import annotations

import io
import shutil
import sys
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.cli.words import asked_to_join
from fieldbook.qr import qr_lines
from sync import SigningKey, ask_to_join, parse_network
from sync.limits import JOININGS_MAX
from tests.cli.terminal import Answer, Terminal, refused, type_words
from tests.orrendal import FACTS, practice

if TYPE_CHECKING:
    from pathlib import Path

WRONG = "amber amber amber amber amber amber amber amber"


class Newcomer:
    """A site that begins beside the network of four, in no network."""

    def __init__(self, terminal: Terminal, letter: str = "D") -> None:
        self.place = terminal.folder / "dry well"
        normals = terminal.folder / "normals.csv"
        rows = [f"{month},{20 * month},14,29" for month in range(1, 13)]
        normals.write_text("\n".join(["month,rain_mm,tmin_c,tmax_c", *rows]))
        words = ("--name", "Dry Well", "--letter", letter, "--normals", normals)
        place = ("--latitude", FACTS["C"]["latitude_deg"], "--elevation", "900")
        type_words("--site", self.place, "new", *words, *place).done()

    def __call__(self, *words: object) -> Answer:
        return type_words("--site", self.place, *words)

    def join(self, stick: Path) -> dict[str, Any]:
        return self("join", stick, "--json").done().json


@pytest.fixture
def newcomer(terminal: Terminal) -> Newcomer:
    terminal.carry("C")
    return Newcomer(terminal)


def test_a_request_shows_both_fingerprints_as_words_and_as_squares(terminal: Terminal, newcomer: Newcomer) -> None:
    out = newcomer("join", terminal.stick()).done().out.splitlines()
    shown = {line.split(": ")[0]: line.split(": ")[1] for line in out if line.startswith("The words of")}
    assert set(shown) == {"The words of the network", "The words of this site"}
    for words in shown.values():
        assert len(words.split()) == 8
        square = qr_lines(words)
        assert any(out[at : at + len(square)] == square for at in range(len(out)))
    assert list(terminal.stick().glob("*/joining/*.json"))


def test_the_words_of_a_network_are_looked_at_and_compared_before_it_is_joined(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    stick = terminal.stick()
    out = newcomer("join", stick, "--try").done().out
    assert "Nothing was joined and nothing written." in out
    looked = newcomer("join", stick, "--try", "--json").done().json
    refused(newcomer("join", stick, "--words", WRONG), "another network than the one whose words were compared")
    assert not list(stick.glob("*/joining/*.json"))
    assert "This site is not part of a network yet" in newcomer("calendar").done().out
    typed = looked["network_words"].upper()
    joined = newcomer("join", stick, "--words", typed, "--json").done().json
    assert joined["network_words"] == looked["network_words"]
    assert list(stick.glob("*/joining/*.json"))


def test_every_site_sees_the_same_words_of_the_network(terminal: Terminal, newcomer: Newcomer) -> None:
    first = newcomer.join(terminal.stick())
    further = terminal.folder / "further"
    further.mkdir()
    other = Newcomer(Terminal(further)).join(terminal.stick())
    assert first["network_words"] == other["network_words"]
    assert first["words"] != other["words"]


def test_a_site_is_let_in_by_its_words_and_its_first_exchange_brings_everything(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    edition = terminal.write("C1", practice())
    terminal.approve("C3", edition)
    terminal.carry("C")
    asked = newcomer.join(terminal.stick())
    admitted = terminal.asked(
        "C", "admit", *asked["words"].upper().split(), "--carrier", terminal.stick(), "--as", "C1"
    )
    assert (admitted["letter"], admitted["name"], admitted["site"]) == ("D", "Dry Well", asked["site"])
    assert admitted["safe_to_remove"] is True
    assert newcomer("exchange", terminal.stick(), "--json").done().json["accepted"] > 0
    here, there = newcomer("verify", "--json").done().json, terminal.asked("C", "verify")
    assert (here["ok"], here["entries"]) == (True, there["entries"])
    newcomer("show", edition).done()


def test_what_a_newcomer_says_is_taken_in_once_it_is_let_in(terminal: Terminal, newcomer: Newcomer) -> None:
    newcomer("person", "D1", "--role", "trainer").done()
    asked = newcomer.join(terminal.stick())
    refused(newcomer("write", terminal.entry_file(practice()), "--as", "D1"), "not known in the network yet")
    terminal.asked("C", "admit", asked["words"], "--carrier", terminal.stick(), "--as", "C1")
    newcomer("exchange", terminal.stick()).done()
    edition = newcomer("write", terminal.entry_file(practice()), "--as", "D1", "--json").done().json["edition"]
    newcomer("exchange", terminal.stick()).done()
    terminal.carry("C")
    assert edition in {hit["edition"] for hit in terminal.asked("C", "search", "onions", "--as", "C3")["hits"]}


def test_what_the_stick_holds_can_be_read_as_soon_as_the_request_is_left(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    edition = terminal.write("C1", practice("Rows of onions"))
    terminal.approve("C3", edition)
    terminal.carry("C")
    asked = newcomer.join(terminal.stick())
    assert (asked["accepted"] > 0, asked["safe_to_remove"]) == (True, True)
    assert [hit["edition"] for hit in newcomer("search", "onions", "--json").done().json["hits"]] == [edition]


def test_where_a_reader_finds_nothing_it_is_said_that_something_is_kept_back(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    terminal.write("C1", practice("Rows of onions"))
    terminal.carry("C")
    newcomer.join(terminal.stick())
    nothing, kept_back, waits = newcomer("search", "onions").done().out.splitlines()
    assert nothing.startswith("Nothing found.")
    assert kept_back.startswith("1 practice entry here is not shown to readers yet")
    assert "no reviewer has approved" in kept_back
    assert waits.startswith("This site waits")


AT_A_NEW_SITE = [("person", "D2", "--role", "volunteer"), ("calendar", "--crop", "amaranth")]
WHILE_IT_WAITS = [*AT_A_NEW_SITE, ("search", "onions"), ("verify",), ("rebuild",)]


@pytest.mark.parametrize("words", AT_A_NEW_SITE, ids=" ".join)
def test_before_it_asks_each_answer_says_that_it_is_in_no_network(newcomer: Newcomer, words: tuple[str, ...]) -> None:
    last = newcomer(*words).done().out.splitlines()[-1]
    assert last.startswith("This site is not part of a network yet")


@pytest.mark.parametrize("words", WHILE_IT_WAITS, ids=" ".join)
def test_while_it_waits_each_answer_says_that_its_words_wait(
    terminal: Terminal, newcomer: Newcomer, words: tuple[str, ...]
) -> None:
    joined = newcomer("join", terminal.stick()).done().out.splitlines()
    said = newcomer(*words).done().out.splitlines()
    for last in (joined[-1], said[-1]):
        assert last.startswith("This site waits for a signatory to let it in.")
        assert "what people here say waits" in last
        assert "keep what you write as a draft" in last


def test_a_draft_kept_while_it_waited_is_offered_once_it_is_let_in_and_then_nothing_waits(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    newcomer("person", "D1", "--role", "trainer").done()
    asked = newcomer.join(terminal.stick())
    written = newcomer("write", terminal.entry_file(practice()), "--draft", "--as", "D1", "--json").done().json
    assert written["outside"].startswith("This site waits")
    terminal.asked("C", "admit", asked["words"], "--carrier", terminal.stick(), "--as", "C1")
    assert "outside" not in newcomer("exchange", terminal.stick(), "--json").done().json
    assert "waits" not in newcomer("offer", written["draft"], "--as", "D1").done().out
    newcomer("exchange", terminal.stick()).done()
    terminal.carry("C")
    assert [hit["title"] for hit in terminal.asked("C", "search", "onions", "--as", "C3")["hits"]] == ["Rows of onions"]


def test_a_letter_that_the_network_has_is_pointed_out_before_anybody_is_let_in(terminal: Terminal) -> None:
    terminal.carry("C")
    second = Newcomer(terminal, letter="T")
    asked = second.join(terminal.stick())
    admit = ("admit", asked["words"], "--carrier", terminal.stick(), "--as", "C1")
    refused(terminal.at("C", *admit), "has the letter T already", "nobody was let in", "--same-letter")
    second("exchange", terminal.stick()).done()
    assert second("search", "x", "--json").done().json["outside"].startswith("This site waits")
    assert terminal.asked("C", *admit, "--same-letter")["letter"] == "T"
    assert "outside" not in second("exchange", terminal.stick(), "--json").done().json


def test_more_junk_requests_than_a_site_keeps_do_not_keep_an_honest_one_out(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    stick = terminal.stick()
    folder = next(stick.glob("tried-ground-*"))
    network = parse_network((folder / "network.json").read_bytes())
    (folder / "joining").mkdir(exist_ok=True)
    for number in range(JOININGS_MAX + 20):
        key = SigningKey.from_seed(number.to_bytes(32, "big"))
        junk = ask_to_join(key=key, letter="D", name="Dry Well", network_id=network.id)
        (folder / junk.path).write_bytes(junk.to_bytes())
    terminal.carry("C")  # its store is full of them now
    asked = newcomer.join(stick)
    assert terminal.asked("C", "admit", asked["words"], "--carrier", stick, "--as", "C1")["site"] == asked["site"]
    assert "outside" not in newcomer("exchange", stick, "--json").done().json


def test_words_that_nobody_has_asked_with_let_nobody_in(terminal: Terminal, newcomer: Newcomer) -> None:
    newcomer.join(terminal.stick())
    answer = terminal.at("C", "admit", WRONG, "--carrier", terminal.stick(), "--as", "C1")
    refused(answer, "no site with these words has asked to join", "ask for all eight words once more")
    assert newcomer("verify", "--json").done().json["ok"] is True


def test_a_slip_in_the_words_is_named_and_a_word_is_known_by_its_first_three_letters(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    stick = terminal.stick()
    words = newcomer.join(stick)["words"].split()
    cases = (
        ([*words[:3], "qqq", *words[4:]], "word 4 of what was typed is none of the list"),
        (words[:-1], "eight words name a key, here are 7"),
        (terminal.asked("C", "who", "T")["words"].split(), "words of site T, which is in the network already"),
    )
    for typed, told in cases:
        refused(terminal.at("C", "admit", *typed, "--carrier", stick, "--as", "C1"), told)
    out = terminal.at("C", "exchange", stick).done().out
    assert "D Dry Well wishes to join: `admit` lets it in, by the words that it says." in out
    short = [word[:-1] for word in words]
    terminal.at("C", "admit", *short, "--carrier", stick, "--as", "C1").done()
    refused(terminal.at("C", "admit", *words, "--carrier", stick, "--as", "C1"), "words of site D, which is in")


def test_only_a_steward_lets_a_site_in(terminal: Terminal, newcomer: Newcomer) -> None:
    asked = newcomer.join(terminal.stick())
    answer = terminal.at("C", "admit", asked["words"], "--carrier", terminal.stick(), "--as", "C3")
    refused(answer, "C3 is no signatory", "a signatory lets sites in")


def test_a_stick_without_a_network_and_a_second_request_are_refused(terminal: Terminal, newcomer: Newcomer) -> None:
    refused(newcomer("join", terminal.stick("empty")), "holds no network")
    assert newcomer("verify").code == 1  # still in no network, and says so
    newcomer.join(terminal.stick())
    refused(newcomer("join", terminal.stick()), "in the network", "exchange instead")
    refused(newcomer("join", " "), "which stick", code=2)


def test_a_request_that_the_stick_did_not_take_is_left_by_the_next_exchange(
    terminal: Terminal, newcomer: Newcomer
) -> None:
    network = next(terminal.stick().glob("tried-ground-*"))
    shutil.rmtree(network / "joining", ignore_errors=True)
    (network / "joining").write_text("a file where a folder belongs")
    refused(newcomer("join", terminal.stick()), "joining")
    (network / "joining").unlink()
    newcomer("exchange", terminal.stick()).done()
    assert len(list((network / "joining").iterdir())) == 1


def test_a_terminal_that_cannot_draw_is_given_the_words_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    lines = asked_to_join({"network_title": "Circle", "network_words": WRONG, "words": WRONG})
    assert len(lines) == 4
    assert sum(WRONG in line for line in lines) == 2
