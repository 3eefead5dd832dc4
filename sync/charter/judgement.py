"""The judging of a whole set of statements, and of a few more that change no role.

Not the store. One rule: `judge` is a pure, total function of the set, whatever the order, the repetition
and the partition in which it came; `judge_more` gives what `judge` of all would give, at the cost of what
is new, and judges the whole itself as soon as something new could change who may say what.

The steps stand in an order that cannot go round in circles: stewards' versions, from their own statements
alone; cuts, by stewards' voices alone; then roles and waiting together, which only grow; then adoptions,
which lift what a cut sets aside where nothing else holds it back; then redactions.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from sync.charter.chains import Chains
from sync.charter.cuts import Cuts
from sync.charter.forms import (
    ADOPTION,
    GRANT,
    REDACTION,
    REINSTATEMENT,
    REVOCATION,
    ROLE_KINDS,
    STEWARDS,
    SiteGrant,
    read_grant,
)
from sync.charter.grants import Granted
from sync.charter.redactions import Redactions
from sync.charter.settling import Authority, Settling, WholeSettling
from sync.charter.verdict import ACCEPTED, ADOPTED, REVOKED, Verdict, arrived, lacking, lacking_role
from sync.charter.versions import fold_versions
from sync.charter.voices import Voices
from sync.errors import LocalError, RemoteError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sync.charter.roles import Charter
    from sync.charter.voices import Tally
    from sync.network import Network
    from sync.statement import KindRule, Statement

_ROLES_OF_SYNC = "sync/"  # kinds beginning so may give roles, some only to newer software: never adoptable


class Held(Protocol):
    """Where the statements judged before can be found again."""

    def get(self, identity: str, /) -> Statement | None:
        """The statement of that id, or None."""

    def statements(self) -> Iterable[Statement]:
        """All of them, in any order."""


@dataclass(frozen=True)
class Footing:
    """What `judge_more` stands on; part of the judgement, so that it can be carried on.

    Attributes:
        network: The network judged.
        roles: By key, every role ever given.
        awaited: By id of what is missing or waits, the ids of those that answer it, sorted.
        gaps: Ids that would change what a cut or a version reaches.
        files: Files that redactions name.
        bodiless: Ids of statements about roles whose bodies are not here.
    """

    network: Network
    roles: Mapping[str, frozenset[str]]
    awaited: Mapping[str, tuple[str, ...]]
    gaps: frozenset[str]
    files: frozenset[str]
    bodiless: frozenset[str]


@dataclass(frozen=True)
class Judgement:
    """What a set of statements comes to.

    Attributes:
        charter: The roles in force.
        verdicts: Of every statement, by id.
        redacted: Ids of statements whose bodies are taken back.
        redacted_by: For each of them the ids of the redactions that may take it, sorted.
        files_gone: Ids of attachments that are taken back, which nobody fetches.
        sites_taken: Keys of the sites whose bundles are taken in.
        stops: By key, the ids of the revocations that stand, sorted.
        tallies: For what lacks voices how far it is: by the id of each voice for a reviewer, and by the id of each
            revocation that somebody would lift.
        footing: What `judge_more` stands on.
    """

    charter: Charter
    verdicts: Mapping[str, Verdict]
    redacted: frozenset[str]
    redacted_by: Mapping[str, tuple[str, ...]]
    files_gone: frozenset[str]
    sites_taken: frozenset[str]
    stops: Mapping[str, tuple[str, ...]]
    tallies: Mapping[str, Tally]
    footing: Footing


def judge(network: Network, kinds: Mapping[str, KindRule], statements: Iterable[Statement]) -> Judgement:
    """Judge a set of verified statements.

    Args:
        network: The network file.
        kinds: The table of kinds, by name; this package's own kinds need not stand in it.
        statements: In any order, any of them several times, with or without their bodies.
    """
    held = _one_copy_of_each(statements)
    return _Judging(network, kinds, held).judgement()


def judge_more(judgement: Judgement, kinds: Mapping[str, KindRule], known: Held, new: Iterable[Statement]) -> Judgement:
    """Judge more statements of the same network, as if all had been judged at once.

    Args:
        judgement: That of the statements known, by the same table of kinds.
        kinds: The table of kinds.
        known: Finds those statements; it may hold the new ones already.
        new: Verified statements, known ones and repetitions among them.

    Raises:
        LocalError: A statement that was judged is not among those known.
    """
    fresh = {
        statement.id: statement
        for statement in _one_copy_of_each(new).values()
        if statement.id not in judgement.verdicts or _brings_body(judgement, statement)
    }
    if not fresh:
        return judgement
    more = _More(judgement, kinds, known, fresh)
    return more.judgement() or judge(judgement.footing.network, kinds, [*known.statements(), *fresh.values()])


def sites_to_take(judgement: Judgement, own_key: str) -> frozenset[str]:
    """The keys of the sites whose bundles are taken in: granted ever, by anyone ever a steward, and my own."""
    return judgement.sites_taken | {own_key}


class _Judging:
    """One judging of a whole set."""

    def __init__(self, network: Network, kinds: Mapping[str, KindRule], held: Mapping[str, Statement]) -> None:
        self._network = network
        self._held = held
        self._of_kind: defaultdict[str, list[Statement]] = defaultdict(list)
        for statement in held.values():
            if statement.kind in ROLE_KINDS:
                self._of_kind[statement.kind].append(statement)
        self._versions = fold_versions(network, self._of_kind[STEWARDS], held)
        chains = Chains(held)
        self._voices = Voices(self._versions, chains)
        self._cuts = Cuts(held=held, voices=self._voices, chains=chains)
        self._cuts.fold(self._of_kind[REVOCATION], self._of_kind[REINSTATEMENT])
        self._granted = Granted(network)
        self._redactions = Redactions(
            redactions=self._of_kind[REDACTION],
            held=held,
            kinds=kinds,
            voices=self._voices,
            sets_aside=self._cuts.sets_aside,
        )
        self._authority = Authority(
            kinds=kinds,
            roles=self._granted.roles,
            is_steward=self._voices.is_steward,
            sets_aside=self._cuts.sets_aside,
        )

    def judgement(self) -> Judgement:
        verdicts = {**self._versions.verdicts, **self._cuts.verdicts}
        settling = WholeSettling(
            authority=self._authority,
            held=self._held,
            verdicts=verdicts,
            granted=self._granted,
            voices=self._voices,
            redactions=self._redactions,
        )
        settling.settle(self._held.values())
        adopted = self._adopted(verdicts)
        redacted_by = self._redactions.bodies()
        return Judgement(
            charter=self._granted.charter(self._versions, self._cuts.by_key),
            verdicts=verdicts,
            redacted=frozenset(redacted_by),
            redacted_by=redacted_by,
            files_gone=self._redactions.files(verdicts, redacted_by),
            sites_taken=self._sites_taken(),
            stops=self._cuts.standing,
            tallies=self._cuts.tallies() | settling.tallies(),
            footing=self._footing(verdicts, adopted),
        )

    def _adopted(self, verdicts: dict[str, Verdict]) -> list[Statement]:
        """Lift what is adopted; give back what is adopted but held back by something else."""
        held_back = []
        for target in self._adoptable(verdicts):
            if self._authority.may_say(target) and all(arrived(verdicts.get(each)) for each in target.after):
                verdicts[target.id] = ADOPTED
            else:
                held_back.append(target)
        return held_back

    def _adoptable(self, verdicts: Mapping[str, Verdict]) -> list[Statement]:
        """What an accepted adoption names, a cut sets aside, and somebody else has said."""
        named = {
            target.id: target
            for adoption in self._of_kind[ADOPTION]
            if verdicts[adoption.id] is ACCEPTED
            for target in (self._held[each] for each in adoption.after)
            if target.author != adoption.author
        }
        return [
            target
            for target in named.values()
            if verdicts[target.id] is REVOKED and not target.kind.startswith(_ROLES_OF_SYNC)
        ]

    def _sites_taken(self) -> frozenset[str]:
        stewards = self._versions.ever_stewards()
        named = (_site_named(grant) for grant in self._of_kind[GRANT] if grant.author in stewards)
        return frozenset(key for key in named if key is not None) | {self._network.site.key}

    def _footing(self, verdicts: Mapping[str, Verdict], held_back: Iterable[Statement]) -> Footing:
        waiting = [self._held[each] for each, verdict in verdicts.items() if verdict.state == "waiting"]
        return Footing(
            network=self._network,
            roles={key: frozenset(roles) for key, roles in self._granted.roles.items()},
            awaited=_awaited([*waiting, *held_back], verdicts),
            gaps=self._voices.gaps() | self._cuts.gaps(),
            files=self._redactions.files_named,
            bodiless=frozenset(
                statement.id
                for statements in self._of_kind.values()
                for statement in statements
                if statement.body_bytes is None
            ),
        )


class _More(Settling):
    """Settling a few new statements on the footing of a judgement."""

    def __init__(
        self, judgement: Judgement, kinds: Mapping[str, KindRule], known: Held, fresh: Mapping[str, Statement]
    ) -> None:
        stewards = {steward.key for steward in judgement.charter.stewards}
        authority = Authority(
            kinds=kinds,
            roles=judgement.footing.roles,
            is_steward=lambda statement: statement.author in stewards,
            sets_aside=lambda statement: statement.author in judgement.charter.revoked,
        )
        verdicts = dict(judgement.verdicts)
        super().__init__(authority=authority, held=judgement.verdicts.keys() | fresh.keys(), verdicts=verdicts)
        self._before = judgement
        self._known = known
        self._fresh = fresh
        self._touched: dict[str, Statement] = dict(fresh)
        self._roles_may_change = any(self._may_change_roles(statement) for statement in fresh.values())

    def judgement(self) -> Judgement | None:
        """The judgement of all, or None where the new ones may change who may say what."""
        if not self._roles_may_change:
            answering = [each for identity in self._fresh for each in self._answering_before(identity)]
            self.settle([*self._fresh.values(), *answering])
        if self._roles_may_change:
            return None
        footing = self._before.footing
        awaited = {each: ids for each, ids in footing.awaited.items() if not arrived(self.verdicts.get(each))}
        waiting = [each for each in self._touched.values() if not arrived(self.verdicts[each.id])]
        for identity, ids in _awaited(waiting, self.verdicts).items():
            awaited[identity] = tuple(sorted({*awaited.get(identity, ()), *ids}))
        return replace(self._before, verdicts=self.verdicts, footing=replace(footing, awaited=awaited))

    def decide(self, statement: Statement) -> Verdict:
        """The verdict of a new statement, or of an old one whose author's role has not changed."""
        before = self._before.verdicts.get(statement.id)
        if before is None:
            return super().decide(statement)
        if before.rule == "role":
            return lacking_role(self.missing(statement))
        if before.rule == "after":
            return lacking(self.missing(statement)) if self.waits(statement) else ACCEPTED
        return before

    def answering(self, identity: str) -> Iterable[Statement]:
        """What waited for this statement, before or since."""
        return [*super().answering(identity), *self._answering_before(identity)]

    def _answering_before(self, identity: str) -> Iterable[Statement]:
        for each in self._before.footing.awaited.get(identity, ()):
            statement = self._known.get(each)
            if statement is None:
                raise LocalError(
                    f"statement {each[:8]} was judged but is not among those known",
                    hint="report this: it must never happen",
                )
            self._touched[each] = statement
            if self._may_change_roles(statement) or arrived(self._before.verdicts[each]):
                self._roles_may_change = True
            yield statement

    def _may_change_roles(self, statement: Statement) -> bool:
        """Whether taking in or settling this one can change more than what answers it."""
        footing = self._before.footing
        return (
            statement.kind in ROLE_KINDS
            or statement.id in footing.gaps
            or not footing.files.isdisjoint(statement.attachments)
        )


def _one_copy_of_each(statements: Iterable[Statement]) -> dict[str, Statement]:
    """By id, a copy with the body where there is one."""
    held: dict[str, Statement] = {}
    for statement in statements:
        if statement.body_bytes is not None or statement.id not in held:
            held[statement.id] = statement
    return held


def _brings_body(judgement: Judgement, statement: Statement) -> bool:
    return statement.id in judgement.footing.bodiless and statement.body_bytes is not None


def _site_named(grant: Statement) -> str | None:
    """The key that a grant names as a site, whatever becomes of the grant."""
    try:
        given = read_grant(grant.body) if grant.body is not None else None
    except RemoteError:
        return None
    return given.key if isinstance(given, SiteGrant) else None


def _awaited(waiting: Iterable[Statement], verdicts: Mapping[str, Verdict]) -> dict[str, tuple[str, ...]]:
    answering: defaultdict[str, set[str]] = defaultdict(set)
    for statement in waiting:
        for identity in statement.after:
            if not arrived(verdicts.get(identity)):
                answering[identity].add(statement.id)
    return {identity: tuple(sorted(ids)) for identity, ids in answering.items()}
