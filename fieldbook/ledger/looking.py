"""A look at what a stick holds, before a site has joined: verified as in any exchange, kept nowhere.

Not joining: no wish is left and the stick stays as it is. Its one rule: the store lies in a place that is thrown away.
"""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import sync
from fieldbook.ledger.book import Ledger
from fieldbook.ledger.keys import make_key
from fieldbook.ledger.kinds import KINDS
from fieldbook.ledger.plainly import plainly

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


def _silent(_what: str, _done: int, _of: int) -> None:
    """Tell nobody."""


@contextmanager
def looking_at(
    carrier: Path,
    *,
    random: Callable[[int], bytes],
    progress: Callable[[str, int, int], None] | None = None,
) -> Iterator[Ledger]:
    """Give a ledger of all that is valid on a stick, to be read while this lasts.

    Args:
        carrier: the folder of the stick.
        random: where the key comes from that stands for whoever looks.
        progress: called with what is being done, how many are done, and of how many.

    Raises:
        LedgerError: the stick holds no network or several, or it cannot be read.
    """
    with tempfile.TemporaryDirectory(prefix="tried-ground-look-") as place, plainly():
        medium = sync.FolderCarrier(carrier)
        store = sync.Store.create(Path(place) / "store.sqlite", sync.read_network(medium), KINDS)
        try:
            sync.look_at(store, medium, key=make_key(random), progress=progress or _silent)
            yield Ledger(store)
        finally:
            store.close()
