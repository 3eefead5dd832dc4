"""What a site is made of, wired once: folder, notebook, ledger, view, search index, clock, randomness, lock.

Time and randomness enter the program here and nowhere below. Its one rule: one process holds a site at a time, and one
thread of that process changes it at a time.
"""

from __future__ import annotations

import datetime as dt
import fcntl
import os
import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldbook.errors import FieldbookError, Notice
from fieldbook.ledger import Key, Ledger, key_from_file, secret_of
from fieldbook.notebook import Notebook
from fieldbook.search import Index
from fieldbook.site.reserve import RESERVE_BYTES, Reserve
from fieldbook.view import View

if TYPE_CHECKING:
    from collections.abc import Callable
    from io import TextIOWrapper
    from pathlib import Path

CLOCK_FLOOR = dt.datetime(2026, 11, 1, tzinfo=dt.UTC)  # this software did not exist before: an earlier clock is wrong
CLOCK_CEILING = dt.datetime(2070, 1, 1, tzinfo=dt.UTC)  # further than any laptop lives: a later clock is wrong
VERIFYING_THREADS = min(2, os.cpu_count() or 1)  # more than two gain little: the rest of the work is one thread's


class SiteError(FieldbookError):
    """This site cannot do what was asked; the message says why."""


@dataclass(frozen=True)
class Signer:
    """A person who is signed in: their label, their roles now, and their key while they stay."""

    label: str
    roles: frozenset[str]
    key: Key


def system_clock() -> dt.datetime:
    """The time that this machine claims, in UTC."""
    return dt.datetime.now(dt.UTC)  # noqa: TID251  (the one place where time enters)


def time_claimed(now: dt.datetime) -> str | None:
    """A time as a statement or a note may claim it; none where a clock that says so cannot be right."""
    return f"{now:%Y-%m-%dT%H:%M:%SZ}" if CLOCK_FLOOR <= now < CLOCK_CEILING else None


