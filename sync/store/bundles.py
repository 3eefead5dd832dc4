"""The bundles of a store: which statements lie in which, in what order, and which copies of them can be made here.

Not files: those lie on carriers. One rule: a bundle is never changed; two with one log, lane and number are both kept.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from sys import intern
from typing import TYPE_CHECKING, Any, cast

from sync.bundle import Bundle
from sync.canonical import canonical_bytes
from sync.errors import DamagedError
from sync.limits import HEX_IN_NAMES
from sync.store.statements import statement_in

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from sync.statement import Lane, Statement
    from sync.store.database import Database


@dataclass(frozen=True, slots=True)
class HeldBundle:
    """A bundle as the store lists it, without its statements.

    Attributes:
        row: Its place in the store.
        id: 64 hex.
        site: Key of the site that sealed it.
        log: 16 hex.
        lane: ``urgent`` or ``text``.
        number: In its log and lane.
        absent: How many bodies a copy made here lacks.
        length: How many statements it holds.
    """

    row: int
    id: str
    site: str
    log: str
    lane: Lane
    number: int
    absent: int
    length: int

    @property
    def stem(self) -> str:
        """The path of any copy without what tells copies apart."""
        return f"sites/{self.site[:HEX_IN_NAMES]}/{self.log}/{self.lane}/{self.number:08d}-{self.id[:HEX_IN_NAMES]}"

    @property
    def path(self) -> str:
        """The path of the copy made here."""
        return f"{self.stem}-{self.absent}.bundle"


class Bundles:
    """The table of bundles and of what lies in them."""

    def __init__(self, database: Database) -> None:
        """Keep the file."""
        self._database = database
        self._stamp: tuple[int, int, int] | None = None
        self._listed: list[HeldBundle] = []

    def add(self, bundle: Bundle, rows: Iterable[int]) -> None:
        """Append a bundle whose statements have these row numbers, in its order."""
        self._database.touch()
        header = canonical_bytes(dict(bundle.header))
        key = bytes.fromhex(bundle.id), bytes.fromhex(bundle.site)
        place = bundle.log, bundle.lane, bundle.number
        number = self._database.run(
            "INSERT INTO bundles (id, site, log, lane, place, header, signature) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (*key, *place, header, bundle.signature),
        )
        kept = list(rows)
        self._database.run_many(
            "INSERT INTO contents (bundle, place, statement) VALUES (?, ?, ?)",
            ((number, index, row) for index, row in enumerate(kept)),
        )
        sealed = "UPDATE statements SET sealed = 1 WHERE number = ? AND sealed = 0"
        self._database.run_many(sealed, ((row,) for row in kept))

    def has(self, name: str) -> bool:
        """Whether a bundle is held, with or without all its bodies."""
        return self.signature(name) is not None

    def signature(self, name: str) -> bytes | None:
        """The site's signature under a bundle, None where it is not held."""
        row = self._database.row("SELECT signature FROM bundles WHERE id = ?", (bytes.fromhex(name),))
        return None if row is None else bytes(row[0])

    def listed(self) -> list[HeldBundle]:
        """All bundles, by site, log, lane (urgent last) and number; asked again only after something has changed."""
        stamp = self._database.stamp()
        if stamp != self._stamp:
            self._listed = self._list()
            self._stamp = stamp
        return self._listed

    def _list(self) -> list[HeldBundle]:
        absent: Mapping[int, int] = dict(
            self._database.rows(
                "SELECT bundle, COUNT(*) FROM statements JOIN contents ON statement = number WHERE body IS NULL"
                " GROUP BY bundle"
            )
        )
        rows = self._database.rows(
            "SELECT number, id, site, log, lane, place,"
            " (SELECT MAX(contents.place) + 1 FROM contents WHERE bundle = number)"
            " FROM bundles ORDER BY site, log, lane, place, id"
        )
        return [
            HeldBundle(
                row, name.hex(), intern(site.hex()), intern(log), cast("Lane", lane), place, absent.get(row, 0), length
            )
            for row, name, site, log, lane, place, length in rows  # thousands share site and log
        ]

    def copy(self, row: int) -> Bundle:
        """The copy of a bundle that can be made here."""
        name, header, signature = self._database.row(
            "SELECT id, header, signature FROM bundles WHERE number = ?", (row,)
        )
        try:
            value = json.loads(header)
        except ValueError as error:
            raise DamagedError(f"the store of this site is damaged: bundle {name.hex()[:8]} cannot be read") from error
        return Bundle(value, name.hex(), signature, tuple(self._statements(row)))

    def each(self) -> Iterator[Bundle]:
        """A copy of every bundle, one at a time."""
        for (row,) in self._database.rows("SELECT number FROM bundles ORDER BY number"):
            yield self.copy(row)

    def holding_any(self, names: Iterable[str]) -> frozenset[str]:
        """The ids of the bundles in which any of these statements lies."""
        question = (
            "SELECT DISTINCT bundles.id FROM statements JOIN contents ON statement = statements.number"
            " JOIN bundles ON bundle = bundles.number WHERE statements.id = ?"
        )
        return frozenset(
            row[0].hex() for name in names for row in self._database.rows(question, (bytes.fromhex(name),))
        )

    def places(self, names: Iterable[str] | None = None) -> Mapping[str, list[tuple[str, Lane, int]]]:
        """In which bundles statements lie, as log, lane and number; of some held statements, or of all."""
        question = (
            "SELECT statements.id, log, lane, bundles.place FROM statements"
            " LEFT JOIN contents ON statement = statements.number LEFT JOIN bundles ON bundle = bundles.number"
        )
        found: dict[str, list[tuple[str, Lane, int]]] = {}
        wanted = [None] if names is None else names
        for wish in wanted:
            rows = (
                self._database.rows(question)
                if wish is None
                else self._database.rows(f"{question} WHERE statements.id = ?", (bytes.fromhex(wish),))
            )
            for name, log, lane, number in rows:
                lies = found.setdefault(name.hex(), [])
                if log is not None:
                    lies.append((log, cast("Lane", lane), number))
        return found

    def last_place(self, site: str, log: str, lane: Lane) -> tuple[int, str | None]:
        """Number and id of the last bundle of a log and lane; 0 and None where there is none."""
        row = self._database.row(
            "SELECT place, id FROM bundles WHERE site = ? AND log = ? AND lane = ? ORDER BY place DESC, id LIMIT 1",
            (bytes.fromhex(site), log, lane),
        )
        return (0, None) if row is None else (row[0], row[1].hex())

    def _statements(self, row: int) -> Iterator[Statement]:
        rows: list[Any] = self._database.rows(
            "SELECT id, header, body, salt, signature FROM contents JOIN statements ON statement = number"
            " WHERE bundle = ? ORDER BY place",
            (row,),
        )
        return map(statement_in, rows)
