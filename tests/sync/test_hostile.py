"""Folders made to wear a site down are left behind in little time and memory; ``python -m tests.sync.hostile`` in full.

No time is asserted here.
"""

from __future__ import annotations

import sys

import pytest

from sync.exchange.taking import PORTION_FIRST, Taking
from tests.sync import hostile
from tests.thorough import tried

SHARE = 0.01
SHARES = {
    "many logs": 0.001, "small bundles": 0.001, "stripped": 0.002, "stopped": 0.002, "named": 0.006,
    "named again": 0.002, "sites": 0.006, "sites that speak": 0.005, "reviewers": 0.002, "receipts": 0.03, "stops": 0.002, "stops of one": 0.002,
    "liftings": 0.002, "lists": 0.002, "voices": 0.002,
}  # they are the largest  # fmt: skip
SITES = 3
IN_A_BUNDLE = 50  # as the flood at this share has them


@pytest.mark.parametrize(
    "scene",
    tried(
        ("rubbish", "many files", "bomb", "strangers", "flood", "stopped", "named", "voices", "receipts"),
        tuple(hostile.SCENES),
    ),
)
def test_a_hostile_folder_is_worked_through_in_bounded_memory(scene: str) -> None:
    """What must hold of each is asserted in its scene."""
    figures = hostile.run_scene(scene, SHARES.get(scene, SHARE))
    assert figures["MiB above start"] <= hostile.MEMORY_MIB
    if scene == "flood":
        assert figures["bundles until it acts"] <= PORTION_FIRST, "a flood keeps another's withdrawal waiting"


def test_bundles_of_one_site_that_are_full_keep_those_of_another_waiting_for_two_portions_at_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys.modules[Taking.__module__], "PORTION_STATEMENTS", IN_A_BUNDLE)
    assert hostile.run_scene("flood", SHARE)["bundles until it acts"] <= SITES
