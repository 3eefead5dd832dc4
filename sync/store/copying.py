"""A copy of a database that may be in use, as it stands at one moment.

Not a copy of its files: what was written last may still lie in the log beside it. One rule: the copy is one whole
file, and SQLite finds nothing wrong with it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from sync.errors import LocalError

if TYPE_CHECKING:
    from pathlib import Path


def copy_database(path: Path, target: Path) -> None:
    """Copy a database of SQLite to a file that is not there yet.

    Args:
        path: The database.
        target: The file to make; where that fails, it may be left half-written.

    Raises:
        LocalError: The database cannot be read or is damaged, or there is no room for the copy.
    """
    try:
        with closing(_connect(path, "ro")) as source, closing(_connect(target, "rwc")) as copy:
            copy.execute("PRAGMA synchronous = OFF")  # the copy is read back before anybody relies on it
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
            faults = [text for (text,) in copy.execute("PRAGMA integrity_check") if text != "ok"]
    except sqlite3.OperationalError as error:
        raise LocalError(
            f"{path.name} could not be copied: {error}", hint="look whether the disk is full, and try again"
        ) from error
    except sqlite3.DatabaseError as error:
        faults = [str(error)]
    if faults:
        raise LocalError(
            f"{path.name} is damaged: {faults[0]}", hint="put this site back from an earlier backup, then exchange"
        )


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True)
