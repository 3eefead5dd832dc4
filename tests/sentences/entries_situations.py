"""Every sentence of the area `entries`, with the situation in which a person reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.sentences.scene import Situation

SITUATIONS: tuple[Situation, ...] = ()
