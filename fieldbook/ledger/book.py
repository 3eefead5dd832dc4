"""What one site holds of its network, and the way in and out.

Its one rule: every word goes through the same intake as a stranger's; what is asked is answered from the store alone.
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING, Any

import sync
from fieldbook.ledger.charter import LedgerCharter
from fieldbook.ledger.kinds import KINDS
from fieldbook.ledger.marking import RoleMarks
from fieldbook.ledger.plainly import plain_methods, plainly
from fieldbook.ledger.values import ExchangeReport, Join, LedgerError, Refused, Said
from fieldbook.ledger.whereabouts import Whereabouts

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from fieldbook.ledger.keys import Key


@plain_methods
class Ledger(LedgerCharter, Whereabouts):
    """What one site holds of its network: statements, roles, attachments; and the way in and out."""

    def __init__(self, store: sync.Store) -> None:
        """Use ``found``, ``join`` or ``open``."""
        self._store = store
        self._role_marks = RoleMarks()

    @staticmethod
    def exists(folder: Path) -> bool:
        """True where the site in this folder is in a network."""
        return (folder / "store.sqlite").exists()

    @classmethod
    def found(
        cls, folder: Path, *, title: str, site_key: Key, letter: str, name: str, steward: Key, label: str
    ) -> Ledger:
        """Found a network with this site and one first steward, whose label is given."""
        with plainly():
            network = sync.found_network(
                title=title,
                site=sync.SiteName(site_key.public, letter, name),
                stewards=[sync.Steward(steward.public, label, site_key.public)],
                threshold=1,
                keys=[steward],
            )
            return cls(sync.Store.create(folder / "store.sqlite", network, KINDS))

    @classmethod
    def join(cls, folder: Path, carrier: Path, *, site_key: Key, letter: str, name: str) -> Ledger:
        """Take the network from a carrier, and leave a signed wish to join it."""
        with plainly():
            medium = sync.FolderCarrier(carrier)
            store = sync.Store.create(folder / "store.sqlite", sync.read_network(medium), KINDS)
            sync.leave_joining(store, medium, site_key=site_key, letter=letter, name=name)
            return cls(store)

    @staticmethod
    def network_on(carrier: Path) -> tuple[str, str]:
        """Title and id of the one network that a carrier holds."""
        with plainly():
            network = sync.read_network(sync.FolderCarrier(carrier))
            return network.title, network.id

    @classmethod
    def open(cls, folder: Path) -> Ledger:
        """Open the ledger of a site that is in a network."""
        with plainly():
            sync.self_test()
            store = sync.Store.open(folder / "store.sqlite", KINDS)
            store.attachments.sweep()  # the site's lock is held, so nobody else is writing
            _ = store.judgement  # every row is read for it, so damage in the file is said here
            return cls(store)

    def close(self) -> None:
        """Close its files."""
        self._store.close()

    @staticmethod
    def words(key: str) -> str:
        """A key's fingerprint in short words, to be compared by voice."""
        return sync.fingerprint_words(key)

    @staticmethod
    def same_words(key: str, words: str) -> bool:
        """True where these are a key's words, however they are spaced or spelled in capitals."""
        return sync.is_fingerprint_of(words, key)

    @property
    def network_title(self) -> str:
        """The network's title."""
        return self._store.network.title

    @property
    def network_id(self) -> str:
        """The network's id."""
        return self._store.network.id

    # roles

    def roles_of(self, key: str) -> frozenset[str]:
        """The roles in force of a key."""
        return self._store.charter.roles_of(key)

    def label(self, key: str) -> str:
        """How people know a key: ``C3``, or ``T`` for a site."""
        return self._store.charter.name_of(key)

    def site_of(self, key: str) -> str | None:
        """The key of the site at which a person is."""
        return self._store.charter.site_of(key)

    def letter_of(self, key: str) -> str:
        """The letter of the site at which a person is, or ``?``."""
        site = self.site_of(key)
        return "?" if site is None else self.label(site)

    def is_granted(self, site: str) -> bool:
        """True where this key is a site of the network."""
        return site in self._store.charter.sites

    def reviewer_scope(self, key: str) -> tuple[str, ...]:
        """The kinds of entries that a reviewer may judge, or could when they still might; empty for all."""
        return self._store.charter.scopes.get(key, ())

    def roles_behind(self, said: Said) -> frozenset[str]:
        """The roles with which something was said that stands.

        What a key said before it was stopped still stands, and so do the roles behind it: a recall never loses its
        force because its reviewer was stopped later.
        """
        given = self._store.judgement.footing.roles.get(said.author, frozenset())
        signers = next((rule.signers for rule in KINDS if rule.name == said.kind), frozenset[str]())
        spoke_as_steward = said.stands == "accepted" and "steward" in signers and given.isdisjoint(signers)
        return given | {"steward"} if spoke_as_steward else given

    def who(self) -> dict[str, Any]:
        """Who may do what, as plain data for a page: sites, people, reviewers, stewards, threshold, rivals."""
        charter = self._store.charter
        return {
            "sites": list(self.sites()),
            "people": [
                {"label": self.label(p.key), "role": p.role, "letter": self.letter_of(p.key)}
                for p in charter.people.values()
            ],
            "reviewers": [
                {"label": self.label(r.key), "scope": list(r.scope), "letter": self.letter_of(r.key)}
                for r in charter.reviewers.values()
            ],
            "stewards": [{"label": self.label(s.key), "letter": self.letter_of(s.key)} for s in charter.stewards],
            "threshold": charter.threshold,
            "rivals": list(charter.alarm),
            "stopped": [self.label(key) for key in charter.revoked],
        }

    def sites(self) -> Iterator[dict[str, str]]:
        """The sites of the network, by key: that, what people know them by, and their name."""
        for site in self._store.charter.sites.values():
            yield {"key": site.key, "letter": self.label(site.key), "name": site.name}

    def roles_digest(self) -> str:
        """SHA-256 of the roles in force, as the state hash states it."""
        return self._role_marks.digest(self._store.judgement)

    def roles_mark(self) -> str:
        """Changes whenever anything changes that the fold reads of roles, of those who were stopped too."""
        return self._role_marks.mark(self._store.judgement)

    def check_may_say(self, key: Key, kind: str) -> None:
        """Check that the roles in force let this key say such a thing.

        Raises:
            LedgerError: they do not.
        """
        rule = next(rule for rule in KINDS if rule.name == kind)
        roles = self.roles_of(key.public)
        if not roles and key.public in self._store.charter.revoked:
            raise LedgerError(f"the key of {self.label(key.public)} was stopped", hint="ask the signatories why")
        if not roles:
            raise LedgerError(
                "this person is not known in the network yet",
                hint="keep it as a draft until a signatory has let this site in and a stick has brought that",
            )
        if roles.isdisjoint(rule.signers):
            what = kind.partition("/")[2]
            raise LedgerError(
                f"{self.label(key.public)} may not say “{what}” here",
                hint=f"it takes a {' or '.join(sorted(rule.signers - {'site'}))}",
            )

    # saying and hearing

    def say(
        self,
        key: Key,
        kind: str,
        body: Mapping[str, Any],
        *,
        after: Sequence[str] = (),
        attachments: Sequence[str] = (),
        time: str | None,
        random: Callable[[int], bytes],
        announce: Callable[[str], None] = lambda _id: None,
    ) -> str:
        """Make a statement and pass it through the same intake as a stranger's; returns its id.

        ``announce`` is told that id when all is checked and nothing is kept yet.

        Raises:
            LedgerError: the author may not say this, or its form is wrong; nothing is kept.
        """
        with plainly():
            statement = sync.write(
                self._store,
                key=key,
                kind=kind,
                body=body,
                after=after,
                attachments=attachments,
                time=time,
                random=random,
                announce=announce,
            )
        return statement.id

    def said(self, identity: str) -> Said | None:
        """One statement, or None where it is not here."""
        statement = self._store.get(identity)
        return None if statement is None else self._said(statement)

    def all_said(self) -> Iterator[Said]:
        """All statements in order of depth, then id."""
        return (self._said(statement) for statement in self._store.statements())

    def said_of_kind(self, kind: str) -> list[Said]:
        """All of one kind, whatever their standing, in order of depth, then id."""
        return [self._said(statement) for statement in self._store.shelf.of_kind(kind)]

    def said_of_author(self, author: str) -> list[Said]:
        """All that one key said, whatever its standing, in order of depth, then id."""
        return [self._said(statement) for statement in self._store.shelf.of_author(author)]

    def said_by(self, author: str) -> list[tuple[str, Mapping[str, Any]]]:
        """Kind and body of all that one key said."""
        return [(said.kind, said.body or {}) for said in self.said_of_author(author)]

    def _said(self, statement: sync.Statement) -> Said:
        verdict = self._store.verdict_of(statement)
        with plainly():
            body = None if statement.id in self._store.redacted() else statement.body
        return Said(
            id=statement.id,
            kind=statement.kind,
            author=statement.author,
            after=statement.after,
            body=body,
            attachments=statement.attachments,
            critical=statement.critical,
            time=statement.time,
            depth=self._store.depth(statement.id) or 0,
            stands=verdict.state,
            previous=statement.previous,
            waits_for_target=verdict is not None and (verdict.state, verdict.rule) == ("waiting", "after"),
        )

    def marks(self) -> Iterator[tuple[str, str]]:
        """Each statement with what its showing hangs on besides itself: verdict, depth, whether its body is here.

        They come in order of depth, then id, and never lie in memory together. What was set aside may stand before all
        that it answers is here, so that its depth can still grow.
        """
        bodiless, verdicts = self._store.lacking() | self._store.redacted(), self._store.judgement.verdicts
        for name, depth in self._store.depths():
            verdict = verdicts.of(name)
            yield name, f"{verdict.state} {verdict.rule} {depth}{' bare' if name in bodiless else ''}"

    def stamp(self) -> object:
        """Another value after every change of what is held or of what it comes to, and for every other ledger."""
        return self._store.stamp()

    def count(self) -> int:
        """How many statements are held."""
        return self._store.count()

    def set_hash(self) -> str:
        """The hash of the set, as receipts state it."""
        return self._store.set_hash()

    @staticmethod
    def state_hash(lines: Iterable[str]) -> str:
        """The hash of the state from its lines, as receipts state it."""
        text = "fieldbook state 1\n" + "".join(f"{line}\n" for line in lines)
        return hashlib.sha256(text.encode()).hexdigest()

    # files

    def keep_attachment(self, data: bytes) -> str:
        """Keep a file under its digest; returns the digest."""
        with plainly():
            return self._store.attachments.put(data)

    def attachment(self, identity: str) -> bytes | None:
        """The bytes of an attachment that belongs here, or None."""
        if re.fullmatch(r"[0-9a-f]{64}", identity) is None or not self._store.names_file(identity):
            return None
        with plainly():
            return self._store.attachments.get(identity)

    # joining

    def joins_waiting(self) -> tuple[Join, ...]:
        """The sites that asked to join and are not granted yet."""
        return tuple(Join(one.site.key, one.site.letter, one.site.name) for one in self._store.joins())

    def join_on(self, carrier: Path, words: str) -> Join | None:
        """The request on a carrier whose words these are, kept here or not; None where none is, or it is granted."""
        with plainly():
            found = sync.find_joining(self._store, sync.FolderCarrier(carrier), words)
        granted = found is None or self.is_granted(found.site.key)
        return None if found is None or granted else Join(found.site.key, found.site.letter, found.site.name)

    # carriers

    def exchange(
        self,
        carrier: Path,
        *,
        site_key: Key,
        random: Callable[[int], bytes],
        state_lines: Callable[[], Iterable[str]],
        fold: int,
        progress: Callable[[str, int, int], None] | None,
        verifying_threads: int,
        urgent_begins: Callable[[], None] | None = None,
        urgent_taken: Callable[[], None] | None = None,
    ) -> ExchangeReport:
        """Take in from a carrier and leave on it what it lacks; see ``sync.exchange``.

        ``fold`` is the version of the fold that gives the state lines: receipts of different ones do not compare.
        """
        with plainly():
            report = sync.exchange(
                self._store,
                sync.FolderCarrier(carrier),
                site_key=site_key,
                random=random,
                state_lines=state_lines,
                fold=fold,
                progress=progress,
                verifying_threads=verifying_threads,
                urgent_begins=urgent_begins,
                urgent_taken=urgent_taken,
            )
        return ExchangeReport(
            accepted=report.accepted.number,
            waiting=report.waiting.number,
            quarantined=report.quarantined.number,
            refused=_refused(report.refused),
            waiting_files=_refused(report.waiting_files),
            left=report.left,
            not_left=report.not_left,
            not_proven=report.not_proven,
            notes=tuple(report.notes),
        )

    def problems(self) -> list[str]:
        """Every signature, chain and file that does not hold, one sentence each.

        A damaged attachment is set aside, so that the next exchange brings it again.
        """
        found = [f"{problem.where}: {problem.what}" for problem in sync.check_store(self._store)]
        self._store.attachments.set_aside_damaged()
        return found


def _refused(refusals: Iterable[sync.Refusal]) -> tuple[Refused, ...]:
    return tuple(Refused(one.file, one.reason, one.hint) for one in refusals)
