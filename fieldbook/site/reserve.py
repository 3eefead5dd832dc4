"""Room on the disk that is kept for what stops harm.

A file of zeros that is let go while urgent words are taken in and shown, and kept again afterwards, so that drafts,
photos and the index can fill a disk without keeping a withdrawal out. Its one rule: it is given only where the disk is
nearly full, and kept again before anything else is written.
"""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

RESERVE_BYTES = 4 * 1024 * 1024  # a thousand urgent words of 1 KB, thrice: in the store, in its log, and in the view


def free_bytes(folder: Path) -> int:
    """How much room the disk under a folder has for us [bytes]."""
    return shutil.disk_usage(folder).free


class Reserve:
    """The reserve of one site."""

    def __init__(
        self, folder: Path, *, size_bytes: int = RESERVE_BYTES, free: Callable[[Path], int] = free_bytes
    ) -> None:
        """Remember the place; nothing is written before ``keep``.

        Args:
            folder: the site's.
            size_bytes: how much is kept; 0 keeps none.
            free: tells how much room the disk under a folder has.
        """
        self._folder = folder
        self._file = folder / "urgent.reserve"
        self._size_bytes = size_bytes
        self._free = free

    def keep(self) -> None:
        """Set the room aside, where it is not yet and the disk has more than twice as much."""
        if not self._size_bytes or self._file.exists():
            return
        part = self._file.with_suffix(".part")
        try:
            if self._free(self._folder) > 2 * self._size_bytes:
                with part.open("wb") as file:
                    os.posix_fallocate(file.fileno(), 0, self._size_bytes)
                part.replace(self._file)
        except OSError:
            part.unlink(missing_ok=True)  # a disk that takes no reserve serves without one

    def give(self) -> None:
        """Let the room go where the disk is nearly full, for urgent words to be written."""
        if self._file.exists() and self._free(self._folder) < self._size_bytes:
            self._file.unlink(missing_ok=True)
