"""What of a store has rotted on its disk, found without changing anything.

Not the mending (`sync.intake.mending`). One rule: every row is verified as if it came from a stranger, and what is not
known to be held elsewhere counts as held here alone.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sync.attachments import Attachments
from sync.bundle import assemble_bundle
from sync.canonical import parse_canonical
from sync.charter import judge
from sync.errors import RemoteError, SyncError
from sync.limits import BODY_BYTES_MAX, HEADER_BYTES_MAX
from sync.network import Network, parse_network
from sync.receipt import parse_receipt
from sync.statement import Statement, read_statement
from sync.store.holders import Place, reached_by
from sync.store.salvage import FoundStatement, Salvage

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping
    from pathlib import Path

    from sync.statement import KindRule

TOLD_EVERY = 1000  # statements, as often as an exchange tells how far it is
_ROLES = "sync/"  # the kinds from which names and roles come


@dataclass(frozen=True, slots=True)
class DamagedStatement:
    """A statement that no longer verifies.

    Attributes:
        id: Its name; empty where not even that can be read.
        kind: As the row says, which may be damaged too; empty where it cannot be read.
        author: Likewise.
        body_only: Its header and signature hold, so that only what it says is gone.
        body: What it says as it lies there, else what the statement that it answers says; None where neither reads.
        holders: Keys of the other sites that are known to hold it.
    """

    id: str
    kind: str
    author: str
    body_only: bool
    body: Mapping[str, Any] | None
    holders: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DamagedFile:
    """An attachment that is not what its name says; who holds a statement that names it most likely holds it too."""

    id: str
    body: Mapping[str, Any] | None
    holders: tuple[str, ...]


@dataclass
class Damage:
    """What has rotted.

    Attributes:
        sound: How many statements verify.
        statements: Those that do not.
        files: Attachments that are damaged.
        bundles: Ids of bundles that no longer hold; what they hold can be sealed again.
        names: How people know the keys named here.
    """

    sound: int = 0
    statements: list[DamagedStatement] = field(default_factory=list)
    files: list[DamagedFile] = field(default_factory=list)
    bundles: list[str] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)


def sound_statement(found: FoundStatement, network_id: str) -> Statement | None:
    """The statement in a row, with its body, else without its body, else None."""
    bodies = [(found.body, found.salt)] if found.body is not None else []
    for body, salt in (*bodies, (None, None)):
        with suppress(SyncError, TypeError, AttributeError):  # damage may change even the type of a value
            statement = read_statement(found.header, body, salt, found.signature)
            statement.verify(network_id)
            return statement
    return None


def look_for_damage(
    path: Path,
    kinds: Iterable[KindRule],
    *,
    own_site: str,
    progress: Callable[[str, int, int], None] = lambda _what, _done, _of: None,
) -> Damage:
    """Look through the file of a store and the attachments beside it.

    Args:
        path: The file; it may be open elsewhere in this process.
        kinds: As for `Store.open`.
        own_site: The key of this site, whose own word on what it holds counts for nothing.
        progress: Told what is being done, how much of it is done, and of how much.

    Raises:
        LocalError: Nothing can be read of the file.
        RemoteError: Not even the network file holds.
    """
    salvage = Salvage(path)
    try:
        look = _Look(salvage, parse_network(salvage.network_file()), own_site)
        look.through_statements(progress)
        look.through_bundles()
        progress("looking at photos", 0, 0)
        for name in Attachments(path.parent).damaged():
            look.note_file(name)
        look.name_keys(kinds)
        return look.damage
    finally:
        salvage.close()


class _Look:
    """One walk through a file."""

    def __init__(self, salvage: Salvage, network: Network, own_site: str) -> None:
        self._salvage = salvage
        self._network = network
        receipts = []
        for file in salvage.receipts():
            with suppress(RemoteError, TypeError):
                receipts.append(parse_receipt(file, network_id=network.id))
        self._reaches = tuple(reached_by(lambda: receipts, own_site=own_site, followed=set()))
        self._roles: list[Statement] = []
        self._listed = salvage.listed()
        self._rows = {name.hex(): number for number, name in self._listed.items()}
        self._gone: set[int] = set()
        self.damage = Damage()

    def through_statements(self, progress: Callable[[str, int, int], None]) -> None:
        unread, of = dict(self._listed), self._salvage.count()
        for found in self._salvage.statements():
            unread.pop(found.number, None)
            self._note(found)
            if found.number % TOLD_EVERY == 0:
                progress("reading statements", found.number, of)
        for number, name in unread.items():
            self._note(FoundStatement(number, name, None, None, None, None))

    def _note(self, found: FoundStatement) -> None:
        statement = sound_statement(found, self._network.id)
        bare = statement is not None and found.body is not None and statement.body_bytes is None
        if statement is not None and not bare:
            self.damage.sound += 1
            if statement.kind.startswith(_ROLES):
                self._roles.append(statement)
            return
        if statement is None:
            self._gone.add(found.number)
        self.damage.statements.append(
            DamagedStatement(
                id=_hex(found.id) if statement is None else statement.id,
                kind=(found.kind if isinstance(found.kind, str) else "") if statement is None else statement.kind,
                author=_hex(found.author) if statement is None else statement.author,
                body_only=bare,
                body=_body_in(found.body) or self._body_answered(statement),
                holders=self._holders([found.number]),
            )
        )

    def _body_answered(self, statement: Statement | None) -> Mapping[str, Any] | None:
        for name in statement.after if statement is not None else ():
            for found in self._salvage.statement(self._rows.get(name, 0)):
                if (body := _body_in(found.body)) is not None:
                    return body
        return None

    def through_bundles(self) -> None:
        """Note the bundles that no longer hold, be it for a statement in them or for their own bytes."""
        for name, header, signature, numbers in self._salvage.bundles():
            try:
                value = parse_canonical(header, limit_bytes=HEADER_BYTES_MAX)
                assemble_bundle(value, signature, tuple(self._at(numbers))).verify(self._network.id)
            except (SyncError, KeyError, TypeError, AttributeError):
                self.damage.bundles += [name.hex()] if isinstance(name, bytes) else []

    def _at(self, numbers: Iterable[int]) -> Iterator[Statement]:
        for number in numbers:
            if number in self._gone:
                raise KeyError(number)
            for found in self._salvage.statement(number):
                yield read_statement(found.header, None, None, found.signature)

    def note_file(self, name: str) -> None:
        numbers = self._salvage.naming(name)
        bodies = (_body_in(found.body) for number in numbers for found in self._salvage.statement(number))
        body = next((body for body in bodies if body is not None), None)
        self.damage.files.append(DamagedFile(name, body, self._holders(numbers)))

    def name_keys(self, kinds: Iterable[KindRule]) -> None:
        charter = judge(self._network, {rule.name: rule for rule in kinds}, self._roles).charter
        holders = [one.holders for one in self.damage.statements] + [one.holders for one in self.damage.files]
        keys = {one.author for one in self.damage.statements}.union(*holders)
        self.damage.names = {key: charter.name_of(key) for key in keys if key}

    def _holders(self, numbers: Iterable[int]) -> tuple[str, ...]:
        rows = [row for number in numbers for row in self._salvage.places_of(number)]
        places = [Place(log, lane, place) for log, lane, place in rows if isinstance(place, int)]
        return tuple(sorted({one.site for one in self._reaches if any(one.covers(place) for place in places)}))


def _hex(value: Any) -> str:
    return value.hex() if isinstance(value, bytes) else ""


def _body_in(data: Any) -> Mapping[str, Any] | None:
    """What a body says as it lies there, for people; nothing is believed of it."""
    with suppress(SyncError, TypeError, AttributeError):
        value = parse_canonical(data, limit_bytes=BODY_BYTES_MAX)
        return value if isinstance(value, dict) else None
    return None
