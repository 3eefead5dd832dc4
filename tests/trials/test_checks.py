"""Each line of the table of outside checks holds, and the table prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.trials.checks import main

if TYPE_CHECKING:
    import pytest


def test_every_outside_check_holds_and_is_printed_with_its_source(capsys: pytest.CaptureFixture[str]) -> None:
    checks = main()
    assert [f"{one.what}: {one.published} against {one.computed}" for one in checks if not one.holds] == []
    out = capsys.readouterr().out
    assert "sprays C less A: low; Beall (1942), Biometrika 29:243-262" in out
    assert out.splitlines()[-1] == f"{len(checks)} of {len(checks)} hold"
    assert len(checks) > 85
