"""Long work in the background: an exchange, the beginning of a site, or its mending, shown while it runs.

What it is: one thread at a time, and what it last said. What it is not: a queue. Its one rule: between two pieces of
the work readers get their turn, and what went wrong is kept as a sentence for the page.
"""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Callable

    Progress = Callable[[str, int, int], None]

TURN_SECONDS = 0.2  # how long readers may have to wait for the piece that is being done
LET_IN_SECONDS = 0.02
EXCHANGE = "exchange"


@dataclass
class Progressing:
    """What a piece of work has said so far.

    ``of`` is 0 where the whole is not known; ``whole`` says that all was done, and ``report`` what came of it.
    """

    place: str
    errand: str = EXCHANGE
    what: str = "beginning"
    done: int = 0
    of: int = 0
    report: Any = None
    error: FieldbookError | None = None
    ended: bool = False
    whole: bool = False

    @property
    def broke(self) -> bool:
        """True where it ended by a fault of ours, which left no sentence."""
        return self.ended and self.error is None and not self.whole


class Work:
    """The one piece of work that runs, or the last one that ran."""

    def __init__(self, lock: threading.RLock) -> None:
        """Work under the site's lock."""
        self._lock = lock
        self._thread: threading.Thread | None = None
        self.last: Progressing | None = None

    @property
    def running(self) -> bool:
        """True while something is being done."""
        return self.last is not None and not self.last.ended

    def begin(self, place: str, do: Callable[[Progress], Any], *, errand: str = EXCHANGE) -> None:
        """Begin; the caller holds the lock, so two cannot begin at once."""
        self.last = Progressing(place, errand)
        self._thread = threading.Thread(target=self._run, args=(self.last, do), name="long work")
        self._thread.start()

    def wait(self, seconds: float | None = None) -> None:
        """Wait until the work is done, as before closing the site; or for so long at most."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _run(self, now: Progressing, do: Callable[[Progress], Any]) -> None:
        with self._lock:
            turn = time.monotonic()

            def said(what: str, done: int, of: int) -> None:
                nonlocal turn
                now.what, now.done, now.of = what, done, of
                if time.monotonic() - turn > TURN_SECONDS:
                    self._let_readers_in()
                    turn = time.monotonic()

            try:
                now.report = do(said)
                now.whole = True
            except FieldbookError as error:
                now.error = error
            except OSError as error:
                why = error.strerror or "it does not say why"
                now.error = FieldbookError(
                    f"this laptop could not do it ({why})", hint="look whether its disk is full, then try again"
                )
            finally:
                now.ended = True

    def _let_readers_in(self) -> None:
        self._lock.release()
        time.sleep(LET_IN_SECONDS)
        self._lock.acquire()
