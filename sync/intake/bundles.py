"""Taking in bundles: each copy is verified whole before a byte of it is kept.

Not the choice of copies, nor the sites whose bundles are taken: the exchange decides those. One rule: a copy goes in
whole or not at all, a transaction for about a thousand statements, and a statement that is held is not verified again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.limits import BUNDLE_STATEMENTS_MAX, BUNDLE_UNPACKED_BYTES_MAX
from sync.store.statements import HeldStatement

if TYPE_CHECKING:
    from sync.bundle import Bundle
    from sync.statement import Statement
    from sync.store import Store

TRANSACTION_STATEMENTS = BUNDLE_STATEMENTS_MAX
TRANSACTION_BYTES = BUNDLE_UNPACKED_BYTES_MAX  # what is verified and not yet written lies in memory


@dataclass(frozen=True)
class Refusal:
    """A file that was not taken.

    Attributes:
        file: Its name on the carrier.
        reason: What is wrong with it, one sentence without a capital or a full stop.
        hint: What to do; may be empty.
    """

    file: str
    reason: str
    hint: str = ""


class Intake:
    """One taking in, from its first bundle to its last.

    Attributes:
        added: Ids of the statements that were not held before.
        supplied: Ids of those whose bodies were lacking.
        bundles: How many bundles were not held before.
    """

    def __init__(self, store: Store) -> None:
        """Begin; nothing is written before the first `commit`."""
        self.added: set[str] = set()
        self.supplied: set[str] = set()
        self.bundles = 0
        self._store = store
        self._clear()

    def take(self, bundle: Bundle) -> None:
        """Verify one copy, and keep it with the next transaction.

        Raises:
            RemoteError: A signature in it does not hold; nothing of this copy is taken.
            LocalError: The store failed; the transaction under way is undone whole.
        """
        self.verify(bundle)
        for statement in bundle.statements:
            self._verified.setdefault(statement.id, statement.signature)
            self._bytes += statement.size
        self._bundles.append(bundle)
        if len(self._verified) >= TRANSACTION_STATEMENTS or self._bytes >= TRANSACTION_BYTES:
            self.commit()

    def verify(self, bundle: Bundle) -> None:
        """Check every signature of a copy that was not checked before.

        Raises:
            RemoteError: One does not hold.
        """
        if self._store.bundles.signature(bundle.id) != bundle.signature:
            bundle.verify(self._store.network.id)
        for statement in bundle.statements:
            if not self._is_known(statement):
                statement.verify(self._store.network.id)

    def take_alone(self, statement: Statement) -> None:
        """Verify and write down a statement of our own, which lies in no bundle yet.

        Raises:
            RemoteError: Its signature does not hold.
            LocalError: The store failed; nothing is kept.
        """
        statement.verify(self._store.network.id)
        with self._store.transaction():
            if self._store.shelf.held(statement.id) is None:
                self._store.add(statement, sealed=False)
                self.added.add(statement.id)

    def commit(self) -> None:
        """Write down what was taken since the last transaction, in one."""
        added: set[str] = set()
        supplied: set[str] = set()
        bundles = 0
        with self._store.transaction():
            for bundle in self._bundles:
                rows = [self._keep(statement, added, supplied) for statement in bundle.statements]
                if not self._store.bundles.has(bundle.id):
                    self._store.add_bundle(bundle, rows)
                    bundles += 1
        self.added |= added
        self.supplied |= supplied
        self.bundles += bundles
        self._clear()

    def _clear(self) -> None:
        self._bundles: list[Bundle] = []
        self._verified: dict[str, bytes] = {}
        self._held: dict[str, HeldStatement] = {}
        self._bytes = 0

    def _is_known(self, statement: Statement) -> bool:
        """Whether a statement under this very signature was verified before."""
        if statement.id in self._verified:
            return self._verified[statement.id] == statement.signature
        held = self._store.shelf.held(statement.id)
        if held is None:
            return False
        self._held[statement.id] = held
        return held.signature == statement.signature

    def _keep(self, statement: Statement, added: set[str], supplied: set[str]) -> int:
        held = self._held.get(statement.id)
        if held is None:
            added.add(statement.id)
            row = self._store.add(statement, sealed=True)
            self._held[statement.id] = HeldStatement(row, statement.body_bytes is not None, statement.signature)
            return row
        if not held.has_body and statement.body_bytes is not None:
            self._store.supply(statement)
            supplied.add(statement.id)
            self._held[statement.id] = held._replace(has_body=True)
        return held.row
