"""Folders made to wear a site down are left behind in little time and memory; ``python -m tests.sync.hostile`` in full.

Times are not asserted here, but for ratios of one run.
"""

from __future__ import annotations

import pytest

from tests.sync import hostile

SHARE = 0.01


@pytest.mark.parametrize("scene", hostile.SCENES)
def test_a_hostile_folder_is_worked_through_in_bounded_memory(scene: str) -> None:
    """What must hold of each is asserted in its scene."""
    figures = hostile.run_scene(scene, SHARE)
    assert figures["MiB above start"] <= hostile.MEMORY_MIB
    if scene == "flood":
        assert figures["seconds until it acts"] < figures["seconds"] / 2, "a flood keeps another's withdrawal waiting"
