"""The SQLite file under a store: its tables, its opening, its transactions.

Not what the rows mean. One rule: whatever the file is or does, a caller sees either rows or a `LocalError` with one
sentence; a file that is missing, foreign or of a newer version is refused and never taken for an empty store.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from sync.errors import LocalError
from sync.store.connection import HINT_RESTORE, Connection

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

APPLICATION_ID = 0x54477374  # "TGst": tells our file from any other SQLite file
VERSION = 1
BUSY_MS = 5000  # a second process finishes a transaction of a thousand statements well within this

_BY_KIND = "CREATE INDEX IF NOT EXISTS statements_by_kind ON statements (kind, number)"
SCHEMA = """
CREATE TABLE network (file BLOB NOT NULL);
CREATE TABLE statements (
    number INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    author BLOB NOT NULL,
    previous BLOB,
    kind TEXT NOT NULL,
    depth INTEGER NOT NULL,
    sealed INTEGER NOT NULL,
    header BLOB NOT NULL,
    body BLOB,
    salt BLOB,
    signature BLOB NOT NULL
);
CREATE INDEX statements_in_order ON statements (depth, id);
CREATE INDEX statements_by_author ON statements (author, number);
CREATE INDEX statements_by_previous ON statements (previous) WHERE previous IS NOT NULL;
CREATE INDEX statements_unsealed ON statements (number) WHERE sealed = 0;
CREATE INDEX statements_without_body ON statements (id) WHERE body IS NULL;
CREATE TABLE answers (
    answered BLOB NOT NULL,
    statement INTEGER NOT NULL REFERENCES statements,
    PRIMARY KEY (answered, statement)
) WITHOUT ROWID;
CREATE TABLE named_files (
    file BLOB NOT NULL,
    statement INTEGER NOT NULL REFERENCES statements,
    PRIMARY KEY (file, statement)
) WITHOUT ROWID;
CREATE TABLE bundles (
    number INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    site BLOB NOT NULL,
    log TEXT NOT NULL,
    lane TEXT NOT NULL,
    place INTEGER NOT NULL,
    header BLOB NOT NULL,
    signature BLOB NOT NULL
);
CREATE INDEX bundles_by_place ON bundles (site, log, lane, place);
CREATE TABLE contents (
    bundle INTEGER NOT NULL REFERENCES bundles,
    place INTEGER NOT NULL,
    statement INTEGER NOT NULL REFERENCES statements,
    PRIMARY KEY (bundle, place)
) WITHOUT ROWID;
CREATE INDEX contents_by_statement ON contents (statement);
CREATE TABLE receipts (
    site BLOB NOT NULL,
    log TEXT NOT NULL,
    counter INTEGER NOT NULL,
    file BLOB NOT NULL,
    PRIMARY KEY (site, log)
) WITHOUT ROWID;
CREATE TABLE joinings (site BLOB PRIMARY KEY, file BLOB NOT NULL) WITHOUT ROWID;
CREATE TABLE own_logs (number INTEGER PRIMARY KEY, site BLOB NOT NULL, log TEXT NOT NULL);
CREATE TABLE checks (file TEXT PRIMARY KEY, visit INTEGER NOT NULL) WITHOUT ROWID;
"""

_PRAGMAS = (
    f"busy_timeout = {BUSY_MS}",
    "journal_mode = WAL",
    "synchronous = FULL",  # what was acknowledged outlives a power cut
    "foreign_keys = ON",
    "secure_delete = ON",  # a body that was taken back leaves no bytes in the file
)
_SQLITE_HEAD = b"SQLite format 3\x00"


class Database(Connection):
    """One open file; used from several threads only under a lock of the caller's."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        """Take a connection, without transactions of its own, to the file at a path."""
        super().__init__(connection)
        self._path = path
        self._file = _identity(path)
        self._undone = 0
        self._touched = 0

    @classmethod
    def create(cls, path: Path, network_file: bytes) -> Database:
        """Make the file with its tables; it appears under its name only when it is whole.

        Raises:
            LocalError: There is something already, or it cannot be made.
        """
        if path.exists():
            raise LocalError(f"there is already a file {path}", hint="open it, or name another folder")
        unfinished = path.with_name(f"{path.name}.new")
        try:
            unfinished.unlink(missing_ok=True)
            _make(unfinished, network_file)
            unfinished.replace(path)
            _sync_folder(path.parent)
        except OSError as error:
            raise LocalError(f"the store {path} cannot be made ({error.strerror})", hint="check the folder") from error
        return cls.open(path)

    @classmethod
    def open(cls, path: Path) -> Database:
        """Open a file that a store made.

        Raises:
            LocalError: It is missing, foreign, damaged, or of a newer version.
        """
        _require_ours(path)
        database = cls(_connect(path, "rw"), path)
        try:
            _require_version(database, path)
            for pragma in _PRAGMAS:
                database.run(f"PRAGMA {pragma}")
            with suppress(LocalError):  # on a full disk all is found as well, but slower
                database.run(_BY_KIND)  # stores made by earlier software have none
        except LocalError:
            database.close()
            raise
        return database

    def seen_version(self) -> int:
        """A number that changes when another process has written."""
        return int(self.row("PRAGMA data_version")[0])

    def stamp(self) -> tuple[int, int, int]:
        """A value that changes whenever bundles or the bodies in them may have: told here, undone, or by others."""
        return self.seen_version(), *self.told()

    def told(self) -> tuple[int, int]:
        """The same but for what other processes do."""
        return self._touched, self._undone

    def touch(self) -> None:
        """Tell that bundles, or the bodies in them, are being changed."""
        self._touched += 1

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All of it or nothing.

        Raises:
            LocalError: The file was removed or replaced since it was opened: what is written now would be lost.
        """
        if _identity(self._path) != self._file:
            raise LocalError(
                "the store of this site was removed or replaced while it was in use",
                hint="stop this program, put the site's folder back in its place, and begin again",
            )
        self.run("BEGIN IMMEDIATE")
        try:
            yield
            self.run("COMMIT")
        except BaseException:
            if self._connection.in_transaction:
                self._connection.rollback()
                self._undone += 1
            raise


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    try:
        return sqlite3.connect(
            f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, check_same_thread=False
        )
    except sqlite3.Error as error:
        raise LocalError(f"the store {path} cannot be opened: {error}", hint=HINT_RESTORE) from error


def _identity(path: Path) -> tuple[int, int]:
    """What tells the file at a path from any other that may come to lie there; zeros where there is none."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_dev, found.st_ino


