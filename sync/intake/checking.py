"""The whole store looked over again, as if nothing in it had ever been verified.

Not a repair. One rule: whatever is wrong here is named with its place; what was never here (a gap in a chain, a
body that was taken back, a file that is still wanted) and what others said wrongly is no fault of the store.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.bundle import assemble_bundle
from sync.errors import LocalError, SyncError
from sync.statement import read_statement

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync.store import Store


@dataclass(frozen=True)
class Problem:
    """Something wrong: what, in one sentence, and where (the id of a statement, bundle or file)."""

    what: str
    where: str


def check_store(store: Store) -> tuple[Problem, ...]:
    """Verify every signature, body, chain, bundle and attachment anew.

    Args:
        store: It is only read.
    """
    return tuple(
        problem for look in (_file, _statements, _bundles, _papers, _attachments) for problem in _named(look(store))
    )


def _named(problems: Iterator[Problem]) -> Iterator[Problem]:
    """The problems, the last of them being that nothing more could be read."""
    try:
        yield from problems
    except LocalError as error:
        yield Problem(error.message, "store")


def _file(store: Store) -> Iterator[Problem]:
    for fault in store.faults():
        yield Problem(f"the file of the store is damaged: {fault}", "store")


def _statements(store: Store) -> Iterator[Problem]:
    depths: dict[str, int] = {}
    for statement in store.statements():
        depths[statement.id] = max((1 + depths[each] for each in statement.after if each in depths), default=0)
        try:
            parts = statement.header_bytes, statement.body_bytes, statement.salt, statement.signature
            again = read_statement(*parts)
            again.verify(store.network.id)
        except SyncError as error:
            yield Problem(error.message, statement.id)
            continue
        if again.id != statement.id:
            yield Problem("the statement lies under an id that is not its own", statement.id)
        if not store.shelf.is_listed_rightly(statement):
            yield Problem("the statement is listed as something that it does not say", statement.id)
        if depths[statement.id] != store.depth(statement.id):
            yield Problem("the statement does not come after all that it answers", statement.id)


def _bundles(store: Store) -> Iterator[Problem]:
    for bundle in store.bundles.each():
        try:
            again = assemble_bundle(bundle.header, bundle.signature, bundle.statements)
            again.verify(store.network.id)
        except SyncError as error:
            yield Problem(error.message, bundle.id)
            continue
        if again.id != bundle.id:
            yield Problem("the bundle's statements are not those, or not in the order, that its id names", bundle.id)


def _papers(store: Store) -> Iterator[Problem]:
    for fault in store.papers.verify():
        yield Problem(fault.message, "receipts and wishes to join")


def _attachments(store: Store) -> Iterator[Problem]:
    for name in store.attachments.damaged():
        yield Problem("the attachment is not what its name says; the next exchange brings it again", name)
