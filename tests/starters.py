"""The starter entries as tests read them: by name, with their answers, texts and steps.

Not a test. Its one rule: it reads the files as they are shipped and changes nothing.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from tests.drawings import starter_folders

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDERS = {folder.name: folder for folder in starter_folders()}
every_entry = pytest.mark.parametrize("name", sorted(FOLDERS))


def entry_of(name: str) -> Any:
    return json.loads((FOLDERS[name] / "entry.json").read_text(encoding="utf-8"))


def answers_of(name: str) -> Any:
    return json.loads((FOLDERS[name] / "answers.json").read_text(encoding="utf-8"))


def texts_of(value: Any, at: str = "") -> Iterator[tuple[str, dict[str, str]]]:
    """Give every text of a document with its place."""
    if isinstance(value, dict):
        if "en" in value:
            yield at, value
        else:
            for name, inner in value.items():
                yield from texts_of(inner, f"{at}.{name}")
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            yield from texts_of(inner, f"{at}[{n}]")


def step_saying(entry: Any, words: str) -> Any:
    found = [step for step in entry["steps"] if words in step["say"]["en"]]
    assert len(found) == 1, f"{len(found)} steps say {words!r}"
    return found[0]


def words_in(entry: Any) -> str:
    return " ".join(text["en"] for _, text in texts_of(entry))
