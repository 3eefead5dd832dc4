"""What an exchange or a judging has to remember and may forget: a file beside the store that nobody else can open.

Not part of the store: nothing in it outlives the process, and it has no name once it is open. One rule: what it is for
begins in memory and comes here only where there is much of it, so that most sites never need the file.
"""

from __future__ import annotations

import os
import sqlite3
import weakref
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from sync.errors import LocalError
from sync.store.connection import Connection, said_plainly

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

PAGE_ROWS = 500
PAGE_BYTES = 2**18  # where rows are long, fewer of them make a page
CACHE_KIB = 4096  # what of it lies in memory
_PRAGMAS = (
    "journal_mode = OFF",  # nothing is ever taken back
    "synchronous = OFF",  # nothing has to outlive a power cut
    "locking_mode = EXCLUSIVE",
    f"cache_size = -{CACHE_KIB}",
)


class Scratch:
    """Tables for whatever is too much for the memory; the file is made when the first of them is.

    After a failure (a full disk) nothing in it can be trusted, and every use of it fails.

    Attributes:
        failed: Whether that has happened.
    """

    def __init__(self, store_file: Path) -> None:
        """Lie beside a store.

        Args:
            store_file: The file of the store.
        """
        self.failed = False
        self._store_file = store_file
        self._file: Connection | None = None
        self._tables = 0
        self._unused: list[str] = []

    def table(self, columns: str, *, owner: object) -> str:
        """Make a table; it goes some time after its owner is gone.

        Args:
            columns: As in SQL, with the brackets around them and what may follow those.
            owner: Whoever uses it.

        Returns:
            Its name.

        Raises:
            LocalError: The disk is full or fails; so of every other verb here.
        """
        while self._unused:
            self.run(f"DROP TABLE {self._unused.pop()}")
        self._tables += 1
        name = f"scratch_{self._tables}"
        self.run(f"CREATE TABLE {name} {columns}")
        weakref.finalize(owner, self._unused.append, name)
        return name

    def run(self, sql: str, values: Sequence[Any] = ()) -> None:
        """Run one statement of SQL."""
        try:
            self._opened().run(sql, values)
        except LocalError:
            self.failed = True
            raise

    def run_many(self, sql: str, rows: Iterable[Sequence[Any]]) -> None:
        """Run one statement of SQL for each row."""
        try:
            self._opened().run_many(sql, rows)
        except LocalError:
            self.failed = True
            raise

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Any]:
        """All rows of a question."""
        try:
            return self._opened().rows(sql, values)
        except LocalError:
            self.failed = True
            raise

    def row(self, sql: str, values: Sequence[Any] = ()) -> Any:
        """The first row of a question, or None."""
        try:
            return self._opened().row(sql, values)
        except LocalError:
            self.failed = True
            raise

    def pages(self, sql: str, *, last: Sequence[Any], longest_bytes: int = 1) -> Iterator[Any]:
        """The rows of a question a page at a time, so that the table may be changed meanwhile.

        Args:
            sql: It compares the columns that its rows begin with to as many marks, and ends in ``LIMIT ?``.
            last: What lies before all of these columns.
            longest_bytes: No row is longer.
        """
        at_once = max(1, min(PAGE_ROWS, PAGE_BYTES // longest_bytes))
        while page := self.rows(sql, (*last, at_once)):
            yield from page
            last = page[-1][: len(last)]

    def close(self) -> None:
        """Give the room back."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _opened(self) -> Connection:
        if self.failed:
            raise LocalError("the disk under this site's store is full", hint="free some space; nothing was lost")
        if self._file is None:
            self._file = _open(self._store_file)
        return self._file


def _open(store_file: Path) -> Connection:
    """Make the file, and take its name away: it goes by itself when the process does, however that ends."""
    path = store_file.with_name(f"{store_file.name}.scratch-{os.getpid()}")
    for left in store_file.parent.glob(f"{store_file.name}.scratch-*"):  # a power cut came just before the next line
        with suppress(OSError):
            left.unlink()
    try:
        file = Connection(sqlite3.connect(path, isolation_level=None, check_same_thread=False))
    except sqlite3.Error as error:
        raise said_plainly(error) from error
    try:
        for pragma in _PRAGMAS:
            file.run(f"PRAGMA {pragma}")
        file.run("BEGIN IMMEDIATE")  # never ended: pages are written when the memory for them is used up
        file.run("CREATE TABLE made (here INTEGER)")
    except LocalError:
        file.close()
        raise
    finally:
        with suppress(OSError):
            path.unlink()
    return file
