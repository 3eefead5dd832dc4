"""Very much that one of three stewards says, whose key somebody else has: stops, liftings, lists, voices.

Not what others may say (`tests.sync.floods`). One rule: each flood is a stream, and no second steward agrees.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.sync.floods import AWAY, said_by
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sync import Statement
    from tests.sync.camps import Site

    Flood = Callable[[Site, int], Iterator[Statement]]

STEWARDS = "C1", "L1", "S1"
THIEF = "C1"
CHAIN = 8  # reports by each of the keys that are stopped


def a_key(number: int) -> str:
    """The key of somebody who never says anything."""
    return f"{number:064x}"


def stops_keys(site: Site, count: int) -> Iterator[Statement]:
    """So many revocations, each of another key."""
    return said_by(THIEF, site, count, "sync/revocation", body=lambda number: {"key": a_key(number), "last": []})


def stops_one_key(site: Site, count: int) -> Iterator[Statement]:
    """So many statements: half are one key's reports, half stop that key, each behind another report."""
    said: list[str] = []
    for each in said_by("T1", site, count // 2, "garden/report", chained=True):
        said.append(each.id)
        yield each
    yield from said_by(THIEF, site, count - count // 2, "sync/revocation", body=lambda number: {
        "key": key_of("T1").public, "last": sorted({said[0], said[-1 - number % len(said)]}),
    })  # fmt: skip


def stops_one_key_behind_nothing(site: Site, count: int) -> Iterator[Statement]:
    """So many revocations of one key, each behind another statement that nobody has."""
    return said_by(THIEF, site, count, "sync/revocation", body=lambda number: {
        "key": key_of("T1").public, "last": [a_key(number)],
    })  # fmt: skip


def stops_many_who_said_something(site: Site, count: int) -> Iterator[Statement]:
    """So many statements: chains by many keys, each stopped before its last one."""
    for number in range(count // (CHAIN + 1)):
        name, said = f"one who said something {number}", ["", ""]
        for each in said_by(name, site, CHAIN, "garden/report", chained=True):
            said.append(each.id)
            yield each
        body = {"key": key_of(name).public, "last": [said[-2]]}
        yield from said_by(THIEF, site, 1, "sync/revocation", body=lambda _, body=body: body)  # type: ignore[misc]


def stops_and_would_allow(site: Site, count: int) -> Iterator[Statement]:
    """So many statements: one revocation after the other of another key, and one voice for its lifting."""
    for number in range(count // 2):
        (stop,) = said_by(THIEF, site, 1, "sync/revocation", body=lambda _, n=number: {  # type: ignore[misc]
            "key": a_key(n), "last": [],
        })  # fmt: skip
        yield stop
        yield from said_by(THIEF, site, 1, "sync/reinstatement", after=[stop.id])


def would_allow_what_nobody_stopped(site: Site, count: int) -> Iterator[Statement]:
    """So many voices for the lifting of revocations that are not here."""
    for number in range(count):
        yield from said_by(THIEF, site, 1, "sync/reinstatement", after=[a_key(number)])


def states_lists(site: Site, count: int) -> Iterator[Statement]:
    """So many lists of stewards, each of which names another key."""
    return said_by(THIEF, site, count, "sync/stewards", body=lambda number: _list(site, a_key(number)))


def states_one_list(site: Site, count: int) -> Iterator[Statement]:
    """So many times the same list."""
    return said_by(THIEF, site, count, "sync/stewards", body=lambda _: _list(site, a_key(1)))


def states_lists_of_those_who_state_lists(site: Site, count: int) -> Iterator[Statement]:
    """So many lists of which each names the author of another one; the one that a steward says comes last."""
    for number in range(count - 1):
        name = f"one of many who name another {number}"
        yield from said_by(name, site, 1, "sync/stewards", body=lambda _, n=number: _list(  # type: ignore[misc]
            site, *sorted([key_of(f"one of many who name another {n}").public,
                           key_of(f"one of many who name another {n - 1}").public]),
        ))  # fmt: skip
    last = key_of(f"one of many who name another {count - 2}").public
    yield from said_by(THIEF, site, 1, "sync/stewards", body=lambda _: _list(site, last))


def gives_voices(site: Site, count: int) -> Iterator[Statement]:
    """So many voices for as many reviewers."""
    return said_by(THIEF, site, count, "sync/grant", body=lambda number: _reviewer(site, a_key(number)))


def gives_one_voice(site: Site, count: int) -> Iterator[Statement]:
    """So many times one voice for one reviewer."""
    return said_by(THIEF, site, count, "sync/grant", body=lambda _: _reviewer(site, a_key(1)))


def waits_for_much(site: Site, count: int) -> Iterator[Statement]:
    """So many revocations and reports that each answer as many statements as may be, none of which is here."""
    away = [AWAY, *map(a_key, range(63))]
    return said_by(THIEF, site, count, "sync/stewards", after=away, body=lambda number: _list(site, a_key(number)))


def beats(site: Site, count: int) -> Iterator[Statement]:
    """So many heartbeats, each of which names other stops that are not here."""
    return said_by(THIEF, site, count, "sync/heartbeat", body=lambda number: {
        "counter": 1 + number, "newest": [a_key(64 * number + each) for each in range(64)], "number": 64 * number,
        "root": AWAY,
    })  # fmt: skip


def _list(site: Site, *keys: str) -> dict[str, Any]:
    stewards = [{"key": key, "name": f"X{1 + int(key[-4:], 16) % 9_999}", "site": site.key.public} for key in keys]
    return {"before": {}, "stewards": stewards, "threshold": len(keys) // 2 + 1, "version": 2}


def _reviewer(site: Site, key: str) -> dict[str, Any]:
    return {"key": key, "name": f"X{1 + int(key[-4:], 16) % 9_999}", "role": "reviewer", "scope": [],
            "site": site.key.public}  # fmt: skip


FLOODS: dict[str, Flood] = {
    "revocations of as many keys": stops_keys,
    "half of them revocations of the key of the others": stops_one_key,
    "revocations of one key behind what nobody has": stops_one_key_behind_nothing,
    "by keys of whom each is stopped": stops_many_who_said_something,
    "half of them voices to lift the other half": stops_and_would_allow,
    "voices to lift what is not here": would_allow_what_nobody_stopped,
    "lists by one steward": states_lists,
    "times one list by one steward": states_one_list,
    "lists of those who state lists": states_lists_of_those_who_state_lists,
    "voices for as many reviewers": gives_voices,
    "times one voice for a reviewer": gives_one_voice,
    "lists that answer what is not here": waits_for_much,
    "heartbeats": beats,
}
