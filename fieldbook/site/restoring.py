"""Putting a site back from its backup, on a new laptop.

Not a way to run a site twice. Its one rule: the new folder is built beside its place, checked, and moved there whole;
from then on the site speaks under a new log, so that no number of a bundle is ever used twice.
"""

from __future__ import annotations

import json
import os
import shutil
import tarfile
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import IO, Any

from fieldbook.ledger import begin_log_anew, key_from_file, unsealing
from fieldbook.notebook import Notebook
from fieldbook.site.backup import (
    BACKUP_VERSION,
    KEY,
    MANIFEST,
    NOTEBOOK,
    READ_BYTES,
    STORE,
    UNDER_DIGEST,
    said_plainly,
    sync_folder,
)
from fieldbook.site.parts import SiteError

Progress = Callable[[str, int, int], None]

_MB = 1_000_000
_ROOM_BESIDE_BYTES = 5 * _MB  # for the view, the search index and what the databases write beside themselves
_MANIFEST_BYTES_MAX = 64 * 1024
_WHOLE = frozenset({KEY, NOTEBOOK, STORE})
_NEWER = "bring this laptop's software up to date, then restore again"


def free_bytes_in(folder: Path) -> int:
    """How much room there is where a folder lies [bytes], for who asks."""
    return shutil.disk_usage(folder).free


@dataclass(frozen=True)
class Restored:
    """A site that was put back; ``time`` is when its backup was written, where that is known."""

    folder: Path
    letter: str
    name: str
    network: str | None
    time: str | None
    files: int

    def as_document(self) -> dict[str, Any]:
        """The same as JSON."""
        return {**self.__dict__, "folder": str(self.folder)}


def restore(
    file: Path,
    folder: Path,
    *,
    phrase: str,
    random: Callable[[int], bytes] = os.urandom,
    free_bytes: Callable[[Path], int] = free_bytes_in,
    progress: Progress | None = None,
) -> Restored:
    """Put a site back into a folder that is not there yet, or is empty.

    Args:
        file: the backup.
        folder: where the site shall be.
        phrase: the words on the recovery sheet, as typed.
        random: where the id of the new log comes from.
        free_bytes: how much room there is where a folder lies [bytes].
        progress: called with what is being done, how many of the file's megabytes are done, and of how many.

    Raises:
        FieldbookError: the words do not open it, or it is foreign, cut, damaged or of a newer version; or there is too
            little room, or the folder holds something or cannot be written. Nothing is left behind.
    """
    folder = Path(os.path.abspath(folder))  # noqa: PTH100  (a link is not followed: it would be replaced)
    _require_place(file, folder)
    _require_room(file, folder, free_bytes(folder.parent))
    part = folder.with_name(f".{folder.name}.part")
    shutil.rmtree(part, ignore_errors=True)  # what a power cut may have left
    with said_plainly(f"the folder {folder}"):
        try:
            with file.open("rb") as source, unsealing(_reading(source, file, progress), phrase) as inside:
                part.mkdir(mode=0o700)
                manifest, files = _unpack(inside, part)
            _settle(part, manifest, random=random)
            part.rename(folder)
            sync_folder(folder.parent)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    return Restored(folder, manifest["letter"], manifest["name"], manifest["title"], manifest["time"], files)


def _require_place(file: Path, folder: Path) -> None:
    if not file.is_file():
        raise SiteError(f"there is no file {file}", hint="put the stick in, and name the backup on it")
    if not os.access(file, os.R_OK):
        raise SiteError(f"the file {file} may not be read by this user", hint="look who owns it")
    if folder.is_symlink() or (folder.exists() and (not folder.is_dir() or any(folder.iterdir()))):
        raise SiteError(f"there is already something in {folder}", hint="name a folder that is not there yet")
    if not folder.parent.is_dir():
        raise SiteError(f"there is no folder {folder.parent}", hint="make it first, or name another place")


def _require_room(file: Path, folder: Path, free: int) -> None:
    """Refuse early what cannot fit: what is sealed is not packed, so it takes as much again."""
    needed = file.stat().st_size + _ROOM_BESIDE_BYTES
    if free < needed:
        raise SiteError(
            f"there is too little room for the folder {folder}: {_megabytes(needed)} MB are needed, "
            f"{free // _MB} MB are free",
            hint="free some space on this laptop, or name a folder on another disk",
        )


