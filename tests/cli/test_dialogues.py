"""Dialogues at a terminal, recorded word for word: what is typed, what is answered.

A dialogue is a text file. A line after ``$`` is typed; what follows is the answer on the output stream, lines after
``!`` on the error stream, ``[1]`` the exit code where it is not 0. ``<name>`` stands for an id or a key, the same one
wherever the name stands again; ``<name:8>`` for its first eight characters; ``<...>`` for what differs from run to run.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from fieldbook.shipped import shipped_text
from tests.cli.terminal import type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.cli.terminal import Answer, Terminal

DIALOGUES = sorted((Path(__file__).parent / "dialogues").glob("*.txt"))
PLACEHOLDER = re.compile(r"<(?P<name>[a-z ]+|\.\.\.)(:(?P<length>\d+))?>")
RATIO = {"a": {"en": "soap"}, "b": {"en": "water"}, "by": "mass", "value": 200}


@dataclass
class Turn:
    """One command and the answer that is expected."""

    typed: str
    answer: list[str] = field(default_factory=list)


def turns_of(text: str) -> list[Turn]:
    """Cut a dialogue into its turns; what stands before the first is its introduction."""
    turns: list[Turn] = []
    for line in text.splitlines():
        if line.startswith("$ "):
            turns.append(Turn(line[2:]))
        elif turns and line:
            turns[-1].answer.append(line)
    return turns


def as_written(answer: Answer) -> list[str]:
    """An answer in the form of a dialogue; blank lines do not count."""
    lines = [line for line in answer.out.splitlines() if line]
    lines += [f"! {line}" for line in answer.err.splitlines()]
    return lines + ([f"[{answer.code}]"] if answer.code else [])


class Script:
    """A dialogue while it is played: the ids that have been met, and where things lie."""

    def __init__(self, terminal: Terminal) -> None:
        self.met: dict[str, str] = {}
        self.desk = terminal.entry_file(
            practice("Soap against aphids", topics=["aphids"], ratios=[RATIO]), "soap.json"
        ).parent
        terminal.entry_file(practice("Soap, half as strong"), "weaker.json")
        terminal.entry_file(
            practice("Spray", materials=[{"item": "x", "qty": {"value": 1, "unit": "cup"}}]), "cup.json"
        )
        terminal.entry_file(shipped_text("seed_entries/demo/normals_saltreed.csv"), "normals.csv")
        terminal.stick()
        self.terminal = terminal

    def typed(self, line: str) -> Answer:
        """Type a line, ids and places filled in."""
        words = shlex.split(PLACEHOLDER.sub(self.known, line))
        assert words.pop(0) == "fieldbook"
        if words[0] == "--site":
            words[1] = str(self.terminal.folder / words[1])
        return type_words(*(self.place(word) for word in words))

    def place(self, word: str) -> str:
        """A file on the desk, or the stick; any other word as it is."""
        if word == "stick":
            return str(self.terminal.stick())
        return str(self.desk / word) if (self.desk / word).is_file() else word

    def known(self, found: re.Match[str]) -> str:
        value = self.met[found["name"]]
        return value[: int(found["length"])] if found["length"] else value

    def check(self, expected: str, line: str) -> None:
        """Check one line against what was written down, and remember the ids in it."""
        line = line.replace(str(self.terminal.folder) + "/", "")
        pattern, names, at = "", [], 0
        for found in PLACEHOLDER.finditer(expected):
            pattern += re.escape(expected[at : found.start()])
            at = found.end()
            if found["name"] == "...":
                pattern += ".+"
            elif found["name"] in self.met:
                pattern += re.escape(self.known(found))
            else:
                names.append(found["name"])
                pattern += r"([0-9a-f]{64})"
        match = re.fullmatch(pattern + re.escape(expected[at:]), line)
        assert match, f"expected {expected!r}, got {line!r}"
        self.met |= dict(zip(names, match.groups(), strict=True))


@pytest.mark.parametrize("path", DIALOGUES, ids=lambda path: path.stem)
def test_a_dialogue_goes_as_recorded(terminal: Terminal, path: Path) -> None:
    script = Script(terminal)
    for turn in turns_of(path.read_text(encoding="utf-8")):
        lines = as_written(script.typed(turn.typed))
        assert len(lines) == len(turn.answer), "\n".join([turn.typed, *lines])
        for expected, line in zip(turn.answer, lines, strict=True):
            script.check(expected, line)
