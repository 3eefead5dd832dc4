"""Leaving: everything that the carrier lacks, urgent first, each file read back before it counts.

Not sealing. One rule: what is left never depends on what others say that they hold; their receipts only say which of
two files goes first where there may not be room for both.
"""

from __future__ import annotations

import json
from functools import partial
from typing import TYPE_CHECKING

from sync.attachments import attachment_path
from sync.carrier import CarrierError, Written
from sync.exchange.layout import ReceiptName
from sync.exchange.ordering import LEVELS, Order
from sync.exchange.taking import bodies_in, sound_copy
from sync.limits import HEX_IN_NAMES, JOININGS_MAX
from sync.network import NETWORK_FILE
from sync.store.spilling import SpillingQueue, SpillingSet

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from sync.exchange.copies import Copy
    from sync.exchange.layout import Survey
    from sync.exchange.report import Visit
    from sync.statement import Lane
    from sync.store import HeldBundle, Store
    from sync.store.gaps import Gaps
    from sync.store.papers import KeptReceipt

_STOPPING = frozenset({"full", "read-only", "gone"})  # what would stop the next file as well


class Leaving:
    """The leaving at one visit.

    Attributes:
        left: How many files were written.
        not_left: How many could not be.
    """

    def __init__(self, visit: Visit, survey: Survey) -> None:
        """Begin after everything was taken in and sealed."""
        scratch = visit.store.scratch
        self.left = 0
        self.not_left = 0
        self._visit = visit
        self._survey = survey
        self._stopped = False
        self._written = SpillingQueue(scratch)
        self._absent = SpillingSet(scratch)
        self._outdated = SpillingQueue(scratch)
        self._order = Order(visit)

    def leave_all(self) -> None:
        """Write what the carrier lacks, in the order in which it is read."""
        store = self._visit.store
        if not self._survey.has_network:
            self._write(NETWORK_FILE, store.network.to_bytes)
        self._leave_joinings()
        self._leave_bundles("urgent")
        self._leave_receipts()
        self._leave_bundles("text")
        self._leave_attachments()

    def prove(self) -> int:
        """Read back all that was written, then remove what it replaces; how many files are not proven."""
        failures, spoiled = 0, SpillingQueue(self._visit.store.scratch)

        def failed(error: CarrierError) -> None:
            nonlocal failures
            failures += 1
            file = error.file.removeprefix(self._visit.folder)
            self._absent.add(_hex(file))
            self._visit.refuse(file, error)

        def written() -> Iterator[Written]:
            for text in self._written:
                file, size_bytes, digest = json.loads(text)
                before = failures
                yield Written(self._visit.folder + file, size_bytes, digest)
                if failures > before:
                    spoiled.append(file)

        asked = self._visit.carrier.prove(written(), failed=failed)
        for file in spoiled:
            self._visit.remove(file)
        for text in self._outdated:
            old, new = json.loads(text)
            if _hex(new) not in self._absent:
                self._visit.remove(old)
        return failures if asked else max(failures, self.left)

    def _leave_joinings(self) -> None:
        """Leave wishes while there are fewer than a hundred; our own always, or strangers' could keep it out."""
        room = JOININGS_MAX - len(self._survey.joinings)
        for joining in self._visit.store.joins():
            ours = joining.site.key == self._visit.site
            if joining.site.key[:HEX_IN_NAMES] not in self._survey.joinings and (ours or room > 0):
                self._write(joining.path, joining.to_bytes)
                room -= 1

    def _leave_receipts(self) -> None:
        """Leave the newest of each site and log; older ones go once that is on the carrier."""
        papers = self._visit.store.papers
        for kept in papers.each_kept():
            if _name_of(kept) not in self._survey.receipts and (receipt := papers.receipt(kept.site, kept.log)):
                self._write(receipt.path, receipt.to_bytes)
                del receipt  # one may take 40 MiB
        for name in self._survey.receipts:
            for counter, path in papers.receipts_of(name.site, name.log):
                if path != name.file and name.counter <= counter:
                    self._outdated.append(json.dumps((name.place, path)))

    def _leave_bundles(self, lane: Lane) -> None:
        store = self._visit.store
        missing = self._missing(lane)
        total = sum(map(len, missing))
        index = 0
        for rows in missing:
            for row in rows:
                self._visit.progress(f"leaving {lane}", index, total)
                index += 1
                bundle = store.bundles.one(int(row))
                self._write(bundle.path, partial(_file_of, store, bundle))

    def _missing(self, lane: Lane) -> list[SpillingQueue]:
        """The rows of the bundles of a lane that the carrier lacks, by how soon they go, else in order."""
        store = self._visit.store
        missing = [SpillingQueue(store.scratch) for _ in range(LEVELS)]
        gaps, taken_back = store.gaps(), store.redacted()
        for bundle in store.bundles.listed():
            if bundle.lane == lane and self._lacks(bundle, gaps, taken_back):
                missing[self._order.level(bundle)].append(str(bundle.row))
        return missing

    def _lacks(self, bundle: HeldBundle, gaps: Gaps, taken_back: Collection[str]) -> bool:
        """Whether the carrier lacks my copy; copies that hold what is taken back are marked to go."""
        copies = self._survey.copies.of(bundle.stem)
        there = any(copy.absent == bundle.absent for copy in copies)
        if not gaps.lack(bundle.row) and not gaps.are_taken_back(bundle.row):
            return not there
        mine = bodies_in(self._visit.store.bundles.copy(bundle.row))
        for copy in copies:
            bodies = self._bodies(copy, bundle)
            if copy.absent == bundle.absent:
                there = bodies is not None and mine <= bodies and not any(name in taken_back for name in bodies)
            elif bodies is not None and any(name in taken_back for name in bodies):
                self._outdated.append(json.dumps((copy.place, bundle.path)))
        return not there

    def _bodies(self, copy: Copy, bundle: HeldBundle) -> frozenset[str] | None:
        if copy.absent >= bundle.length:
            return frozenset()
        return sound_copy(self._visit, self._survey, copy, bundle)

    def _leave_attachments(self) -> None:
        store = self._visit.store
        missing = SpillingQueue(store.scratch)
        for name in store.shelf.named_files():
            if name not in self._survey.attachments and store.attachments.keeps(name) and store.names_file(name):
                missing.append(name)
        for index, name in enumerate(missing):
            self._visit.progress("leaving photos and files", index, len(missing))
            data = store.attachments.get(name)
            if data is not None:
                self._write(attachment_path(name), data)

    def _write(self, file: str, content: bytes | Callable[[], bytes]) -> None:
        if self._stopped:
            self._give_up(file)
            return
        try:
            data = content if isinstance(content, bytes) else content()
            written = self._visit.carrier.write(self._visit.folder + file, data)
        except CarrierError as error:
            self._give_up(file)
            if error.cause in _STOPPING:
                self._stopped = True
                self._visit.note(f"{error.message}; {error.hint}")
            else:
                self._visit.refuse(file, error)
            return
        self.left += 1
        self._written.append(json.dumps((file, written.size_bytes, written.digest)))

    def _give_up(self, file: str) -> None:
        self.not_left += 1
        self._absent.add(_hex(file))


def _hex(file: str) -> str:
    """A path as an id, as sets of ids take it."""
    return file.encode().hex()


def _name_of(receipt: KeptReceipt) -> ReceiptName:
    digest = receipt.path.rpartition("-")[2].removesuffix(".json")
    return ReceiptName(receipt.site[:HEX_IN_NAMES], receipt.log, receipt.counter, digest)


def _file_of(store: Store, bundle: HeldBundle) -> bytes:
    return store.bundles.copy(bundle.row).to_bytes()
