"""What README tells a stranger to type is what the command takes, and what a machine runs."""

from __future__ import annotations

import re
import shlex
import subprocess
from typing import TYPE_CHECKING

import pytest

from fieldbook.cli.arguments import build_parser
from tests.house.test_shape import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator

README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```sh\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
VERBS = sorted(verb for action in build_parser()._actions if action.dest == "verb" for verb in action.choices or ())


def told() -> Iterator[list[str]]:
    """Give the words after ``fieldbook`` of each command that stands in a block of README."""
    for block in BLOCKS:
        for line in block.replace("\\\n", " ").splitlines():
            words = shlex.split(line, comments=True)
            if words and words[0] == "fieldbook":
                yield words[1:]


@pytest.mark.parametrize("words", list(told()), ids=" ".join)
def test_each_command_in_readme_is_one_that_the_program_takes(words: list[str]) -> None:
    assert build_parser().parse_args(words).verb in VERBS


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_stands_in_readme(verb: str) -> None:
    assert re.search(rf"\bfieldbook\b[^\n`]*\s{re.escape(verb)}\b", README)


def test_the_test_line_is_found_by_the_machine_that_runs_it() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    program = re.search(r"awk '(.*?)' README\.md", script)
    assert program is not None
    line = subprocess.run(["awk", program[1], "README.md"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert line.count("\n") == 1
    assert "python3 -m venv .venv" in line
    assert line.rstrip().endswith("-m tests.check")
    assert any(line == block for block in BLOCKS)
