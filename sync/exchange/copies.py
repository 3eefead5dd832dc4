"""The copies of bundles on a carrier, as their names tell them: in memory while there are few, else in a scratch file.

Nothing is opened here. One rule: whatever a carrier holds, so many copies lie in memory as `spilling.KEPT` says, and
what is told of them is the same either way.
"""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from sync.store import spilling
from sync.store.scratch import PAGE_ROWS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from sync.store.scratch import Scratch

_PAGE_COPIES = {"urgent": 8, "text": 500}  # the sites take turns in the urgent lane, so pages of all lie in memory
_COLUMNS = (
    "(site BLOB, log BLOB, lane TEXT, number INTEGER, id BLOB, absent INTEGER, tried INTEGER, spelled TEXT,"
    " PRIMARY KEY (site, log, lane, number, id, absent)) WITHOUT ROWID"
)
_PLACE = "site, log, lane, number, id, absent"


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy of a bundle, as its name tells it.

    Attributes:
        site: Beginning of the site's key.
        log: 16 hex.
        lane: ``urgent`` or ``text``.
        number: In its log and lane.
        id: Beginning of the bundle's id.
        absent: How many bodies it says that it lacks.
        spelled: How its file is spelled on the carrier, where that is not in small letters.
    """

    site: str
    log: str
    lane: str
    number: int
    id: str
    absent: int
    spelled: str = ""

    @property
    def stem(self) -> str:
        """What all copies of this bundle share."""
        return f"sites/{self.site}/{self.log}/{self.lane}/{self.number:08d}-{self.id}"

    @property
    def file(self) -> str:
        """Its path in the network's folder."""
        return f"{self.stem}-{self.absent}.bundle"

    @property
    def place(self) -> str:
        """The same as it is spelled on the carrier."""
        return self.spelled or self.file


