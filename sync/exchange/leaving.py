"""Leaving: everything that the carrier lacks, urgent first, each file read back before it counts.

Not sealing. One rule: what is left never depends on what others say that they hold; their receipts only say which of
two files goes first where there may not be room for both.
"""

from __future__ import annotations

from collections import defaultdict
from functools import partial
from typing import TYPE_CHECKING

from sync.attachments import attachment_path
from sync.carrier import CarrierError
from sync.exchange.taking import bodies_in, sound_copy
from sync.limits import JOININGS_MAX
from sync.network import NETWORK_FILE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from sync.exchange.layout import Copy, Survey
    from sync.exchange.report import Visit
    from sync.receipt import Receipt
    from sync.store import HeldBundle, Store

_STOPPING = frozenset({"full", "read-only", "gone"})  # what would stop the next file as well


class Leaving:
    """The leaving at one visit.

    Attributes:
        written: Files written, in order.
        not_left: Files that could not be written.
    """

    def __init__(self, visit: Visit, survey: Survey) -> None:
        """Begin after everything was taken in and sealed."""
        self.written: list[str] = []
        self.not_left: list[str] = []
        self._visit = visit
        self._survey = survey
        self._stopped = False
        self._outdated: list[tuple[str, str]] = []

    def leave_all(self) -> None:
        """Write what the carrier lacks, in the order in which it is read."""
        store = self._visit.store
        if not self._survey.has_network:
            self._write(NETWORK_FILE, store.network.to_bytes)
        self._leave_joinings()
        held = store.bundles.listed()
        self._leave_bundles([bundle for bundle in held if bundle.lane == "urgent"])
        self._leave_receipts()
        self._leave_bundles([bundle for bundle in held if bundle.lane == "text"])
        self._leave_attachments()

    def prove(self) -> int:
        """Read back all that was written, then remove what it replaces; how many files are not proven."""
        proof = self._visit.carrier.prove()
        failed = {error.file.removeprefix(self._visit.folder) for error in proof.failed}
        for error in proof.failed:
            self._visit.refuse(error.file.removeprefix(self._visit.folder), error)
        for file in failed.intersection(self.written):
            self._visit.remove(file)
        absent = failed.union(self.not_left)
        for old, new in self._outdated:
            if new not in absent:
                self._visit.remove(old)
        return len(failed) if proof.asked else max(len(failed), len(self.written))

    def _leave_joinings(self) -> None:
        """Leave wishes while there are fewer than a hundred; our own always, or strangers' could keep it out."""
        room = JOININGS_MAX - len(self._survey.joinings)
        for joining in self._visit.store.joins():
            ours = joining.site.key == self._visit.site
            if joining.path not in self._survey.joinings.values() and (ours or room > 0):
                self._write(joining.path, joining.to_bytes)
                room -= 1

    def _leave_receipts(self) -> None:
        """Leave the newest of each site and log; older ones go once that is on the carrier."""
        there = {name.file for name in self._survey.receipts}
        for receipt in self._visit.store.receipts():
            if receipt.path not in there:
                self._write(receipt.path, receipt.to_bytes)
            prefix = receipt.path.rsplit("-", 2)[0]
            for name in self._survey.receipts:
                if name.file.startswith(f"{prefix}-") and name.file != receipt.path and name.counter <= receipt.counter:
                    self._outdated.append((name.file, receipt.path))

    def _leave_bundles(self, bundles: Iterable[HeldBundle]) -> None:
        store = self._visit.store
        redacted = store.bundles.holding_any(store.redacted())
        lacking = store.bundles.holding_any(store.lacking())
        missing = [bundle for bundle in bundles if self._lacks(bundle, redacted=redacted, lacking=lacking)]
        missing.sort(key=_Order(self._visit, store.receipts()))
        for index, bundle in enumerate(missing):
            self._visit.progress(f"leaving {bundle.lane}", index, len(missing))
            self._write(bundle.path, partial(_file_of, store, bundle))

    def _lacks(self, bundle: HeldBundle, *, redacted: frozenset[str], lacking: frozenset[str]) -> bool:
        """Whether the carrier lacks my copy; copies that hold what is taken back are marked to go."""
        copies = self._survey.copies.get(bundle.stem, [])
        there = any(copy.absent == bundle.absent for copy in copies)
        if bundle.id not in redacted and bundle.id not in lacking:
            return not there
        mine = bodies_in(self._visit.store.bundles.copy(bundle.row))
        taken_back = self._visit.store.redacted()
        for copy in list(copies):
            bodies = self._bodies(copy, bundle)
            if copy.absent == bundle.absent:
                there = bodies is not None and mine <= bodies and taken_back.isdisjoint(bodies)
            elif bodies is not None and not taken_back.isdisjoint(bodies):
                self._outdated.append((copy.file, bundle.path))
        return not there

    def _bodies(self, copy: Copy, bundle: HeldBundle) -> frozenset[str] | None:
        if copy.absent >= bundle.length:
            return frozenset()
        return sound_copy(self._visit, self._survey, copy, bundle)

    def _leave_attachments(self) -> None:
        store = self._visit.store
        missing = sorted(store.files_named().intersection(store.attachments.ids()) - self._survey.attachments)
        for index, name in enumerate(missing):
            self._visit.progress("leaving photos and files", index, len(missing))
            data = store.attachments.get(name)
            if data is not None:
                self._write(attachment_path(name), data)

    def _write(self, file: str, content: bytes | Callable[[], bytes]) -> None:
        if self._stopped:
            self.not_left.append(file)
            return
        try:
            data = content if isinstance(content, bytes) else content()
            self._visit.carrier.write(self._visit.folder + file, data)
        except CarrierError as error:
            self.not_left.append(file)
            if error.cause in _STOPPING:
                self._stopped = True
                self._visit.note(f"{error.message}; {error.hint}")
            else:
                self._visit.refuse(file, error)
            return
        self.written.append(file)


def _file_of(store: Store, bundle: HeldBundle) -> bytes:
    return store.bundles.copy(bundle.row).to_bytes()


class _Order:
    """Which bundles go first: those of revoked sites last, and what every other site says it holds after the rest."""

    def __init__(self, visit: Visit, receipts: Iterable[Receipt]) -> None:
        self._revoked = visit.store.charter.revoked
        self._said: defaultdict[str, list[Receipt]] = defaultdict(list)
        for receipt in receipts:
            if receipt.site != visit.site:
                self._said[receipt.site].append(receipt)

    def __call__(self, bundle: HeldBundle) -> tuple[bool, bool, str, str, int]:
        return bundle.site in self._revoked, self._is_held_by_all(bundle), bundle.site, bundle.log, bundle.number

    def _is_held_by_all(self, bundle: HeldBundle) -> bool:
        lane = 0 if bundle.lane == "urgent" else 1
        return bool(self._said) and all(
            any(receipt.held.get(bundle.log, (0, 0))[lane] >= bundle.number for receipt in receipts)
            for receipts in self._said.values()
        )
