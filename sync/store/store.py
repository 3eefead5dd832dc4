"""The store of a site: everything it was ever given that was valid, and what it makes of it.

Not a judge of bytes: only `sync.intake` puts statements in, after it has checked them. One rule: the store only grows;
the one thing that ever leaves it is a body or a file that somebody with the right to do so took back.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from heapq import merge
from operator import itemgetter
from typing import TYPE_CHECKING

from sync.attachments import Attachments
from sync.charter import Charter, HeldSet, Judgement, Verdict, Verdicts, judge_held, settle_more
from sync.charter.forms import REDACTION
from sync.network import Joining, Network, parse_network
from sync.receipt import Holding, Receipt, set_hash_in_order
from sync.store.bundles import Bundles
from sync.store.database import Database
from sync.store.gaps import Gaps, Without
from sync.store.marks import SpillingRoom, kept
from sync.store.papers import Papers
from sync.store.scratch import Scratch
from sync.store.spilling import SpillingSet
from sync.store.statements import Statements

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
    from collections.abc import Set as AbstractSet
    from pathlib import Path

    from sync.bundle import Bundle
    from sync.charter.held import Link
    from sync.charter.room import Room
    from sync.statement import KindRule, Statement


class Store(HeldSet):
    """One open store. Threads may share it under one lock of the caller's.

    Attributes:
        network: The network that it belongs to.
        kinds: The table of kinds, by name.
        attachments: Files by digest, beside the store's file.
        shelf: The table of statements.
        bundles: The table of bundles.
        papers: Receipts, wishes to join, own logs, checks.
        scratch: Room for what has to be remembered for a while and is too much for the memory.
    """

    def __init__(self, database: Database, path: Path, network: Network, kinds: Iterable[KindRule]) -> None:
        """Take an open file; use `create` or `open`."""
        self.network = network
        self.kinds: Mapping[str, KindRule] = {rule.name: rule for rule in kinds}
        self.attachments = Attachments(path.parent)
        self.shelf = Statements(database, lambda: self.scratch)
        self.bundles = Bundles(database, lambda: self.scratch)
        self.papers = Papers(database, network.id)
        self.scratch = Scratch(path)
        self._database = database
        self._path = path
        self._seen = database.seen_version()
        self._judgement: Judgement | None = None
        self._unjudged: list[Statement] = []
        self._resting: AbstractSet[str] = frozenset()
        self._gaps: tuple[object, Gaps] | None = None
        self._erased_at: object = None
        self._set_hash: str | None = None
        self._own = object()
        self._changes = 0

    @classmethod
    def create(cls, path: Path, network: Network, kinds: Iterable[KindRule]) -> Store:
        """Begin the store of a site.

        Args:
            path: The file to make; attachments will lie in its folder.
            network: The network that the site belongs to.
            kinds: One rule for each kind of statement that the caller knows.

        Raises:
            LocalError: There is a file already, or none can be made.
        """
        return cls(Database.create(path, network.to_bytes()), path, network, kinds)

    @classmethod
    def open(cls, path: Path, kinds: Iterable[KindRule]) -> Store:
        """Open the store of a site.

        Raises:
            LocalError: The file is missing, foreign, damaged, or of a newer version; it is never taken for empty.
        """
        database = Database.open(path)
        row = database.row("SELECT file FROM network")
        return cls(database, path, parse_network(row[0]), kinds)

    def close(self) -> None:
        """Give the file back."""
        self._database.close()
        self.scratch.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All of it or nothing."""
        try:
            with self._database.transaction():
                yield
        except BaseException:
            self._forget()
            raise

    # what is here

    def statements(self) -> Iterator[Statement]:
        """All statements in (depth, id) order."""
        return self.shelf.in_order()

    def get(self, name: str, /) -> Statement | None:
        """A statement, None where it is not held."""
        return self.shelf.get(name)

    def has(self, name: str, /) -> bool:
        """Whether a statement is held."""
        return self.shelf.has(name)

    def of_kinds(self, kinds: Iterable[str], /) -> Iterator[Statement]:
        """All of some kinds."""
        return self.shelf.of_kinds(kinds)

    def in_order(self, kind: str, /) -> Iterator[Statement]:
        """All of one kind, each after those that it answers."""
        return self.shelf.of_kind_in_order(kind)

    def chain_of(self, author: str, /) -> Iterator[Link]:
        """All that one key said, each after the one of the same key that it follows, if that is here."""
        return self.shelf.chain_of(author)

    def answering(self, name: str, /) -> Iterator[str]:
        """The ids of all that answer a statement, held or not."""
        return self.shelf.answering_ids(name)

    def having(self, files: Collection[str], /) -> Iterator[Statement]:
        """All that name any of these files, once for each that they name."""
        return (found for file in sorted(files) for found in self.shelf.naming_each(file))

    def room(self) -> Room:
        """Where a judging keeps what it has to remember."""
        return SpillingRoom(self.scratch)

    def ids(self) -> Collection[str]:
        """The ids of all that is held now; they stay those when more comes."""
        return self.shelf.ids_since(0)

    def count(self) -> int:
        """How many statements are held."""
        return self.shelf.count()

    def depth(self, name: str) -> int | None:
        """How many answers lie below a statement, 0 where it answers nothing here; None where it is not held."""
        return self.shelf.depth(name)

    def depths(self) -> Iterator[tuple[str, int]]:
        """Id and depth of every statement, in (depth, id) order."""
        return self.shelf.depths()

    def stamp(self) -> object:
        """Another value after every change of what is held or of what it comes to, and for every other store."""
        return self._own, self._database.seen_version(), self._changes

    def last_of(self, author: str) -> str | None:
        """What the next statement of an author names as ``previous``."""
        return self.shelf.last_of(author)

    def faults(self) -> tuple[str, ...]:
        """What SQLite finds wrong with the file itself."""
        return tuple(text for (text,) in self._database.rows("PRAGMA integrity_check") if text != "ok")

    def receipts(self) -> tuple[Receipt, ...]:
        """The newest receipt of each site and log."""
        return self.papers.receipts()

    def joins(self) -> tuple[Joining, ...]:
        """The sites that wish to join and have not been granted."""
        granted = self.charter.sites
        return tuple(joining for joining in self.papers.joinings() if joining.site.key not in granted)

    def set_hash(self) -> str:
        """The hash of the set, as a receipt states it; equal where two sites hold the same."""
        self._look()
        if self._set_hash is None:
            self._set_hash = set_hash_in_order(self.shelf.each_id(), otherwise=self._otherwise())
        return self._set_hash

    def _otherwise(self) -> Iterator[tuple[bytes, Holding]]:
        """What is held of a body, where it is not simply here, in the order of ids; of two words the later counts."""
        absent = self.shelf.without_body()
        lacking: Iterator[tuple[bytes, Holding]] = ((bytes.fromhex(name), "lacking") for name in absent)
        redacted: Iterator[tuple[bytes, Holding]] = ((bytes.fromhex(name), "redacted") for name in self.redacted())
        return merge(lacking, redacted, key=itemgetter(0))

    # what is made of it

    @property
    def judgement(self) -> Judgement:
        """Roles and verdicts over all that is here."""
        self._look()
        if self._judgement is None:
            self._judgement = judge_held(self.network, self.kinds, self)
        elif self._unjudged:
            more = settle_more(self._judgement, self.kinds, self, self._unjudged)
            self._judgement = judge_held(self.network, self.kinds, self) if more is None else self._on_all(more)
        self._unjudged = []
        return self._judgement

    def judge_some(self) -> None:
        """Judge what has come since the last question, where that needs no judging of the whole; let go of it anyway.

        So what was added does not lie in memory until somebody asks.
        """
        if self._judgement is not None and self._unjudged:
            more = settle_more(self._judgement, self.kinds, self, self._unjudged)
            self._judgement = None if more is None else self._on_all(more)
            self._unjudged = []

    def _on_all(self, judgement: Judgement) -> Judgement:
        """The judgement of all that is held, with the ids looked up here."""
        return replace(judgement, verdicts=Verdicts(self.ids(), kept(self.scratch, judgement.verdicts.others)))

    @property
    def charter(self) -> Charter:
        """The roles in force."""
        return self.judgement.charter

    def verdict(self, name: str) -> Verdict | None:
        """What the charter says of a statement, None where it is not held."""
        return self.judgement.verdicts.get(name)

    def verdict_of(self, held: Statement) -> Verdict:
        """What the charter says of a statement that was found here."""
        return self.judgement.verdicts.of(held.id)

    def redacted(self) -> AbstractSet[str]:
        """The ids whose bodies are taken back, in order, those left out that an exchange under way lets rest."""
        return Without(self.judgement.redacted, self._resting)

    def lacking(self) -> AbstractSet[str]:
        """The ids whose bodies are neither here nor taken back, in order, looked up here when asked for."""
        return Without(self.shelf.without_body(), self.redacted())

    def gaps(self) -> Gaps:
        """What is missing in bundles; counted again only after something has changed."""
        redacted = self.redacted()
        stamp = self._database.stamp(), self._changes
        if self._gaps is None or self._gaps[0] != stamp:
            self._gaps = stamp, Gaps(self.bundles, redacted, self.scratch)
        return self._gaps[1]

    def names_file(self, file: str) -> bool:
        """Whether an attachment belongs here: named by a statement that stands, and not taken back."""
        redacted = self.redacted()
        return file not in self.judgement.files_gone and any(name not in redacted for name in self.shelf.naming(file))

    # what intake puts in

    def add(self, statements: Sequence[Statement], *, sealed: bool) -> range:
        """Append statements that were verified and are not held, none twice, lying in a bundle already or not yet.

        Returns:
            Their rows, in the same order.
        """
        rows = self.shelf.add(statements, sealed=sealed)
        if statements:
            self._note_change()
            if self._judgement is not None:
                self._unjudged.extend(statements)
        return rows

    def add_bundle(self, bundle: Bundle, rows: Iterable[int]) -> None:
        """Append a bundle that was verified, its statements being in these rows."""
        self.bundles.add(bundle, rows)

    def supply(self, statement: Statement) -> None:
        """Put in the body that a statement here lacks."""
        self.shelf.supply(statement)
        self._note_change()
        if self._judgement is not None:
            self._unjudged.append(statement)

    def rest(self, names: AbstractSet[str]) -> None:
        """Let these redactions not act for now; an exchange ends it with the empty set."""
        if names or self._resting:
            self._resting = names
            self._note_change()

    def erase_redacted(self) -> Collection[str]:
        """Take out the bodies that are taken back; the ids of those that were here, in order."""
        going = SpillingSet(self.scratch)
        redacted = self.redacted()
        if self._erased_at == self.stamp():
            return going
        going.update(self.shelf.with_body(redacted))
        if going:
            with self.transaction():
                for name in going:
                    self.shelf.erase(name)
            self._database.run("PRAGMA wal_checkpoint(TRUNCATE)")  # the log would keep what the file has lost
            self._note_change()
        self._erased_at = self.stamp()
        return going

    def remove_redacted_files(self) -> None:
        """Remove the attachments that are taken back."""
        for file in self.judgement.files_gone:
            self.attachments.remove(file)

    def redactions_of(self, name: str) -> list[Statement]:
        """The redactions that name a statement."""
        return self.shelf.answering(name, kind=REDACTION)

    def renew_scratch(self) -> None:
        """Begin anew where the disk was too full for what had to be remembered; there may be room by now."""
        if self.scratch.failed:
            self._forget()

    def _look(self) -> None:
        """Drop what another process has made stale, and what lay in a scratch file that the disk had no room for."""
        seen = self._database.seen_version()
        if seen != self._seen or self.scratch.failed:
            self._seen = seen
            self._forget()

    def _forget(self) -> None:
        if self.scratch.failed:
            self.scratch.close()
            self.scratch = Scratch(self._path)
            self._resting = frozenset()
        self.bundles.forget()
        self._gaps = None
        self._judgement = None
        self._unjudged = []
        self._note_change()

    def _note_change(self) -> None:
        self._changes += 1
        self._set_hash = None
