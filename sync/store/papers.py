"""What a store keeps beside statements and bundles: receipts, wishes to join, its own logs, what was checked when.

Not part of the set: any of it may be lost, and the next exchange makes it good. One rule: of receipts only the newest
of each site and log is kept, and of wishes to join at most a hundred.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from sync.errors import RemoteError
from sync.limits import JOININGS_MAX
from sync.network import Joining, parse_joining
from sync.receipt import Receipt, parse_receipt, receipt_path

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from sync.store.database import Database

KEPT_READY_BYTES = 2**20  # of receipts that need not be verified again at each look: 500 of a network of 30 logs


class KeptReceipt(NamedTuple):
    """The file of a receipt, which was verified when it came in; a long one is not read where its name is enough."""

    site: str
    log: str
    counter: int
    file: bytes

    @property
    def path(self) -> str:
        """Where it lies in the network's folder on a carrier."""
        return receipt_path(*self)


class _Ready:
    """Receipts as they were read; one may have 4 MiB, and takes eight times as much of the memory."""

    def __init__(self) -> None:
        self._receipts: dict[tuple[bytes, str], Receipt] = {}
        self._bytes = 0

    def read(self, file: bytes, network_id: str) -> Receipt:
        receipt = self._receipts.get((file, network_id))
        if receipt is None:
            receipt = parse_receipt(file, network_id=network_id)
            if self._bytes + len(file) > KEPT_READY_BYTES:
                self._receipts.clear()
                self._bytes = 0
            if len(file) <= KEPT_READY_BYTES // 4:
                self._receipts[file, network_id] = receipt
                self._bytes += len(file)
        return receipt


_reopened_receipt = _Ready().read


@lru_cache(maxsize=JOININGS_MAX)
def _reopened_joining(file: bytes, network_id: str) -> Joining:
    return parse_joining(file, network_id=network_id)


