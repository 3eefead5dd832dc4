"""The circle of the scenario as statements: who is granted, named, stopped, for the tests of the charter.

Nothing is judged here. One rule: a statement follows its author's last one unless a test says otherwise,
and every salt is used once.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from sync.charter import Judgement, judge, last_statements
from sync.charter.held import HeldSet, in_chains
from sync.network import Network, SiteName, Steward, found_network
from sync.statement import KindRule, Statement, author_statement
from tests.sync.scene import key_of, salt_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from sync.charter.held import Link

KINDS = {
    rule.name: rule
    for rule in (
        KindRule("fieldbook/edition", "text", frozenset({"trainer", "reviewer"})),
        KindRule("fieldbook/approval", "text", frozenset({"reviewer"})),
        KindRule("fieldbook/trial", "text", frozenset({"volunteer", "site"})),
        KindRule("fieldbook/site", "text", frozenset({"site"})),
        KindRule("fieldbook/recall", "urgent", frozenset({"reviewer"})),
        KindRule("fieldbook/lifting", "urgent", frozenset({"reviewer", "steward"})),
    )
}
SITE_NAMES = {"C": "Cloudstep Terrace", "T": "Thornpan", "L": "Longshade", "S": "Saltreed"}


@cache
def key(label: str) -> str:
    """The public key of a person (``C1``) or a site (``C``)."""
    return key_of(_long(label)).public


def _long(label: str) -> str:
    return f"site {label}" if label in SITE_NAMES else label


def steward(label: str) -> Steward:
    """A steward at the site of their letter."""
    return Steward(key(label), label, key(label[0]))


def network_of(*stewards: str, threshold: int) -> Network:
    """Founded at Cloudstep by these stewards."""
    return found_network(
        title="Orrendal Garden Circle",
        site=SiteName(key("C"), "C", SITE_NAMES["C"]),
        stewards=[steward(label) for label in stewards],
        threshold=threshold,
        keys=[key_of(label) for label in stewards],
    )


class Circle:
    """A network and what has been said in it, in the order of saying."""

    def __init__(self, *stewards: str, threshold: int = 1) -> None:
        """Found it; with nobody named, C1 is the one steward."""
        self.network = network_of(*(stewards or ("C1",)), threshold=threshold)
        self.said: list[Statement] = []
        self._last: dict[str, str] = {}

    def say(self, label: str, kind: str, body: dict[str, Any] | None = None, **parts: Any) -> Statement:
        """Sign a statement as a person or site."""
        number = len(self.said)
        ids: dict[str, Any] = {
            name: [_id(each) for each in value] for name, value in parts.items() if name != "previous"
        }
        statement = author_statement(
            key=key_of(_long(label)),
            network_id=self.network.id,
            kind=kind,
            body={"number": number} if body is None else body,
            previous=parts.get("previous", self._last.get(label)),
            salt=salt_of(number),
            **ids,
        )
        self.said.append(statement)
        self._last[label] = statement.id
        return statement

    def edition(self, label: str, *after: Statement | str, **parts: Any) -> Statement:
        """An edition."""
        return self.say(label, "fieldbook/edition", after=after, **parts)

    def grant_site(self, by: str, letter: str, **parts: Any) -> Statement:
        """A grant of a site."""
        body = {"key": key(letter), "letter": letter, "name": SITE_NAMES[letter], "role": "site"}
        return self.say(by, "sync/grant", body | parts.pop("body", {}), **parts)

    def grant_reviewer(self, by: str, label: str, *, scope: tuple[str, ...] = (), **parts: Any) -> Statement:
        """One voice for a reviewer."""
        body = {"key": key(label), "name": label, "role": "reviewer", "scope": list(scope), "site": key(label[0])}
        return self.say(by, "sync/grant", body, **parts)

    def name_person(self, label: str, role: str = "trainer", *, by: str | None = None, **parts: Any) -> Statement:
        """A site's word for a person."""
        return self.say(by or label[0], "sync/person", {"key": key(label), "name": label, "role": role}, **parts)

    def revoke(self, by: str, label: str, *last: Statement, **parts: Any) -> Statement:
        """Stop a key from behind these statements on."""
        return self.say(by, "sync/revocation", {"key": key(label), "last": sorted(s.id for s in last)}, **parts)

    def reinstate(self, by: str, *revocations: Statement | str) -> Statement:
        """One voice for lifting revocations."""
        return self.say(by, "sync/reinstatement", {}, after=revocations)

    def take_back(self, by: str, *targets: Statement | str, files: Iterable[str] = (), **parts: Any) -> Statement:
        """A redaction."""
        return self.say(by, "sync/redaction", {}, after=targets, attachments=list(files), **parts)

    def adopt(self, by: str, *targets: Statement) -> Statement:
        """An adoption."""
        return self.say(by, "sync/adoption", {}, after=targets)

    def version(self, number: int, *labels: str, threshold: int, before: Iterable[str] = ()) -> dict[str, Any]:
        """The body of a version of the stewards; of those in ``before`` all that is said now is kept."""
        return {
            "version": number,
            "stewards": [
                {"key": each.key, "name": each.name, "site": each.site}
                for each in sorted((steward(label) for label in labels), key=lambda each: each.key)
            ],
            "threshold": threshold,
            "before": {key(label): list(last_statements(self.said, key(label))) for label in before},
        }

    def state_version(self, body: dict[str, Any], by: Iterable[str], *after: Statement) -> list[Statement]:
        """Statements of one version by several stewards."""
        return [self.say(label, "sync/stewards", body, after=after) for label in by]

    def judged(self, *, without: Iterable[Statement] = ()) -> Judgement:
        """Judge everything said, but for some that have not come."""
        away = {statement.id for statement in without}
        return judge(self.network, KINDS, [statement for statement in self.said if statement.id not in away])

    def state(self, statement: Statement, *, without: Iterable[Statement] = ()) -> str:
        """What everything said makes of one statement."""
        return self.judged(without=without).verdicts[statement.id].state


