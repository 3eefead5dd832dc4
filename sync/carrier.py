"""A folder that carries files between sites: a stick, or a meeting folder on a share.

Not a place that is trusted, and not one that knows what its files mean: it may be full, failing, read-only, smaller
than it says, pulled out half-way, or prepared by somebody hostile. One rule: only regular files under plain names are
ever opened, a file appears under its name whole or not at all, and nothing counts as written before it was read back.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import stat
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

Cause = Literal["gone", "full", "read-only", "odd", "fault"]

PLAIN_NAME = re.compile(r"[a-z0-9][a-z0-9.-]{0,99}")
LEFTOVER = ".part"  # ends the name under which a file is written until it is whole
_NETWORK_FOLDER = re.compile(r"tried-ground-[0-9a-f]{26}", re.IGNORECASE)
_READ_FLAGS = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC
_WRITE_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW | os.O_CLOEXEC
_CHUNK_BYTES = 256 * 1024
_NO_SUCH_SERVICE = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES, errno.EISDIR}

_CAUSES: dict[int, Cause] = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EFBIG: "full",
    errno.EROFS: "read-only",
    errno.EACCES: "read-only",
    errno.EPERM: "read-only",
    errno.ENOENT: "gone",
    errno.ENODEV: "gone",
    errno.ENXIO: "gone",
    errno.ENOMEDIUM: "gone",
    errno.ELOOP: "odd",
    errno.ENOTDIR: "odd",
    errno.EISDIR: "odd",
}


def _told(cause: Cause, file: str) -> tuple[str, str]:
    """What happened at a file, and what to do."""
    match cause:
        case "gone":
            return f"{file} is no longer there", "put the stick in again and repeat the exchange"
        case "full":
            return f"there is no room on the carrier for {file}", "free some space on it, or bring a larger one"
        case "read-only":
            return (
                f"the carrier does not allow {file} to be written or opened",
                "look for a write lock, or for its owner",
            )
        case "odd":
            return f"{file} is not a regular file, so it is left unopened", "remove it if you do not know what it is"
        case "fault":
            return f"the carrier failed at {file}", "copy what you can, and replace the stick soon"


class CarrierError(RemoteError):
    """The carrier could not do what was asked.

    Attributes:
        file: The name on the carrier.
        cause: One of a closed list, for whoever decides what comes next.
    """

    def __init__(self, cause: Cause, file: str, *, detail: str = "") -> None:
        """Say it in one sentence."""
        message, hint = _told(cause, file)
        super().__init__(f"{message} ({detail})" if detail else message, hint=hint)
        self.file = file
        self.cause: Cause = cause


@dataclass(frozen=True)
class Listing:
    """What lies in one folder of a carrier, under plain lower-case names and sorted.

    Attributes:
        files: Regular files.
        folders: Real folders, never links to some.
        odd: Links, devices and pipes under plain names: named, never opened.
    """

    files: tuple[str, ...] = ()
    folders: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()


@dataclass(frozen=True)
class Proof:
    """What reading back has shown.

    Attributes:
        asked: Whether the medium itself answered; where the cache cannot be passed by, all is written, not proven.
        failed: One error for each file or folder that is not as it was written.
    """

    asked: bool
    failed: tuple[CarrierError, ...]


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


class FolderCarrier:
    """A folder in the file system, spoken to in lower-case names with ``/`` between the parts.

    A file system may show names in capitals or compare them without case, so names are matched without it.
    """

    def __init__(self, path: Path | str, *, calls: SystemCalls | None = None) -> None:
        """Take a folder that exists; where a network's own folder is named, the one that holds it is meant.

        Args:
            path: The root of the stick, or a meeting folder.
            calls: For tests of failing media.

        Raises:
            CarrierError: There is no such folder.
        """
        folder = Path(path)
        self.root = folder.parent if _NETWORK_FOLDER.fullmatch(folder.name) else folder
        self._calls = calls or SystemCalls()
        self._spelled: dict[str, str] = {"": ""}
        self._touched: set[str] = set()
        self._written: dict[str, tuple[int, str]] = {}
        if not self.root.is_dir():
            raise CarrierError("gone", str(path))

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Listing:
        """What lies in a folder; a folder that is not there is empty.

        Args:
            folder: Which one; the root unless told otherwise.
            wanted: True for the names, in small letters, that matter; whatever else lies there costs no memory.

        Raises:
            CarrierError: It cannot be listed, or is no real folder.
        """
        if folder and not self._find(folder):
            return Listing()
        found = self._scan(folder, wanted)
        return Listing(
            files=tuple(name for name, mode in found if stat.S_ISREG(mode)),
            folders=tuple(name for name, mode in found if stat.S_ISDIR(mode)),
            odd=tuple(name for name, mode in found if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)),
        )

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        """The content of a regular file; of one that is too large only so much as shows that it is.

        Args:
            name: Where it lies.
            limit_bytes: The largest that such a file can be; at most one more is read [bytes].

        Raises:
            CarrierError: It is not there, no regular file, or cannot be read.
        """
        try:
            return self._read(name, limit_bytes)[0]
        except OSError as error:
            raise _translated(error, name) from error

    def write(self, name: str, data: bytes) -> None:
        """Put a file under its name, whole or not at all; `prove` it before you trust it.

        Raises:
            CarrierError: It could not be written; what lay there before still does.
        """
        try:
            folder = self._make_folders(name.rpartition("/")[0])
            target = self._path(name) if name in self._spelled else folder / name.rpartition("/")[2]
            self._write(target, data)
        except OSError as error:
            raise _translated(error, name) from error
        self._spelled.setdefault(name, str(target.relative_to(self.root)))
        self._written[name] = len(data), sha256(data).hexdigest()

    def remove(self, name: str) -> None:
        """Remove a file or a link; one that is not there is removed already.

        Raises:
            CarrierError: It could not be removed.
        """
        if not self._find(name):
            return
        try:
            self._calls.remove(self._path(name))
        except FileNotFoundError:
            pass
        except OSError as error:
            raise _translated(error, name) from error
        self._touched.add(name.rpartition("/")[0])
        del self._spelled[name]
        self._written.pop(name, None)

    def prove(self) -> Proof:
        """Wait until the medium has all that was written since the last proof, and read it back from there."""
        asked, failed = True, []
        for folder in sorted(self._touched):
            try:
                asked = self._settle(folder) and asked
            except CarrierError as error:
                failed.append(error)
        for name, (size_bytes, digest) in self._written.items():
            try:
                asked = self._read_back(name, size_bytes, digest) and asked
            except CarrierError as error:
                failed.append(error)
        self._touched.clear()
        self._written.clear()
        return Proof(asked, tuple(failed))

    def _scan(self, folder: str, wanted: Callable[[str], object]) -> list[tuple[str, int]]:
        known: dict[str, tuple[str, int]] = {}
        try:
            if folder and not stat.S_ISDIR(self._path(folder).lstat().st_mode):
                raise CarrierError("odd", folder)
            for spelling, mode in self._calls.scan(self._path(folder)):
                name = spelling.lower()
                if PLAIN_NAME.fullmatch(name) and wanted(name):
                    # of names that differ only in case, the one in small letters: it is the last in order
                    known[name] = max(known.get(name, ("", 0)), (spelling, mode))
        except OSError as error:
            raise _translated(error, folder or str(self.root)) from error
        prefix, real = (f"{folder}/", f"{self._spelled[folder]}/") if folder else ("", "")
        for name, (spelling, mode) in known.items():
            # how a file is spelled that has its own name is soon found again, and thousands need not be kept
            if spelling != name or stat.S_ISDIR(mode):
                self._spelled[prefix + name] = real + spelling
        return sorted((name, mode) for name, (_, mode) in known.items())

    def _find(self, name: str) -> bool:
        """Learn how a name is spelled here; whether it is there at all."""
        if name in self._spelled:
            return True
        folder, _, last = name.rpartition("/")
        if not self._find(folder):
            return False
        spelled = f"{self._spelled[folder]}/{last}" if folder else last
        try:
            (self.root / spelled).lstat()
        except OSError:
            self._scan(folder, last.__eq__)
        else:
            self._spelled[name] = spelled
        return name in self._spelled

    def _path(self, name: str) -> Path:
        return self.root / self._spelled[name]

    def _make_folders(self, folder: str) -> Path:
        if not self._find(folder):
            outer, _, name = folder.rpartition("/")
            made = self._make_folders(outer) / name
            self._calls.make_folder(made)
            self._touched.update((outer, folder))
            self._spelled[folder] = str(made.relative_to(self.root))
        self._touched.add(folder)
        path = self._path(folder)
        if not stat.S_ISDIR(path.lstat().st_mode):
            raise NotADirectoryError(errno.ENOTDIR, "not a folder")
        return path

    def _write(self, target: Path, data: bytes) -> None:
        part = target.with_name(target.name + LEFTOVER)
        try:
            descriptor = self._calls.open(part, _WRITE_FLAGS)
            try:
                rest = memoryview(data)
                while rest:
                    rest = rest[self._calls.write(descriptor, rest[:_CHUNK_BYTES]) :]
                self._calls.sync(descriptor)
            finally:
                self._calls.close(descriptor)
            self._calls.rename(part, target)
        except OSError:
            with contextlib.suppress(OSError):  # the error that is raised says more; what is left is cleared later
                self._calls.remove(part)
            raise

    def _read_back(self, name: str, size_bytes: int, digest: str) -> bool:
        try:
            data, asked = self._read(name, size_bytes)
        except OSError as error:
            raise _translated(error, name) from error
        if sha256(data).hexdigest() != digest:
            raise CarrierError("fault", name, detail="what is read back is not what was written")
        return asked

    def _read(self, name: str, limit_bytes: int) -> tuple[bytes, bool]:
        if not self._find(name):
            raise CarrierError("gone", name)
        path = self._path(name)
        if not stat.S_ISREG(path.lstat().st_mode):
            raise CarrierError("odd", name)
        descriptor = self._calls.open(path, _READ_FLAGS)
        try:
            mode, size_bytes = self._calls.stat(descriptor)
            if not stat.S_ISREG(mode):
                raise CarrierError("odd", name)
            asked = self._calls.forget(descriptor)
            return self._read_all(descriptor, min(size_bytes, limit_bytes + 1)), asked
        finally:
            self._calls.close(descriptor)

    def _read_all(self, descriptor: int, size_bytes: int) -> bytes:
        parts, rest = [], size_bytes
        while rest and (part := self._calls.read(descriptor, min(rest, _CHUNK_BYTES))):
            parts.append(part)
            rest -= len(part)
        return b"".join(parts)

    def _settle(self, folder: str) -> bool:
        try:
            descriptor = self._calls.open(self._path(folder), os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
            try:
                self._calls.sync(descriptor)
            finally:
                self._calls.close(descriptor)
        except OSError as error:
            if error.errno in _NO_SUCH_SERVICE:
                return False
            raise _translated(error, folder) from error
        return True


def _translated(error: OSError, name: str) -> CarrierError:
    cause = _CAUSES.get(error.errno or 0, "fault")
    return CarrierError(cause, name, detail=os.strerror(error.errno) if cause == "fault" and error.errno else "")
