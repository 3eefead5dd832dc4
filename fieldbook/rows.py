"""An SQLite connection whose every row may fail, and then says so in the words of its keeper.

Not a database and no table of its own. Its one rule: a file that is damaged, cut or on a full disk is one error of the
room that keeps it, at whatever step SQLite notices.
"""

from __future__ import annotations

import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from fieldbook.errors import FieldbookError

BUSY_S = 1.0  # one process holds a site, so a lock that is not soon let go is a file that is broken


class Rows(sqlite3.Cursor):
    """Rows that a damaged file may refuse to give at any step."""

    def execute(self, sql: str, values: Any = ()) -> Rows:
        """Run one statement of SQL."""
        with self._plainly():
            super().execute(sql, values)
        return self

    def executemany(self, sql: str, rows: Iterable[Any]) -> Rows:
        """Run one statement of SQL for each row."""
        with self._plainly():
            super().executemany(sql, rows)
        return self

    def fetchone(self) -> Any:
        """The next row, or None."""
        with self._plainly():
            return super().fetchone()

    def fetchall(self) -> list[Any]:
        """All rows that are left."""
        with self._plainly():
            return super().fetchall()

    def __next__(self) -> Any:
        """The next row."""
        try:  # for each row of thousands: cheaper than a context
            return super().__next__()
        except sqlite3.Error as error:
            raise cast("Connection", self.connection).said(error) from error

    @contextmanager
    def _plainly(self) -> Iterator[None]:
        with cast("Connection", self.connection).plainly():
            yield


class Connection(sqlite3.Connection):
    """A connection with the words of its keeper for whatever SQLite says."""

    said: Callable[[sqlite3.Error], FieldbookError]

    def execute(self, sql: str, values: Any = ()) -> Rows:
        """Run one statement of SQL."""
        return self.cursor(Rows).execute(sql, values)

    def executemany(self, sql: str, rows: Iterable[Any]) -> Rows:
        """Run one statement of SQL for each row."""
        return self.cursor(Rows).executemany(sql, rows)

    @contextmanager
    def plainly(self) -> Iterator[None]:
        """Turn what SQLite says within into the keeper's words."""
        try:
            yield
        except sqlite3.Error as error:
            raise self.said(error) from error

    @contextmanager
    def together(self) -> Iterator[None]:
        """Make several writes one: all of them, or none."""
        with self.plainly(), self:
            yield


def connect(path: Path | str, said: Callable[[sqlite3.Error], FieldbookError]) -> Connection:
    """Open a file for several threads that take turns.

    Args:
        path: the file, or ``:memory:``.
        said: the error of whoever keeps it, for one of SQLite's.
    """
    try:
        db = sqlite3.connect(path, timeout=BUSY_S, check_same_thread=False, factory=Connection)
    except sqlite3.Error as error:
        raise said(error) from error
    db.said = said
    return db
