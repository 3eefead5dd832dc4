"""The notebook's file: what tells it from others, its tables, and how it is brought to the newest version.

Not what is kept in it. Its one rule: a step from one version to the next is whole or not there at all.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

from fieldbook.notebook.values import NotebookError
from fieldbook.rows import Connection, connect

if TYPE_CHECKING:
    from pathlib import Path

FILE_NAME = "notebook.sqlite"
NOTEBOOK_VERSION = 3
_APPLICATION_ID = 0x54474E42  # "TGNB": tells a notebook from any other SQLite file
NO_SPACE = "look whether the disk is full"
_TABLES = """
CREATE TABLE fact (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE person (label TEXT PRIMARY KEY, key TEXT NOT NULL UNIQUE, role TEXT NOT NULL, locked TEXT NOT NULL) STRICT;
CREATE TABLE draft (number INTEGER PRIMARY KEY AUTOINCREMENT, author TEXT NOT NULL, document TEXT NOT NULL,
                    parents TEXT NOT NULL) STRICT;
CREATE TABLE home_photo (about TEXT NOT NULL, name TEXT NOT NULL, people TEXT NOT NULL, full TEXT NOT NULL,
                         thumb TEXT NOT NULL, PRIMARY KEY (about, name)) STRICT;
"""
# what each version added to the one before it; a new notebook gets all of them
_ADDED = {
    2: """
CREATE TABLE learnt (holder TEXT NOT NULL, log TEXT NOT NULL, lane TEXT NOT NULL, number INTEGER NOT NULL,
                     exchange INTEGER NOT NULL, PRIMARY KEY (holder, log, lane, number)) STRICT, WITHOUT ROWID;
""",
    3: """
CREATE TABLE record (number INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, about TEXT NOT NULL,
                     document TEXT NOT NULL) STRICT;
CREATE INDEX record_about ON record (kind, about);
""",
}


def create_file(path: Path) -> Connection:
    """Begin a notebook's file where there is none."""
    db = _connect(path)
    with db.together():
        db.executescript(
            f"PRAGMA application_id={_APPLICATION_ID}; PRAGMA user_version={NOTEBOOK_VERSION};"
            + _TABLES
            + "".join(_ADDED.values())
        )
    return db


def open_file(path: Path) -> Connection:
    """Open a notebook's file and bring it to the newest version.

    Raises:
        NotebookError: it cannot be read, is no notebook, or comes from newer software.
    """
    try:
        found, version = _marks(path)
        known = found == _APPLICATION_ID and 1 <= version <= NOTEBOOK_VERSION
        db = _connect(path) if known else None
        if db is not None:
            _bring_up(db, version)
    except sqlite3.DatabaseError as error:
        raise NotebookError(
            f"the notebook {path} cannot be read ({error})", hint=f"{NO_SPACE}, or bring back a backup"
        ) from error
    if db is None:
        raise NotebookError(
            f"{path} is no notebook that this software knows (version {version})",
            hint="use the newer software that wrote it, or bring back a backup",
        )
    return db


def _marks(path: Path) -> tuple[int, int]:
    """What an SQLite file says that it is, and of which version; nothing is written to it."""
    db = sqlite3.connect(path)
    try:
        return tuple(db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version"))
    finally:
        db.close()


def _bring_up(db: sqlite3.Connection, version: int) -> None:
    """Bring a notebook of an older version to this one: each step is whole or not there at all."""
    try:
        for number in range(version + 1, NOTEBOOK_VERSION + 1):
            # executescript would commit before the end, so the step is one script with its own transaction
            db.executescript(f"BEGIN IMMEDIATE; {_ADDED[number]} PRAGMA user_version={number}; COMMIT;")
    except sqlite3.DatabaseError:
        db.close()
        raise


def _connect(path: Path) -> Connection:
    db = connect(path, _said)
    try:
        path.chmod(0o600)
        db.execute("PRAGMA journal_mode=WAL")
        db.execute("PRAGMA synchronous=FULL")
    except (OSError, NotebookError):
        db.close()
        raise
    return db


def _said(error: sqlite3.Error) -> NotebookError:
    return NotebookError(
        f"the notebook of this site cannot be read or written ({error})", hint=f"{NO_SPACE}, or bring back a backup"
    )


def identity(path: Path) -> tuple[int, int]:
    """What tells the file at a path from any other that may come to lie there; zeros where there is none."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_dev, found.st_ino
