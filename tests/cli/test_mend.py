"""``mend`` as it is typed: a store that has rotted is named by every command, mended by this one, whole after a stick."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

import pytest

from tests.cli.terminal import refused, type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.terminal import Terminal

SPOILING = {
    "header": "UPDATE statements SET header = x'ff' WHERE id = ?",
    "body": "UPDATE statements SET body = x'ff' WHERE id = ?",
}


def spoil(file: Path, sql: str, name: str) -> None:
    with sqlite3.connect(file) as connection:
        assert connection.execute(sql, (bytes.fromhex(name),)).rowcount == 1
    connection.close()


@pytest.mark.parametrize("part", SPOILING)
def test_a_damaged_statement_is_named_mended_and_comes_back_from_the_next_stick(terminal: Terminal, part: str) -> None:
    edition = terminal.write("T1", practice("Onions in rows"))
    terminal.carry("TCT")
    whole = terminal.at("T", "verify", "--json").done().json
    store = terminal.folder / "thornpan" / "store.sqlite"
    spoil(store, SPOILING[part], edition)
    found = terminal.at("T", "verify")
    assert (found.code, "mend" in found.err + found.out) == (1, True)
    said = terminal.at("T", "mend").done().out
    assert edition in said
    assert store.with_name("store.sqlite.damaged").exists()
    terminal.carry("T")
    again = terminal.at("T", "verify", "--json").done().json
    assert (again["set"], again["state"]) == (whole["set"], whole["state"])
    assert "Onions" in terminal.at("T", "show", edition, "--as", "T1").done().out


def test_mending_nothing_says_so(terminal: Terminal, tmp_path: Path) -> None:
    assert terminal.at("C", "mend", "--json").done().json["lost"] == []
    refused(type_words("--site", tmp_path, "mend"), "there is no store")
