"""Sticks that fail, lie or are pulled out: real system calls, some of which go wrong.

Nothing is imitated but the fault itself. One rule: a fault comes at a chosen call, so that every call can be tried.
"""

from __future__ import annotations

import errno
import os
from typing import TYPE_CHECKING

from sync.system_calls import SystemCalls

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path


class Faulty(SystemCalls):
    """Real calls, of which some fail; counts them all."""

    def __init__(self, *, fail: Callable[[int, str], int | None] = lambda _number, _call: None) -> None:
        self.number = 0
        self._fail = fail

    def _count(self, call: str) -> None:
        self.number += 1
        code = self._fail(self.number, call)
        if code is not None:
            raise OSError(code, os.strerror(code))

    def scan(self, folder: Path) -> Iterator[tuple[str, int]]:
        self._count("scan")
        return super().scan(folder)

    def open(self, path: Path, flags: int) -> int:
        self._count("open")
        return super().open(path, flags)

    def read(self, descriptor: int, count: int) -> bytes:
        self._count("read")
        return super().read(descriptor, count)

    def write(self, descriptor: int, data: memoryview) -> int:
        self._count("write")
        return super().write(descriptor, data[: max(1, len(data) // 2)])  # short, as a pipe or a full disk may be

    def sync(self, descriptor: int) -> None:
        self._count("sync")
        super().sync(descriptor)

    def rename(self, old: Path, new: Path) -> None:
        self._count("rename")
        super().rename(old, new)

    def remove(self, path: Path) -> None:
        self._count("remove")
        super().remove(path)

    def make_folder(self, path: Path) -> None:
        self._count("make_folder")
        super().make_folder(path)


class Forgetful(SystemCalls):
    """A stick that is smaller than it says: what is written last comes back as zeros."""

    def read(self, descriptor: int, count: int) -> bytes:
        return bytes(len(super().read(descriptor, count)))


class Uncached(SystemCalls):
    """A system on which the cache cannot be passed by."""

    def forget(self, descriptor: int) -> bool:
        return descriptor < 0


class Pulled(BaseException):
    """The power went, or the stick: nothing that comes after in the program runs."""


class Gone:
    """A stick that is there no more from one call on."""

    def __init__(self, first: int) -> None:
        self.number = 0
        self._first = first

    @property
    def is_gone(self) -> bool:
        return self.number >= self._first

    def tick(self, _call: str) -> None:
        self.number += 1
        if self.is_gone:
            raise OSError(errno.ENODEV, os.strerror(errno.ENODEV))


class Small(Faulty):
    """A stick with room for so many bytes more."""

    def __init__(self, room_bytes: int) -> None:
        super().__init__()
        self.room_bytes = room_bytes

    def write(self, descriptor: int, data: memoryview) -> int:
        if len(data) > self.room_bytes:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        self.room_bytes -= len(data)
        return SystemCalls.write(self, descriptor, data)


class Shrunk(SystemCalls):
    """A stick that is smaller than it says: it takes everything, and what is over its size is zeros."""

    def __init__(self, room_bytes: int) -> None:
        self._room_bytes = room_bytes

    def write(self, descriptor: int, data: memoryview) -> int:
        self._room_bytes -= len(data)
        return super().write(descriptor, data if self._room_bytes >= 0 else memoryview(bytes(len(data))))
