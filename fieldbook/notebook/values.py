"""What the notebook keeps and gives out, as plain values, its one error, and how a private file is written.

Not the file of the notebook. Its one rule: nothing here opens the database.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from pathlib import Path


class NotebookError(FieldbookError):
    """The notebook cannot do what was asked; the message says why."""


@dataclass(frozen=True)
class Person:
    """A person of this site: ``role`` is trainer or volunteer; ``locked`` is their key under a passphrase."""

    label: str
    key: str
    role: str
    locked: str


@dataclass(frozen=True)
class Draft:
    """An entry that is not yet offered: no statement, no id but its number here."""

    number: int
    author: str
    document: dict[str, Any]
    parents: tuple[str, ...]

    @property
    def name(self) -> str:
        """How people and commands name it: ``draft-3``."""
        return f"draft-{self.number}"


@dataclass(frozen=True)
class HomePhoto:
    """A photo that stays at this site: its draft is not offered, or nobody has said who is on it (``people`` empty).

    ``full`` and ``thumb`` name the prepared files by their digest.
    """

    about: str
    name: str
    people: str
    full: str
    thumb: str


@dataclass(frozen=True)
class Record:
    """A paper of this site that never leaves: a slip, a bed, a planting. Its kind's room knows what stands in it."""

    number: int
    kind: str
    about: str
    document: dict[str, Any]


@dataclass(frozen=True)
class PhotoToKeep:
    """A prepared photo on its way into the notebook: its name, who is on it, and the bytes of both its files."""

    name: str
    people: str
    full: bytes
    thumb: bytes


KeptFiles = tuple[tuple[str, str, str, str], ...]  # of each photo its name, who is on it, and its files' digests


def write_private_file(path: Path, data: bytes) -> None:
    """Write a file that only this user may read, whole or not at all, and push it to the disk."""
    part = path.with_suffix(".part")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
