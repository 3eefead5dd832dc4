"""The roles in force as two short texts: one for the state hash, one by which the view notices that they changed.

Not the roles. One rule: a charter may hold a million people, so it is read through once for both, a piece at a time.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import sync

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator


class RoleMarks:
    """Both texts of the charter that was asked about last."""

    def __init__(self) -> None:
        """Of none yet."""
        self._of: sync.Charter | None = None
        self._digest = self._mark = ""

    def digest(self, judgement: sync.Judgement) -> str:
        """SHA-256 of the canonical roles in force."""
        self._read(judgement)
        return self._digest

    def mark(self, judgement: sync.Judgement) -> str:
        """Another text whenever anything changes that the fold reads of roles."""
        self._read(judgement)
        return self._mark

    def _read(self, judgement: sync.Judgement) -> None:
        if judgement.charter is not self._of:
            self._digest = _digest(judgement.charter.spelled())
            self._mark = _digest(_read_by_the_fold(judgement))
            self._of = judgement.charter


def _read_by_the_fold(judgement: sync.Judgement) -> Iterator[bytes]:
    charter = judgement.charter
    yield from charter.spelled()
    for key, roles in judgement.footing.roles.items():
        yield sync.canonical_bytes({"given": sorted(roles), "key": key})
    for key, home in charter.homes.items():
        yield sync.canonical_bytes({"home": home, "key": key})
    for key, scope in charter.scopes.items():
        yield sync.canonical_bytes({"key": key, "scope": list(scope)})


def _digest(pieces: Iterable[bytes]) -> str:
    digest = hashlib.sha256()
    for piece in pieces:
        digest.update(piece)
    return digest.hexdigest()
