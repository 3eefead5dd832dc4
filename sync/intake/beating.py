"""Heartbeats of this store: saying one, and hearing what the stewards said.

Not what a heartbeat means (`sync.charter.heartbeats`). One rule: the numbers are those of the set that is held now.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.charter.forms import HEARTBEAT
from sync.charter.heartbeats import Heard, hear, heartbeat_body, read_heartbeat, stopping_kinds
from sync.errors import RemoteError
from sync.intake.writing import write

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync.charter import Heartbeat
    from sync.keys import SigningKey
    from sync.statement import Statement
    from sync.store import Store


def beat(store: Store, *, key: SigningKey, time: str | None = None, random: Callable[[int], bytes]) -> Statement:
    """Say, as a steward, how much is stopped by what is held here.

    Args:
        store: Ours.
        key: The steward's.
        time: A claim for people.
        random: Gives so many random bytes, for the salt.

    Raises:
        LocalError: This key may not say it; nothing is kept.
    """
    counter = 1 + max((each.counter for each in _readable(store) if each.steward == key.public), default=0)
    body = heartbeat_body(counter=counter, stopped=_stopped(store), room=store.room())
    return write(store, key=key, kind=HEARTBEAT, body=body, time=time, random=random)


def heard(store: Store) -> tuple[Heard, ...]:
    """What the newest heartbeat of each steward in force comes to here, by their keys."""
    stewards = {steward.key for steward in store.charter.stewards}
    spoken = (statement for statement in _accepted(store) if statement.author in stewards)
    stopped, held = store.room().names(), store.room().names()
    for each in _stopped(store):
        stopped.add(each)
    for each in store.shelf.ids_of_kinds(stopping_kinds(store.kinds)):
        held.add(each)
    return hear(spoken, stopped=stopped, held=held, room=store.room())


def _stopped(store: Store) -> Iterator[str]:
    """The accepted statements that stop something, in the order in which they came."""
    verdicts = store.judgement.verdicts
    held = store.shelf.ids_of_kinds(stopping_kinds(store.kinds))
    return (each for each in held if verdicts.of(each).state == "accepted")


def _accepted(store: Store) -> Iterator[Statement]:
    verdicts = store.judgement.verdicts
    return (each for each in store.of_kinds({HEARTBEAT}) if verdicts.of(each.id).state == "accepted")


def _readable(store: Store) -> Iterator[Heartbeat]:
    """Those of any standing that can be read: a counter is never used again knowingly."""
    for statement in store.of_kinds({HEARTBEAT}):
        try:
            yield read_heartbeat(statement)
        except RemoteError:
            continue
