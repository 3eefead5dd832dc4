"""The SQLite file under a view: its tables, its opening, and what becomes of it when it fails.

Not what the rows mean. Its one rule: whatever the file is or does, a caller sees rows or `ViewUnusable`, and then makes
the view anew: in its place, or where the disk takes none, in memory.
"""

from __future__ import annotations

import sqlite3
import zlib
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

FOLD_VERSION = 1
_TABLES = """
CREATE TABLE mark (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE seen (id TEXT PRIMARY KEY, mark TEXT NOT NULL) STRICT;
CREATE TABLE edition (id TEXT PRIMARY KEY, entry TEXT NOT NULL) STRICT;
CREATE INDEX edition_entry ON edition (entry);
CREATE TABLE aside (parent TEXT NOT NULL, edition TEXT NOT NULL, PRIMARY KEY (parent, edition)) STRICT;
CREATE TABLE made_from (entry TEXT NOT NULL, ancestor TEXT NOT NULL, PRIMARY KEY (entry, ancestor)) STRICT;
CREATE INDEX made_from_ancestor ON made_from (ancestor);
CREATE TABLE answer (target TEXT NOT NULL, decision TEXT NOT NULL, PRIMARY KEY (target, decision)) STRICT;
CREATE TABLE fresh (entry TEXT PRIMARY KEY) STRICT;
CREATE TABLE gone (edition TEXT PRIMARY KEY) STRICT;
CREATE TABLE folded (entry TEXT PRIMARY KEY, value TEXT NOT NULL, digest TEXT NOT NULL) STRICT;
"""
_LAYOUT = zlib.crc32(_TABLES.encode()) >> 1  # tells our tables from any others, in the 31 bits that SQLite keeps


class ViewError(FieldbookError):
    """The view was asked for what it does not hold."""


class ViewUnusable(ViewError):  # noqa: N818 - the name says what it is
    """The view's file cannot be read or written: make it anew."""


@contextmanager
def said_plainly() -> Iterator[None]:
    """Turn what SQLite says into one sentence.

    Raises:
        ViewUnusable: SQLite could not do it.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise _unusable(error) from error


def _unusable(error: sqlite3.Error) -> ViewUnusable:
    return ViewUnusable(
        f"the view of this site cannot be read or written ({error})",
        hint="look whether the disk is full; what was said before is safe",
    )


class _Rows(sqlite3.Cursor):
    """Rows that a damaged file may refuse to give at any step."""

    def execute(self, sql: str, values: Any = ()) -> _Rows:
        try:
            super().execute(sql, values)
        except sqlite3.Error as error:
            raise _unusable(error) from error
        return self

    def executemany(self, sql: str, rows: Iterable[Any]) -> _Rows:
        try:
            super().executemany(sql, rows)
        except sqlite3.Error as error:
            raise _unusable(error) from error
        return self

    def fetchone(self) -> Any:
        try:
            return super().fetchone()
        except sqlite3.Error as error:
            raise _unusable(error) from error

    def fetchall(self) -> list[Any]:
        try:
            return super().fetchall()
        except sqlite3.Error as error:
            raise _unusable(error) from error

    def __next__(self) -> Any:
        try:
            return super().__next__()
        except sqlite3.Error as error:
            raise _unusable(error) from error


class _Database(sqlite3.Connection):
    """A connection whose rows say plainly what is wrong."""

    def execute(self, sql: str, values: Any = ()) -> _Rows:
        return self.cursor(_Rows).execute(sql, values)

    def executemany(self, sql: str, rows: Iterable[Sequence[Any]]) -> _Rows:  # type: ignore[override]
        return self.cursor(_Rows).executemany(sql, rows)


def whole_or_empty(path: Path) -> sqlite3.Connection:
    """The view at a path; one that is missing, damaged or of another fold gives way to an empty one.

    Raises:
        ViewUnusable: the disk takes no new one.
    """
    try:
        db = _connect(path)
        if _is_whole(db):
            return db
        db.close()
    except ViewUnusable:
        pass  # disposable: whatever lies there is replaced
    try:
        for name in (path.name, f"{path.name}-wal", f"{path.name}-shm"):
            path.with_name(name).unlink(missing_ok=True)
    except OSError as error:
        raise ViewUnusable(
            f"the view of this site cannot be replaced ({error.strerror})", hint="check the rights of the site's folder"
        ) from error
    return _with_tables(_connect(path))


def empty_in_memory() -> sqlite3.Connection:
    """An empty view in no file."""
    return _with_tables(_connect(None))


def _connect(path: Path | None) -> sqlite3.Connection:
    with said_plainly():
        # the pages run in several threads, one at a time under the site's lock
        db = sqlite3.connect(":memory:" if path is None else path, check_same_thread=False, factory=_Database)
    try:
        db.execute("PRAGMA journal_mode=WAL")
        db.execute("PRAGMA synchronous=NORMAL")  # disposable: a lost view is made anew
    except ViewUnusable:
        db.close()
        raise
    return db


def _is_whole(db: sqlite3.Connection) -> bool:
    """True where a file is a view of this fold with these tables, and SQLite finds nothing wrong with it."""
    asked = ("application_id", "user_version", "quick_check")
    return [db.execute(f"PRAGMA {one}").fetchone()[0] for one in asked] == [_LAYOUT, FOLD_VERSION, "ok"]


def _with_tables(db: sqlite3.Connection) -> sqlite3.Connection:
    try:
        with said_plainly(), db:
            db.executescript(_TABLES + f"PRAGMA application_id={_LAYOUT}; PRAGMA user_version={FOLD_VERSION};")
    except ViewUnusable:
        db.close()
        raise
    return db