def _make(path: Path, network_file: bytes) -> None:
    path.touch()
    database = Database(_connect(path, "rw"), path)
    try:
        with database.transaction():
            for statement in SCHEMA.split(";"):
                database.run(statement)
            database.run("INSERT INTO network (file) VALUES (?)", (network_file,))
            database.run(f"PRAGMA application_id = {APPLICATION_ID}")
            database.run(f"PRAGMA user_version = {VERSION}")
    finally:
        database.close()


def _sync_folder(folder: Path) -> None:
    """Wait until the medium has the name of the new file, so that what is acknowledged in it cannot vanish with it."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _require_ours(path: Path) -> None:
    try:
        with path.open("rb") as file:
            head = file.read(len(_SQLITE_HEAD))
    except OSError as error:
        raise LocalError(f"there is no store at {path} ({error.strerror})", hint=HINT_RESTORE) from error
    if head != _SQLITE_HEAD:
        raise LocalError(f"{path} is not a store", hint=HINT_RESTORE)


def _require_version(database: Database, path: Path) -> None:
    if database.row("PRAGMA application_id")[0] != APPLICATION_ID:
        raise LocalError(f"{path} is a database, but not a store of ours", hint=HINT_RESTORE)
    version = database.row("PRAGMA user_version")[0]
    if version > VERSION:
        raise LocalError(
            f"the store {path} was written by a newer version of this software",
            hint="bring this site's software up to date",
        )
    if version != VERSION:
        raise LocalError(f"the store {path} was never finished", hint=HINT_RESTORE)
