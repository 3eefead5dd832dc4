"""Each line of the table of outside checks holds, and the table prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.climate import oracles
from tests.climate.checks import Check, main
from tests.climate.oracles import MIDDLES, eto_mm_day

if TYPE_CHECKING:
    import pytest


def test_every_outside_check_holds_and_is_printed_with_its_source(capsys: pytest.CaptureFixture[str]) -> None:
    checks = main()
    assert [f"{one.what}: {one.published} against {one.computed}" for one in checks if not one.holds] == []
    out = capsys.readouterr().out
    assert "5.72     5.7161   -0.0039   0.015   ETo of April, monthly means [mm/day]; FAO-56 Example 17, p 70" in out
    assert "refet 0.5.0" in out
    assert out.splitlines()[-1] == f"{len(checks)} of {len(checks)} hold"
    assert len(checks) > 180


def test_a_line_that_lies_too_far_off_is_seen() -> None:
    assert not Check("x", "y", 1.0, 1.2, 0.1).holds
    assert Check("x", "y", 1.0, 1.1 - 1e-9, 0.1).holds


def test_the_libraries_would_tell_a_wrong_sign_of_latitude() -> None:
    north = eto_mm_day(latitude_deg=30, day=15, elevation_m=0, rs=10, wind_m_s=2)
    south = eto_mm_day(latitude_deg=-30, day=15, elevation_m=0, rs=10, wind_m_s=2)
    assert abs(north - south) > 10 * oracles.refet_eto("asce").by
    assert len(MIDDLES) == 12
