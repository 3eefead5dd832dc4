"""Mending a site whose store has rotted on its disk.

Not a restore: nothing is brought from elsewhere. Its one rule: what still verifies is kept, what does not is named, and
the site speaks under a new log afterwards, since bundles of its own may be among what is gone.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from fieldbook.ledger import Ledger, Mended, begin_log_anew, key_from_file, mend_store
from fieldbook.site.parts import SiteError, hold_folder

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def mend(folder: Path, *, random: Callable[[int], bytes] = os.urandom) -> Mended:
    """Make the store of a site anew from what in it still holds; the next opening makes its view and index anew.

    Args:
        folder: the site's, which no other process uses.
        random: where the id of the new log comes from.

    Raises:
        FieldbookError: there is no store, another process uses it, or nothing in it can be read; nothing was changed.
    """
    if not Ledger.exists(folder):
        raise SiteError(f"there is no store in {folder}", hint="check the folder's name, or restore a backup")
    with hold_folder(folder):
        key = key_from_file(folder / "site.key")
        mended = mend_store(folder)
        begin_log_anew(folder, key, random=random)
        for left in folder.glob("view.sqlite*"):
            left.unlink()
    return mended
