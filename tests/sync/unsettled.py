"""A stick on which nothing counts before it was synced: writes come late, in any order, torn or not at all.

The model is that of FAT: no journal, no order among what was not synced, a rename that is not atomic, an entry that
stands without its data or with a stale tail. Real calls on a real folder; `crash` then puts in place one of the states
that could have been found. One rule: what was synced, data by its file and name by its folder, is never touched.
"""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING, Literal

from sync.system_calls import SystemCalls

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path
    from random import Random

Manner = Literal["old", "new", "gone", "empty", "torn", "stale", "any"]
MANNERS: tuple[Manner, ...] = ("old", "new", "gone", "empty", "torn", "stale", "any")
BLOCK_BYTES = 512  # of a stick: what is torn is torn between two of them


class Unsettled(SystemCalls):
    """Real calls that remember what is not yet on the medium.

    Args:
        tick: Called before each call; where it raises, the call is not made.
    """

    def __init__(self, tick: Callable[[str], None] = lambda _call: None) -> None:
        self._tick = tick
        self._paths: dict[int, Path] = {}
        self._past: dict[Path, list[bytes | None]] = {}
        self._new_folders: list[Path] = []

    def scan(self, folder: Path) -> Iterator[tuple[str, int]]:
        self._tick("scan")
        return super().scan(folder)

    def open(self, path: Path, flags: int) -> int:
        self._tick("open")
        if flags & os.O_CREAT:
            self._note(path)
        descriptor = super().open(path, flags)
        self._paths[descriptor] = path
        return descriptor

    def read(self, descriptor: int, count: int) -> bytes:
        self._tick("read")
        return super().read(descriptor, count)

    def write(self, descriptor: int, data: memoryview) -> int:
        self._tick("write")
        return super().write(descriptor, data)

    def sync(self, descriptor: int) -> None:
        self._tick("sync")
        super().sync(descriptor)
        folder = self._paths[descriptor]
        self._past = {path: past for path, past in self._past.items() if path.parent != folder}
        self._new_folders = [path for path in self._new_folders if path.parent != folder]

    def close(self, descriptor: int) -> None:
        self._paths.pop(descriptor, None)
        super().close(descriptor)

    def rename(self, old: Path, new: Path) -> None:
        self._tick("rename")
        self._note(old)
        self._note(new)
        super().rename(old, new)

    def remove(self, path: Path) -> None:
        self._tick("remove")
        self._note(path)
        super().remove(path)

    def make_folder(self, path: Path) -> None:
        self._tick("make_folder")
        super().make_folder(path)
        self._new_folders.append(path)

    def crash(self, chance: Random, manner: Manner = "any") -> None:
        """Leave the stick as it might be found."""
        for path, past in self._past.items():
            states = _states([*past, _content(path)], chance)
            state = states[chance.choice(MANNERS[:-1]) if manner == "any" else manner]
            path.unlink(missing_ok=True)
            if state is not None:
                path.write_bytes(state)
        for folder in reversed(self._new_folders):
            if manner == "old" or (manner == "any" and chance.random() < 0.3):
                shutil.rmtree(folder)
        self._past, self._new_folders = {}, []

    def _note(self, path: Path) -> None:
        self._past.setdefault(path, []).append(_content(path))


def _content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _states(past: list[bytes | None], chance: Random) -> dict[Manner, bytes | None]:
    """What may be found under a name that held these contents, one after the other, since it was last synced."""
    contents = [content for content in past if content]
    new = contents[-1] if contents else b""
    cut = BLOCK_BYTES * chance.randrange(1 + len(new) // BLOCK_BYTES)
    return {
        "old": past[0],
        "new": past[-1],
        "gone": None,
        "empty": b"",
        "torn": new[:cut],
        "stale": new[:cut] + chance.randbytes(min(len(new) - cut, BLOCK_BYTES)) + new[cut + BLOCK_BYTES :],
    }
