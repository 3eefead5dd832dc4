"""What one steward says very often, and long receipts, are taken in and left within the memory of any other exchange.

At 100,000 and more: ``python -m tests.bench --only floods`` judges as much. No time is asserted here.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from tests.fast import memory_folder
from tests.sync.hostile import MEMORY_MIB
from tests.sync.hostile_stewards import SCENES
from tests.thorough import tried

SHARES = {"receipts": 0.03}
SHARE = 0.002


@pytest.mark.parametrize("scene", tried(("voices", "receipts"), tuple(SCENES)))
def test_what_one_steward_says_very_often_is_exchanged_in_bounded_memory(scene: str) -> None:
    """What must hold of each is asserted in its scene."""
    with tempfile.TemporaryDirectory(dir=memory_folder()) as folder:
        figures = SCENES[scene](Path(folder), SHARES.get(scene, SHARE))
    assert figures["MiB above start"] <= MEMORY_MIB
