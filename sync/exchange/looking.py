"""Looking at what a carrier holds, for a store that is thrown away: taken in as in any exchange, nothing left.

Not an exchange: nothing is sealed, said or written, and attachments stay where they are. One rule: the carrier is the
same afterwards to the byte; what is wrong on it waits for whoever exchanges.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.carrier import Written
from sync.exchange.layout import survey
from sync.exchange.report import Visit
from sync.exchange.taking import Taking

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from sync.carrier import CarrierError, Found
    from sync.exchange.report import Carrier, Progress
    from sync.intake import Refusal
    from sync.keys import SigningKey
    from sync.store import Store


class _Untouched:
    """A carrier that can be read and nothing else."""

    def __init__(self, carrier: Carrier) -> None:
        self._carrier = carrier

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[Found]:
        """What lies in a folder under the names wanted."""
        return self._carrier.look(folder, wanted=wanted)

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        """The content of a file."""
        return self._carrier.read(name, limit_bytes=limit_bytes)

    def write(self, name: str, data: bytes) -> Written:
        """Write nothing."""
        return Written(name, len(data), "")

    def remove(self, name: str) -> None:
        """Remove nothing."""

    def prove(self, written: Iterable[Written], *, failed: Callable[[CarrierError], None]) -> bool:  # noqa: ARG002
        """Nothing was written, so nothing is to be proven."""
        return True


def look_at(store: Store, carrier: Carrier, *, key: SigningKey, progress: Progress) -> tuple[Refusal, ...]:
    """Take into a store all bundles that are valid on a carrier, and leave the carrier as it is.

    Args:
        store: Of the network that the carrier holds; best one that is thrown away, since nothing is sealed in it.
        carrier: The stick.
        key: Of nobody in particular; it only stands for a site that looks.
        progress: Told what is being done, how much of it is done, and of how much.

    Returns:
        The files that were not taken.

    Raises:
        CarrierError: The carrier cannot be listed.
        LocalError: The store failed.
    """
    visit = Visit(store, _Untouched(carrier), key, progress)
    taking = Taking(visit, survey(carrier, visit.folder, store.scratch))
    while taking.take_lane("urgent") or taking.take_lane("text"):
        pass
    return tuple(visit.refused)
