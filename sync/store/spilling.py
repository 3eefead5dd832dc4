"""Sets, maps, lists, rows and queues that begin in memory and go on in a scratch file where there are too many.

Not what they mean. One rule: whatever there are, so many of them lie in memory as `KEPT` says and no more; what comes
out is what a plain set, dict or list would give.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, MutableMapping, MutableSet
from heapq import heappop, heappush, merge
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Generic, TypeVar

from sync.charter.by_key import InPairs

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from sync.store.scratch import Scratch

KEPT = 4096  # ids that one of these holds in memory, with what belongs to them: less than 2 MiB
KEPT_BYTES = 2**20  # of bytes that belong to them: a name that somebody gave may be as long as a statement
_LONG_BYTES = 1024  # what is longer is not read a page at a time

ValueT = TypeVar("ValueT")


class SpillingMap(InPairs[ValueT], MutableMapping[str, ValueT], Generic[ValueT]):
    """A dict whose keys are ids."""

    def __init__(
        self, scratch: Scratch, *, packed: Callable[[ValueT], bytes], unpacked: Callable[[bytes], ValueT]
    ) -> None:
        """Empty.

        Args:
            scratch: Where it goes on.
            packed: A value as it is written there.
            unpacked: The value again.
        """
        self._scratch = scratch
        self._packed = packed
        self._unpacked = unpacked
        self._near: dict[str, ValueT] = {}
        self._near_bytes = 0
        self._longest = 1
        self._table = ""

    def __getitem__(self, name: str) -> ValueT:
        """What belongs to an id."""
        if not self._table or name in self._near:
            return self._near[name]
        row = self._scratch.row(f"SELECT value FROM {self._table} WHERE id = ?", (_id_in(name),))  # noqa: S608
        if row is None:
            raise KeyError(name)
        return self._unpacked(row[0])

    def __contains__(self, name: object) -> bool:
        """Whether anything belongs to it."""
        return name in self._near or (bool(self._table) and self._is_far(str(name)))

    def __setitem__(self, name: str, value: ValueT) -> None:
        """Put a value to an id."""
        self._near[name] = value
        self._longest = max(self._longest, len(name))
        self._near_bytes += len(name) + (len(value) if isinstance(value, bytes) else 0)
        if len(self._near) > KEPT or self._near_bytes > KEPT_BYTES:
            self._spill()

    def __delitem__(self, name: str) -> None:
        """Take an id out."""
        near = self._near.pop(name, None) is not None
        far = bool(self._table) and self._is_far(name)
        if far:
            self._scratch.run(f"DELETE FROM {self._table} WHERE id = ?", (bytes.fromhex(name),))  # noqa: S608
        if not near and not far:
            raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        """The ids in order."""
        if not self._table:
            return iter(sorted(self._near))
        self._spill()
        return self._walked()

    def __len__(self) -> int:
        """How many there are; those that lie outside are counted each time."""
        if not self._table:
            return len(self._near)
        self._spill()
        return int(self._scratch.row(f"SELECT COUNT(*) FROM {self._table}")[0])  # noqa: S608

    def _walked(self) -> Iterator[str]:
        """While this is under way the table stays, though nobody else may use it any more."""
        question = f"SELECT id FROM {self._table} WHERE id > ? ORDER BY id LIMIT ?"  # noqa: S608
        for (name,) in self._scratch.pages(question, last=(b"",), longest_bytes=self._longest):
            yield name.hex()

    def pairs(self) -> Iterator[tuple[str, ValueT]]:
        """Each id with what belongs to it, in order."""
        if not self._table:
            return iter(sorted(self._near.items(), key=itemgetter(0)))
        self._spill()
        short = f"CASE WHEN length(value) <= {_LONG_BYTES} THEN value END"
        question = f"SELECT id, {short} FROM {self._table} WHERE id > ? ORDER BY id LIMIT ?"  # noqa: S608
        return (
            (name.hex(), self[name.hex()] if value is None else self._unpacked(value))
            for name, value in self._scratch.pages(question, last=(b"",))
        )

    def _is_far(self, name: str) -> bool:
        question = f"SELECT 1 FROM {self._table} WHERE id = ?"  # noqa: S608
        return self._scratch.row(question, (_id_in(name),)) is not None

    def _spill(self) -> None:
        if not self._table:
            self._table = self._scratch.table("(id BLOB PRIMARY KEY, value BLOB) WITHOUT ROWID", owner=self)
        rows = [(bytes.fromhex(name), self._packed(self._near[name])) for name in sorted(self._near)]
        self._scratch.run_many(f"INSERT OR REPLACE INTO {self._table} (id, value) VALUES (?, ?)", rows)  # noqa: S608
        self._near.clear()
        self._near_bytes = 0


def _id_in(name: str) -> bytes | None:
    """An id as it is written; None for any other text, which is in none of these."""
    try:
        written = bytes.fromhex(name)
    except ValueError:
        return None
    return written if written.hex() == name else None


class SpillingSet(MutableSet[str]):
    """A set of ids."""

    def __init__(self, scratch: Scratch) -> None:
        """Empty."""
        self._map = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes)

    @classmethod
    def _from_iterable(cls, names: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(names)

    def __contains__(self, name: object) -> bool:
        """Whether an id is in it."""
        return name in self._map

    def __iter__(self) -> Iterator[str]:
        """The ids in order."""
        return iter(self._map)

    def __len__(self) -> int:
        """How many there are."""
        return len(self._map)

    def add(self, name: str) -> None:
        """Put an id in."""
        self._map[name] = b""

    def discard(self, name: str) -> None:
        """Take an id out, if it is in."""
        self._map.pop(name, None)

    def update(self, names: Iterable[str]) -> None:
        """Put ids in."""
        for name in names:
            self.add(name)


class SpillingLists:
    """For each of many ids a list of ids, which is taken out whole and in any order."""

    def __init__(self, scratch: Scratch) -> None:
        """Empty."""
        self._scratch = scratch
        self._near: defaultdict[str, list[str]] = defaultdict(list)
        self._count = 0
        self._numbers = 0
        self._table = ""

    def append(self, key: str, name: str) -> None:
        """Put an id into the list of another."""
        self._near[key].append(name)
        self._count += 1
        if self._count > KEPT:
            self._spill()

    def of(self, key: str) -> Iterator[str]:
        """The list of an id; nothing may be put in meanwhile."""
        yield from self._near.get(key, ())
        if self._table:
            page = f"SELECT number, name FROM {self._table} WHERE key = x'{bytes.fromhex(key).hex()}' AND number > ?"  # noqa: S608
            for _, name in self._scratch.pages(f"{page} ORDER BY number LIMIT ?", last=(0,)):
                yield name.hex()

    def pop(self, key: str) -> Iterator[str]:
        """Take the list of an id out; what is put into it from now on is not given."""
        if self._table and key in self._near:
            self._spill()
        near = self._near.pop(key, [])
        self._count -= len(near)
        return self._popped(bytes.fromhex(key), self._numbers) if self._table else iter(near)

    def _popped(self, key: bytes, newest: int) -> Iterator[str]:
        page = (
            f"SELECT number, name FROM {self._table} WHERE key = ? AND number <= ?"  # noqa: S608
            " ORDER BY number LIMIT 500"
        )
        while rows := self._scratch.rows(page, (key, newest)):
            self._scratch.run_many(f"DELETE FROM {self._table} WHERE number = ?", [row[:1] for row in rows])  # noqa: S608
            yield from (name.hex() for _, name in rows)

    def _spill(self) -> None:
        if not self._table:
            self._table = self._scratch.table("(number INTEGER PRIMARY KEY, key BLOB, name BLOB)", owner=self)
            self._scratch.run(f"CREATE INDEX {self._table}_by_key ON {self._table} (key, number)")
        pairs = ((bytes.fromhex(key), bytes.fromhex(name)) for key, names in self._near.items() for name in names)
        rows = [(number, *pair) for number, pair in enumerate(pairs, start=self._numbers + 1)]
        self._scratch.run_many(f"INSERT INTO {self._table} (number, key, name) VALUES (?, ?, ?)", rows)  # noqa: S608
        self._numbers += len(rows)
        self._near.clear()
        self._count = 0


class SpillingSets:
    """For each of many ids a set of ids."""

    def __init__(self, scratch: Scratch) -> None:
        """Empty."""
        self._scratch = scratch
        self._near: defaultdict[str, set[str]] = defaultdict(set)
        self._count = 0
        self._table = ""

    def add(self, key: str, name: str) -> None:
        """Put an id into the set of another."""
        near = self._near[key]
        if name not in near:
            near.add(name)
            self._count += 1
            if self._count > KEPT:
                self._spill()

    def of(self, key: str) -> Iterator[str]:
        """The set of an id, in order."""
        near = sorted(self._near.get(key, ()))
        if not self._table:
            return iter(near)
        return (name for name, _ in groupby(merge(near, self._walked(key))))

    def holds(self, key: str, name: str) -> bool:
        """Whether an id is in the set of another."""
        if name in self._near.get(key, ()):
            return True
        return self._is_far("key = ? AND name = ?", key, name)

    def __contains__(self, key: object) -> bool:
        """Whether an id has a set."""
        return key in self._near or self._is_far("key = ?", str(key))

    def __iter__(self) -> Iterator[str]:
        """The ids that have one, in order."""
        if not self._table:
            return iter(sorted(self._near))
        self._spill()
        return self._walked()

    def __len__(self) -> int:
        """How many have one."""
        if not self._table:
            return len(self._near)
        self._spill()
        return int(self._scratch.row(f"SELECT COUNT(DISTINCT key) FROM {self._table}")[0])  # noqa: S608

    def _walked(self, key: str | None = None) -> Iterator[str]:
        """What lies outside of the set of an id, or the ids that have one."""
        question = f"SELECT DISTINCT key FROM {self._table} WHERE key > ? ORDER BY key LIMIT ?"  # noqa: S608
        if key is not None:
            question = f"SELECT name FROM {self._table} WHERE key = x'{bytes.fromhex(key).hex()}'"  # noqa: S608
            question += " AND name > ? ORDER BY name LIMIT ?"
        for (name,) in self._scratch.pages(question, last=(b"",)):
            yield name.hex()

    def _is_far(self, which: str, *names: str) -> bool:
        if not self._table:
            return False
        question = f"SELECT 1 FROM {self._table} WHERE {which} LIMIT 1"  # noqa: S608
        return self._scratch.row(question, tuple(map(bytes.fromhex, names))) is not None

    def _spill(self) -> None:
        if not self._table:
            columns = "(key BLOB, name BLOB, PRIMARY KEY (key, name)) WITHOUT ROWID"
            self._table = self._scratch.table(columns, owner=self)
        pairs = sorted((key, name) for key, names in self._near.items() for name in names)
        rows = ((bytes.fromhex(key), bytes.fromhex(name)) for key, name in pairs)
        self._scratch.run_many(f"INSERT OR IGNORE INTO {self._table} (key, name) VALUES (?, ?)", rows)  # noqa: S608
        self._near.clear()
        self._count = 0


class SpillingQueue:
    """Texts one after the other, walked through from the first as often as one likes."""

    def __init__(self, scratch: Scratch) -> None:
        """Empty."""
        self._scratch = scratch
        self._near: list[str] = []
        self._far = 0
        self._table = ""

    def __len__(self) -> int:
        """How many there are."""
        return self._far + len(self._near)

    def append(self, text: str) -> None:
        """Put one in at the end."""
        self._near.append(text)
        if len(self._near) > KEPT:
            self._spill()

    def __iter__(self) -> Iterator[str]:
        """From the first to the last; none may be put in meanwhile."""
        if self._table:
            question = f"SELECT number, text FROM {self._table} WHERE number > ? ORDER BY number LIMIT ?"  # noqa: S608
            for _, text in self._scratch.pages(question, last=(-1,)):
                yield text
        yield from self._near

    def _spill(self) -> None:
        if not self._table:
            self._table = self._scratch.table("(number INTEGER PRIMARY KEY, text TEXT)", owner=self)
        rows = list(enumerate(self._near, start=self._far))
        self._scratch.run_many(f"INSERT INTO {self._table} (number, text) VALUES (?, ?)", rows)  # noqa: S608
        self._far += len(rows)
        self._near.clear()


class SpillingRow(SpillingQueue):
    """Texts one after the other that can also be taken out at the end, or walked through from there."""

    def pop(self) -> str:
        """Take out the one that was put in last."""
        if not self._near:
            self._fetch()
        return self._near.pop()

    def __reversed__(self) -> Iterator[str]:
        """From the last to the first; none may be put in or taken out meanwhile."""
        yield from reversed(self._near)
        if self._table:
            question = f"SELECT number, text FROM {self._table} WHERE number < ? ORDER BY number DESC LIMIT ?"  # noqa: S608
            for _, text in self._scratch.pages(question, last=(self._far,)):
                yield text

    def _fetch(self) -> None:
        """Bring the last of those that lie outside back into memory."""
        first = max(0, self._far - KEPT // 2)
        rows = self._scratch.rows(f"SELECT text FROM {self._table} WHERE number >= ? ORDER BY number", (first,))  # noqa: S608
        self._scratch.run(f"DELETE FROM {self._table} WHERE number >= ?", (first,))  # noqa: S608
        self._near = [text for (text,) in rows]
        self._far = first


class SpillingHeap:
    """Ids with whole numbers, of which the one with the least number comes out first."""

    def __init__(self, scratch: Scratch) -> None:
        """Empty."""
        self._scratch = scratch
        self._near: list[tuple[int, str]] = []
        self._table = ""

    def push(self, number: int, name: str) -> None:
        """Put an id in."""
        if self._table:
            self._scratch.run(f"INSERT OR IGNORE INTO {self._table} VALUES (?, ?)", (number, bytes.fromhex(name)))  # noqa: S608
            return
        heappush(self._near, (number, name))
        if len(self._near) > KEPT:
            self._spill()

    def pop(self) -> tuple[int, str] | None:
        """Take out the one with the least number, None where there is none; an id with one number may come twice."""
        if not self._table:
            return heappop(self._near) if self._near else None
        row = self._scratch.row(f"SELECT number, name FROM {self._table} ORDER BY number, name LIMIT 1")  # noqa: S608
        if row is None:
            return None
        self._scratch.run(f"DELETE FROM {self._table} WHERE number = ? AND name = ?", row)  # noqa: S608
        return row[0], row[1].hex()

    def _spill(self) -> None:
        columns = "(number INTEGER, name BLOB, PRIMARY KEY (number, name)) WITHOUT ROWID"
        self._table = self._scratch.table(columns, owner=self)
        rows = ((number, bytes.fromhex(name)) for number, name in self._near)
        self._scratch.run_many(f"INSERT OR IGNORE INTO {self._table} VALUES (?, ?)", rows)  # noqa: S608
        self._near.clear()
