"""One SQLite connection whose failures are said plainly.

Not a file of any meaning: the store and the scratch file are built on it. One rule: a caller sees either rows or a
`LocalError` with one sentence.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING, Any

from sync.errors import DamagedError, LocalError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

HINT_RESTORE = "put the site's folder back from a copy; the next exchanges bring what came since"


class Connection:
    """An open connection; used from several threads only under a lock of the caller's."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        """Take a connection without transactions of its own."""
        self._connection = connection

    def run(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Run one statement of SQL; the number of the row inserted last."""
        try:
            return self._connection.execute(sql, values).lastrowid or 0
        except sqlite3.Error as error:
            raise said_plainly(error) from error

    def run_many(self, sql: str, rows: Iterable[Sequence[Any]]) -> None:
        """Run one statement of SQL for each row."""
        try:
            self._connection.executemany(sql, rows)
        except sqlite3.Error as error:
            raise said_plainly(error) from error

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Any]:
        """All rows of a question."""
        try:
            return self._connection.execute(sql, values).fetchall()
        except sqlite3.Error as error:
            raise said_plainly(error) from error

    def each(self, sql: str, values: Sequence[Any] = ()) -> Iterator[Any]:
        """The rows of a question one at a time; nothing of what they tell may be changed before the last of them."""
        try:
            yield from self._connection.execute(sql, values)
        except sqlite3.Error as error:
            raise said_plainly(error) from error

    def row(self, sql: str, values: Sequence[Any] = ()) -> Any:
        """The first row of a question, or None."""
        try:
            return self._connection.execute(sql, values).fetchone()
        except sqlite3.Error as error:
            raise said_plainly(error) from error

    def close(self) -> None:
        """Give the file back."""
        self._connection.close()


def said_plainly(error: sqlite3.Error) -> LocalError:
    """What a failure of SQLite means to whoever uses the site."""
    if "locked" in str(error):
        return LocalError("another process is writing to this site's store", hint="wait for it, or stop it")
    if "full" in str(error):
        return LocalError("the disk under this site's store is full", hint="free some space; nothing was lost")
    if "disk I/O" in str(error):
        return LocalError(
            "the disk under this site's store fails",
            hint="look whether it is full or wearing out; nothing that was acknowledged is lost",
        )
    if isinstance(error, sqlite3.OperationalError):
        return LocalError(f"the store of this site cannot be used: {error}", hint=HINT_RESTORE)
    return DamagedError(f"the store of this site is damaged: {error}")
