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
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple

from sync.errors import RemoteError
from sync.system_calls import SystemCalls

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

Cause = Literal["gone", "full", "read-only", "odd", "fault"]

PLAIN_NAME = re.compile(r"[a-z0-9][a-z0-9.-]{0,99}")
LEFTOVER = ".part"  # ends the name under which a file is written until it is whole
_NETWORK_FOLDER = re.compile(r"tried-ground-[0-9a-f]{26}", re.IGNORECASE)
_READ_FLAGS = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC
_WRITE_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW | os.O_CLOEXEC
_CHUNK_BYTES = 256 * 1024
KNOWN_MAX = 1024  # names and folders that a carrier remembers, however many there are
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


class Found(NamedTuple):
    """Something in a folder of a carrier.

    Attributes:
        name: Plain and in small letters.
        kind: A regular file, a real folder and never a link to one, or odd: a link, a device, a pipe, never opened.
        spelled: The name as it stands there.
    """

    name: str
    kind: Literal["file", "folder", "odd"]
    spelled: str


class Written(NamedTuple):
    """A file as it was written.

    Attributes:
        name: Where.
        size_bytes: How long it is [bytes].
        digest: SHA-256 of it, 64 hex.
    """

    name: str
    size_bytes: int
    digest: str


class FolderCarrier:
    """A folder in the file system, spoken to in lower-case names with ``/`` between the parts.

    A file system may show names in capitals or compare them without case, so names are matched without it; whoever
    names a file as it is spelled there is understood sooner. However much lies in the folder, little is remembered.
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
        self._spelled: dict[str, str] = {}
        self._touched: set[str] = set()
        self._settled = True
        self._unsettled: list[CarrierError] = []
        if not self.root.is_dir():
            raise CarrierError("gone", str(path))

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[Found]:
        """What lies in a folder, one after the other in no order; a folder that is not there is empty.

        Of names that differ only in case each is given.

        Args:
            folder: Which one; the root unless told otherwise.
            wanted: True for the names, in small letters, that matter.

        Raises:
            CarrierError: It cannot be listed, or no further, or is no real folder.
        """
        spelled = self._find(folder)
        if spelled is None:
            return
        try:
            if folder and not stat.S_ISDIR((self.root / spelled).lstat().st_mode):
                raise CarrierError("odd", folder)
            for spelling, mode in self._calls.scan(self.root / spelled):
                name = spelling.lower()
                if PLAIN_NAME.fullmatch(name) and wanted(name):
                    yield Found(name, _kind(mode), spelling)
        except OSError as error:
            raise _translated(error, folder or str(self.root)) from error

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

    def write(self, name: str, data: bytes) -> Written:
        """Put a file under its name, whole or not at all; `prove` it before you trust it.

        Raises:
            CarrierError: It could not be written; what lay there before still does.
        """
        try:
            folder = self._make_folders(name.rpartition("/")[0])
            known = self._spelled.get(name)
            self._write(folder / name.rpartition("/")[2] if known is None else self.root / known, data)
        except OSError as error:
            raise _translated(error, name) from error
        return Written(name, len(data), sha256(data).hexdigest())

    def remove(self, name: str) -> None:
        """Remove a file or a link; one that is not there is removed already.

        Raises:
            CarrierError: It could not be removed.
        """
        spelled = self._find(name)
        if spelled is None:
            return
        try:
            self._calls.remove(self.root / spelled)
        except FileNotFoundError:
            pass
        except OSError as error:
            raise _translated(error, name) from error
        self._touch(name.rpartition("/")[0])
        self._spelled.pop(name, None)

    def prove(self, written: Iterable[Written], *, failed: Callable[[CarrierError], None]) -> bool:
        """Wait until the medium has all that was written or removed since the last proof, and read it back from there.

        Args:
            written: What to read back.
            failed: Told of each file or folder that is not as it was written.

        Returns:
            Whether the medium itself answered; where the cache cannot be passed by, all is written, not proven.
        """
        self._settle_all()
        asked = self._settled
        for error in self._unsettled:
            failed(error)
        self._settled = True
        self._unsettled.clear()
        for each in written:
            try:
                asked = self._read_back(each) and asked
            except CarrierError as error:
                failed(error)
        return asked

    def _find(self, name: str) -> str | None:
        """How a name is spelled here, None where it is not there at all."""
        if not name:
            return ""
        known = self._spelled.get(name)
        if known is not None:
            return known
        folder, _, last = name.rpartition("/")
        within = self._find(folder)
        if within is None:
            return None
        spelled = f"{within}/{last}" if folder else last
        try:
            (self.root / spelled).lstat()
        except OSError:
            # of names that differ only in case, the one in small letters: it is the last in order
            there = max((each.spelled for each in self.look(folder, wanted=last.lower().__eq__)), default="")
            if not there:
                return None
            spelled = f"{within}/{there}" if folder else there
        self._learn(name, spelled)
        return spelled

    def _learn(self, name: str, spelled: str) -> None:
        self._spelled[name] = spelled
        if len(self._spelled) > KNOWN_MAX:
            del self._spelled[next(iter(self._spelled))]

    def _touch(self, folder: str) -> None:
        """Remember that what lies in a folder has changed; of very many, the names are synced at once."""
        self._touched.add(folder)
        if len(self._touched) > KNOWN_MAX:
            self._settle_all()

    def _settle_all(self) -> None:
        for folder in sorted(self._touched):
            try:
                self._settled = self._settle(folder) and self._settled
            except CarrierError as error:
                if len(self._unsettled) < KNOWN_MAX:
                    self._unsettled.append(error)
        self._touched.clear()

    def _make_folders(self, folder: str) -> Path:
        spelled = self._find(folder)
        if spelled is None:
            outer, _, name = folder.rpartition("/")
            made = self._make_folders(outer) / name
            self._calls.make_folder(made)
            self._touch(outer)
            spelled = str(made.relative_to(self.root))
            self._learn(folder, spelled)
        self._touch(folder)
        path = self.root / spelled
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

    def _read_back(self, written: Written) -> bool:
        try:
            data, asked = self._read(written.name, written.size_bytes)
        except OSError as error:
            raise _translated(error, written.name) from error
        if sha256(data).hexdigest() != written.digest:
            raise CarrierError("fault", written.name, detail="what is read back is not what was written")
        return asked

    def _read(self, name: str, limit_bytes: int) -> tuple[bytes, bool]:
        spelled = self._find(name)
        if spelled is None:
            raise CarrierError("gone", name)
        path = self.root / spelled
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
            spelled = self._find(folder) or folder
            descriptor = self._calls.open(self.root / spelled, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
            try:
                self._calls.sync(descriptor)
            finally:
                self._calls.close(descriptor)
        except OSError as error:
            if error.errno in _NO_SUCH_SERVICE:
                return False
            raise _translated(error, folder) from error
        return True


def _kind(mode: int) -> Literal["file", "folder", "odd"]:
    if stat.S_ISREG(mode):
        return "file"
    return "folder" if stat.S_ISDIR(mode) else "odd"


def _translated(error: OSError, name: str) -> CarrierError:
    cause = _CAUSES.get(error.errno or 0, "fault")
    return CarrierError(cause, name, detail=os.strerror(error.errno) if cause == "fault" and error.errno else "")
