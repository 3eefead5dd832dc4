"""Taking in bundles: each copy is verified whole before a byte of it is kept.

Not the choice of copies, nor the sites whose bundles are taken: the exchange decides those. One rule: a copy goes in
whole or not at all, a transaction for about a thousand statements, and a statement that is held is not verified again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.intake.verifying import verify_all
from sync.limits import BUNDLE_STATEMENTS_MAX, BUNDLE_UNPACKED_BYTES_MAX
from sync.store.spilling import SpillingSet
from sync.store.statements import HeldStatement

if TYPE_CHECKING:
    from collections.abc import Collection

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
        supplied: Ids of those whose bodies were lacking, in order.
        bundles: How many bundles were not held before.
    """

    def __init__(self, store: Store, *, threads: int = 1) -> None:
        """Begin; nothing is written before the first `commit`.

        Args:
            store: Where it goes.
            threads: How many verify signatures at once.
        """
        self.supplied = SpillingSet(store.scratch)
        self.bundles = 0
        self._store = store
        self._before = store.shelf.last_row()
        self._threads = threads
        self._clear()

    @property
    def added(self) -> Collection[str]:
        """Ids of the statements that were not held before, looked up in the store."""
        return self._store.shelf.ids_since(self._before)

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
        verify_all(self._not_verified(bundle), self._store.network.id, threads=self._threads)

    def take_alone(self, statement: Statement) -> None:
        """Verify and write down a statement of our own, which lies in no bundle yet.

        Raises:
            RemoteError: Its signature does not hold.
            LocalError: The store failed; nothing is kept.
        """
        statement.verify(self._store.network.id)
        with self._store.transaction():
            if not self._store.shelf.held([statement.id]):
                self._store.add([statement], sealed=False)

    def commit(self) -> None:
        """Write down what was taken since the last transaction, in one."""
        bundles = 0
        with self._store.transaction():
            self._add_new()
            supplied: set[str] = set()
            for bundle in self._bundles:
                rows = [self._keep(statement, supplied) for statement in bundle.statements]
                if not self._store.bundles.has(bundle.id):
                    self._store.add_bundle(bundle, rows)
                    bundles += 1
        self.supplied.update(supplied)
        self.bundles += bundles
        self._clear()
        self._store.judge_some()

    def _clear(self) -> None:
        self._bundles: list[Bundle] = []
        self._verified: dict[str, bytes] = {}
        self._held: dict[str, HeldStatement] = {}
        self._bytes = 0

    def _not_verified(self, bundle: Bundle) -> list[Statement]:
        """The statements that were never verified, here or in this taking in, under the very signature they bear."""
        names = [each.id for each in bundle.statements if each.id not in self._verified and each.id not in self._held]
        self._held.update(self._store.shelf.held(names))
        return [each for each in bundle.statements if self._signature(each.id) != each.signature]

    def _signature(self, name: str) -> bytes | None:
        """The signature under which a statement was verified."""
        if name in self._verified:
            return self._verified[name]
        return self._held[name].signature if name in self._held else None

    def _add_new(self) -> None:
        """Append those that are not held, each as its first copy has it."""
        new: dict[str, Statement] = {}
        for bundle in self._bundles:
            for statement in bundle.statements:
                if statement.id not in self._held:
                    new.setdefault(statement.id, statement)
        rows = self._store.add(list(new.values()), sealed=True)
        for row, each in zip(rows, new.values(), strict=True):
            self._held[each.id] = HeldStatement(row, each.body_bytes is not None, each.signature)

    def _keep(self, statement: Statement, supplied: set[str]) -> int:
        """Put in the body where it is lacking; the row of the statement."""
        held = self._held[statement.id]
        if not held.has_body and statement.body_bytes is not None:
            self._store.supply(statement)
            supplied.add(statement.id)
            self._held[statement.id] = held._replace(has_body=True)
        return held.row
