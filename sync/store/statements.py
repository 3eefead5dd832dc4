"""The statements of a store: appended, never changed, but for bodies that are taken back or supplied later.

Not their authority. One rule: the order given out is (depth, id), and depth is derived from what is here, so that
every store with the same set gives the same order.
"""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING, Any, NamedTuple

from sync.statement import Statement, reopen_statement

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from sync.store.database import Database

PAGE_ROWS = 500
_COLUMNS = "id, header, body, salt, signature"


class HeldStatement(NamedTuple):
    """A statement as the store lists it: its row, whether its body is here, and its signature."""

    row: int
    has_body: bool
    signature: bytes


class Statements:
    """The table of statements; ids go in and out as 64 hex and lie in the file as 32 bytes."""

    def __init__(self, database: Database) -> None:
        """Keep the file."""
        self._database = database

    def add(self, statement: Statement, *, sealed: bool) -> int:
        """Append a statement that is not held, lying in a bundle already or not yet; its row number."""
        name = bytes.fromhex(statement.id)
        previous = bytes.fromhex(statement.previous) if statement.previous is not None else None
        author = bytes.fromhex(statement.author)
        depth = self._depth_after(statement.after)
        parts = (statement.header_bytes, statement.body_bytes, statement.salt, statement.signature)
        number = self._database.run(
            "INSERT INTO statements (id, author, previous, kind, depth, sealed, header, body, salt, signature)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (name, author, previous, statement.kind, depth, sealed, *parts),
        )
        for table, column, names in (
            ("answers", "answered", statement.after),
            ("named_files", "file", statement.attachments),
        ):
            if names:
                rows = ((bytes.fromhex(each), number) for each in names)
                self._database.run_many(f"INSERT INTO {table} ({column}, statement) VALUES (?, ?)", rows)  # noqa: S608 - names of ours
        self._deepen(name, depth)
        return number

    def get(self, name: str) -> Statement | None:
        """A statement, None where it is not held."""
        row = self._database.row(f"SELECT {_COLUMNS} FROM statements WHERE id = ?", (bytes.fromhex(name),))  # noqa: S608
        return None if row is None else _statement(row)

    def held(self, name: str) -> HeldStatement | None:
        """A statement as listed, None where it is not held."""
        row = self._database.row(
            "SELECT number, body IS NOT NULL, signature FROM statements WHERE id = ?", (bytes.fromhex(name),)
        )
        return None if row is None else HeldStatement(row[0], bool(row[1]), row[2])

    def in_order(self) -> Iterator[Statement]:
        """All of them in (depth, id) order, a page at a time, so that others may write meanwhile."""
        last: tuple[Any, ...] = (-1, b"")
        while page := self._database.rows(
            f"SELECT depth, {_COLUMNS} FROM statements WHERE (depth, id) > (?, ?) ORDER BY depth, id LIMIT ?",  # noqa: S608
            (*last, PAGE_ROWS),
        ):
            for row in page:
                yield _statement(row[1:])
            last = page[-1][:2]

    def unsealed(self) -> list[tuple[int, Statement]]:
        """Those that lie in no bundle yet, each with its row, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT number, {_COLUMNS} FROM statements WHERE sealed = 0 ORDER BY depth, id"  # noqa: S608
        )
        return [(number, _statement(parts)) for number, *parts in rows]

    def count(self) -> int:
        """How many are held."""
        return int(self._database.row("SELECT COUNT(*) FROM statements")[0])

    def depth(self, name: str) -> int | None:
        """How many answers lie below a statement, 0 where it answers nothing here; None where it is not held."""
        row = self._database.row("SELECT depth FROM statements WHERE id = ?", (bytes.fromhex(name),))
        return None if row is None else int(row[0])

    def last_of(self, author: str) -> str | None:
        """The newest here of an author's statements that none of theirs follows: what their next one follows."""
        row = self._database.row(
            "SELECT id FROM statements AS own WHERE author = ? AND NOT EXISTS"
            " (SELECT 1 FROM statements AS later WHERE later.previous = own.id AND later.author = own.author)"
            " ORDER BY number DESC LIMIT 1",
            (bytes.fromhex(author),),
        )
        return None if row is None else row[0].hex()

    def answering(self, name: str, *, kind: str) -> list[Statement]:
        """The statements of a kind that answer a statement, held or not, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT {_COLUMNS} FROM answers JOIN statements ON statement = number"  # noqa: S608
            " WHERE answered = ? AND kind = ? ORDER BY depth, id",
            (bytes.fromhex(name), kind),
        )
        return [_statement(row) for row in rows]

    def ids_with_body(self) -> Iterator[tuple[str, bool]]:
        """Each id and whether its body is here, by id."""
        for name, here in self._database.rows("SELECT id, body IS NOT NULL FROM statements ORDER BY id"):
            yield name.hex(), bool(here)

    def without_body(self) -> frozenset[str]:
        """The ids whose bodies are not here, for whatever reason."""
        return frozenset(name.hex() for (name,) in self._database.rows("SELECT id FROM statements WHERE body IS NULL"))

    def of_kind(self, kind: str) -> list[Statement]:
        """All of one kind, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT {_COLUMNS} FROM statements WHERE kind = ? ORDER BY depth, id",  # noqa: S608
            (kind,),
        )
        return [_statement(row) for row in rows]

    def ids_of_kinds(self, kinds: Iterable[str]) -> list[str]:
        """The ids of all of some kinds, in the order in which they came to be held here."""
        names = sorted(kinds)
        marks = ", ".join("?" * len(names))
        rows = self._database.rows(f"SELECT id FROM statements WHERE kind IN ({marks}) ORDER BY number", names)  # noqa: S608
        return [name.hex() for (name,) in rows]

    def of_author(self, author: str) -> list[Statement]:
        """All that one key said, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT {_COLUMNS} FROM statements WHERE author = ? ORDER BY depth, id",  # noqa: S608
            (bytes.fromhex(author),),
        )
        return [_statement(row) for row in rows]

    def is_listed_rightly(self, statement: Statement) -> bool:
        """Whether author, previous and kind of a statement stand in its row as in its header."""
        row = self._database.row(
            "SELECT author, previous, kind FROM statements WHERE id = ?", (bytes.fromhex(statement.id),)
        )
        author, previous, kind = row if row is not None else (b"", None, "")
        named = None if previous is None else previous.hex()
        return (author.hex(), named, kind) == (statement.author, statement.previous, statement.kind)

    def supply(self, statement: Statement) -> None:
        """Put in the body of a statement that is held without."""
        self._database.run(
            "UPDATE statements SET body = ?, salt = ? WHERE id = ?",
            (statement.body_bytes, statement.salt, bytes.fromhex(statement.id)),
        )

    def erase(self, name: str) -> None:
        """Take out a body with its salt; the statement stays."""
        self._database.run("UPDATE statements SET body = NULL, salt = NULL WHERE id = ?", (bytes.fromhex(name),))

    def named_files(self) -> frozenset[str]:
        """The ids of all attachments that any statement names."""
        return frozenset(file.hex() for (file,) in self._database.rows("SELECT DISTINCT file FROM named_files"))

    def naming(self, file: str) -> frozenset[str]:
        """The ids of the statements that name an attachment."""
        rows = self._database.rows(
            "SELECT id FROM named_files JOIN statements ON statement = number WHERE file = ?", (bytes.fromhex(file),)
        )
        return frozenset(name.hex() for (name,) in rows)

    def depths(self) -> dict[str, int]:
        """The depth of every statement, by id."""
        return {name.hex(): depth for name, depth in self._database.rows("SELECT id, depth FROM statements")}

    def _depth_after(self, answered: Iterable[str]) -> int:
        names = [bytes.fromhex(name) for name in answered]
        if not names:
            return 0
        marks = ", ".join("?" * len(names))
        row = self._database.row(f"SELECT MAX(depth) FROM statements WHERE id IN ({marks})", names)  # noqa: S608
        return 0 if row[0] is None else int(row[0]) + 1

    def _deepen(self, name: bytes, depth: int) -> None:
        """Let those that wait for a statement follow it, the shallow ones first so that each is moved once."""
        waiting = [(depth, name)]
        while waiting:
            below, answered = heapq.heappop(waiting)
            followers = self._database.rows(
                "SELECT number, id FROM answers JOIN statements ON statement = number"
                " WHERE answered = ? AND depth <= ?",
                (answered, below),
            )
            for number, follower in followers:
                self._database.run("UPDATE statements SET depth = ? WHERE number = ?", (below + 1, number))
                heapq.heappush(waiting, (below + 1, follower))


def _statement(row: Any) -> Statement:
    name, *parts = row
    return reopen_statement(name.hex(), *parts)
