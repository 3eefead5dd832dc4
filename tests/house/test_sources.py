"""Every work that a rule cites is in the table of sources, and every work in the table is cited."""

from __future__ import annotations

import ast
import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.sources import SOURCES
from tests.house.test_shape import ROOT, place, python_files

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

CITING = ("fieldbook/climate", "fieldbook/quantities", "fieldbook/review", "fieldbook/practices", "fieldbook/trials")
NO_WORK = {"arithmetic"}  # a sum that anyone can check needs no work
CITED = re.compile(r"^\s*Source: ([^\s,;:]+?)\.?(?=[\s,;:]|$)", re.MULTILINE)


def cited(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            yield from CITED.findall(ast.get_docstring(node) or "")


def test_each_work_that_a_docstring_cites_is_in_the_table() -> None:
    unknown = {
        f"{place(path)}: {key}"
        for path in python_files(*CITING)
        for key in cited(path)
        if key not in SOURCES and key not in NO_WORK
    }
    assert unknown == set()


def test_each_work_in_the_table_is_cited_somewhere() -> None:
    texts = [path.read_text(encoding="utf-8") for path in python_files("fieldbook") if path.name != "sources.py"]
    texts += [
        path.read_text(encoding="utf-8")
        for path in (ROOT / "seed_entries").rglob("*")
        if path.suffix in {".json", ".csv"}
    ]
    everything = "\n".join(texts)
    assert [key for key in SOURCES if not re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", everything)] == []


@pytest.mark.parametrize("key", SOURCES)
def test_each_work_says_what_it_is_and_how_far_it_was_seen(key: str) -> None:
    source = SOURCES[key]
    assert source.key == key
    assert source.title
    assert source.mark in {"read", "secondary", "computed", "from memory", "common practice"}
