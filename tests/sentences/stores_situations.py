"""What a store and an exchange say when the disk under them fails, with the situation in which a person reads it."""

from __future__ import annotations

import errno
import sqlite3
from typing import TYPE_CHECKING
from unittest.mock import patch

from sync import check_store, mend_store
from sync.store.database import _connect
from tests.sentences.scene import Scene, Situation
from tests.sync.camps import KINDS, Site, circle, folder_of, new_stick

if TYPE_CHECKING:
    from pathlib import Path

COPY = "put the site's folder back from a copy; the next exchanges bring what came since"


def camp(scene: Scene) -> tuple[Site, Path]:
    """A site with something said, and the stick that it left it on."""
    folder = scene.fresh()
    site = circle(folder, "C")["C"]
    stick = new_stick(folder)
    site.edition()
    site.exchange(stick)
    return site, stick


def spoiled(site: Site, sql: str) -> None:
    """Let the disk change the file."""
    site.store.close()
    with sqlite3.connect(site.file) as connection:
        connection.execute(sql)
    connection.close()
    site.reopen()


def _a_table_is_gone(scene: Scene) -> object:
    site, _ = camp(scene)
    spoiled(site, "DROP TABLE receipts")
    return site.store.receipts()


def _a_bundle_is_damaged(scene: Scene) -> object:
    site, _ = camp(scene)
    spoiled(site, "UPDATE bundles SET header = x'7b'")
    return list(site.store.bundles.each())


def _a_folder_is_gone(scene: Scene) -> object:
    return _connect(scene.fresh() / "gone" / "store.sqlite", "rw")


def _the_file_is_damaged(scene: Scene) -> object:
    site, _ = camp(scene)
    spoiled(site, "CREATE INDEX wrong ON statements (kind)")
    site.store.close()
    with sqlite3.connect(site.file) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(
            "UPDATE sqlite_master SET sql = 'CREATE INDEX wrong ON statements (author)' WHERE name = 'wrong'"
        )
    connection.close()
    site.reopen()
    return next(problem.what for problem in check_store(site.store) if problem.where == "store")


def _mended_on_a_bad_disk(scene: Scene) -> object:
    site, _ = camp(scene)
    site.store.close()
    with patch("sync.intake.mending._put_in_place", side_effect=OSError(errno.EIO, "the disk fails")):
        return mend_store(site.file, KINDS)


def _a_renamed_receipt(scene: Scene) -> object:
    site, stick = camp(scene)
    (path,) = (folder_of(stick) / "receipts").iterdir()
    path.rename(path.with_name(path.name.replace("00000001", "00000007")))
    (refusal,) = site.exchange(stick).refused
    return refusal.reason, refusal.hint


SITUATIONS = (
    Situation("the store of this site cannot be used: {why}", COPY, "a table of the store is gone", _a_table_is_gone),
    Situation(
        "the store of this site is damaged: bundle {name} cannot be read",
        "mend the store; the next exchanges bring back what other sites hold",
        "bits of a bundle rotted in the store",
        _a_bundle_is_damaged,
    ),
    Situation("the store {path} cannot be opened: {why}", COPY, "the folder of a store is gone", _a_folder_is_gone),
    Situation(
        "the file of the store is damaged: {fault}", "", "an index of the store does not fit", _the_file_is_damaged
    ),
    Situation(
        "the mended store cannot be put in place ({why})",
        "check the disk",
        "the disk fails at the end of mending",
        _mended_on_a_bad_disk,
    ),
    Situation(
        "the name of the file does not fit what is in it",
        "it is removed; whoever holds a sound one writes it again",
        "somebody renamed a file on the stick",
        _a_renamed_receipt,
    ),
)
