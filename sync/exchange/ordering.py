"""Which bundles are left first where there may not be room for all.

Not what is left: that depends on nobody's word. One rule: bundles of revoked sites come last, and before them those
that every other site's receipt covers; else the order is that of the store.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from sync.limits import LOG_HEX
from sync.store.spilling import SpillingMap, SpillingSet

if TYPE_CHECKING:
    from sync.exchange.report import Visit
    from sync.store import HeldBundle
    from sync.store.scratch import Scratch

LEVELS = 4
_NOTHING = 0, 0


class Order:
    """How soon each bundle goes, at one visit; receipts are read when the first is asked for."""

    def __init__(self, visit: Visit) -> None:
        """Begin after everything was taken in."""
        self._visit = visit
        self._revoked = visit.store.charter.revoked
        self._by_all: SpillingMap[tuple[int, ...]] | None = None

    def level(self, bundle: HeldBundle) -> int:
        """0 for those that go first, and so on below `LEVELS`."""
        if self._by_all is None:
            self._by_all = self._held_by_all()
        lane = 0 if bundle.lane == "urgent" else 1
        is_held_by_all = self._by_all.get(bundle.log, _NOTHING)[lane] >= bundle.number
        return 2 * (bundle.site in self._revoked) + is_held_by_all

    def _held_by_all(self) -> SpillingMap[tuple[int, ...]]:
        """The numbers up to which each log is held by every other site that gave a receipt, (urgent, text)."""
        scratch = self._visit.store.scratch
        sites, reach, logs = SpillingSet(scratch), _numbers(scratch), SpillingSet(scratch)
        logs.update(self._visit.store.bundles.logs())  # a receipt may name 150,000 others
        for receipt in self._visit.store.papers.each_receipt():
            if receipt.site != self._visit.site:
                sites.add(receipt.site)
                for log, numbers in receipt.held.items():
                    if log in logs:
                        before = reach.get(log + receipt.site, _NOTHING)
                        reach[log + receipt.site] = tuple(map(max, before, numbers))
            del receipt  # one may take 40 MiB
        by_all, others = _numbers(scratch), len(sites)
        for log, of_log in groupby(reach, key=_log_in):
            of_sites = 0
            least: tuple[int, ...] = _NOTHING
            for key in of_log:
                least = tuple(map(min, least, reach[key])) if of_sites else reach[key]
                of_sites += 1
            if of_sites == others:
                by_all[log] = least
        return by_all


def _log_in(key: str) -> str:
    return key[:LOG_HEX]


def _numbers(scratch: Scratch) -> SpillingMap[tuple[int, ...]]:
    return SpillingMap(scratch, packed=_packed, unpacked=_unpacked)


def _packed(numbers: tuple[int, ...]) -> bytes:
    return b"%d %d" % numbers


def _unpacked(value: bytes) -> tuple[int, ...]:
    return tuple(map(int, value.split()))
