"""Who is known to hold what, what a stick lacks, what was taken back, and how much the stewards say is stopped.

Its one rule: it tells people; nothing that is shown, believed or left on a stick hangs on it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import sync
from fieldbook.ledger.plainly import plainly
from fieldbook.ledger.values import Heard, Lacks, Place, Reach, Said

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from fieldbook.ledger.keys import Key


class Whereabouts:
    """What a ledger knows of other sites' holdings."""

    _store: sync.Store

    def beat(self, key: Key, *, time: str | None, random: Callable[[int], bytes]) -> str:
        """Say, as a steward, how much is stopped by what is held here; returns the statement's id.

        Raises:
            LedgerError: this key is no steward's.
        """
        with plainly():
            return sync.beat(self._store, key=key, time=time, random=random).id

    def heard(self) -> tuple[Heard, ...]:
        """What the newest heartbeat of each steward in force comes to here, by their keys."""
        return tuple(
            Heard(one.heartbeat.statement, one.heartbeat.steward, one.heartbeat.number, one.lacking, one.proven)
            for one in sync.heard(self._store)
        )

    def places(self, names: Iterable[str] | None = None) -> dict[str, tuple[Place, ...]]:
        """Where held statements lie, by id; nowhere where they were said here since the last exchange."""
        found = sync.places(self._store, names)
        return {name: tuple(Place(at.log, at.lane, at.number) for at in lies) for name, lies in found.items()}

    def reaches(self, *, own_site: str) -> Iterator[Reach]:
        """How far the other sites said last that they hold each log, one by one."""
        found = sync.reaches(self._store, own_site=own_site)
        return (Reach(one.site, one.log, one.urgent, one.text) for one in found)

    def disagreeing(self, *, own_site: str) -> tuple[str, ...]:
        """The labels of sites that hold exactly what is held here and made another state of it: an alarm."""
        return tuple(self._store.charter.name_of(site) for site in sync.disagreeing(self._store, own_site=own_site))

    def carrier_lacks(self, carrier: Path) -> Lacks:
        """Count what a carrier lacks of what is held here; nothing is opened or written.

        Raises:
            LedgerError: the carrier cannot be listed.
        """
        with plainly():
            found = sync.carrier_lacks(self._store, sync.FolderCarrier(carrier))
        return Lacks(found.urgent, found.text, found.attachments)

    # what was taken back

    def is_taken_back(self, identity: str) -> bool:
        """True where the body of a statement was taken back, so that it will never be here again."""
        return identity in self._store.redacted()

    def taken_back_by(self, identity: str) -> str | None:
        """Who took a statement's body back, by letter and number; None where nobody did."""
        if not self.is_taken_back(identity):
            return None
        words = self._store.redactions_of(identity)
        acting = set(self._store.judgement.redacted_by[identity])
        return next((self._store.charter.name_of(word.author) for word in words if word.id in acting), None)

    def taken_back(self) -> int:
        """How many bodies were taken back; it only grows, unless a redaction is itself set aside."""
        return len(self._store.redacted())

    def files_only_of(self, said: Said) -> list[str]:
        """The files of a statement that no other statement here names."""
        return [file for file in said.attachments if list(self._store.shelf.naming(file)) == [said.id]]

    def others_name(self, files: Iterable[str], *, author: str) -> bool:
        """True where a statement of anybody else here names one of these files."""
        naming = {name for file in files for name in self._store.shelf.naming(file)}
        return any(held.author != author for name in naming if (held := self._store.get(name)) is not None)
