"""The demonstration, as a stranger runs it: built once, then looked at from every side."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.shipped import shipped_text
from tests.cli.terminal import FOLDERS, Terminal, refused, type_words
from tests.orrendal import fast_folder
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    import pytest

PLAN = json.loads(shipped_text("seed_entries/demo/network.json"))


@dataclass(frozen=True)
class Shown:
    """What the demonstration said, where it built, and the passphrase that it invented."""

    out: str
    terminal: Terminal
    passphrase: str


def test_the_demonstration_does_the_whole_main_job_over_real_stick_trips(monkeypatch: pytest.MonkeyPatch) -> None:
    """One test, since it is built once: it takes as long as a hundred others."""
    monkeypatch.delenv("FIELDBOOK_PASSPHRASE", raising=False)
    folder = fast_folder()
    out = type_words("demo", "--data", folder / "demo", "--no-serve").done().out
    match = re.search(r"passphrase in this demonstration: (\S+)", out)
    assert match
    demo = Shown(out, Terminal(folder / "demo"), match[1])
    four_sites_stand_in_the_folders_of_the_scenario(demo)
    it_says_what_happened_in_plain_lines(demo)
    all_sites_verify_and_show_one_state(demo)
    a_volunteer_finds_what_a_reviewer_of_another_site_approved(demo)
    a_second_run_changes_nothing_and_says_so(demo)
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", demo.passphrase)
    reviewers_and_nobody_else_may_approve(demo)
    shutil.rmtree(folder)


def four_sites_stand_in_the_folders_of_the_scenario(demo: Shown) -> None:
    assert {path.name for path in demo.terminal.folder.iterdir() if path.is_dir()} >= set(FOLDERS.values())


def it_says_what_happened_in_plain_lines(demo: Shown) -> None:
    for site in PLAN["sites"]:
        assert f"Site {site['letter']}, {site['name']}: begun" in demo.out
    for words in ("admits site T", "Three stewards", "C3 approves", "L2 approves", "all four show the same state"):
        assert words in demo.out


def all_sites_verify_and_show_one_state(demo: Shown) -> None:
    found = [demo.terminal.asked(letter, "verify") for letter in FOLDERS]
    assert all(one["ok"] for one in found)
    assert len({one["state"] for one in found}) == len({one["set"] for one in found}) == 1
    assert found[0]["entries"] >= 6
    assert check_carrier(demo.terminal.folder / "stick") == []


def a_volunteer_finds_what_a_reviewer_of_another_site_approved(demo: Shown) -> None:
    hits = demo.terminal.hits("S", "vidukari kwenye sukuma")
    assert hits[0]["state"] == "approved"
    shown = demo.terminal.asked("S", "show", hits[0]["entry"])
    assert {one["by"] for one in shown["approvals"]} <= {"C3", "L2"}
    assert shown["document"]["photos"][0]["ref"]


def a_second_run_changes_nothing_and_says_so(demo: Shown) -> None:
    before = demo.terminal.asked("C", "verify")
    assert "already" in type_words("demo", "--data", demo.terminal.folder, "--no-serve").done().out
    assert demo.terminal.asked("C", "verify") == before


def reviewers_and_nobody_else_may_approve(demo: Shown) -> None:
    """With the passphrase that was said, each at their own site."""
    edition = demo.terminal.write("T1", {"kind": "teaching", "title": {"en": "A lesson"}})
    demo.terminal.carry("TCLS", "new stick")
    for label in ("C3", "L2"):
        refused(demo.terminal.at(label[0], "approve", edition, "--as", label), "facts: is needed before")
    for label in ("C1", "L1", "T1", "S1"):
        refused(demo.terminal.at(label[0], "approve", edition, "--as", label), "takes a reviewer")


def test_a_folder_that_holds_something_else_is_refused() -> None:
    other = fast_folder()
    (other / "letter.txt").write_text("mine")
    refused(type_words("demo", "--data", other, "--no-serve"), "something else in", "--data DIR")
    refused(type_words("demo", "--data", other / "letter.txt", "--no-serve"), "something else in", "letter.txt")
    assert [path.name for path in other.iterdir()] == ["letter.txt"]
