"""Stewards choose their next version together, one voice at a site at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.orrendal import steward

if TYPE_CHECKING:
    from tests.orrendal import Circle


def labels(circle: Circle, letter: str) -> list[str]:
    ledger = circle[letter].need_ledger()
    return sorted(one["label"] for one in ledger.who()["stewards"])


def test_a_second_steward_joins_the_version_that_the_first_has_stated(circle: Circle) -> None:
    next_ones = [steward(circle, label) for label in ("C1", "L1")]
    circle["L"].state_stewards(next_ones, threshold=2, signer=circle.signer("L1"))
    circle.carry("LC")
    assert labels(circle, "C") == ["C1", "L1", "S1"]
    circle["C"].state_stewards(next_ones, threshold=2, signer=circle.signer("C1"))
    circle.carry("CTLS")
    assert [labels(circle, letter) for letter in "CTLS"] == [["C1", "L1"]] * 4
    assert len(circle.states()) == 1


def test_a_voice_for_other_stewards_is_a_version_of_its_own(circle: Circle) -> None:
    circle["L"].state_stewards(
        [steward(circle, label) for label in ("C1", "L1")], threshold=2, signer=circle.signer("L1")
    )
    circle.carry("LC")
    circle["C"].state_stewards(
        [steward(circle, label) for label in ("C1", "S1")], threshold=2, signer=circle.signer("C1")
    )
    circle.carry("CTLS")
    assert labels(circle, "S") == ["C1", "L1", "S1"]
