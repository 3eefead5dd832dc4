"""Who is signed in on which phone or laptop.

What it is: an opened key for each random session id, in the memory of this process. What it is not: an account, a log
or a file. Its one rule: a key is here only from signing in to signing out; when the process ends, everybody is out.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from fieldbook.site import Signer

SITTINGS_MAX = 200  # a site has a handful of people; beyond this the oldest sitting ends
_ID_BYTES = 32


class Sittings:
    """The people who are signed in, by session id."""

    def __init__(self, random: Callable[[int], bytes]) -> None:
        """Begin with nobody; ``random`` makes the session ids."""
        self._random = random
        self._lock = threading.Lock()
        self._signers: dict[str, Signer] = {}

    def begin(self, signer: Signer) -> str:
        """Sign a person in; returns the new session id, which only their browser keeps."""
        sitting = self._random(_ID_BYTES).hex()
        with self._lock:
            while len(self._signers) >= SITTINGS_MAX:
                del self._signers[next(iter(self._signers))]
            self._signers[sitting] = signer
        return sitting

    def signer(self, sitting: object) -> Signer | None:
        """Whoever sits under a session id, or None."""
        with self._lock:
            return self._signers.get(sitting) if isinstance(sitting, str) else None

    def end(self, sitting: object) -> None:
        """Sign out; the key is forgotten."""
        with self._lock:
            if isinstance(sitting, str):
                self._signers.pop(sitting, None)
