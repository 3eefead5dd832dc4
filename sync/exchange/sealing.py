"""Sealing: what was said here and lies in no bundle yet becomes bundles of this site's present log.

Not what goes into a carrier's folder (that is `sync.exchange.leaving`). One rule: a site that may have been restored
or cloned begins a new log before it seals again, so that no number of a log is ever used for two things knowingly.
"""

from __future__ import annotations

from itertools import accumulate, takewhile
from typing import TYPE_CHECKING

from sync.bundle import Bundle, seal_bundle
from sync.charter.forms import PERSON
from sync.limits import (
    BUNDLE_STATEMENTS_MAX,
    LOG_HEX,
    SEALED_PACKED_BYTES_PREFERRED,
    SEALED_UNPACKED_BYTES_MAX,
)
from sync.store.spilling import SpillingQueue

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync.keys import SigningKey
    from sync.statement import Lane, Statement
    from sync.store import Store

_SLACK = 0.97  # statements do not all pack alike; better a little too few than packing the same ones again
_AROUND_BYTES = 160  # salt, signature, commas and quotes of one statement in a bundle


def present_log(store: Store, site: str) -> str | None:
    """The log that a site writes in, None before its first."""
    logs = store.papers.own_logs(site)
    return logs[-1] if logs else None


def begin_log(store: Store, site: str, *, random: Callable[[int], bytes]) -> str:
    """Begin a new log, of a random id."""
    log = random(LOG_HEX // 2).hex()
    store.papers.begin_log(site, log)
    return log


def followed_logs(store: Store, site: str) -> tuple[str, ...]:
    """The logs of this site that the present one follows, sorted."""
    return tuple(sorted(store.bundles.logs_of(site).union(store.papers.own_logs(site)) - {present_log(store, site)}))


def seal(store: Store, *, key: SigningKey, log: str) -> int:
    """Seal all that lies in no bundle yet, urgent and text apart; how many bundles that made.

    Args:
        store: Ours.
        key: The site's.
        log: The present log.

    Raises:
        LocalError: The store failed; nothing is sealed.
    """
    lanes: dict[Lane, SpillingQueue] = {"urgent": SpillingQueue(store.scratch), "text": SpillingQueue(store.scratch)}
    for row, kind in store.shelf.unsealed():
        lanes[lane_of(store, kind)].append(str(row))
    with store.transaction():
        return sum(_seal_lane(store, rows, key=key, log=log, lane=lane) for lane, rows in lanes.items())


def _seal_lane(store: Store, rows: SpillingQueue, *, key: SigningKey, log: str, lane: Lane) -> int:
    """Seal what lies in these rows, in this order; how many bundles that made."""
    coming = ((int(row), statement) for row in rows for statement in store.shelf.at([int(row)]))
    ready: list[tuple[int, Statement]] = []
    sealed, share = 0, 1.0
    while True:
        _fill(ready, coming)
        if not ready:
            return sealed
        bundle, share = _seal_first(
            store, [statement for _, statement in ready], key=key, log=log, lane=lane, share=share
        )
        length = len(bundle.statements)
        store.add_bundle(bundle, [row for row, _ in ready[:length]])
        del ready[:length]
        sealed += 1


def _fill(ready: list[tuple[int, Statement]], coming: Iterator[tuple[int, Statement]]) -> None:
    """Have as many statements ready as one bundle may hold, and no more in memory."""
    size_bytes = sum(_size_bytes(statement) for _, statement in ready)
    while len(ready) < BUNDLE_STATEMENTS_MAX and size_bytes <= SEALED_UNPACKED_BYTES_MAX:
        row, statement = next(coming, (0, None))
        if statement is None:
            return
        ready.append((row, statement))
        size_bytes += _size_bytes(statement)


def lane_of(store: Store, kind: str) -> Lane:
    """The lane in which a kind travels; what gives or takes roles is urgent, but for the naming of persons."""
    if kind in store.kinds:
        return store.kinds[kind].lane
    return "urgent" if kind.startswith("sync/") and kind != PERSON else "text"


def _seal_first(
    store: Store, statements: list[Statement], *, key: SigningKey, log: str, lane: Lane, share: float
) -> tuple[Bundle, float]:
    """Seal as many of the first as go well into one bundle: fewer, until it is small enough or holds one alone.

    Args:
        store: Ours.
        statements: In the order to be sealed.
        key: The site's.
        log: The present log.
        lane: Of all of these.
        share: How much of the cap before packing the bundle before this one could have used [ratio].

    Returns:
        The bundle, and that share for the next one.
    """
    number, previous = store.bundles.last_place(key.public, log, lane)
    count = len(statements)
    while True:
        count = min(count, _fitting(statements, share * SEALED_UNPACKED_BYTES_MAX))
        bundle = seal_bundle(
            key=key,
            network_id=store.network.id,
            log=log,
            lane=lane,
            number=number + 1,
            previous=previous,
            statements=statements[:count],
        )
        packed_bytes = len(bundle.to_bytes())
        unpacked_bytes = sum(map(_size_bytes, bundle.statements))
        fitting_bytes = _SLACK * unpacked_bytes * SEALED_PACKED_BYTES_PREFERRED / packed_bytes
        share = min(1.0, fitting_bytes / SEALED_UNPACKED_BYTES_MAX)
        if packed_bytes <= SEALED_PACKED_BYTES_PREFERRED or count == 1:
            return bundle, share
        count -= 1


def _fitting(statements: list[Statement], limit_bytes: float) -> int:
    """How many of the first stay below a limit before packing; at least one."""
    totals = accumulate(_size_bytes(statement) for statement in statements)
    return max(1, sum(1 for _ in takewhile(lambda total: total <= limit_bytes, totals)))


def _size_bytes(statement: Statement) -> int:
    return len(statement.header_bytes) + len(statement.body_bytes or b"") + _AROUND_BYTES
