"""The bundles of a store: which statements lie in which, in what order, and which copies of them can be made here.

Not files: those lie on carriers. One rule: a bundle is never changed; two with one log, lane and number are both kept.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import islice
from sys import intern
from typing import TYPE_CHECKING, Any, cast

from sync.bundle import Bundle
from sync.canonical import canonical_bytes
from sync.errors import DamagedError
from sync.limits import HEX_IN_NAMES
from sync.store import spilling
from sync.store.spilling import SpillingMap
from sync.store.statements import PAGE_ROWS, statement_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from sync.statement import Lane, Statement
    from sync.store.database import Database
    from sync.store.scratch import Scratch

_HELD = (
    "SELECT number, id, site, log, lane, place,"
    " (SELECT MAX(contents.place) + 1 FROM contents WHERE bundle = number) FROM bundles"
)
_LYING = "SELECT bundle, body IS NOT NULL FROM statements JOIN contents ON statement = number WHERE id IN"
_ORDER = "site, log, lane, place, id"


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

    def __init__(self, database: Database, scratch: Callable[[], Scratch]) -> None:
        """Keep the file.

        Args:
            database: The store's.
            scratch: Gives the room for what is too much for the memory.
        """
        self._database = database
        self._scratch = scratch
        self.forget()

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

    def listed(self) -> Iterable[HeldBundle]:
        """All bundles, by site, log, lane (urgent last) and number; asked again only after something has changed."""
        self._look()
        return self._pages() if self._listed is None else self._listed.values()

    def absent(self) -> Mapping[str, int]:
        """How many bodies each bundle lacks that lacks any; the keys are those of `row_key`."""
        self._look()
        return self._absent

    def at(self, stem: str) -> HeldBundle | None:
        """A bundle by what its copies share, as of when all were listed or anything was added here since."""
        if self._listed is not None and self._stamp is not None and self._stamp[1:] == self._database.told():
            return self._listed.get(stem)
        _, site, log, lane, last = stem.split("/")
        number, _, name = last.partition("-")
        question = f"{_HELD} WHERE site = ? AND log = ? AND lane = ? AND place = ?"
        for key in self._keys_of(site):
            for row in self._database.rows(question, (key, log, lane, int(number))):
                if row[1].hex().startswith(name):
                    return _held_in(row, 0)
        return None

    def one(self, row: int) -> HeldBundle:
        """The bundle in a row, which must be there."""
        question = (
            "SELECT COUNT(*) FROM contents JOIN statements ON statement = number WHERE bundle = ? AND body IS NULL"
        )
        (absent,) = self._database.row(question, (row,))
        return _held_in(self._database.row(f"{_HELD} WHERE number = ?", (row,)), absent)

    def logs_of(self, site: str) -> frozenset[str]:
        """The logs of one site."""
        rows = self._database.rows("SELECT DISTINCT log FROM bundles WHERE site = ?", (bytes.fromhex(site),))
        return frozenset(log for (log,) in rows)

    def logs(self) -> Iterator[str]:
        """The logs of all sites, in any order."""
        return (log for (log,) in self._database.each("SELECT DISTINCT log FROM bundles"))

    def forget(self) -> None:
        """Let go of what was listed."""
        self._stamp: tuple[int, int, int] | None = None
        self._listed: Mapping[str, HeldBundle] | None = None
        self._absent: Mapping[str, int] = {}
        self._lacks_any = False

    def _look(self) -> None:
        """List anew if anything has changed: all where they are few, else only the bodies that they lack."""
        stamp = self._database.stamp()
        if stamp == self._stamp:
            return
        self._stamp = None
        self._absent = self._count_absent()
        self._lacks_any = len(self._absent) > 0
        few = self._database.rows(f"{_HELD} ORDER BY {_ORDER} LIMIT ?", (spilling.KEPT + 1,))
        self._listed = None
        if len(few) <= spilling.KEPT:
            self._listed = {held.stem: held for held in map(self._held, few)}
        self._stamp = stamp

    def _count_absent(self) -> Mapping[str, int]:
        absent = SpillingMap[int](self._scratch(), packed=b"%d".__mod__, unpacked=int)
        rows = self._database.each(
            "SELECT bundle, COUNT(*) FROM statements JOIN contents ON statement = number WHERE body IS NULL"
            " GROUP BY bundle"
        )
        for row, count in rows:
            absent[row_key(row)] = count
        return absent

    def _pages(self) -> Iterator[HeldBundle]:
        last: tuple[Any, ...] = (b"", "", "", 0, b"")
        question = f"{_HELD} WHERE ({_ORDER}) > (?, ?, ?, ?, ?) ORDER BY {_ORDER} LIMIT ?"
        while page := self._database.rows(question, (*last, PAGE_ROWS)):
            yield from map(self._held, page)
            _, name, site, log, lane, place, _ = page[-1]
            last = site, log, lane, place, name

    def _held(self, row: Any) -> HeldBundle:
        return _held_in(row, self._absent.get(row_key(row[0]), 0) if self._lacks_any else 0)

    def _keys_of(self, start: str) -> Iterator[bytes]:
        """The keys of the sites of which anything is held and whose keys begin so."""
        last = bytes.fromhex(start)
        question = "SELECT site FROM bundles WHERE site > ? ORDER BY site LIMIT 1"
        while (row := self._database.row(question, (last,))) is not None and row[0].hex().startswith(start):
            (last,) = row
            yield last

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
        """The ids of the bundles in which any of these statements lies; only for a few."""
        question = "SELECT id FROM bundles WHERE number = ?"
        return frozenset(self._database.row(question, (row,))[0].hex() for row, _ in self.lying(names))

    def lying(self, names: Iterable[str]) -> Iterator[tuple[int, bool]]:
        """The rows of the bundles in which these statements lie, one for each, and whether its body is here."""
        coming = iter(names)
        while some := [bytes.fromhex(name) for name in islice(coming, PAGE_ROWS)]:
            marks = ", ".join("?" * len(some))
            yield from self._database.rows(f"{_LYING} ({marks})", some)

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


def row_key(row: int) -> str:
    """The row of a bundle as an id, as maps of ids take it."""
    return f"{row:016x}"


def _held_in(row: Any, absent: int) -> HeldBundle:
    number, name, site, log, lane, place, length = row
    return HeldBundle(number, name.hex(), intern(site.hex()), intern(log), cast("Lane", lane), place, absent, length)
