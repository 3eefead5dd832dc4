"""The calculators against every figure that others printed, misprints included (the table of ``checks``)."""

from __future__ import annotations

import pytest

from tests.quantities.checks import ROWS, Outcome, main, outcomes


@pytest.mark.parametrize("one", list(outcomes()), ids=lambda one: one.row.what.strip())
def test_a_figure_is_as_printed_and_a_misprint_is_not_repeated(one: Outcome) -> None:
    assert one.good, f"{one.row.what}: {one.row.published} printed in {one.row.source}, {one.computed} computed"


def test_the_table_names_each_check_once_and_says_how_many_prints_err(capsys: pytest.CaptureFixture[str]) -> None:
    assert main() == 0
    said = capsys.readouterr().out.splitlines()
    assert len(said) == len(ROWS) + 3
    assert said[-1].endswith("0 off")
    assert sum("errs, found" in line for line in said) == sum(row.errs for row in ROWS) >= 10
    assert all(row.source for row in ROWS)
