"""The calls on the operating system that a carrier makes, one by one.

Not what they are made for. One rule: nothing is decided here, so a test puts a failing one in the place of any.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class SystemCalls:
    """The calls on the operating system that a carrier makes; a test puts a failing one in their place."""

    def scan(self, folder: Path) -> Iterator[tuple[str, int]]:
        """Name and mode of all that lies in a folder, links not followed, one after the other."""
        with os.scandir(folder) as entries:
            for entry in entries:
                yield entry.name, entry.stat(follow_symlinks=False).st_mode

    def open(self, path: Path, flags: int) -> int:
        """Open and return a descriptor."""
        return os.open(path, flags, 0o644)

    def stat(self, descriptor: int) -> tuple[int, int]:
        """Mode and size [bytes] of an open file."""
        state = os.fstat(descriptor)
        return state.st_mode, state.st_size

    def read(self, descriptor: int, count: int) -> bytes:
        """Read at most so many bytes."""
        return os.read(descriptor, count)

    def write(self, descriptor: int, data: memoryview) -> int:
        """Write some of the bytes and return how many."""
        return os.write(descriptor, data)

    def sync(self, descriptor: int) -> None:
        """Wait until the medium has it."""
        os.fsync(descriptor)

    def forget(self, descriptor: int) -> bool:
        """Drop the file from the cache, so that reading asks the medium; whether that can be done here."""
        advise = getattr(os, "posix_fadvise", None)
        if advise is None:
            return False
        advise(descriptor, 0, 0, os.POSIX_FADV_DONTNEED)
        return True

    def close(self, descriptor: int) -> None:
        """Give the descriptor back."""
        os.close(descriptor)

    def rename(self, old: Path, new: Path) -> None:
        """Put a file in the place of another at one stroke."""
        old.replace(new)

    def remove(self, path: Path) -> None:
        """Remove a file or a link."""
        path.unlink()

    def make_folder(self, path: Path) -> None:
        """Make one folder."""
        path.mkdir()
