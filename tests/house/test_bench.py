"""The command that measures still measures: each subject at its smallest, with a floor beside each figure."""

from __future__ import annotations

import pytest

from tests.bench.__main__ import SUBJECTS, main


@pytest.mark.parametrize("subject", SUBJECTS)
def test_each_subject_gives_figures_against_a_floor(subject: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--only", subject, "--smallest", "--markdown"]) == 0
    rows = capsys.readouterr().out.strip().splitlines()
    assert rows[0].startswith("| what | floor")
    assert len(rows) > 2
    assert all(row.count("|") == rows[0].count("|") for row in rows)
