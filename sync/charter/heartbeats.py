"""The heartbeat: a steward's word on how much has been stopped, so that a site that lacks some of it can tell.

Not a stop itself, and nothing hangs on it but a sentence for people: reading, writing and exchanging go on without one.
One rule: what is stopped only ever grows (a recall that was lifted, a key that was let in again still counts), so a
number and a root never shrink, and an old heartbeat is never wrong, only late.

A heartbeat without a clock shows its age by its counter and by how many exchanges went by since it came. A carrier that
withholds a recall cannot forge a heartbeat; it can only withhold that too, and then the age grows.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync.charter.forms import REVOCATION
from sync.charter.room import Memory
from sync.charter.verdict import in_order
from sync.errors import RemoteError
from sync.limits import AFTER_MAX, NUMBER_MAX
from sync.shape import require_hex, require_list, require_number, require_object

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from collections.abc import Set as AbstractSet

    from sync.charter.room import Room
    from sync.statement import KindRule, Statement

NEWEST_MAX = AFTER_MAX  # ids that a heartbeat names itself: with those of earlier ones nearly always all
_EMPTY_ROOT = sha256().hexdigest()


@dataclass(frozen=True, slots=True)
class Heartbeat:
    """A steward's word on what is stopped.

    Attributes:
        statement: Its id.
        steward: The key that signed.
        counter: How many that steward has said, this one included.
        number: How many statements stopped something, by what that steward held.
        root: Root of the tree over their ids (`merkle_root`).
        newest: Ids of the newest of them, sorted.
    """

    statement: str
    steward: str
    counter: int
    number: int
    root: str
    newest: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """What this site makes of a steward's newest heartbeat.

    Attributes:
        heartbeat: It.
        lacking: At least so many statements that stop something are not here.
        proven: True where the root shows that exactly what that steward held is here; False where more is here, or
            less, or other things.
    """

    heartbeat: Heartbeat
    lacking: int
    proven: bool


def stopping_kinds(kinds: Mapping[str, KindRule]) -> frozenset[str]:
    """The kinds of statements that stop something: revocations, and those that the table of kinds marks."""
    return frozenset(name for name, rule in kinds.items() if rule.stops) | {REVOCATION}


def merkle_root(ids: AbstractSet[str]) -> str:
    """The root of the tree over these ids in ascending order; that of nothing is the hash of nothing.

    Args:
        ids: 64 hex each; leaves are their 32 raw bytes.

    Source: RFC 9162, section 2.1.1
    """
    row: list[tuple[int, bytes]] = []  # roots of full trees, each with its leaves, the greater first
    for each in in_order(ids):
        row.append((1, sha256(b"\x00" + bytes.fromhex(each)).digest()))
        while len(row) > 1 and row[-1][0] == row[-2][0]:
            row.append(_joined(row.pop(), row.pop()))
    while len(row) > 1:
        row.append(_joined(row.pop(), row.pop()))
    return row[0][1].hex() if row else _EMPTY_ROOT


def _joined(right: tuple[int, bytes], left: tuple[int, bytes]) -> tuple[int, bytes]:
    return left[0] + right[0], sha256(b"\x01" + left[1] + right[1]).digest()


def heartbeat_body(*, counter: int, stopped: Iterable[str], room: Room | None = None) -> dict[str, Any]:
    """The body of a heartbeat.

    Args:
        counter: One more than this steward's last.
        stopped: Ids of all statements that stop something, the newest last.
        room: Where to remember them while they are counted; in memory unless told otherwise.
    """
    names, newest = (room or Memory()).names(), deque[str](maxlen=NEWEST_MAX)
    for each in stopped:
        names.add(each)
        newest.append(each)
    return {"counter": counter, "newest": sorted(newest), "number": len(names), "root": merkle_root(names)}


def read_heartbeat(statement: Statement) -> Heartbeat:
    """Read a heartbeat.

    Raises:
        RemoteError: Its body is not here, or not of the form.
    """
    body = require_object(statement.body, "the heartbeat", names={"counter", "newest", "number", "root"}, more=True)
    newest = [require_hex(each, "an id in a heartbeat") for each in require_list(body["newest"], "the heartbeat")]
    return Heartbeat(
        statement=statement.id,
        steward=statement.author,
        counter=require_number(body["counter"], "the counter of a heartbeat", least=1),
        number=require_number(body["number"], "the number in a heartbeat", least=0),
        root=require_hex(body["root"], "the root in a heartbeat"),
        newest=tuple(sorted(set(newest))),
    )


def hear(
    heartbeats: Iterable[Statement], *, stopped: AbstractSet[str], held: AbstractSet[str], room: Room | None = None
) -> tuple[Heard, ...]:
    """Compare what is here with what stewards said, newest word of each, by key.

    Args:
        heartbeats: Accepted heartbeats of the stewards in force; those that cannot be read are passed over.
        stopped: Ids of the accepted statements here that stop something.
        held: Ids of all statements here that would, whatever their standing: they have arrived.
        room: Where to remember what was named and is not here; in memory unless told otherwise.
    """
    newest: dict[str, Heartbeat] = {}
    away = (room or Memory()).sets()
    for statement in heartbeats:
        try:
            said = read_heartbeat(statement)
        except RemoteError:
            continue
        for each in said.newest:
            if each not in held:
                away.add(said.steward, each)
        before = newest.get(said.steward)
        if before is None or (before.counter, before.statement) < (said.counter, said.statement):
            newest[said.steward] = said
    roots, here = {merkle_root(stopped), merkle_root(held)}, len(held)
    return tuple(
        Heard(said, 0, proven=True)
        if said.root in roots
        else Heard(said, min(max(said.number - here, sum(1 for _ in away.of(key))), NUMBER_MAX), proven=False)
        for key, said in sorted(newest.items())
    )
