"""The rules of roles once more, by definition and without haste: what the fast charter is compared with.

Written from the design alone, with nested tuples, plain walks and passes repeated until nothing changes; it
shares no code with ``sync.charter``. It knows well-formed bodies only; the forms have tests of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sync.network import Network
    from sync.statement import KindRule, Statement

VersionKey = tuple[Any, ...]  # ("first",), or (body bytes, frozenset of the versions answered)
FIRST: VersionKey = ("first",)
STEWARDSHIP = {"sync/stewards", "sync/revocation", "sync/reinstatement"}
LASTING = STEWARDSHIP | {"sync/grant", "sync/person", "sync/redaction", "sync/adoption", "sync/heartbeat"}
SIGNERS = {
    "sync/grant": {"steward"},
    "sync/heartbeat": {"steward"},
    "sync/adoption": {"reviewer", "steward"},
    "sync/person": {"site"},
}


@dataclass
class Model:
    """The state of every statement by id, with what follows."""

    network: Network
    kinds: Mapping[str, KindRule]
    held: dict[str, Statement]
    states: dict[str, str] = field(default_factory=dict)
    roles: set[tuple[str, str]] = field(default_factory=set)  # (key, role)
    redacted: set[str] = field(default_factory=set)
    files: set[str] = field(default_factory=set)
    taken: set[str] = field(default_factory=set)
    stopped: dict[str, list[str]] = field(default_factory=dict)  # revocation: its last
    in_force: set[VersionKey] = field(default_factory=set)
    heads: list[VersionKey] = field(default_factory=list)


def model(network: Network, kinds: Mapping[str, KindRule], statements: Iterable[Statement]) -> Model:
    """Judge a set by definition."""
    m = Model(network, kinds, {s.id: s for s in statements})
    versions = place_versions(m)
    bring_into_force(m, versions)
    stop_and_lift(m)
    settle(m)
    adopt(m)
    take_back(m)
    m.taken = {network.site.key} | {
        body(s)["key"]
        for s in of_kind(m, "sync/grant")
        if body(s)["role"] == "site" and any(s.author in stewards(m, v) for v in m.in_force)
    }
    return m


def body(s: Statement) -> dict[str, Any]:
    assert s.body is not None
    return s.body


def of_kind(m: Model, kind: str) -> list[Statement]:
    return [s for s in m.held.values() if s.kind == kind]


# -- versions --------------------------------------------------------------------------------------------------


def place_versions(m: Model) -> dict[str, VersionKey | None]:
    """The version that each stewards' statement says; None where it can say none; absent where it waits."""
    placed: dict[str, VersionKey | None] = {}
    for _ in m.held:
        for s in of_kind(m, "sync/stewards"):
            if s.id not in placed and all(a in m.held for a in s.after):
                answered = [a for a in s.after if m.held[a].kind == "sync/stewards"]
                if all(a in placed for a in answered):
                    placed[s.id] = version_said(m, s, [placed[a] for a in answered])
    return placed


def version_said(m: Model, s: Statement, answered: list[VersionKey | None]) -> VersionKey | None:
    known = frozenset(v for v in answered if v is not None) or frozenset({FIRST})
    if None in answered or body(s)["version"] != 1 + max(number(v) for v in known):
        return None
    members = {x["key"] for x in body(s)["stewards"]}.union(*(stewards(m, v) for v in known))
    return (s.body_bytes, known, Frozen(body(s))) if s.author in members else None


class Frozen(dict[str, Any]):
    """A body that may stand in a tuple; the bytes beside it tell versions apart."""

    def __hash__(self) -> int:  # type: ignore[override]
        """Any number will do."""
        return 0


def number(v: VersionKey) -> int:
    return 1 if v == FIRST else int(v[2]["version"])


def stewards(m: Model, v: VersionKey) -> set[str]:
    return {x.key for x in m.network.stewards} if v == FIRST else {x["key"] for x in v[2]["stewards"]}


def threshold(m: Model, v: VersionKey) -> int:
    return m.network.threshold if v == FIRST else int(v[2]["threshold"])


def answers(v: VersionKey) -> frozenset[VersionKey]:
    return frozenset() if v == FIRST else v[1]


def bring_into_force(m: Model, placed: dict[str, VersionKey | None]) -> None:
    m.in_force = {FIRST}
    for _ in m.held:
        for v in set(placed.values()) - {None}:
            assert v is not None
            voices = {m.held[i].author for i, said in placed.items() if said == v}
            if answers(v) <= m.in_force and all(
                len(voices & stewards(m, each)) >= threshold(m, each) for each in {v, *answers(v)}
            ):
                m.in_force.add(v)
    m.heads = [v for v in m.in_force if not any(v in answers(w) for w in m.in_force)]
    for s in of_kind(m, "sync/stewards"):
        said = placed.get(s.id, "waits")
        m.states[s.id] = "quarantined" if said is None else "accepted" if said in m.in_force else "waiting"


# -- stewards' voices ------------------------------------------------------------------------------------------


def reached(m: Model, author: str, ends: Iterable[str]) -> set[str]:
    found = set()
    for end in ends:
        at: str | None = end
        while at is not None and at in m.held and m.held[at].author == author and at not in found:
            found.add(at)
            at = m.held[at].previous
    return found


def spoken_under(m: Model, s: Statement, head: VersionKey) -> set[VersionKey]:
    if head != FIRST and s.id in reached(m, s.author, head[2]["before"].get(s.author, [])):
        return set().union(*(spoken_under(m, s, v) for v in answers(head)))
    return {head} if s.author in stewards(m, head) else set()


