"""What a carrier lacks of what is held here, told before anything is done.

Not an exchange: nothing is opened, read or written, so it says what the names on the carrier say. One rule: it counts
what an exchange would leave, never less.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.exchange.layout import survey
from sync.exchange.sealing import lane_of

if TYPE_CHECKING:
    from sync.exchange.report import Carrier
    from sync.store import Store


@dataclass(frozen=True, slots=True)
class Lacks:
    """What a carrier lacks.

    Attributes:
        urgent: Statements of the urgent lane.
        text: All others.
        attachments: Photos and other files.
    """

    urgent: int
    text: int
    attachments: int


def carrier_lacks(store: Store, carrier: Carrier) -> Lacks:
    """Count what a carrier lacks of what is held here.

    Raises:
        CarrierError: It cannot be listed.
        LocalError: There is so much on it that it needs the disk, and that is full or fails.
    """
    found = survey(carrier, f"{store.network.folder}/", store.scratch)
    counts = {"urgent": 0, "text": 0}
    for bundle in store.bundles.listed():
        if all(copy.absent != bundle.absent for copy in found.copies.of(bundle.stem)):
            counts[bundle.lane] += bundle.length
    for kind, number in store.shelf.unsealed_kinds():
        counts[lane_of(store, kind)] += number
    files = sum(
        name not in found.attachments and store.attachments.keeps(name) and store.names_file(name)
        for name in store.shelf.named_files()
    )
    return Lacks(counts["urgent"], counts["text"], files)