class Copies:
    """All copies on one carrier; of those whose names differ only in case, one."""

    def __init__(self, scratch: Scratch) -> None:
        """None yet.

        Args:
            scratch: Where they go on.
        """
        self._scratch = scratch
        self._near: dict[str, list[Copy]] = {}
        self._in_order: list[str] | None = None
        self._tried: set[Copy] = set()
        self._count = 0
        self._count_of_sites = 0
        self._table = ""

    @property
    def are_many(self) -> bool:
        """Whether they are too many for the memory."""
        return bool(self._table)

    def add(self, copy: Copy) -> None:
        """Put one in; of two names that differ only in case, the one in small letters, which is the last in order."""
        of_bundle = self._near.setdefault(copy.stem, [])
        other = next((one for one in of_bundle if one.absent == copy.absent), None)
        if other is None:
            self._count += 1
            self._in_order = None
            insort(of_bundle, copy, key=_absent_in)
        elif other.place < copy.place:
            of_bundle[of_bundle.index(other)] = copy
        if self._count > spilling.KEPT:
            self._spill()

    def settle(self) -> None:
        """Tell that all were put in."""
        if self._table:
            self._spill()
            self._count_of_sites = self._scratch.row(f"SELECT COUNT(DISTINCT site) FROM {self._table}")[0]  # noqa: S608

    def of(self, stem: str) -> list[Copy]:
        """The copies of one bundle, the fullest first."""
        if not self._table:
            return list(self._near.get(stem, ()))
        question = f"SELECT * FROM {self._table} WHERE (site, log, lane, number, id) = (?, ?, ?, ?, ?) ORDER BY absent"  # noqa: S608
        return [_copy_in(row) for row in self._scratch.rows(question, _key_of(stem))]

    def __contains__(self, copy: Copy) -> bool:
        """Whether a copy is among them."""
        return copy in self.of(copy.stem)

    def drop(self, copy: Copy) -> None:
        """Forget a copy that is gone or counts as gone."""
        if not self._table:
            of_bundle = self._near.get(copy.stem, [])
            of_bundle[:] = [one for one in of_bundle if one.absent != copy.absent]
        else:
            where = "WHERE (site, log, lane, number, id, absent) = (?, ?, ?, ?, ?, ?)"
            self._scratch.run(f"DELETE FROM {self._table} {where}", (*_key_of(copy.stem), copy.absent))  # noqa: S608

    def try_all(self, stem: str) -> None:
        """Remember that the copies of a bundle need not be tried again."""
        for copy in self.of(stem):
            self.try_one(copy)

    def try_one(self, copy: Copy) -> None:
        """Remember that a copy was tried."""
        if not self._table:
            self._tried.add(copy)
        else:
            where = "WHERE (site, log, lane, number, id, absent) = (?, ?, ?, ?, ?, ?)"
            self._scratch.run(f"UPDATE {self._table} SET tried = 1 {where}", (*_key_of(copy.stem), copy.absent))  # noqa: S608

    def not_tried(self, lane: str, sites: AbstractSet[str]) -> Iterator[Iterator[Copy]]:
        """Of each of some sites, in order, the copies of a lane that were not tried yet, by log and number.

        Those of one bundle come together, the fullest first.
        """
        if not self._table:
            for site, stems in groupby(self._stems(), key=_site_in):
                if site in sites:
                    yield self._near_not_tried(list(stems), lane)
        else:
            for site in self._sites_among(sites):
                yield self._far_not_tried(site, lane)

    def count_not_tried(self, lane: str, sites: AbstractSet[str]) -> int:
        """How many those are together; only where they are many."""
        question = f"SELECT COUNT(*) FROM {self._table} WHERE site = ? AND lane = ? AND tried = 0"  # noqa: S608
        return sum(self._scratch.row(question, (bytes.fromhex(site), lane))[0] for site in self._sites_among(sites))

    def of_others(self, sites: AbstractSet[str]) -> Iterator[Copy]:
        """The copies of all sites but some, in order."""
        if not self._table:
            for stem in self._stems():
                if _site_in(stem) not in sites:
                    yield from self.of(stem)
            return
        for site in self._sites():
            if site.hex() not in sites:
                yield from map(_copy_in, self._pages("site = ?", (site,), PAGE_ROWS))

    def _stems(self) -> list[str]:
        """The stems of those in memory, in order."""
        if self._in_order is None:
            self._in_order = sorted(self._near)
        return self._in_order

    def _sites(self) -> Iterator[bytes]:
        last = b""
        question = f"SELECT site FROM {self._table} WHERE site > ? ORDER BY site LIMIT 1"  # noqa: S608
        while (row := self._scratch.row(question, (last,))) is not None:
            (last,) = row
            yield last

    def _sites_among(self, sites: AbstractSet[str]) -> Iterator[str]:
        """At least those of some sites, in order, of which there are copies; whichever are fewer are walked through."""
        if len(sites) <= self._count_of_sites:
            return iter(sorted(sites) if isinstance(sites, set | frozenset) else sites)
        return (name for site in self._sites() if (name := site.hex()) in sites)

    def _near_not_tried(self, stems: Iterable[str], lane: str) -> Iterator[Copy]:
        for stem in stems:
            for copy in self.of(stem):
                if copy.lane == lane and copy not in self._tried:
                    yield copy

    def _far_not_tried(self, site: str, lane: str) -> Iterator[Copy]:
        where = "site = ? AND lane = ? AND tried = 0"
        yield from map(_copy_in, self._pages(where, (bytes.fromhex(site), lane), _PAGE_COPIES[lane]))

    def _pages(self, where: str, values: tuple[Any, ...], at_once: int) -> Iterator[Any]:
        """The rows that are meant, in order, some at a time, so that they may be changed meanwhile."""
        last: tuple[Any, ...] = (values[0], b"", "", 0, b"", -1)
        question = (
            f"SELECT * FROM {self._table} WHERE {where} AND ({_PLACE}) > (?, ?, ?, ?, ?, ?) ORDER BY {_PLACE} LIMIT ?"  # noqa: S608
        )
        while rows := self._scratch.rows(question, (*values, *last, at_once)):
            yield from rows
            last = tuple(rows[-1][:6])

    def _spill(self) -> None:
        if not self._table:
            self._table = self._scratch.table(_COLUMNS, owner=self)
        rows = (
            (*_key_of(stem), copy.absent, copy in self._tried, copy.spelled)
            for stem in self._stems()
            for copy in self._near[stem]
        )
        self._scratch.run_many(
            f"INSERT INTO {self._table} VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET spelled ="  # noqa: S608
            " CASE WHEN '' IN (spelled, excluded.spelled) THEN '' ELSE MAX(spelled, excluded.spelled) END",
            rows,
        )
        self._near.clear()
        self._in_order = None
        self._count = 0


def _absent_in(copy: Copy) -> int:
    return copy.absent


def _site_in(stem: str) -> str:
    return stem.split("/", 2)[1]


def _key_of(stem: str) -> tuple[bytes, bytes, str, int, bytes]:
    _, site, log, lane, last = stem.split("/")
    number, _, name = last.partition("-")
    return bytes.fromhex(site), bytes.fromhex(log), lane, int(number), bytes.fromhex(name)


def _copy_in(row: Any) -> Copy:
    site, log, lane, number, name, absent, _, spelled = row
    return Copy(site.hex(), log.hex(), lane, number, name.hex(), absent, spelled)
