"""A site that is put back, wiped, and run by old or new software.

One rule: what it says, it says through the same doors as any site.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync import KindRule, SigningKey, Statement, ask_to_join, begin_log, canonical_bytes, mend_store
from sync.intake import Intake
from sync.statement import body_commitment, read_statement, signed_statement
from tests.sync.camps import KINDS, Site

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from random import Random

    from sync import Network

NEW_KINDS = (
    KindRule("garden/tasting", "text", frozenset({"volunteer", "trainer", "reviewer"})),
    KindRule("garden/warning", "urgent", frozenset({"trainer", "reviewer"})),
)
VERSIONS = {1: KINDS, 2: (*KINDS, *NEW_KINDS)}
URGENT = ("garden/recall", "garden/warning")


class Camp(Site):
    """One site of a simulation."""

    def __init__(self, folder: Path, letter: str, *, chance: Random, version: int) -> None:
        """Name it; `found` gives it a store."""
        super().__init__(folder, letter, chance=chance)
        self.fold = version

    @property
    def kinds(self) -> tuple[KindRule, ...]:  # type: ignore[override]
        return VERSIONS[self.fold]

    @property
    def person(self) -> str:
        return f"{self.letter}1"

    def state_lines(self) -> Iterator[str]:
        """All that is made of the set: roles, verdicts, what is taken back."""
        judgement = self.store.judgement
        yield f"charter {sha256(canonical_bytes(self.store.charter.as_value())).hexdigest()}"
        for name in sorted(judgement.verdicts):
            verdict = judgement.verdicts[name]
            yield f"{name} {verdict.state} {verdict.rule} {name in judgement.redacted}"
        yield from sorted(judgement.files_gone)

    def ids(self) -> dict[str, bool]:
        """The ids held, and whether their bodies are here."""
        absent = self.store.shelf.without_body()
        return {name: name not in absent for name in self.store.ids()}

    def ask(self) -> None:
        """Wish to join, unless the network knows this site."""
        if self.key.public not in self.store.judgement.sites_taken:
            network_id = self.store.network.id
            name = f"Site {self.letter}"
            wish = ask_to_join(key=self.key, letter=self.letter, name=name, network_id=network_id)
            self.store.papers.keep_joining(wish)

    def admit(self, letter: str, key: str) -> Statement:
        """Grant another site, as its steward."""
        return self.say("sync/grant", {"key": key, "letter": letter, "name": f"Site {letter}", "role": "site"})

    def say_as_newer(self, kind: str, after: list[str]) -> Statement:
        """What software to come may say: of an unknown kind, with names in header and body that nobody knows yet."""
        body, salt = canonical_bytes({"dose": self.chance.randbytes(8).hex()}), self.chance.randbytes(16)
        header = {
            "after": sorted(after), "attachments": [], "author": self.trainer.public, "critical": ["dose"],
            "body": body_commitment(salt, body), "kind": kind, "mood": ["dry", None], "previous": None,
            "size": len(body), "time": None, "v": 1,
        }  # fmt: skip
        said = _signed(self.trainer, self.store.network, header, body, salt)
        Intake(self.store).take_alone(said)
        return said

    # what befalls it

    def put_back(self, place: Path, *, told: bool) -> None:
        """Put the folder back from a copy; who does it by our command is told, and begins a new log."""
        self.restore(place)
        if told:
            begin_log(self.store, self.key.public, random=self.chance.randbytes)

    def wipe(self) -> None:
        """Everything is gone but the key, and the site begins anew."""
        network = self.store.network
        self.store.close()
        shutil.rmtree(self.folder)
        self.folder.mkdir()
        self.found(network)
        self.ask()

    def rot(self, table: str, column: str, place: float) -> str:
        """Let the disk spoil a column of one row, mend the store; what the mending says."""
        self.store.close()
        with closing(sqlite3.connect(self.file)) as connection, connection:
            rows = connection.execute(f"SELECT COUNT(*) FROM {table}").fetchone()[0]  # noqa: S608 - names of ours
            key = connection.execute(f"SELECT {column} FROM {table} LIMIT 1 OFFSET ?", (int(place * rows),)).fetchone()  # noqa: S608
            if key is not None:
                spoil = f"UPDATE {table} SET {column} = zeroblob(32) WHERE {column} IS ?"  # noqa: S608
                connection.execute(spoil, key)
        mended = mend_store(self.file, self.kinds)
        self.reopen()
        begin_log(self.store, self.key.public, random=self.chance.randbytes)
        return f"{len(mended.lost)} lost, {len(mended.bare)} bare, {len(mended.bundles)} bundles"

    def change_software(self, version: int) -> None:
        """Go on with older or newer software."""
        self.store.close()
        self.fold = version
        self.reopen()


def _signed(key: SigningKey, network: Network, header: dict[str, Any], body: bytes, salt: bytes) -> Statement:
    data = canonical_bytes(header)
    return read_statement(data, body, salt, key.sign(signed_statement(network.id, data)))