class Papers:
    """The small tables; every file in them was verified when it came in."""

    def __init__(self, database: Database, network_id: str) -> None:
        """Keep the file and the network whose papers these are."""
        self._database = database
        self._network_id = network_id

    def receipts(self) -> tuple[Receipt, ...]:
        """The newest receipt of each site and log, by site and log."""
        return tuple(self.each_receipt())

    def each_receipt(self) -> Iterator[Receipt]:
        """The same, one at a time; whoever lets go of each before the next is read has one in memory."""
        return (_reopened_receipt(kept.file, self._network_id) for kept in self.each_kept())

    def each_kept(self) -> Iterator[KeptReceipt]:
        """The files of all, by site and log, one at a time."""
        last: tuple[bytes, str] = (b"", "")
        question = "SELECT site, log, counter, file FROM receipts WHERE (site, log) > (?, ?) ORDER BY site, log LIMIT 1"
        while (row := self._database.row(question, last)) is not None:
            last = row[0], row[1]
            yield KeptReceipt(row[0].hex(), *row[1:])

    def receipts_of(self, start: str, log: str) -> list[tuple[int, str]]:
        """Counter and path of the newest receipt of a log, of each site whose key begins so, as good as always one."""
        found: list[tuple[int, str]] = []
        last = bytes.fromhex(start)
        question = "SELECT site FROM receipts WHERE site > ? ORDER BY site LIMIT 1"
        while (row := self._database.row(question, (last,))) is not None and row[0].hex().startswith(start):
            (last,) = row
            kept = self._kept(last.hex(), log)
            if kept is not None:
                found.append((kept.counter, kept.path))
        return found

    def _kept(self, site: str, log: str) -> KeptReceipt | None:
        question = "SELECT counter, file FROM receipts WHERE site = ? AND log = ?"
        row = self._database.row(question, (bytes.fromhex(site), log))
        return None if row is None else KeptReceipt(site, log, *row)

    def receipt(self, site: str, log: str) -> Receipt | None:
        """The newest receipt of a site and log."""
        kept = self._kept(site, log)
        return None if kept is None else _reopened_receipt(kept.file, self._network_id)

    def keep_receipt(self, receipt: Receipt) -> bool:
        """Keep a receipt that is newer than the one here; of two with one counter the greater bytes; whether it was."""
        held, file = self._kept(receipt.site, receipt.log), receipt.to_bytes()
        if held is not None and (held.counter, held.file) >= (receipt.counter, file):
            return False
        self._database.run(
            "INSERT OR REPLACE INTO receipts (site, log, counter, file) VALUES (?, ?, ?, ?)",
            (bytes.fromhex(receipt.site), receipt.log, receipt.counter, file),
        )
        return True

    def joinings(self) -> tuple[Joining, ...]:
        """The wishes to join that are kept, by key."""
        rows = self._database.rows("SELECT file FROM joinings ORDER BY site")
        return tuple(_reopened_joining(file, self._network_id) for (file,) in rows)

    def keep_joining(self, joining: Joining) -> bool:
        """Keep a wish to join, the first of each key and a hundred at most; whether it was kept."""
        key = bytes.fromhex(joining.site.key)
        if self._database.row("SELECT 1 FROM joinings WHERE site = ?", (key,)) is not None:
            return False
        if self._database.row("SELECT COUNT(*) FROM joinings")[0] >= JOININGS_MAX:
            return False
        self._database.run("INSERT INTO joinings (site, file) VALUES (?, ?)", (key, joining.to_bytes()))
        return True

    def drop_joinings(self, keys: Iterable[str]) -> None:
        """Let go of the wishes of sites that have been granted."""
        self._database.run_many("DELETE FROM joinings WHERE site = ?", ((bytes.fromhex(key),) for key in keys))

    def verify(self) -> Iterator[RemoteError]:
        """Verify every file anew; one error for each that fails."""
        for table, parse in (("receipts", parse_receipt), ("joinings", parse_joining)):
            for (file,) in self._database.rows(f"SELECT file FROM {table}"):  # noqa: S608 - names of ours
                try:
                    parse(file, network_id=self._network_id)
                except RemoteError as error:
                    yield error

    def own_logs(self, site: str) -> tuple[str, ...]:
        """The logs of this site, the present one last."""
        rows = self._database.rows("SELECT log FROM own_logs WHERE site = ? ORDER BY number", (bytes.fromhex(site),))
        return tuple(log for (log,) in rows)

    def is_of_another(self, site: str) -> bool:
        """Whether only other sites ever wrote a log here: then the file is not this site's."""
        sites = {row[0] for row in self._database.rows("SELECT site FROM own_logs")}
        return bool(sites) and bytes.fromhex(site) not in sites

    def begin_log(self, site: str, log: str) -> None:
        """Let the next bundles and receipts of this site belong to a new log."""
        self._database.run("INSERT INTO own_logs (site, log) VALUES (?, ?)", (bytes.fromhex(site), log))

    def checks(self, files: Sequence[str]) -> Mapping[str, int]:
        """For those of some hundred files that were read again on a carrier, the visit at which they were sound."""
        marks = ", ".join("?" * len(files))
        return dict(self._database.rows(f"SELECT file, visit FROM checks WHERE file IN ({marks})", files))  # noqa: S608

    def last_check(self) -> int:
        """The number of the last visit at which any was, 0 where there was none."""
        return int(self._database.row("SELECT COALESCE(MAX(visit), 0) FROM checks")[0])

    def note_checks(self, files: Iterable[str], *, visit: int) -> None:
        """Remember that files were sound at a visit."""
        rows = ((file, visit) for file in files)
        self._database.run_many("INSERT OR REPLACE INTO checks (file, visit) VALUES (?, ?)", rows)

    def forget_checks(self, files: Iterable[str]) -> None:
        """Forget files that are no longer there."""
        self._database.run_many("DELETE FROM checks WHERE file = ?", ((file,) for file in files))