def _megabytes(size_bytes: int) -> int:
    return -(-size_bytes // _MB)


def _reading(source: IO[bytes], file: Path, progress: Progress | None) -> Callable[[int], bytes]:
    done, whole = 0, _megabytes(file.stat().st_size)

    def read(size: int) -> bytes:
        nonlocal done
        try:
            data = source.read(size)
        except OSError as error:
            raise SiteError(
                f"the backup {file} cannot be read ({error.strerror})", hint="use another copy of it"
            ) from error
        done += len(data)
        if progress is not None:
            progress("opening the backup, in MB", done // _MB, whole)
        return data

    return read


def _unpack(inside: Any, part: Path) -> tuple[dict[str, Any], int]:
    """Unpack a backup; what it says of itself, and how many files were in it."""
    manifest, seen = None, set[str]()
    try:
        with tarfile.open(fileobj=inside, mode="r|") as tar:
            for member in tar:
                content = tar.extractfile(member) if member.type == tarfile.REGTYPE else None
                if content is None or member.name in seen:
                    raise _unknown(member.name)
                if manifest is None:
                    manifest = _read_manifest(member, content)
                    continue
                seen.add(member.name)
                _put(member.name, content, part)
    except (tarfile.TarError, EOFError) as error:
        raise SiteError("what is sealed in this file is no backup of a site", hint="use another file") from error
    missing = {KEY, NOTEBOOK, *((STORE,) if manifest and manifest["network"] else ())} - seen
    if manifest is None or missing:
        raise SiteError(f"this backup lacks {', '.join(sorted(missing))}", hint="use another one")
    return manifest, len(seen)


def _read_manifest(member: tarfile.TarInfo, content: IO[bytes]) -> dict[str, Any]:
    try:
        found = json.loads(content.read(_MANIFEST_BYTES_MAX)) if member.name == MANIFEST else None
    except ValueError:
        found = None
    if not isinstance(found, dict) or type(found.get("v")) is not int:
        raise SiteError("what is sealed in this file is no backup of a site", hint="use another file")
    if found["v"] != BACKUP_VERSION:
        raise SiteError("this backup was written by a newer version of this software", hint=_NEWER)
    texts = all(isinstance(found.get(name), str) for name in ("letter", "name", "site"))
    if not texts or not all(isinstance(found.get(name, 0), str | None) for name in ("network", "time", "title")):
        raise SiteError("this backup does not say which site it is of", hint="use another one")
    return found


def _put(name: str, content: IO[bytes], part: Path) -> None:
    """Write one file under a name that a site has; one that lies under its digest must be what that says."""
    if name not in _WHOLE and not UNDER_DIGEST.fullmatch(name):
        raise _unknown(name)
    path, digest = part / name, sha256()
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600), "wb") as file:
        while data := content.read(READ_BYTES):
            digest.update(data)
            file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if name not in _WHOLE and digest.hexdigest() != path.name:
        raise SiteError(f"{name} in this backup is not what its name says", hint="use another one")


def _unknown(name: str) -> SiteError:
    return SiteError(f"this backup holds something that no site has: {name!a}", hint=_NEWER)


def _note(part: Path, time: str | None) -> None:
    """Note in the notebook that the site was put back, so that its pages say so until the next exchange."""
    notebook = Notebook.open(part)
    try:
        back = {"exchanges": int(notebook.fact("exchanges") or 0), "time": time}
        notebook.set_facts({"put_back": back, "backed_up": {"time": time}})
    finally:
        notebook.close()


def _settle(part: Path, manifest: dict[str, Any], *, random: Callable[[int], bytes]) -> None:
    """Open what was unpacked, once, and let the site speak under a new log; then push it all to the disk."""
    key = key_from_file(part / KEY)
    if key.public != manifest["site"]:
        raise SiteError("the key in this backup is not that of its site", hint="use another one")
    _note(part, manifest["time"])
    if manifest["network"]:
        begin_log_anew(part, key, random=random)
    for folder in (*(path for path in part.rglob("*") if path.is_dir()), part):
        sync_folder(folder)