class SiteParts:
    """The wiring of one open site; what it can do stands in the classes built on this one."""

    def __init__(
        self,
        folder: Path,
        *,
        clock: Callable[[], dt.datetime] = system_clock,
        random: Callable[[int], bytes] = os.urandom,
        verifying_threads: int = VERIFYING_THREADS,
        reserve_bytes: int = RESERVE_BYTES,
    ) -> None:
        """Open the site in a folder and hold it.

        Args:
            folder: the site's.
            clock: says what time it is.
            random: gives so many random bytes.
            verifying_threads: how many check signatures at once in an exchange.
            reserve_bytes: how much of the disk is kept for what stops harm.

        Raises:
            FieldbookError: there is no site, another process holds it, or a file in it cannot be read.
        """
        self.folder = folder
        self.clock = clock
        self.random = random
        self.verifying_threads = verifying_threads
        self.lock = threading.RLock()
        self.reserve = Reserve(folder, size_bytes=reserve_bytes)
        if not (folder / "notebook.sqlite").is_file():
            raise SiteError(f"there is no site in {folder}", hint="check the folder's name, or begin a site with `new`")
        self._held = hold_folder(folder)
        try:
            self.notebook = Notebook.open(folder)
            self.site_key = key_from_file(folder / "site.key")
            self.ledger = Ledger.open(folder) if Ledger.exists(folder) else None
            self.view = View.open(folder / "view.sqlite")
            self.index = Index(folder / "index", key=secret_of(self.site_key, "search index"))
        except BaseException:
            self._held.close()
            raise
        self.reserve.keep()

    def close(self) -> None:
        """Close every file and let the next process in."""
        self.view.close()
        if self.ledger is not None:
            self.ledger.close()
        self.notebook.close()
        self._held.close()

    @property
    def letter(self) -> str:
        """The site's letter, as on its stamp."""
        return str(self.notebook.fact("letter"))

    @property
    def name(self) -> str:
        """The site's name in the network."""
        return str(self.notebook.fact("name"))

    @property
    def languages(self) -> tuple[str, ...]:
        """The site's languages, the first one first."""
        return tuple(self.notebook.fact("languages") or ("en",))

    @property
    def network_title(self) -> str | None:
        """The network's title, or None where the site has joined none yet."""
        return None if self.ledger is None else self.ledger.network_title

    @property
    def clock_doubt(self) -> str | None:
        """A sentence where this machine's clock cannot be right, else None. Nothing is ever blocked by it."""
        now = self.clock()
        if time_claimed(now) is not None:
            return None
        return Notice(
            f"This laptop's clock says {now.day} {now:%B} {now.year}, which cannot be right. "
            "Go on working: nothing depends on it. For the calendar, ask which month and week it is."
        )

    @property
    def put_back(self) -> str | None:
        """A sentence where this site was put back from a backup and has exchanged with no stick since, else None."""
        fact = self.notebook.fact("put_back")
        if fact is None or self.ledger is None or fact["exchanges"] != int(self.notebook.fact("exchanges") or 0):
            return None
        since = f"of {fact['time'][:10]}" if fact["time"] else "whose day is not known"
        return Notice(
            f"This site was put back from a backup {since}. What was withdrawn since then is not known here yet: "
            "exchange with the newest stick before anybody uses these pages."
        )

    @property
    def lost_words(self) -> str | None:
        """A sentence where the store holds less than it did, and no stick was exchanged since; else None."""
        fact = self.notebook.fact("lost_words")
        if fact is None or self.ledger is None or fact["exchanges"] != int(self.notebook.fact("exchanges") or 0):
            return None
        return Notice(
            f"This site holds less than it did: {fact['number']} signed words are gone from its store. A file beside "
            "it was removed, or an older copy was put in its place. Exchange with the newest stick: what other sites "
            "hold comes back."
        )

    @property
    def mended_words(self) -> str | None:
        """A sentence where the store was mended, and no stick was exchanged since; else None."""
        fact = self.notebook.fact("mended")
        waits = fact is not None and fact["exchanges"] == int(self.notebook.fact("exchanges") or 0)
        if not waits or not fact["number"]:
            return None
        return (
            f"The store of this site was damaged and has been mended. {fact['number']} signed words or photos are "
            "missing: exchange with every stick, and what other sites hold comes back."
        )

    @property
    def notices(self) -> dict[str, str]:
        """What everybody who uses this site must know now, whatever they came for: sentences, by subject."""
        every = {"clock_doubt": self.clock_doubt, "put_back": self.put_back, "lost_words": self.lost_words}
        every["mended_words"] = self.mended_words
        return {name: words for name, words in every.items() if words is not None}

    @property
    def has_backup(self) -> bool:
        """True where a backup of this site was written, or it was put back from one."""
        return self.notebook.fact("backed_up") is not None

    def claimed_time(self) -> str | None:
        """The time that a statement may claim; none where the clock is in doubt."""
        return time_claimed(self.clock())

    def need_ledger(self) -> Ledger:
        """The ledger.

        Raises:
            SiteError: the site is in no network yet.
        """
        if self.ledger is None:
            raise SiteError(
                "this site is in no network yet",
                hint="bring a stick from a site of a network and `join` it; `new --network` founds one",
            )
        return self.ledger


def hold_folder(folder: Path) -> TextIOWrapper:
    """Hold a site folder for this process until the returned file is closed.

    Raises:
        SiteError: another process holds it, or the folder cannot be written.
    """
    try:
        held = (folder / "site.lock").open("a")
    except OSError as error:
        raise SiteError(
            f"the folder {folder} cannot be written ({error.strerror})", hint="check its rights and space"
        ) from error
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        held.close()
        raise SiteError(
            f"another program is using the site in {folder}",
            hint="close it first, or use the pages that it serves",
        ) from error
    return held
