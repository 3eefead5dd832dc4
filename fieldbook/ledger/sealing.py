"""What keeping a site needs of ``sync``: recovery phrases, sealed files, whole copies, mending, a new log afterwards.

Not what is in a backup (``site.backup`` says that). Its one rule: a site that was put back says nothing under its old
log, so that no number of it is ever used twice.
"""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

import sync
from fieldbook.ledger.kinds import KINDS
from fieldbook.ledger.plainly import plainly

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from fieldbook.ledger.keys import Key


def invent_phrase(random: Callable[[int], bytes]) -> str:
    """A new recovery phrase, to be written on paper."""
    return sync.invent_phrase(random)


def read_phrase(typed: str) -> str:
    """A recovery phrase as a person typed it, in its one spelling.

    Raises:
        LedgerError: it is none; the message says which word.
    """
    with plainly():
        return sync.read_phrase(typed)


@contextmanager
def sealing(
    out: Callable[[bytes], object], phrase: str, *, random: Callable[[int], bytes]
) -> Iterator[sync.SealedWriter]:
    """Seal what is written within under a phrase; the file is whole only when this ends without an error.

    Raises:
        LedgerError: the phrase is none.
    """
    with plainly():
        writer = sync.SealedWriter(out, phrase, random=random)
        yield writer
        writer.finish()


@contextmanager
def unsealing(source: Callable[[int], bytes], phrase: str) -> Iterator[sync.SealedReader]:
    """Read what is sealed under a phrase, to its very end.

    Raises:
        LedgerError: the phrase does not open it, or it is foreign, cut or damaged.
    """
    with plainly():
        reader = sync.SealedReader(source, phrase)
        yield reader
        reader.drain()


def copy_database(path: Path, target: Path) -> None:
    """Copy a database that may be in use to a file that is not there yet.

    Raises:
        LedgerError: it is damaged, or there is no room.
    """
    with plainly():
        sync.copy_database(path, target)


def look_for_damage(folder: Path, *, own_site: str, progress: Callable[[str, int, int], None]) -> sync.Damage:
    """What in the store of a site, and among its photos, no longer verifies; nothing is changed.

    Raises:
        LedgerError: nothing in it can be read.
    """
    with plainly():
        return sync.look_for_damage(folder / "store.sqlite", KINDS, own_site=own_site, progress=progress)


def prepare_mended(folder: Path, *, progress: Callable[[str, int, int], None]) -> sync.Mended:
    """Make a new store beside the old one, from what in it still verifies; the site may be read meanwhile.

    Raises:
        LedgerError: nothing in it can be read, or the disk does not take the new file; nothing was changed.
    """
    with plainly():
        return sync.prepare_mended(folder / "store.sqlite", KINDS, progress=progress)


def take_mended(folder: Path) -> None:
    """Put the new store in the place of the old one, which is closed; `begin_log_anew` comes next.

    Raises:
        LedgerError: the disk does not do it; nothing was changed.
    """
    with plainly():
        sync.take_mended(folder / "store.sqlite")


def begin_log_anew(folder: Path, site_key: Key, *, random: Callable[[int], bytes]) -> None:
    """Open the store of a site that was put back, and let it speak under a new log from now on.

    Raises:
        LedgerError: the store cannot be opened.
    """
    with plainly():
        store = sync.Store.open(folder / "store.sqlite", KINDS)
        try:
            sync.begin_log(store, site_key.public, random=random)
        finally:
            store.close()
