"""How much the suite tries: as much as it has time for, and with ``THOROUGH=1`` in the environment several times that.

Not a test. One rule: what is left out is more of the same, never the only test of something.
"""

from __future__ import annotations

import os
from typing import TypeVar

TriedT = TypeVar("TriedT")


def tried(usually: TriedT, thoroughly: TriedT) -> TriedT:
    """What is tried now: the first, or the second where the environment asks for it."""
    return thoroughly if os.environ.get("THOROUGH") == "1" else usually
