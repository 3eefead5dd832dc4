"""Files (photos, drawings) kept under their digest.

Not a cache and not part of the set: a file not yet here is wanted, not a fault. One rule: what is given out
was hashed on the way out; a damaged file counts as not held, and is asked for again.
"""

from __future__ import annotations

import os
import re
import stat
import tempfile
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from sync.errors import LocalError, RemoteError
from sync.limits import ATTACHMENT_BYTES_MAX

if TYPE_CHECKING:
    from collections.abc import Iterator

ATTACHMENT_PATH = re.compile(r"attachments/(?P<two>[0-9a-f]{2})/(?P<id>(?P=two)[0-9a-f]{62})")
_INCOMING = "incoming-"


def attachment_id(data: bytes) -> str:
    """The name of a file, 64 hex."""
    return sha256(data).hexdigest()


def attachment_path(name: str) -> str:
    """Where a file lies, in a site's folder as on a carrier."""
    return f"attachments/{name[:2]}/{name}"


class Attachments:
    """The attachments of one site, below ``folder/attachments``."""

    def __init__(self, folder: Path) -> None:
        """Keep the place; nothing is read or made before it is needed.

        Args:
            folder: The folder of the store.
        """
        self._folder = folder

    def put(self, data: bytes) -> str:
        """Keep a file, durably, and give its id; keeping it twice changes nothing.

        Raises:
            LocalError: It is larger than any attachment may be, or the disk does not take it.
        """
        if len(data) > ATTACHMENT_BYTES_MAX:
            raise LocalError(
                f"the file has {len(data)} bytes where at most {ATTACHMENT_BYTES_MAX} are allowed",
                hint="make it smaller first",
            )
        name = attachment_id(data)
        try:
            if self.get(name) is None:
                self._write(self._path(name), data)
        except OSError as error:
            raise LocalError(
                f"a photo or file cannot be kept at this site ({error.strerror})",
                hint="look whether the disk is full; what was kept before is safe",
            ) from error
        return name

    def get(self, name: str) -> bytes | None:
        """A file whose digest was checked just now, None where it is not held (a damaged one is not)."""
        data = _read_regular(self._path(name))
        return data if data is not None and attachment_id(data) == name else None

    def has(self, name: str) -> bool:
        """Whether a sound file is held."""
        return self.get(name) is not None

    def keeps(self, name: str) -> bool:
        """Whether anything is kept under an id; `get` tells whether it is sound."""
        return self._path(name).is_file()

    def remove(self, name: str) -> None:
        """Remove a file that an authorised redaction names."""
        self._path(name).unlink(missing_ok=True)

    def ids(self) -> tuple[str, ...]:
        """The ids under which anything is kept, sorted; `get` tells whether it is sound."""
        return tuple(sorted(self._names()))

    def damaged(self) -> tuple[str, ...]:
        """The ids whose files are not what their names say, sorted; every file is read."""
        return tuple(name for name in self.ids() if not self.has(name))

    def set_aside_damaged(self) -> None:
        """Move what is damaged out of the way, so that it is wanted again; whoever needs it still finds it there."""
        for name in self.damaged():
            self._path(name).replace(self._path(name).with_name(f"{name}.damaged"))

    def sweep(self) -> None:
        """Remove what a power cut left half-written; only while no other process uses the folder."""
        for left in self._folder.glob(f"attachments/*/{_INCOMING}*"):
            left.unlink(missing_ok=True)

    def _names(self) -> Iterator[str]:
        for path in self._folder.glob("attachments/*/*"):
            if ATTACHMENT_PATH.fullmatch(path.relative_to(self._folder).as_posix()):
                yield path.name

    def _path(self, name: str) -> Path:
        path = attachment_path(name)
        if not ATTACHMENT_PATH.fullmatch(path):
            raise RemoteError(f"{name!a} is not the id of an attachment")
        return self._folder / path

    def _write(self, path: Path, data: bytes) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, incoming = tempfile.mkstemp(prefix=_INCOMING, dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(incoming).replace(path)
        finally:
            Path(incoming).unlink(missing_ok=True)
        for folder in (path.parent, path.parent.parent, self._folder):
            _sync_folder(folder)


def _read_regular(path: Path) -> bytes | None:
    """The bytes of a regular file of lawful size; a link, a folder or a device is never opened."""
    try:
        found = path.lstat()
        if not stat.S_ISREG(found.st_mode) or found.st_size > ATTACHMENT_BYTES_MAX:
            return None
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
