"""A store whose file is damaged, read row by row: what cannot be read is passed over.

Not a judge: whoever asks verifies every row. One rule: no row is changed; what lies in the log beside the file is read
as well.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from typing import TYPE_CHECKING, Any, NamedTuple

from sync.errors import LocalError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_HINT = "put the site's folder back from a backup; the next exchanges bring what came since"


def _read_anyhow(data: bytes) -> str:
    """A text of the file; one damaged byte of it must not hide the row that it stands in, nor those after it."""
    return data.decode(errors="replace")


class FoundStatement(NamedTuple):
    """A row of the table of statements, as it lies there."""

    number: int
    id: Any
    header: Any
    body: Any
    salt: Any
    signature: Any
    kind: Any = None
    author: Any = None


class Salvage:
    """What can still be read of a store."""

    def __init__(self, path: Path) -> None:
        """Open the file.

        Raises:
            LocalError: It is none of SQLite's any more, or is in use.
        """
        try:
            self._connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, isolation_level=None)
            self._connection.text_factory = _read_anyhow
            self._connection.execute("SELECT COUNT(*) FROM sqlite_schema").fetchone()
        except sqlite3.Error as error:
            raise LocalError(f"nothing can be read of the store {path} ({error})", hint=_HINT) from error

    def close(self) -> None:
        """Give the file back, with what lay in the log beside it written into it where that can be done."""
        with closing(self._connection), suppress(sqlite3.Error):
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def network_file(self) -> bytes:
        """The network file, or nothing."""
        rows = list(self._read("SELECT file FROM network"))
        return bytes(rows[0][0]) if rows and isinstance(rows[0][0], bytes) else b""

    def count(self) -> int:
        """About how many statements there are."""
        return self._last("statements")

    def statements(self) -> Iterator[FoundStatement]:
        """Every row that can be read."""
        for number in range(1, self._last("statements") + 1):
            yield from self.statement(number)

    def statement(self, number: int) -> Iterator[FoundStatement]:
        """A row by its number, where it can be read."""
        question = "SELECT number, id, header, body, salt, signature, kind, author FROM statements WHERE number = ?"
        for row in self._read(question, number):
            yield FoundStatement(*row)

    def listed(self) -> dict[int, bytes]:
        """Number and id of every row that the index of ids still lists, whether the row can be read or not."""
        rows = self._read("SELECT number, id FROM statements WHERE id >= x''")
        return {number: name for number, name in rows if isinstance(number, int) and isinstance(name, bytes)}

    def places_of(self, number: int) -> list[tuple[Any, Any, Any]]:
        """Log, lane and number of each bundle in which a statement lies."""
        question = (
            "SELECT log, lane, bundles.place FROM contents JOIN bundles ON bundles.number = bundle WHERE statement = ?"
        )
        return list(self._read(question, number))

    def naming(self, file: str) -> list[int]:
        """The numbers of the statements that name an attachment."""
        question = "SELECT statement FROM named_files WHERE file = ?"
        return [number for (number,) in self._read(question, bytes.fromhex(file)) if isinstance(number, int)]

    def bundles(self) -> Iterator[tuple[Any, Any, Any, list[int]]]:
        """Id, header and signature of every bundle that can be read, and the numbers of its statements in order."""
        for number in range(1, self._last("bundles") + 1):
            for name, header, signature in self._read(
                "SELECT id, header, signature FROM bundles WHERE number = ?", number
            ):
                inside = self._read("SELECT statement FROM contents WHERE bundle = ? ORDER BY place", number)
                yield name, header, signature, [row[0] for row in inside]

    def receipts(self) -> Iterator[Any]:
        """The files of receipts."""
        return (file for (file,) in self._read("SELECT file FROM receipts"))

    def joinings(self) -> Iterator[Any]:
        """The files of wishes to join."""
        return (file for (file,) in self._read("SELECT file FROM joinings"))

    def own_logs(self) -> Iterator[tuple[Any, Any]]:
        """Site and log of each log begun here, in order."""
        return ((site, log) for site, log in self._read("SELECT site, log FROM own_logs ORDER BY number"))

    def _last(self, table: str) -> int:
        """The greatest row number that can be found; one way that fails does not hinder the others."""
        questions = (
            f"SELECT MAX(number) FROM {table}",  # noqa: S608 - names of ours
            f"SELECT COUNT(*) FROM {table} WHERE id >= x''",  # noqa: S608 - this one goes by the index
        )
        return max((row[0] or 0 for question in questions for row in self._read(question)), default=0)

    def _read(self, question: str, *values: int | bytes) -> Iterator[Any]:
        """The rows of a question until the file fails."""
        with suppress(sqlite3.Error):
            yield from self._connection.execute(question, values)
