"""What the ledger gives to the rooms above: plain frozen values, and its one error.

Its one rule: nothing of ``sync`` is in them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Mapping


class LedgerError(FieldbookError):
    """The store or an exchange cannot do what was asked; the message says why."""


class DamagedLedgerError(LedgerError):
    """The store of this site has rotted on its disk: mending keeps what still verifies."""


@dataclass(frozen=True)
class Join:
    """A site that asked to join: its key, letter and name."""

    key: str
    letter: str
    name: str


@dataclass(frozen=True)
class Said:
    """One statement as the rooms above see it.

    Attributes:
        id: its name.
        kind: for example ``fieldbook/edition``.
        author: the key that signed.
        after: the ids that it answers.
        body: what was said; None where it is lacking or was taken back.
        attachments: ids of its files.
        critical: body fields that a reader must understand.
        time: the claimed time, for people.
        depth: how many statements long the longest chain of answers below it is.
        stands: accepted, waiting (not to be shown), or quarantined (set aside: kept, not believed).
        previous: what its author said before it, or None.
        waits_for_target: True where it waits for nothing but what it answers.
    """

    id: str
    kind: str
    author: str
    after: tuple[str, ...]
    body: Mapping[str, Any] | None
    attachments: tuple[str, ...]
    critical: tuple[str, ...]
    time: str | None
    depth: int
    stands: str
    previous: str | None
    waits_for_target: bool = False


@dataclass(frozen=True)
class Known:
    """A key that was named in the network.

    Attributes:
        key: 64 hex.
        label: how people know it: ``C3``, or ``T`` for a site.
        words: its fingerprint in short words.
        site: the key of the site where it is, or None.
        is_site: True for a site's own key.
        roles: the roles in force; none where it is stopped.
        stopped: True where a steward stopped it and nobody lifted that.
    """

    key: str
    label: str
    words: str
    site: str | None
    is_site: bool
    roles: frozenset[str]
    stopped: bool


@dataclass(frozen=True)
class Motion:
    """What some stewards have said and lacks more voices: a reviewer, the next stewards, or the lifting of a stop.

    Attributes:
        id: a statement that says it, or the stop to be lifted; its name for people.
        names: the ids of all that say it, or of all stops to be lifted: each names it, also when ``id`` is another now.
        kind: of the statement that each voice makes.
        key: whom it concerns; empty for the next stewards.
        body: what each voice says.
        after: what each voice answers.
        said: labels of those whose voices count.
        earlier: labels of those who said it, but before the stewards or the stops changed: they say it again.
        spoken: the keys of ``said``.
        times: of each in ``said`` and ``earlier`` the claimed time of their voice, or None, by label.
        lacking: how many more voices it takes.
    """

    id: str
    names: tuple[str, ...]
    kind: str
    key: str
    body: Mapping[str, Any]
    after: tuple[str, ...]
    said: tuple[str, ...]
    earlier: tuple[str, ...]
    spoken: frozenset[str]
    times: Mapping[str, str | None]
    lacking: int


@dataclass(frozen=True)
class RivalList:
    """One of several lists of stewards that stand beside one another: its stewards, threshold, and who stated it."""

    name: str
    stewards: tuple[str, ...]
    threshold: int
    said: tuple[str, ...]


@dataclass(frozen=True)
class Stop:
    """A stop that stands: its statement, who said it, the last statements that it leaves standing, the claimed time."""

    id: str
    by: str
    by_key: str
    last: tuple[str, ...]
    time: str | None


@dataclass(frozen=True)
class Outcome:
    """What would change if something were said.

    Attributes:
        set_aside: ids of statements that stand now and would not then.
        back: ids of statements that would stand and do not now.
        lost: labels with the roles that would no longer be in force.
        gained: labels with the roles that would come into force.
        rivals: how many lists of stewards would stand beside one another by it; 0 where none are made by it.
    """

    set_aside: tuple[str, ...]
    back: tuple[str, ...]
    lost: tuple[tuple[str, frozenset[str]], ...]
    gained: tuple[tuple[str, frozenset[str]], ...]
    rivals: int


@dataclass(frozen=True)
class Heard:
    """What a steward's newest heartbeat comes to at this site.

    Attributes:
        statement: its id.
        steward: the key of whoever said it.
        number: how many statements stopped something, as that steward knew them.
        lacking: at least so many of them are not here.
        proven: True where exactly what that steward held is here.
    """

    statement: str
    steward: str
    number: int
    lacking: int
    proven: bool


@dataclass(frozen=True)
class Place:
    """Where a statement lies on its way: log, lane (urgent or text) and number of its bundle."""

    log: str
    lane: str
    number: int


@dataclass(frozen=True)
class Reach:
    """How far a site says that it holds a log: the numbers up to which nothing is missing there."""

    site: str
    log: str
    urgent: int
    text: int


@dataclass(frozen=True)
class Lacks:
    """How many statements (urgent ones apart) and files a carrier lacks of what is held here."""

    urgent: int
    text: int
    files: int


@dataclass(frozen=True)
class Refused:
    """A file that was not taken: which, why, and what to do."""

    file: str
    reason: str
    hint: str


@dataclass(frozen=True)
class ExchangeReport:
    """What an exchange did: counts of statements, files refused or left to wait, files left on the carrier.

    ``not_left`` counts files that found no room or could not be written; ``not_proven`` counts files that were written
    but could not be read back past the memory of this machine.
    """

    accepted: int
    waiting: int
    quarantined: int
    refused: tuple[Refused, ...]
    waiting_files: tuple[Refused, ...]
    left: int
    not_left: int
    not_proven: int
    notes: tuple[str, ...]

    @property
    def safe_to_remove(self) -> bool:
        """True where everything that was due was written, read back and found the same."""
        return self.not_proven == 0 and self.not_left == 0

    def as_document(self) -> dict[str, Any]:
        """The report as JSON; all that waits is counted under ``waiting``, statements and files alike."""
        return {
            **self.__dict__,
            "waiting": self.waiting + len(self.waiting_files),
            "refused": [dict(one.__dict__) for one in self.refused],
            "waiting_files": [dict(one.__dict__) for one in self.waiting_files],
            "notes": list(self.notes),
            "safe_to_remove": self.safe_to_remove,
        }
