"""The table of bad days names tests that are there."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TABLE = ROOT / "tests" / "faults" / "README.md"
BAD_DAYS_AT_LEAST = 110  # it may only grow


@cache
def names_in(file: str) -> frozenset[str]:
    path = ROOT / file
    if not path.is_file():
        return frozenset()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return frozenset(node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def test_each_bad_day_names_a_test_that_is_there() -> None:
    rows = [
        line
        for line in TABLE.read_text(encoding="utf-8").splitlines()
        if line.startswith("| ") and "bad day" not in line
    ]
    assert len(rows) >= BAD_DAYS_AT_LEAST
    named = [re.fullmatch(r"\| .+ \| `(tests/[\w/]+\.py)::(test_\w+)` \|", row) for row in rows]
    assert [row for row, found in zip(rows, named, strict=True) if found is None] == []
    assert [found[0] for found in named if found is not None and found[2] not in names_in(found[1])] == []