def speaks(m: Model, s: Statement) -> bool:
    return all(spoken_under(m, s, head) for head in m.heads)


def enough(m: Model, voices: list[Statement]) -> bool:
    """Whether under each head some version has its threshold among those whose word counts under every head."""
    counted = [s for s in voices if speaks(m, s)]
    return all(
        any(len({s.author for s in counted if v in spoken_under(m, s, head)}) >= threshold(m, v) for v in m.in_force)
        for head in m.heads
    )


# -- stopping and lifting --------------------------------------------------------------------------------------


def stop_and_lift(m: Model) -> None:
    lifting = of_kind(m, "sync/reinstatement")
    lifted = {i for i in m.held if enough(m, [s for s in lifting if i in s.after])}
    for s in of_kind(m, "sync/revocation"):
        m.states[s.id] = "accepted" if speaks(m, s) else "waiting"
        if speaks(m, s) and s.id not in lifted:
            m.stopped[s.id] = body(s)["last"]
    for s in lifting:
        named = [a for a in s.after if a in m.held and m.held[a].kind == "sync/revocation"]
        away = [a for a in s.after if a not in m.held]
        if not named and not away:
            m.states[s.id] = "quarantined"
        else:
            done = speaks(m, s) and not away and lifted.issuperset(named)
            m.states[s.id] = "accepted" if done else "waiting"


def cut(m: Model, s: Statement) -> bool:
    return s.kind not in STEWARDSHIP and any(
        body(m.held[i])["key"] == s.author and s.id not in reached(m, s.author, last) for i, last in m.stopped.items()
    )


# -- roles and waiting -----------------------------------------------------------------------------------------


def may_say(m: Model, s: Statement) -> bool:
    held = {role for key, role in m.roles if key == s.author} | ({"steward"} if speaks(m, s) else set())
    if s.kind in SIGNERS:
        return bool(held & SIGNERS[s.kind])
    if s.kind not in m.kinds:
        return bool(held)
    signers = set(m.kinds[s.kind].signers)
    return bool(held & signers) or ("volunteer" in signers and bool(held - {"site"}))


def ready(m: Model, s: Statement) -> bool:
    return may_say(m, s) and all(m.states.get(a, "away") in {"accepted", "quarantined"} for a in s.after)


def settle(m: Model) -> None:
    m.roles = {(m.network.site.key, "site")}
    rest = [s for s in m.held.values() if s.kind not in STEWARDSHIP]
    m.states |= {s.id: "quarantined" if cut(m, s) else "waiting" for s in rest}
    for _ in range(2 * len(m.held) + 2):
        for s in rest:
            if m.states[s.id] == "waiting":
                m.states[s.id] = settled(m, s)


def settled(m: Model, s: Statement) -> str:
    if s.kind == "sync/redaction":
        return redaction_state(m, s)
    if not ready(m, s):
        return "waiting"
    if s.kind == "sync/person":
        m.roles.add((body(s)["key"], body(s)["role"]))
    if s.kind == "sync/grant" and body(s)["role"] == "site":
        m.roles.add((body(s)["key"], "site"))
    if s.kind == "sync/grant" and body(s)["role"] == "reviewer":
        same = [x for x in of_kind(m, "sync/grant") if x.body == s.body and ready(m, x) and not cut(m, x)]
        if not enough(m, same) or (body(s)["site"], "site") not in m.roles:
            return "waiting"
        m.roles.add((body(s)["key"], "reviewer"))
    return "accepted"


def redaction_state(m: Model, s: Statement) -> str:
    away = [a for a in s.after if a not in m.held]
    if not away and not s.attachments and not erasable(m, s):
        return "quarantined"
    if not away and not (takes(m, s) or any(has(m, s.author, f) or speaks(m, s) for f in s.attachments)):
        return "waiting"
    settled_all = all(m.states.get(a, "away") in {"accepted", "quarantined"} for a in s.after)
    return "accepted" if settled_all else "waiting"


def adopt(m: Model) -> None:
    adopted = {
        a
        for s in of_kind(m, "sync/adoption")
        if m.states[s.id] == "accepted"
        for a in s.after
        if cut(m, m.held[a]) and not m.held[a].kind.startswith("sync/") and m.held[a].author != s.author
    }
    m.states |= {a: "accepted" for a in adopted if ready(m, m.held[a])}


# -- taking back -----------------------------------------------------------------------------------------------


def erasable(m: Model, s: Statement) -> list[Statement]:
    here = [m.held[a] for a in s.after if a in m.held]
    return [t for t in here if t.kind not in LASTING and not (t.kind in m.kinds and m.kinds[t.kind].lane == "urgent")]


def takes(m: Model, s: Statement) -> set[str]:
    return {t.id for t in erasable(m, s) if t.author == s.author or speaks(m, s)}


def has(m: Model, author: str, file: str) -> bool:
    return any(t.author == author and file in t.attachments and t.kind != "sync/redaction" for t in m.held.values())


def take_back(m: Model) -> None:
    acting = [s for s in of_kind(m, "sync/redaction") if not cut(m, s)]
    m.redacted = set().union(*(takes(m, s) for s in acting))
    showing = [
        t
        for t in m.held.values()
        if m.states[t.id] == "accepted" and t.id not in m.redacted and t.kind != "sync/redaction"
    ]
    for s in acting:
        for file in s.attachments:
            others = any(file in t.attachments and t.author != s.author for t in showing)
            if speaks(m, s) or (has(m, s.author, file) and not others):
                m.files.add(file)
