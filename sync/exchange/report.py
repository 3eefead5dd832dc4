"""What an exchange tells whoever waits beside it, and what it remembers on its way.

Not the exchange itself. One rule: everything that was not taken, not left or not proven is named with one plain
sentence; success is a number.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from sync.carrier import CarrierError
from sync.charter import sites_to_take
from sync.intake import Intake, Refusal
from sync.limits import HEX_IN_NAMES
from sync.store.spilling import SpillingSet

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from sync.carrier import Found, Written
    from sync.errors import RemoteError
    from sync.keys import SigningKey
    from sync.store import Store

Progress = Callable[[str, int, int], None]
NAMED_MAX = 200  # files named one by one in a report; a stranger may leave a million


class Carrier(Protocol):
    """The few verbs that every carrier offers."""

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[Found]:
        """What lies in a folder under the names wanted."""

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        """The content of a file."""

    def write(self, name: str, data: bytes) -> Written:
        """Put a file under its name."""

    def remove(self, name: str) -> None:
        """Remove a file."""

    def prove(self, written: Iterable[Written], *, failed: Callable[[CarrierError], None]) -> bool:
        """Read back what was written."""


@dataclass(frozen=True)
class Listed:
    """So many statements, of which at most two hundred are named: one stick may bring a million.

    Attributes:
        number: How many they are.
        names: The ids of the first of them, sorted.
    """

    number: int = 0
    names: tuple[str, ...] = ()


class Counting:
    """Statements counted one by one, in the order of their ids."""

    def __init__(self) -> None:
        """None yet."""
        self._number = 0
        self._names: list[str] = []

    def add(self, name: str) -> None:
        """Count one, and name it while there are few."""
        self._number += 1
        if len(self._names) < NAMED_MAX:
            self._names.append(name)

    def listed(self) -> Listed:
        """Those counted."""
        return Listed(self._number, tuple(self._names))


@dataclass(frozen=True)
class ExchangeReport:
    """What an exchange did.

    Attributes:
        accepted: The statements that count since this exchange, newly come or waiting before.
        waiting: Those that came and wait.
        quarantined: Those set aside since this exchange.
        refused: Files that were not taken.
        waiting_files: Files left in place, unopened or for newer software; they are tried again each time.
        left: How many files were written on the carrier.
        not_left: How many files could not be written.
        not_proven: How many of those written could not be read back past the memory of this machine, or were not the
            same when read back.
        changed: The statements that are new, or whose verdict or body has changed.
        notes: Sentences for whoever waits.
    """

    accepted: Listed = Listed()
    waiting: Listed = Listed()
    quarantined: Listed = Listed()
    refused: tuple[Refusal, ...] = ()
    waiting_files: tuple[Refusal, ...] = ()
    left: int = 0
    not_left: int = 0
    not_proven: int = 0
    changed: Listed = Listed()
    notes: tuple[str, ...] = ()


@dataclass
class Visit:
    """One visit to one carrier, while it lasts.

    Attributes:
        store: Ours.
        carrier: Theirs.
        key: The site's.
        folder: The network's folder on the carrier, with its slash.
        progress: Told what is being done, how much of it is, and of how much.
        verifying_threads: How many verify signatures at once.
        intake: What was taken in so far.
        refused: As in the report.
        waiting_files: As in the report.
        notes: As in the report.
        unnamed: How many more there were than are named one by one.
        opened: For the few copies that were looked at again and are sound, the ids whose bodies are in them.
        outdated: Whether something shows that this store was restored or cloned.
    """

    store: Store
    carrier: Carrier
    key: SigningKey
    progress: Progress
    verifying_threads: int = 1
    intake: Intake = field(init=False)
    folder: str = field(init=False)
    refused: list[Refusal] = field(default_factory=list)
    waiting_files: list[Refusal] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unnamed: int = 0
    opened: dict[str, frozenset[str]] = field(default_factory=dict)
    outdated: bool = False
    _granted: AbstractSet[str] | None = field(init=False, default=None)
    _sites: Collection[str] = field(init=False, default=())
    _prefixes: AbstractSet[str] = field(init=False, default=frozenset())

    def __post_init__(self) -> None:
        """Derive the rest."""
        self.intake = Intake(self.store, threads=self.verifying_threads)
        self.folder = f"{self.store.network.folder}/"

    @property
    def site(self) -> str:
        """Our own site's public key."""
        return self.key.public

    def takes(self, site: str) -> bool:
        """Whether files of this site are taken, by its key, as things stood when `prefixes_taken` was asked last.

        A lane may bring a thousand bundles that give roles, and each of them the judging of the whole anew.
        """
        return site in self._sites

    def prefixes_taken(self) -> AbstractSet[str]:
        """How the keys of the sites begin whose files are taken, as things stand now."""
        granted = self.store.judgement.sites_taken
        if granted is not self._granted:
            self._granted = granted
            self._sites = sites_to_take(self.store.judgement, self.site)
            self._prefixes = SpillingSet(self.store.scratch)
            self._prefixes.update(key[:HEX_IN_NAMES] for key in self._sites)
        return self._prefixes

    def read(self, file: str, *, limit_bytes: int) -> bytes:
        """Read a file of the network's folder."""
        return self.carrier.read(self.folder + file, limit_bytes=limit_bytes)

    def refuse(self, file: str, error: RemoteError) -> None:
        """Note a file that was not taken."""
        self._name(self.refused, Refusal(file, error.message, error.hint))

    def leave_alone(self, file: str, reason: str, hint: str) -> None:
        """Note a file that stays where it is."""
        self._name(self.waiting_files, Refusal(file, reason, hint))

    def _name(self, among: list[Refusal], refusal: Refusal) -> None:
        if len(among) >= NAMED_MAX:
            self.unnamed += 1
        elif refusal not in among:
            among.append(refusal)

    def remove(self, file: str) -> None:
        """Remove a file of the network's folder; where that fails it is said, and tried again next time."""
        try:
            self.carrier.remove(self.folder + file)
        except CarrierError as error:
            self.note(f"{error.message}; it could not be removed")

    def note(self, sentence: str) -> None:
        """Say something once."""
        if sentence not in self.notes and len(self.notes) < NAMED_MAX:
            self.notes.append(sentence)
