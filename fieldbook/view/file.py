"""The SQLite file under a view: its tables, its opening, and what becomes of it when it fails.

Not what the rows mean. Its one rule: whatever the file is or does, a caller sees rows or `ViewUnusable`, and then makes
the view anew: in its place, or where the disk takes none, in memory.
"""

from __future__ import annotations

import zlib
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError
from fieldbook.rows import Connection, connect

if TYPE_CHECKING:
    import sqlite3
    from pathlib import Path

FOLD_VERSION = 3  # 2: a recall may name an ingredient; 3: and what reads like it
_TABLES = """
CREATE TABLE mark (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE seen (id TEXT PRIMARY KEY, mark TEXT NOT NULL) STRICT;
CREATE TABLE edition (id TEXT PRIMARY KEY, entry TEXT NOT NULL) STRICT;
CREATE INDEX edition_entry ON edition (entry);
CREATE TABLE aside (parent TEXT NOT NULL, edition TEXT NOT NULL, PRIMARY KEY (parent, edition)) STRICT;
CREATE TABLE made_from (entry TEXT NOT NULL, ancestor TEXT NOT NULL, PRIMARY KEY (entry, ancestor)) STRICT;
CREATE INDEX made_from_ancestor ON made_from (ancestor);
CREATE TABLE answer (target TEXT NOT NULL, decision TEXT NOT NULL, PRIMARY KEY (target, decision)) STRICT;
CREATE TABLE likeness (mark TEXT NOT NULL, edition TEXT NOT NULL, PRIMARY KEY (mark, edition)) STRICT;
CREATE INDEX likeness_edition ON likeness (edition);
CREATE TABLE fresh (entry TEXT PRIMARY KEY) STRICT;
CREATE TABLE gone (edition TEXT PRIMARY KEY) STRICT;
CREATE TABLE folded (entry TEXT PRIMARY KEY, value TEXT NOT NULL, digest TEXT NOT NULL) STRICT;
"""
_LAYOUT = zlib.crc32(_TABLES.encode()) >> 1  # tells our tables from any others, in the 31 bits that SQLite keeps


class ViewError(FieldbookError):
    """The view was asked for what it does not hold."""


class ViewUnusable(ViewError):  # noqa: N818 - the name says what it is
    """The view's file cannot be read or written: make it anew."""


def _unusable(error: sqlite3.Error) -> ViewUnusable:
    return ViewUnusable(
        f"the view of this site cannot be read or written ({error})",
        hint="look whether the disk is full; what was said before is safe",
    )


def whole_or_empty(path: Path) -> Connection:
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


def empty_in_memory() -> Connection:
    """An empty view in no file."""
    return _with_tables(_connect(None))


def _connect(path: Path | None) -> Connection:
    db = connect(":memory:" if path is None else path, _unusable)
    try:
        # one process holds a site, so no file of shared memory is needed, which would end the process if it were cut
        db.execute("PRAGMA locking_mode=EXCLUSIVE")
        db.execute("PRAGMA journal_mode=WAL")
        db.execute("PRAGMA synchronous=NORMAL")  # disposable: a lost view is made anew
    except ViewUnusable:
        db.close()
        raise
    return db


def _is_whole(db: Connection) -> bool:
    """True where a file is a view of this fold with these tables, and SQLite finds nothing wrong with it."""
    asked = ("application_id", "user_version", "quick_check")
    if [db.execute(f"PRAGMA {one}").fetchone()[0] for one in asked] != [_LAYOUT, FOLD_VERSION, "ok"]:
        return False
    made = db.execute("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL").fetchall()  # SQLite keeps it as written
    return sorted(sql for (sql,) in made) == sorted(_TABLES.strip().rstrip(";").split(";\n"))


def _with_tables(db: Connection) -> Connection:
    try:
        with db.together():
            db.executescript(_TABLES + f"PRAGMA application_id={_LAYOUT}; PRAGMA user_version={FOLD_VERSION};")
    except ViewUnusable:
        db.close()
        raise
    return db
