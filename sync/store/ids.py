"""Ids of statements that are looked up when they are asked for, so that none of them lies in memory.

Not the statements. One rule: a collection of them is sorted, and whatever may change under it is said.
"""

from __future__ import annotations

from collections.abc import Collection
from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from sync.store.database import Database

PAGE_IDS = 1024


class Ids(Collection[str]):
    """The ids of some rows: more are only ever added after them, so these stay the same."""

    def __init__(self, database: Database, before: int, last: int) -> None:
        """Of the rows after one, up to another."""
        self._database = database
        self._rows = before, last

    def __contains__(self, name: object) -> bool:
        """Whether a statement is among them."""
        row = self._database.row("SELECT number FROM statements WHERE id = ?", (bytes.fromhex(str(name)),))
        return row is not None and self._rows[0] < row[0] <= self._rows[1]

    def __iter__(self) -> Iterator[str]:
        """In order; a few are sorted, many are found by walking through the ids of all."""
        if len(self) <= PAGE_IDS:
            rows = self._database.rows("SELECT id FROM statements WHERE number > ? AND number <= ?", self._rows)
            yield from sorted(name.hex() for (name,) in rows)
            return
        last = b""
        question = "SELECT id FROM statements WHERE id > ? AND number > ? AND number <= ? ORDER BY id LIMIT ?"
        while page := self._database.rows(question, (last, *self._rows, PAGE_IDS)):
            yield from (name.hex() for (name,) in page)
            last = page[-1][0]

    def __len__(self) -> int:
        """How many there are."""
        return self._rows[1] - self._rows[0]


class Bodiless(AbstractSet[str]):
    """The ids whose bodies are not here."""

    def __init__(self, database: Database) -> None:
        """Keep the file."""
        self._database = database

    @classmethod
    def _from_iterable(cls, names: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(names)

    def __contains__(self, name: object) -> bool:
        """Whether a statement is among them."""
        question = "SELECT 1 FROM statements WHERE id = ? AND body IS NULL"
        return self._database.row(question, (bytes.fromhex(str(name)),)) is not None

    def __iter__(self) -> Iterator[str]:
        """In order, a page at a time."""
        last = b""
        question = "SELECT id FROM statements WHERE body IS NULL AND id > ? ORDER BY id LIMIT ?"
        while page := self._database.rows(question, (last, PAGE_IDS)):
            yield from (name.hex() for (name,) in page)
            last = page[-1][0]

    def __len__(self) -> int:
        """How many there are."""
        return int(self._database.row("SELECT COUNT(*) FROM statements WHERE body IS NULL")[0])
