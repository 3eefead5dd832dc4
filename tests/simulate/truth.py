"""What must be true of a simulated network, kept apart from its stores.

Not a second implementation of anything. One rule: a statement is let go only where every place that held it was
destroyed by what befell, never by what our code did.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Literal

from sync import RemoteError, Statement
from sync.bundle import Bundle, parse_bundle
from sync.limits import HEX_IN_NAMES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.simulate.camp import Camp

Kind = Literal["loss", "unequal set", "unequal state", "other"]


@dataclass(frozen=True)
class Fault:
    """Something that must never be."""

    kind: Kind
    what: str


class FaultError(Exception):
    """A fault that shows at once."""

    def __init__(self, kind: Kind, what: str) -> None:
        super().__init__(what)
        self.fault = Fault(kind, what)


@lru_cache(maxsize=4096)
def sound_bundle(data: bytes, network_id: str) -> Bundle | None:
    """The bundle in these bytes, None where anything in it does not hold."""
    try:
        bundle = parse_bundle(data)
        bundle.verify(network_id)
        for statement in bundle.statements:
            statement.verify(network_id)
    except RemoteError:
        return None
    return bundle


def copies_on(stick: Path, network_id: str) -> Iterator[tuple[Path, Bundle]]:
    """The sound copies of bundles on a stick that lie among those of their site, whatever else their names say."""
    for path in sorted(stick.glob("tried-ground-*/[sS]*/*/*/*/*.bundle")):
        bundle = sound_bundle(path.read_bytes(), network_id)
        if bundle is not None and path.parents[2].name == bundle.site[:HEX_IN_NAMES]:
            yield path, bundle


@dataclass(frozen=True)
class Held:
    """What is held somewhere: ids, those of them with a body, and files."""

    ids: frozenset[str]
    whole: frozenset[str]
    files: frozenset[str]


class Truth:
    """What was said and acknowledged, and what has become of it.

    Attributes:
        said: All that was ever written, by id, to the byte.
        alive: Ids that must be in the final set.
        whole: Ids whose bodies must be there as well, unless they were taken back.
        files: Attachments that must be there, unless they were taken back or nobody names them.
        taken_back: Ids that somebody wanted taken back.
        foreign: What people said whom nobody knows; it may be held.
        newer: Files of a version to come, by name, which nobody may touch.
    """

    def __init__(self, camps: list[Camp], sticks: list[Path]) -> None:
        """Begin before anything is said; both lists are looked at again each time."""
        self.said: dict[str, Statement] = {}
        self.alive: set[str] = set()
        self.whole: set[str] = set()
        self.files: set[str] = set()
        self.taken_back: set[str] = set()
        self.foreign: dict[str, Statement] = {}
        self.newer: dict[str, bytes] = {}
        self._camps = camps
        self._sticks = sticks

    def note(self, statement: Statement) -> None:
        """A statement was acknowledged."""
        self.said[statement.id] = statement
        self.alive.add(statement.id)
        self.whole.add(statement.id)
        if statement.kind == "sync/redaction":
            self.taken_back.update(statement.after)
            self.files.difference_update(statement.attachments)  # gone for good, even where these words are lost later
        else:
            self.files.update(statement.attachments)

    def knows(self, name: str) -> bool:
        """Whether anybody ever said this."""
        return name in self.said or name in self.foreign

    def held(self) -> Held:
        """What any site or stick holds, as it can be read."""
        ids: set[str] = set()
        whole: set[str] = set()
        files: set[str] = set()
        for camp in self._camps:
            held = camp.ids()
            ids.update(held)
            whole.update(name for name, here in held.items() if here)
            files.update(name for name in camp.store.attachments.ids() if camp.store.attachments.has(name))
        network_id = self._camps[0].store.network.id
        for stick in self._sticks:
            for _, bundle in copies_on(stick, network_id):
                ids.update(one.id for one in bundle.statements)
                whole.update(one.id for one in bundle.statements if one.body_bytes is not None)
            for path in stick.glob("tried-ground-*/attachments/*/*"):
                if sha256(path.read_bytes()).hexdigest() == path.name:
                    files.add(path.name)
        return Held(frozenset(ids), frozenset(whole), frozenset(files))

    def newer_found(self) -> set[str]:
        """The names of the files of a version to come that lie somewhere as they were written."""
        return {
            path.name
            for stick in self._sticks
            for path in stick.rglob("*.bundle")
            if self.newer.get(path.name) == path.read_bytes()
        }

    @contextmanager
    def mishap(self) -> Iterator[None]:
        """Something befalls a site or a stick: what lay nowhere else is gone, and nobody could promise more."""
        before, untouched = self.held(), self.newer_found()
        yield
        after = self.held()
        for name in untouched - self.newer_found():
            del self.newer[name]
        self.alive -= before.ids - after.ids
        self.whole -= before.whole - after.whole
        self.files -= before.files - after.files