class Kept(HeldSet):
    """A store that finds again what it was given.

    Args:
        statements: What was given.
        lost: What of it cannot be found, though what it answers is still known.
    """

    def __init__(self, statements: Iterable[Statement], *, lost: Iterable[Statement] = ()) -> None:
        """Keep them by id."""
        self._given = {statement.id: statement for statement in statements}
        self._lost = {statement.id for statement in lost}

    def get(self, identity: str, /) -> Statement | None:
        """One of them."""
        return None if identity in self._lost else self._given.get(identity)

    def has(self, identity: str, /) -> bool:
        """Whether it is one of them."""
        return identity in self._given

    def statements(self) -> Iterable[Statement]:
        """All of them, each after those that it answers."""
        told: set[str] = set()
        while len(told) < len(self._given):
            for each in self._given.values():
                if each.id not in told and told.issuperset(name for name in each.after if name in self._given):
                    told.add(each.id)
                    yield each

    def of_kinds(self, kinds: Iterable[str], /) -> Iterable[Statement]:
        """Those of some kinds."""
        return [each for each in self._given.values() if each.kind in kinds]

    def in_order(self, kind: str, /) -> Iterable[Statement]:
        """Those of one kind."""
        return (each for each in self.statements() if each.kind == kind)

    def chain_of(self, author: str, /) -> Iterable[Link]:
        """Those of one author."""
        return in_chains([(each.id, each.previous) for each in self._given.values() if each.author == author])

    def answering(self, identity: str, /) -> Iterable[str]:
        """Those that answer one."""
        return [each.id for each in self._given.values() if identity in each.after]

    def having(self, files: Collection[str], /) -> Iterable[Statement]:
        """Those that name files."""
        return [each for each in self._given.values() if not set(files).isdisjoint(each.attachments)]

    def ids(self) -> Collection[str]:
        """The ids of all."""
        return self._given.keys()


def _id(value: Statement | str) -> str:
    return value if isinstance(value, str) else value.id
