"""A store whose file is damaged, made anew from what in it still holds.

Not a way around intake: every row is verified as if it came from a stranger. One rule: the old file stays in its place
until the new one is whole, and afterwards under another name; what is lost is named, and comes back from whoever
holds it.
"""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sync.bundle import assemble_bundle
from sync.canonical import parse_canonical
from sync.errors import LocalError, RemoteError
from sync.intake.damage import sound_statement
from sync.limits import BUNDLE_STATEMENTS_MAX, HEADER_BYTES_MAX
from sync.network import parse_joining, parse_network
from sync.receipt import parse_receipt
from sync.store.salvage import Salvage
from sync.store.store import Store

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from sync.statement import KindRule, Statement
    from sync.store.salvage import FoundStatement

_HINT = "put the site's folder back from a backup; the next exchanges bring what came since"


@dataclass
class Mended:
    """What came of a mending.

    Attributes:
        kept: How many statements the new store holds.
        lost: Ids of statements that could not be read whole, where even an id could be read, sorted.
        bare: Ids of statements that were kept without their damaged bodies, sorted.
        bundles: Ids of bundles that no longer hold; what they held is sealed again.
        files: Ids of attachments that are damaged; they are set aside, and wanted again.
    """

    kept: int = 0
    lost: list[str] = field(default_factory=list)
    bare: list[str] = field(default_factory=list)
    bundles: list[str] = field(default_factory=list)
    files: list[str] = field(default_factory=list)


def mend_store(
    path: Path, kinds: Iterable[KindRule], *, progress: Callable[[str, int, int], None] = lambda _what, _done, _of: None
) -> Mended:
    """Make the file of a store anew; let the site begin a new log afterwards, since bundles of its own may be gone.

    Args:
        path: The file, which nobody has open; the old one stays beside it, its name ending in ``.damaged``.
        kinds: As for `Store.open`.
        progress: Told what is being done, how much of it is done, and of how much.

    Raises:
        LocalError: Not even the network file holds, or the disk does not take the new file; nothing was changed.
    """
    mended = prepare_mended(path, kinds, progress=progress)
    take_mended(path)
    return mended


def prepare_mended(
    path: Path, kinds: Iterable[KindRule], *, progress: Callable[[str, int, int], None] = lambda _what, _done, _of: None
) -> Mended:
    """Make the new file beside the old one, which may be open and is read on meanwhile; nobody may write to it.

    Args:
        path: As for `mend_store`.
        kinds: As for `Store.open`.
        progress: As for `mend_store`.

    Raises:
        LocalError: Not even the network file holds, or the disk does not take the new file; nothing was changed.
    """
    salvage = Salvage(path)
    try:
        part = _part(path)
        _remove(part)
        store = Store.create(part, _network(salvage, path), kinds)
        try:
            return _Mending(store, salvage, progress).mend()
        finally:
            store.close()
    finally:
        salvage.close()


def take_mended(path: Path) -> None:
    """Let the new file that was prepared take the place of the old one, which nobody has open any more.

    Raises:
        LocalError: The disk does not do it; nothing was changed.
    """
    try:
        _put_in_place(_part(path), path)
    except OSError as error:
        raise LocalError(
            f"the mended store cannot be put in place ({error.strerror})", hint="check the disk"
        ) from error


def _part(path: Path) -> Path:
    return path.with_name(f"{path.name}.mended")


def _network(salvage: Salvage, path: Path) -> Any:
    try:
        return parse_network(salvage.network_file())
    except RemoteError as error:
        raise LocalError(f"the store {path} cannot be mended: {error.message}", hint=_HINT) from error


class _Mending:
    """The way from one file to the other."""

    def __init__(self, store: Store, salvage: Salvage, progress: Callable[[str, int, int], None]) -> None:
        self._store = store
        self._salvage = salvage
        self._progress = progress
        self._rows: dict[int, int] = {}  # where in the new store the statements of the old one lie
        self._mended = Mended()

    def mend(self) -> Mended:
        """Carry over what holds."""
        batch: dict[str, tuple[int, Statement]] = {}
        unread, of = self._salvage.listed(), self._salvage.count()
        for found in self._salvage.statements():
            unread.pop(found.number, None)
            statement = self._sound(found)
            if statement is not None and self._store.get(statement.id) is None:
                batch.setdefault(statement.id, (found.number, statement))
            if len(batch) >= BUNDLE_STATEMENTS_MAX:
                self._add(batch)
                self._progress("reading statements", found.number, of)
        self._add(batch)
        self._mended.lost += [name.hex() for name in unread.values()]
        for bundle in self._salvage.bundles():
            self._carry_bundle(*bundle)
        self._carry_papers()
        self._mended.files += self._store.attachments.damaged()
        self._store.attachments.set_aside_damaged()
        self._mended.kept = self._store.count()
        for names in (self._mended.lost, self._mended.bare, self._mended.bundles):
            names.sort()
        return self._mended

    def _sound(self, found: FoundStatement) -> Statement | None:
        """The statement in a row, with its body, else without, else None; what is missing of it is noted."""
        statement = sound_statement(found, self._store.network.id)
        if statement is None:
            self._mended.lost += [found.id.hex()] if isinstance(found.id, bytes) else []
        elif found.body is not None and statement.body_bytes is None:
            self._mended.bare.append(statement.id)
        return statement

    def _add(self, batch: dict[str, tuple[int, Statement]]) -> None:
        with self._store.transaction():
            rows = self._store.add([statement for _, statement in batch.values()], sealed=False)
            self._rows.update(zip([number for number, _ in batch.values()], rows, strict=True))
        batch.clear()

    def _carry_bundle(self, name: Any, header: Any, signature: Any, numbers: list[int]) -> None:
        """Keep a bundle that holds, with all its statements; those of any other are sealed again."""
        try:
            rows = [self._rows[number] for number in numbers]
            value = parse_canonical(header, limit_bytes=HEADER_BYTES_MAX)
            bundle = assemble_bundle(value, signature, self._store.shelf.at(rows))
            bundle.verify(self._store.network.id)
        except (RemoteError, KeyError, TypeError, AttributeError):
            bundle = None
        if bundle is not None and not self._store.bundles.has(bundle.id):  # else one page of the file lies there twice
            with self._store.transaction():
                self._store.add_bundle(bundle, rows)
        else:
            self._mended.bundles += [name.hex()] if isinstance(name, bytes) else []

    def _carry_papers(self) -> None:
        network_id = self._store.network.id
        for file in self._salvage.receipts():
            with suppress(RemoteError, TypeError):
                self._store.papers.keep_receipt(parse_receipt(file, network_id=network_id))
        for file in self._salvage.joinings():
            with suppress(RemoteError, TypeError):
                self._store.papers.keep_joining(parse_joining(file, network_id=network_id))
        for site, log in self._salvage.own_logs():
            if isinstance(site, bytes) and isinstance(log, str):
                self._store.papers.begin_log(site.hex(), log)


def _put_in_place(part: Path, path: Path) -> None:
    """Let the new file take the name of the old one at one stroke, once no log of the old one lies beside it."""
    damaged = path.with_name(f"{path.name}.damaged")
    _remove(damaged)
    try:
        os.link(path, damaged)
    except OSError:  # a file system without links
        shutil.copyfile(path, damaged)
    log = path.with_name(f"{path.name}-wal")
    if log.exists():
        log.replace(damaged.with_name(f"{damaged.name}-wal"))
    path.with_name(f"{path.name}-shm").unlink(missing_ok=True)
    part.replace(path)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def _remove(path: Path) -> None:
    for ending in ("", "-wal", "-shm"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
