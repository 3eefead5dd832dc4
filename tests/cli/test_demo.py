"""The demonstration at the command: what a stranger finds in its four sites, and what it does with a folder in use."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import FOLDERS, Terminal, refused, type_words
from tests.demonstration import demonstration
from tests.orrendal import fast_folder

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.xdist_group("demonstration")  # it is built once in each process that asks for it


@pytest.fixture
def demo(monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """A terminal at a copy of the four sites, with the passphrase that was said in the environment."""
    folder = demonstration().copy()
    monkeypatch.setenv("FIELDBOOK_PASSPHRASE", demonstration().passphrase)
    yield Terminal(folder)
    shutil.rmtree(folder)


def test_all_sites_verify_and_show_one_state(demo: Terminal) -> None:
    found = [demo.asked(letter, "verify") for letter in FOLDERS]
    assert all(one["ok"] for one in found)
    assert len({one["state"] for one in found}) == len({one["set"] for one in found}) == 1
    assert found[0]["entries"] >= 6


def test_a_volunteer_finds_what_a_reviewer_of_another_site_approved(demo: Terminal) -> None:
    best, *_ = demo.hits("S", "vidukari kwenye sukuma")
    assert best["state"] == "approved"
    shown = demo.asked("S", "show", best["entry"])
    assert {one["by"] for one in shown["approvals"]} <= {"C3", "L2"}
    assert shown["document"]["photos"][0]["ref"]
    assert "Amounts:" in demo.at("S", "show", best["entry"]).done().out


def test_reviewers_and_nobody_else_may_approve_with_the_passphrase_that_was_said(demo: Terminal) -> None:
    edition = demo.write("T1", {"kind": "teaching", "title": {"en": "A lesson"}})
    demo.carry("TCLS", "new stick")
    for label in ("C3", "L2"):
        refused(demo.at(label[0], "approve", edition, "--as", label), "facts: is needed before")
    for label in ("C1", "L1", "T1", "S1"):
        refused(demo.at(label[0], "approve", edition, "--as", label), "takes a reviewer")


def test_a_second_run_changes_nothing_and_says_so(demo: Terminal) -> None:
    before = demo.asked("C", "verify")
    assert "already" in type_words("demo", "--data", demo.folder, "--no-serve").done().out
    assert type_words("demo", "--data", demo.folder, "--no-serve", "--json").json == {"done": True}
    assert demo.asked("C", "verify") == before


def test_a_folder_that_holds_something_else_is_refused() -> None:
    other = fast_folder()
    (other / "letter.txt").write_text("mine")
    refused(type_words("demo", "--data", other, "--no-serve"), "something else in", "--data DIR")
    refused(type_words("demo", "--data", other / "letter.txt", "--no-serve"), "something else in", "letter.txt")
    assert [path.name for path in other.iterdir()] == ["letter.txt"]
