"""The store: append-only SQLite of statements, bundles and receipts.

Not a door for foreign bytes (that is `sync.intake`). One rule: SQL stands in this folder alone.
"""

from sync.store.bundles import HeldBundle
from sync.store.copying import copy_database
from sync.store.holders import Place, Reach, disagreeing, places, reaches
from sync.store.store import Store

__all__ = ["HeldBundle", "Place", "Reach", "Store", "copy_database", "disagreeing", "places", "reaches"]
