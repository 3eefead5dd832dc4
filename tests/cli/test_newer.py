"""A site that newer software wrote: one sentence and nothing touched, or made anew where nothing can be lost."""

from __future__ import annotations

import json
import sqlite3
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import refused
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.cli.terminal import Terminal

VERBS = (("verify",), ("search", "onions"), ("serve", "--port", "0"), ("calendar",))


def age(terminal: Terminal, file: str) -> bytes:
    """Let a file say that a later version wrote it; its bytes then."""
    path = terminal.place("C") / file
    db = sqlite3.connect(path)
    db.execute("PRAGMA user_version=99")
    db.commit()
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    db.close()
    return path.read_bytes()


@pytest.mark.parametrize(
    ("file", "words"),
    [
        ("store.sqlite", "was written by a newer version of this software"),
        ("notebook.sqlite", "is no notebook that this software knows (version 99)"),
    ],
)
def test_a_newer_store_or_notebook_is_refused_by_every_verb_and_by_the_pages_and_left_as_it_is(
    terminal: Terminal, file: str, words: str
) -> None:
    terminal.write("C1", practice("Onions in rows"))
    before = age(terminal, file)
    for verb in VERBS:
        refused(terminal.at("C", *verb), words)
    assert (terminal.place("C") / file).read_bytes() == before


def test_a_newer_view_or_index_is_made_anew_and_everything_is_found(terminal: Terminal) -> None:
    edition = terminal.write("C1", practice("Onions in rows"))
    assert edition in terminal.found("C", "onions")  # the index is there from now on
    age(terminal, "view.sqlite")
    stamp = terminal.place("C") / "index" / "stamp.json"
    stamp.write_text(json.dumps({"layout": 99, "stamp": "0" * 64}), encoding="utf-8")
    assert edition in terminal.found("C", "onions")
    assert terminal.asked("C", "verify")["ok"]
