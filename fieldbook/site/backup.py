"""A backup: one sealed file that holds what cannot be made anew of a site.

In it are the site's key, the notebook, the store, attachments and photos that stay home; not the view and not the
search index, which are made from them. Nothing of it can be read without the phrase. Its one rule: a backup appears
whole or not at all, and it was read back from the medium with the phrase before anybody hears "done".
"""

from __future__ import annotations

import errno
import io
import json
import os
import re
import shutil
import tarfile
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from fieldbook.ledger import copy_database, invent_phrase, read_phrase, sealing, unsealing
from fieldbook.notebook import NotebookError
from fieldbook.site.parts import SiteError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from fieldbook.site.parts import SiteParts

MANIFEST = "backup.json"
BACKUP_VERSION = 1
KEY, NOTEBOOK, STORE = "site.key", "notebook.sqlite", "store.sqlite"
UNDER_DIGEST = re.compile(r"(?:attachments/(?P<two>[0-9a-f]{2})/(?P=two)[0-9a-f]{62}|home_photos/[0-9a-f]{64})")
READ_BYTES = 256 * 1024
_ROOM = {errno.ENOSPC, errno.EDQUOT}
_NO_SUCH_SERVICE = {errno.EINVAL, errno.ENOTSUP, errno.EBADF}


@dataclass(frozen=True)
class BackedUp:
    """A backup that was written and read back.

    Attributes:
        file: where it lies.
        size_bytes: its length [bytes].
        files: how many files are in it.
        left_out: files of the site that were damaged, so that they are not in it.
        phrase: the words that open it; they are kept nowhere.
        letter: the site's letter.
        name: the site's name.
        network: the network's title, or None.
        time: the time that this machine claimed, or None where its clock is in doubt.
    """

    file: Path
    size_bytes: int
    files: int
    left_out: tuple[str, ...]
    phrase: str
    letter: str
    name: str
    network: str | None
    time: str | None

    def as_document(self) -> dict[str, Any]:
        """The same as JSON."""
        return {**self.__dict__, "file": str(self.file), "left_out": list(self.left_out)}


def back_up(site: SiteParts, target: Path, *, phrase: str | None = None) -> BackedUp:
    """Write a backup of an open site to a file that is not there yet.

    Args:
        site: the site; nobody changes it meanwhile.
        target: the file to make.
        phrase: the words of a recovery sheet that is written already; without, new ones are invented.

    Raises:
        FieldbookError: the phrase is none, the file cannot be written or read back, or a database is damaged. Nothing
            is left behind.
    """
    words = invent_phrase(site.random) if phrase is None else read_phrase(phrase)
    time = site.claimed_time()  # once: sheet and file must say the same
    _require_free(target)
    # named after the site, so that its next backup into this folder clears what a power cut left
    part, desk = target.with_name(f".backup-{site.site_key.public[:16]}.part"), site.folder / "backup.part"
    with site.lock, said_plainly(f"the backup {target}"):
        try:
            files, left_out = _write(site, desk, part, words, time=time)
            size_bytes = part.stat().st_size
            _require_free(target)
            part.rename(target)
            sync_folder(target.parent)
        finally:
            part.unlink(missing_ok=True)
            shutil.rmtree(desk, ignore_errors=True)
    with suppress(NotebookError):  # the words must be shown now: a full disk here costs a reminder, not them
        site.notebook.set_fact("backed_up", {"time": time})
    return BackedUp(
        file=target,
        size_bytes=size_bytes,
        files=files,
        left_out=left_out,
        phrase=words,
        letter=site.letter,
        name=site.name,
        network=site.network_title,
        time=time,
    )


def free_name(folder: Path, site: SiteParts) -> Path:
    """A name for a backup in a folder that is not taken: the site's letter, and the day where known."""
    day = (site.claimed_time() or "")[:10]
    stem = "-".join(part for part in ("tried-ground-backup", site.letter, day) if part)
    names = (f"{stem}{f'-{number}' * (number > 1)}.sealed" for number in range(1, 1000))
    for name in names:
        if not (folder / name).exists():
            return folder / name
    raise SiteError(f"there are a thousand backups of this day in {folder}", hint="remove some, or choose another one")


def _require_free(target: Path) -> None:
    if target.exists() or target.is_symlink():
        raise SiteError(
            f"there is already something called {target}", hint="name another file; a backup never replaces one"
        )
    if not target.parent.is_dir():
        raise SiteError(f"there is no folder {target.parent}", hint="put the stick in, and name a folder that is there")


