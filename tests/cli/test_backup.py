"""``backup`` and ``restore`` as they are typed."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import Terminal, refused, type_words
from tests.house.test_shape import ROOT
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(autouse=True)
def _no_phrase_about(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("FIELDBOOK_RECOVERY", raising=False)


class Keyboard(io.StringIO):
    """A terminal at which somebody types."""

    def isatty(self) -> bool:
        """Yes, it is one."""
        return True


def words_of(sheet: str) -> str:
    """The words as a person copies them from the terminal."""
    return " ".join(re.findall(r"\d+ ([a-z]{4,9})\b", sheet.partition("RECOVERY SHEET")[2].partition("1. ")[0]))


def safe(terminal: Terminal) -> Path:
    return terminal.stick("safe")


def test_the_sheet_of_the_terminal_brings_the_site_back(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    terminal.write("C1", practice("Onions in rows"))
    before = terminal.asked("C", "verify")
    sheet = terminal.at("C", "backup", safe(terminal) / "c.sealed").done().out
    assert "C Cloudstep Terrace" in sheet
    assert "shown once and kept nowhere" in sheet
    shutil.rmtree(terminal.place("C"))
    monkeypatch.setattr("sys.stdin", Keyboard(words_of(sheet).upper() + "\n"))
    answer = type_words("restore", safe(terminal) / "c.sealed", terminal.place("C"))
    assert answer.code == 0
    assert answer.err == "The words on the recovery sheet, in one line: "
    assert "Practice entries: 1." in answer.out
    assert "Exchange with the newest stick before anybody uses it" in answer.out
    after = terminal.asked("C", "verify")
    assert "put back from a backup" in after.pop("put_back")
    assert after == before
    assert [hit["title"] for hit in terminal.hits("C", "onions")] != []
    terminal.carry("CTC")


def test_both_speak_to_machines(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    made = terminal.asked("C", "backup", safe(terminal) / "c.sealed")
    assert (made["letter"], made["left_out"], len(made["phrase"].split())) == ("C", [], 14)
    assert made["size_bytes"] == (safe(terminal) / "c.sealed").stat().st_size
    monkeypatch.setenv("FIELDBOOK_RECOVERY", made["phrase"])
    back = type_words("restore", made["file"], terminal.folder / "again", "--json").done().json
    assert (back["letter"], back["entries"], back["files"], back["time"]) == ("C", 0, made["files"], made["time"])
    again = terminal.asked("C", "backup", safe(terminal) / "second.sealed")
    assert "phrase" not in again  # the sheet that is there opens it
    assert "RECOVERY SHEET" not in terminal.at("C", "backup", safe(terminal) / "third.sealed").done().out
    type_words("restore", safe(terminal) / "third.sealed", terminal.folder / "third").done()


def test_refusals_are_one_sentence_and_leave_nothing(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    made = terminal.asked("C", "backup", safe(terminal) / "c.sealed")
    file, place = safe(terminal) / "c.sealed", terminal.folder / "again"
    before = sorted(path.name for path in terminal.folder.iterdir())
    monkeypatch.setattr("sys.stdin", io.StringIO())
    refused(type_words("restore", file, place), "the recovery phrase is needed", "FIELDBOOK_RECOVERY")
    refused(terminal.at("C", "backup", file), "already something called")
    refused(type_words("restore", file), "required: DIR", code=2)
    refused(type_words("backup", file), "which site?", code=2)
    for phrase, said in (("lantern", "has 14 words"), (made["phrase"].replace(made["phrase"][:3], "zzz"), "word 1 ")):
        monkeypatch.setenv("FIELDBOOK_RECOVERY", phrase)
        refused(type_words("restore", file, place), said, "sheet")
        assert type_words("restore", file, place, "--json").json["error"]
    monkeypatch.setenv("FIELDBOOK_RECOVERY", made["phrase"])
    refused(type_words("restore", file, terminal.place("T")), "already something in")
    refused(type_words("restore", terminal.place("T") / "notebook.sqlite", place), "no sealed file")
    assert sorted(path.name for path in terminal.folder.iterdir()) == before


def test_a_phrase_is_no_argument(terminal: Terminal) -> None:
    refused(type_words("restore", "file", "folder", "acorn", "acorn"), "unrecognized arguments", code=2)
    refused(terminal.at("C", "backup", "file", "--phrase", "acorn"), "unrecognized arguments", code=2)


CUT = """
import os, pathlib, sys
from fieldbook.cli import run
owner, name = {"fsync": (os, "fsync"), "rename": (pathlib.Path, "rename")}[sys.argv[1]]
setattr(owner, name, lambda *_: os._exit(137))
sys.exit(run(sys.argv[2:]))
"""


@pytest.mark.parametrize("step", ["fsync", "rename"])
def test_a_power_cut_leaves_no_file_under_the_name_and_the_next_try_succeeds(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """The process ends at its first wait for the disk, or right before the name appears."""
    file, place = safe(terminal) / "c.sealed", terminal.folder / "again"

    def cut(*words: object) -> None:
        typed = [sys.executable, "-c", CUT, step, *map(str, words)]
        assert subprocess.run(typed, check=False, capture_output=True, cwd=ROOT).returncode == 137

    with terminal.nothing_lost("C"):
        cut("--site", terminal.place("C"), "backup", file)
        assert not file.exists()
        made = terminal.asked("C", "backup", file)
    assert [path.name for path in safe(terminal).iterdir()] == ["c.sealed"]
    monkeypatch.setenv("FIELDBOOK_RECOVERY", made["phrase"])
    cut("restore", file, place)
    assert not place.exists()
    type_words("restore", file, place).done()
    assert [path.name for path in terminal.folder.iterdir() if "part" in path.name] == []
