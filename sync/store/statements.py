"""The statements of a store: appended, never changed, but for bodies that are taken back or supplied later.

Not their authority. One rule: the order given out is (depth, id), and depth is derived from what is here, so that
every store with the same set gives the same order.
"""

from __future__ import annotations

from contextlib import suppress
from heapq import merge
from itertools import accumulate, islice, takewhile
from typing import TYPE_CHECKING, Any, NamedTuple

from sync.charter.held import in_order_of_answering
from sync.errors import DamagedError
from sync.statement import Statement, reopen_statement
from sync.store.ids import PAGE_IDS, Bodiless, Ids
from sync.store.spilling import SpillingHeap

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from sync.store.database import Database
    from sync.store.scratch import Scratch

PAGE_ROWS = 500
PAGE_BYTES = 2**20  # of headers and bodies: one may be as long as a thousand others
_BLOBS = frozenset({bytes, type(None)})
_COLUMNS = "id, header, body, salt, signature"
_LENGTH = "length(header) + COALESCE(length(body), 0)"
_DEPTHS = "SELECT id, depth FROM statements WHERE id IN"
_WAITED_FOR = (
    "SELECT id, depth FROM statements AS new WHERE number >= ? AND EXISTS (SELECT 1 FROM answers"
    " JOIN statements AS follower ON follower.number = statement"
    " WHERE answered = new.id AND follower.depth <= new.depth)"
)


# first what follows nothing of the same author that is here, then whatever follows that, and so on
_CHAINS = """
WITH RECURSIVE chain (id, previous) AS (
    SELECT id, previous FROM statements AS own WHERE author = ? AND NOT EXISTS
        (SELECT 1 FROM statements AS earlier WHERE earlier.id = own.previous AND earlier.author = ?)
    UNION ALL
    SELECT own.id, own.previous FROM chain JOIN statements AS own ON own.previous = chain.id AND own.author = ?
)
SELECT id, previous FROM chain
"""


class HeldStatement(NamedTuple):
    """A statement as the store lists it: its row, whether its body is here, and its signature."""

    row: int
    has_body: bool
    signature: bytes


