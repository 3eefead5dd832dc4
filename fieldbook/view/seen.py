"""What the view has seen of the ledger: each statement under the mark that it had then.

Not the folding. Its one rule: statements are compared a page at a time, so that no more of them lies in memory, however
many are held.
"""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from fieldbook.rows import Connection

PAGE_STATEMENTS = 500


class Seen:
    """The table of what was seen, in the view's file."""

    def __init__(self, connection: Connection) -> None:
        """Keep the connection."""
        self._db = connection

    def compared(self, marks: Iterable[tuple[str, str]]) -> Iterator[tuple[int, dict[str, str]]]:
        """For each page, how many of it were seen before, and the marks that are new or have changed, by id."""
        coming = iter(marks)
        while page := dict(islice(coming, PAGE_STATEMENTS)):
            seen = self._seen(page)
            yield len(seen), {identity: mark for identity, mark in page.items() if seen.get(identity) != mark}

    def keep(self, marks: Mapping[str, str]) -> None:
        """Keep these marks, by id."""
        self._db.executemany("INSERT OR REPLACE INTO seen VALUES (?,?)", marks.items())

    def lost(self, marks: Iterable[tuple[str, str]]) -> int:
        """How many statements were seen that are not among these."""
        return self.count() - sum(known for known, _ in self.compared(marks))

    def count(self) -> int:
        """How many statements were seen."""
        return int(self._db.execute("SELECT count(*) FROM seen").fetchone()[0])

    def _seen(self, page: Mapping[str, str]) -> dict[str, str]:
        places = ",".join("?" * len(page))
        return dict(self._db.execute(f"SELECT id, mark FROM seen WHERE id IN ({places})", tuple(page)))  # noqa: S608