def _write(site: SiteParts, desk: Path, part: Path, phrase: str, *, time: str | None) -> tuple[int, tuple[str, ...]]:
    """Write the sealed file beside its place and read it back; how many files are in it, and which could not go in."""
    shutil.rmtree(desk, ignore_errors=True)  # what a power cut may have left
    desk.mkdir(mode=0o700)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW, 0o600), "wb") as file:
        with sealing(file.write, phrase, random=site.random) as writer:
            inside = _Hashed(writer.write)
            with tarfile.open(fileobj=inside, mode="w|", format=tarfile.USTAR_FORMAT) as tar:  # type: ignore[call-overload]
                files, left_out = _fill(tar, site, desk, time=time)
        file.flush()
        os.fsync(file.fileno())
    if _read_back(part, phrase) != inside.digest.digest():
        raise SiteError(
            f"what is read back from {part.parent} is not what was written",
            hint="use another stick or disk; this one fails",
        )
    return files, left_out


class _Hashed:
    """Passes bytes on and remembers their digest."""

    def __init__(self, out: Callable[[bytes], int]) -> None:
        """Pass them on to ``out``."""
        self._out = out
        self.digest = sha256()

    def write(self, data: bytes) -> int:
        """Take bytes; how many they were."""
        self.digest.update(data)
        return self._out(data)


def _fill(tar: tarfile.TarFile, site: SiteParts, desk: Path, *, time: str | None) -> tuple[int, tuple[str, ...]]:
    _add(tar, MANIFEST, json.dumps(_manifest(site, time), sort_keys=True).encode())
    _add(tar, KEY, (site.folder / KEY).read_bytes())
    count, left_out = 1, []
    for name in (NOTEBOOK, STORE):
        if (site.folder / name).exists():
            copy_database(site.folder / name, desk / name)
            _add_file(tar, name, desk / name)
            (desk / name).unlink()
            count += 1
    for name in _under_digest(site.folder):
        data = (site.folder / name).read_bytes()
        if sha256(data).hexdigest() == name.rpartition("/")[2]:
            _add(tar, name, data)
            count += 1
        else:
            left_out.append(name)
    return count, tuple(left_out)


def _manifest(site: SiteParts, time: str | None) -> dict[str, Any]:
    return {
        "letter": site.letter,
        "name": site.name,
        "network": None if site.ledger is None else site.ledger.network_id,
        "site": site.site_key.public,
        "time": time,
        "title": site.network_title,
        "v": BACKUP_VERSION,
    }


def _under_digest(folder: Path) -> list[str]:
    """The files that lie under their digest, sorted; what an unfinished write left is none of them."""
    found = (*folder.glob("attachments/*/*"), *folder.glob("home_photos/*"))
    names = {path.relative_to(folder).as_posix() for path in found if path.is_file() and not path.is_symlink()}
    return sorted(filter(UNDER_DIGEST.fullmatch, names))


def _add(tar: tarfile.TarFile, name: str, data: bytes) -> None:
    member = tarfile.TarInfo(name)
    member.size, member.mode = len(data), 0o600
    tar.addfile(member, io.BytesIO(data))


def _add_file(tar: tarfile.TarFile, name: str, path: Path) -> None:
    member = tarfile.TarInfo(name)
    member.size, member.mode = path.stat().st_size, 0o600
    with path.open("rb") as file:
        tar.addfile(member, file)


def _read_back(part: Path, phrase: str) -> bytes:
    """The digest of what is sealed in a file, read from the medium and not from this machine's memory of it."""
    digest = sha256()
    with part.open("rb") as file:
        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        with unsealing(file.read, phrase) as reader:
            while data := reader.read(READ_BYTES):
                digest.update(data)
    return digest.digest()


def sync_folder(folder: Path) -> None:
    """Push the names in a folder to the medium, where it knows how to."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_SUCH_SERVICE:
            raise
    finally:
        os.close(handle)


@contextmanager
def said_plainly(what: str) -> Iterator[None]:
    """Say what the machine could not do to this thing in one sentence."""
    try:
        yield
    except OSError as error:
        if error.errno in _ROOM:
            raise SiteError(f"there is no room for {what}", hint="free some space, or use another disk") from error
        if error.errno == errno.EFBIG:
            raise SiteError(f"{what} is larger than this disk takes", hint="use another disk or stick") from error
        raise SiteError(f"{what} cannot be written ({error.strerror})", hint="check rights and disk") from error