class Statements:
    """The table of statements; ids go in and out as 64 hex and lie in the file as 32 bytes."""

    def __init__(self, database: Database, scratch: Callable[[], Scratch]) -> None:
        """Keep the file.

        Args:
            database: The store's.
            scratch: Gives the room for what is too much for the memory.
        """
        self._database = database
        self._scratch = scratch

    def add(self, statements: Sequence[Statement], *, sealed: bool) -> range:
        """Append statements that are not held, none twice, lying in a bundle already or not yet; their row numbers."""
        first = int(self._database.row("SELECT COALESCE(MAX(number), 0) + 1 FROM statements")[0])
        numbers = range(first, first + len(statements))
        self._database.run_many(
            "INSERT INTO statements (number, id, author, previous, kind, depth, sealed, header, body, salt, signature)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            _rows_of(statements, numbers, depths=self._depths_in(statements), sealed=sealed),
        )
        for question, pairs in (
            ("INSERT INTO answers (answered, statement) VALUES (?, ?)", [each.after for each in statements]),
            ("INSERT INTO named_files (file, statement) VALUES (?, ?)", [each.attachments for each in statements]),
        ):
            rows = (
                (bytes.fromhex(name), number) for names, number in zip(pairs, numbers, strict=True) for name in names
            )
            self._database.run_many(question, rows)
        self._deepen_after(first)
        return numbers

    def get(self, name: str) -> Statement | None:
        """A statement, None where it is not held."""
        row = self._database.row(f"SELECT {_COLUMNS} FROM statements WHERE id = ?", (bytes.fromhex(name),))  # noqa: S608
        return None if row is None else statement_in(row)

    def held(self, names: Iterable[str]) -> dict[str, HeldStatement]:
        """Those of some statements that are held, as listed, by id."""
        rows = self._asked("SELECT id, number, body IS NOT NULL, signature FROM statements WHERE id IN", names)
        return {name.hex(): HeldStatement(row, bool(here), signature) for name, row, here, signature in rows}

    def in_order(self) -> Iterator[Statement]:
        """All of them in (depth, id) order, a page at a time, so that others may write meanwhile."""
        last: tuple[Any, ...] = (-1, b"")
        source = "FROM statements WHERE (depth, id) > (?, ?) ORDER BY depth, id LIMIT ?"
        while page := self._page(f"depth, {_COLUMNS}", source, last):
            yield from (statement_in(row[1:]) for row in page)
            last = page[-1][:2]

    def unsealed(self) -> Iterator[tuple[int, str]]:
        """Row and kind of those that lie in no bundle yet, by depth, author and arrival: so they pack best.

        None may be sealed while they are walked through.
        """
        # by the index of the few that are unsealed, and never by a walk through all that is held
        return self._database.each(
            "SELECT number, kind FROM statements INDEXED BY statements_unsealed WHERE sealed = 0"
            " ORDER BY depth, author, number"
        )

    def unsealed_kinds(self) -> list[tuple[str, int]]:
        """How many of each kind lie in no bundle yet."""
        return self._database.rows(
            "SELECT kind, COUNT(*) FROM statements INDEXED BY statements_unsealed WHERE sealed = 0 GROUP BY kind"
        )

    def at(self, rows: Iterable[int]) -> Iterator[Statement]:
        """The statements at these row numbers, in this order; each must be held."""
        for number in rows:
            yield statement_in(self._database.row(f"SELECT {_COLUMNS} FROM statements WHERE number = ?", (number,)))  # noqa: S608

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
        return [statement_in(row) for row in rows]

    def has(self, name: str) -> bool:
        """Whether a statement is held."""
        return self._database.row("SELECT 1 FROM statements WHERE id = ?", (bytes.fromhex(name),)) is not None

    def each_id(self) -> Iterator[bytes]:
        """Every id, 32 bytes, in order, a page at a time."""
        last = b""
        while page := self._database.rows(
            "SELECT id FROM statements WHERE id > ? ORDER BY id LIMIT ?", (last, PAGE_IDS)
        ):
            yield from (name for (name,) in page)
            last = page[-1][0]

    def last_row(self) -> int:
        """The row number of the statement that came last, 0 where there is none; rows are numbered without gaps."""
        return int(self._database.row("SELECT COALESCE(MAX(number), 0) FROM statements")[0])

    def ids_since(self, row: int) -> Collection[str]:
        """The ids held now in the rows after one, looked up here when asked for; what comes later is not among them."""
        return Ids(self._database, row, self.last_row())

    def without_body(self) -> AbstractSet[str]:
        """The ids whose bodies are not here, for whatever reason, looked up here when asked for."""
        return Bodiless(self._database)

    def of_kind(self, kind: str) -> list[Statement]:
        """All of one kind, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT {_COLUMNS} FROM statements WHERE kind = ? ORDER BY depth, id",  # noqa: S608
            (kind,),
        )
        return [statement_in(row) for row in rows]

    def ids_of_kinds(self, kinds: Iterable[str]) -> Iterator[str]:
        """The ids of all of some kinds, in the order in which they came to be held here, a page at a time."""
        return (name.hex() for _, name in merge(*map(self._rows_of_kind, sorted(kinds))))

    def _rows_of_kind(self, kind: str) -> Iterator[tuple[int, bytes]]:
        last = 0
        question = "SELECT number, id FROM statements WHERE kind = ? AND number > ? ORDER BY number LIMIT ?"
        while page := self._database.rows(question, (kind, last, PAGE_IDS)):
            yield from page
            last = page[-1][0]

    def of_kinds(self, kinds: Iterable[str]) -> Iterator[Statement]:
        """All of some kinds, those of each in the order in which they came, a page at a time."""
        for kind in sorted(kinds):
            last = 0
            source = "FROM statements WHERE kind = ? AND number > ? ORDER BY number LIMIT ?"
            while page := self._page(f"number, {_COLUMNS}", source, (kind, last)):
                yield from (statement_in(row[1:]) for row in page)
                last = page[-1][0]

    def of_kind_in_order(self, kind: str) -> Iterator[Statement]:
        """All of one kind in (depth, id) order, one at a time; nothing may be changed before the last of them."""
        for (name,) in self._database.each("SELECT id FROM statements WHERE kind = ? ORDER BY depth, id", (kind,)):
            if (found := self.get(name.hex())) is not None:
                yield found

    def chain_of(self, author: str) -> Iterator[tuple[str, str | None]]:
        """All that one key said, each with what it follows, after that one if that is here and of the same key."""
        rows = self._database.each(_CHAINS, 3 * (bytes.fromhex(author),))
        return ((name.hex(), None if previous is None else previous.hex()) for name, previous in rows)

    def answering_ids(self, name: str) -> Iterator[str]:
        """The ids of the statements that answer a statement, held or not, a page at a time."""
        last = 0
        while page := self._database.rows(
            "SELECT number, id FROM answers JOIN statements ON statement = number"
            " WHERE answered = ? AND statement > ? ORDER BY statement LIMIT ?",
            (bytes.fromhex(name), last, PAGE_IDS),
        ):
            yield from (each.hex() for _, each in page)
            last = page[-1][0]

    def naming_each(self, file: str) -> Iterator[Statement]:
        """The statements that name an attachment, a page at a time."""
        last = 0
        source = (
            "FROM named_files JOIN statements ON statement = number"
            " WHERE file = ? AND statement > ? ORDER BY statement LIMIT ?"
        )
        while page := self._page(f"number, {_COLUMNS}", source, (bytes.fromhex(file), last)):
            yield from (statement_in(row[1:]) for row in page)
            last = page[-1][0]

    def of_author(self, author: str) -> list[Statement]:
        """All that one key said, in (depth, id) order."""
        rows = self._database.rows(
            f"SELECT {_COLUMNS} FROM statements WHERE author = ? ORDER BY depth, id",  # noqa: S608
            (bytes.fromhex(author),),
        )
        return [statement_in(row) for row in rows]

    def is_listed_rightly(self, statement: Statement) -> bool:
        """Whether author, previous and kind of a statement stand in its row as in its header."""
        row = self._database.row(
            "SELECT author, previous, kind FROM statements WHERE id = ?", (bytes.fromhex(statement.id),)
        )
        author, previous, kind = row if row is not None else (b"", None, "")
        named = None if previous is None else previous.hex()
        return (author.hex(), named, kind) == (statement.author, statement.previous, statement.kind)

    def with_body(self, names: Iterable[str]) -> Iterator[str]:
        """Those of some statements that are held with their bodies."""
        rows = self._asked("SELECT id FROM statements WHERE body IS NOT NULL AND id IN", names)
        return (name.hex() for (name,) in rows)

    def supply(self, statement: Statement) -> None:
        """Put in the body of a statement that is held without."""
        self._database.touch()
        self._database.run(
            "UPDATE statements SET body = ?, salt = ? WHERE id = ?",
            (statement.body_bytes, statement.salt, bytes.fromhex(statement.id)),
        )

    def erase(self, name: str) -> None:
        """Take out a body with its salt; the statement stays."""
        self._database.touch()
        self._database.run("UPDATE statements SET body = NULL, salt = NULL WHERE id = ?", (bytes.fromhex(name),))

    def named_files(self) -> Iterator[str]:
        """The ids of all attachments that any statement names, in order, a page at a time."""
        last = b""
        question = "SELECT DISTINCT file FROM named_files WHERE file > ? ORDER BY file LIMIT ?"
        while page := self._database.rows(question, (last, PAGE_IDS)):
            yield from (file.hex() for (file,) in page)
            last = page[-1][0]

    def naming(self, file: str) -> Iterator[str]:
        """The ids of the statements that name an attachment, a page at a time."""
        last = 0
        question = (
            "SELECT number, id FROM named_files JOIN statements ON statement = number"
            " WHERE file = ? AND statement > ? ORDER BY statement LIMIT ?"
        )
        while page := self._database.rows(question, (bytes.fromhex(file), last, PAGE_IDS)):
            yield from (name.hex() for _, name in page)
            last = page[-1][0]

    def depths(self) -> Iterator[tuple[str, int]]:
        """Id and depth of every statement, in (depth, id) order, a page at a time."""
        last: tuple[Any, ...] = (-1, b"")
        question = "SELECT depth, id FROM statements WHERE (depth, id) > (?, ?) ORDER BY depth, id LIMIT ?"
        while page := self._database.rows(question, (*last, PAGE_IDS)):
            yield from ((name.hex(), depth) for depth, name in page)
            last = page[-1]

    def _page(self, columns: str, source: str, values: Sequence[Any]) -> list[Any]:
        """As many of the next rows as lie well in memory together.

        Args:
            columns: What is asked.
            source: The rest of the question, which ends in ``LIMIT ?``.
            values: For its other marks.
        """
        sizes = self._database.rows(f"SELECT {_LENGTH} {source}", (*values, PAGE_ROWS))
        totals = accumulate(size for (size,) in sizes)
        fitting = sum(1 for _ in takewhile(lambda total: total <= PAGE_BYTES, totals))
        return self._database.rows(f"SELECT {columns} {source}", (*values, max(1, fitting))) if sizes else []

    def _asked(self, question: str, names: Iterable[str]) -> Iterator[Any]:
        """The rows of a question that ends in a list of ids, some hundred ids at a time."""
        coming = iter(names)
        while page := [bytes.fromhex(name) for name in islice(coming, PAGE_ROWS)]:
            yield from self._database.rows(f"{question} ({', '.join('?' * len(page))})", page)

    def _depths_in(self, statements: Sequence[Statement]) -> list[int]:
        """How deep each of some new statements lies, as far as what it answers is held or is one of them.

        They may come in any order: a thousand of which each answers the next are found deep at once, or all that
        waited for them would be moved a thousand times.
        """
        answered = {name for statement in statements for name in statement.after}
        known = {name.hex(): depth for name, depth in self._asked(_DEPTHS, answered)}
        for statement in in_order_of_answering(statements):
            known[statement.id] = max((1 + known[name] for name in statement.after if name in known), default=0)
        return [known[statement.id] for statement in statements]

    def _deepen_after(self, first: int) -> None:
        """Let those that waited for statements of this row or a later one follow them.

        The shallow ones first, so that each is moved once.
        """
        waiting = SpillingHeap(self._scratch())
        for name, depth in self._database.rows(_WAITED_FOR, (first,)):
            waiting.push(depth, name.hex())
        while (shallowest := waiting.pop()) is not None:
            below, answered = shallowest
            for number, follower in self._not_below(answered, below):
                self._database.run("UPDATE statements SET depth = ? WHERE number = ?", (below + 1, number))
                waiting.push(below + 1, follower.hex())

    def _not_below(self, answered: str, depth: int) -> Iterator[tuple[int, bytes]]:
        """Row and id of those that answer a statement and do not lie deeper than it, a page at a time."""
        last = 0
        question = (
            "SELECT number, id FROM answers JOIN statements ON statement = number"
            " WHERE answered = ? AND statement > ? AND depth <= ? ORDER BY statement LIMIT ?"
        )
        while page := self._database.rows(question, (bytes.fromhex(answered), last, depth, PAGE_ROWS)):
            yield from page
            last = page[-1][0]


def _rows_of(
    statements: Sequence[Statement], numbers: range, *, depths: list[int], sealed: bool
) -> Iterator[tuple[Any, ...]]:
    for number, each, depth in zip(numbers, statements, depths, strict=True):
        previous = bytes.fromhex(each.previous) if each.previous is not None else None
        who = bytes.fromhex(each.id), bytes.fromhex(each.author), previous, each.kind
        yield number, *who, depth, sealed, each.header_bytes, each.body_bytes, each.salt, each.signature


def statement_in(row: Any) -> Statement:
    """The statement in a row of id, header, body, salt and signature.

    Raises:
        DamagedError: The file is damaged there.
    """
    name, *parts = row
    with suppress(ValueError, KeyError, TypeError):
        if _BLOBS.issuperset(map(type, parts)):
            return reopen_statement(name.hex(), *parts)
    raise DamagedError(f"the store of this site is damaged: statement {name.hex()[:8]} cannot be read")
