"""The judging of a whole set of statements, and of a few more that change no role.

Not the store. One rule: `judge` is a pure, total function of the set, whatever the order, the repetition
and the partition in which it came; `judge_more` gives what `judge` of all would give, at the cost of what
is new, and judges the whole itself as soon as something new could change who may say what.

The steps stand in an order that cannot go round in circles: stewards' versions, from their own statements
alone; cuts, by stewards' voices alone; then roles and waiting together, which only grow; then adoptions,
which lift what a cut sets aside where nothing else holds it back; then redactions.
"""

from __future__ import annotations

from collections import ChainMap
from dataclasses import dataclass, replace
from itertools import chain
from typing import TYPE_CHECKING

from sync.charter.ballots import Ballots
from sync.charter.chains import Chains
from sync.charter.cuts import Cuts
from sync.charter.forms import ADOPTION, REDACTION, REINSTATEMENT, REVOCATION, ROLE_KINDS
from sync.charter.grants import Granted, sites_taken
from sync.charter.held import NOTHING, HeldSet, Joined, judged, with_more
from sync.charter.redactions import Redactions
from sync.charter.settling import Authority, Settling, WholeSettling
from sync.charter.verdict import ACCEPTED, ADOPTED, REVOKED, Changed, Verdict, Verdicts, arrived, lacking, lacking_role
from sync.charter.versions import fold_versions
from sync.charter.voices import Voices

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping
    from collections.abc import Set as AbstractSet

    from sync.charter.ballots import Tally
    from sync.charter.roles import Charter
    from sync.network import Network
    from sync.statement import KindRule, Statement

_ROLES_OF_SYNC = "sync/"  # kinds beginning so may give roles, some only to newer software: never adoptable


@dataclass(frozen=True)
class Footing:
    """What `judge_more` stands on; part of the judgement, so that it can be carried on.

    Attributes:
        network: The network judged.
        roles: By key, every role ever given.
        held_back: Ids of what is adopted and yet waits for something that it answers.
        gaps: Ids that would change what a cut or a version reaches.
        files: Files that redactions name.
        bodiless: Ids of statements about roles whose bodies are not here.
    """

    network: Network
    roles: Mapping[str, frozenset[str]]
    held_back: AbstractSet[str]
    gaps: AbstractSet[str]
    files: AbstractSet[str]
    bodiless: AbstractSet[str]


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
    verdicts: Verdicts
    redacted: AbstractSet[str]
    redacted_by: Mapping[str, tuple[str, ...]]
    files_gone: AbstractSet[str]
    sites_taken: AbstractSet[str]
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
    return _Judging(network, kinds, Joined(NOTHING, _one_copy_of_each(statements))).judgement()


def judge_held(network: Network, kinds: Mapping[str, KindRule], held: HeldSet) -> Judgement:
    """Judge a set of verified statements where it lies; the arguments are otherwise those of `judge`."""
    return _Judging(network, kinds, Joined(held, {})).judgement()


def judge_more(
    judgement: Judgement, kinds: Mapping[str, KindRule], known: HeldSet, new: Iterable[Statement]
) -> Judgement:
    """Judge more statements of the same network, as if all had been judged at once.

    Args:
        judgement: That of the statements known, by the same table of kinds.
        kinds: The table of kinds.
        known: Those statements; it may hold the new ones already.
        new: Verified statements, known ones and repetitions among them.

    Raises:
        LocalError: A statement that was judged is not among those known.
    """
    fresh = _fresh(judgement, new)
    more = _settled(judgement, kinds, known, fresh)
    return more or _Judging(judgement.footing.network, kinds, Joined(known, fresh)).judgement()


def settle_more(
    judgement: Judgement, kinds: Mapping[str, KindRule], known: HeldSet, new: Iterable[Statement]
) -> Judgement | None:
    """What `judge_more` gives, or None where the whole would have to be judged anew."""
    return _settled(judgement, kinds, known, _fresh(judgement, new))


def sites_to_take(judgement: Judgement, own_key: str) -> Collection[str]:
    """The keys of the sites whose bundles are taken in: granted ever, by anyone ever a steward, and my own."""
    return with_more(judgement.sites_taken, () if own_key in judgement.sites_taken else (own_key,))


class _OfKinds:
    """Those of some kinds, found again each time that they are walked through."""

    def __init__(self, held: Joined, kinds: AbstractSet[str]) -> None:
        self._held = held
        self._kinds = kinds

    def __iter__(self) -> Iterator[Statement]:
        return iter(self._held.of_kinds(self._kinds))


class _First:
    """What gives and takes roles, and what was given beside the set: all else can be walked through."""

    def __init__(self, held: Joined) -> None:
        self._held = held

    def __iter__(self) -> Iterator[Statement]:
        yield from self._held.of_kinds(ROLE_KINDS)
        yield from (each for each in self._held.given.values() if each.kind not in ROLE_KINDS)


class _Judging:
    """One judging of a whole set."""

    def __init__(self, network: Network, kinds: Mapping[str, KindRule], held: Joined) -> None:
        self._network = network
        self._held = held
        self._room = held.room()
        self._versions = fold_versions(network, held)
        chains = Chains(held)
        self._voices = Voices(self._versions, chains, held)
        self._ballots = Ballots(self._voices, self._versions, self._room)
        self._cuts = Cuts(held=held, voices=self._voices, chains=chains, ballots=self._ballots)
        self._cuts.fold(_OfKinds(held, {REVOCATION}), _OfKinds(held, {REINSTATEMENT}))
        self._granted = Granted(network, held)
        self._redactions = Redactions(
            redactions=_OfKinds(held, {REDACTION}),
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
        settling = WholeSettling(
            authority=self._authority,
            here=self._held,
            room=self._room,
            standing=ChainMap(self._cuts.verdicts, self._versions.verdicts),
            granted=self._granted,
            ballots=self._ballots,
            redactions=self._redactions,
        )
        settling.settle(_First(self._held), (each for each in self._held.walked() if each.kind not in ROLE_KINDS))
        held_back = self._adopted(settling)
        verdicts = Verdicts(self._held.ids(), settling.others)
        redacted_by = self._redactions.bodies()
        return Judgement(
            charter=self._granted.charter(self._versions, self._cuts.by_key),
            verdicts=verdicts,
            redacted=redacted_by.ids,
            redacted_by=redacted_by,
            files_gone=self._redactions.files(verdicts, redacted_by),
            sites_taken=sites_taken(self._network, self._held, self._versions.ever_stewards()),
            stops=self._cuts.standing,
            tallies=self._ballots.tallies,
            footing=self._footing(held_back, settling.bodiless),
        )

    def _adopted(self, settling: Settling) -> AbstractSet[str]:
        """Lift what is adopted; give back what is adopted but held back by something else."""
        held_back = self._room.names()
        for target in self._adoptable(settling.others):
            if self._authority.may_say(target) and all(map(settling.has_arrived, target.after)):
                settling.others[target.id] = ADOPTED
            else:
                held_back.add(target.id)
        return held_back

    def _adoptable(self, others: Mapping[str, Verdict]) -> Iterator[Statement]:
        """What an accepted adoption names, a cut sets aside, and somebody else has said."""
        return (
            target
            for adoption in self._held.of_kinds({ADOPTION})
            if adoption.id not in others
            for target in map(self._held.get, adoption.after)
            if target is not None
            and target.author != adoption.author
            and others.get(target.id) is REVOKED
            and not target.kind.startswith(_ROLES_OF_SYNC)
        )

    def _footing(self, held_back: AbstractSet[str], bodiless: AbstractSet[str]) -> Footing:
        gaps = self._room.names()
        for each in chain(self._voices.gaps(), self._cuts.gaps()):
            gaps.add(each)
        return Footing(
            network=self._network,
            roles=self._granted.roles,
            held_back=held_back,
            gaps=gaps,
            files=self._redactions.files_named,
            bodiless=bodiless,
        )


class _More(Settling):
    """Settling a few new statements on the footing of a judgement."""

    def __init__(
        self, judgement: Judgement, kinds: Mapping[str, KindRule], known: HeldSet, fresh: Mapping[str, Statement]
    ) -> None:
        stewards = {steward.key for steward in judgement.charter.stewards}
        authority = Authority(
            kinds=kinds,
            roles=judgement.footing.roles,
            is_steward=lambda statement: statement.author in stewards,
            sets_aside=lambda statement: statement.author in judgement.charter.revoked,
        )
        super().__init__(
            authority=authority,
            here=_Known(judgement.verdicts, known, fresh),
            room=known.room(),
            others=Changed(judgement.verdicts.others, known.room().verdicts()),
        )
        self._before = judgement
        self._known = known
        self._fresh = fresh
        self._roles_may_change = any(self._may_change_roles(statement) for statement in fresh.values())

    def judgement(self) -> Judgement | None:
        """The judgement of all, or None where the new ones may change who may say what."""
        if not self._roles_may_change:
            for identity in self._fresh:
                self.look_again(self._answering_before(identity))  # what is said of them may change though they wait
            self.settle(self._fresh.values())
        if self._roles_may_change:
            return None
        return replace(self._before, verdicts=Verdicts(with_more(self._before.verdicts.ids, self._fresh), self.others))

    def decide(self, statement: Statement) -> Verdict:
        """The verdict of a new statement, or of an old one whose author's role has not changed."""
        before = self._before.verdicts.others.get(statement.id)
        if before is None:
            return super().decide(statement)
        if before.rule == "role":
            return lacking_role(self.missing(statement))
        if before.rule == "after":
            return lacking(self.missing(statement)) if self.waits(statement) else ACCEPTED
        return before

    def answering(self, identity: str) -> Iterable[str]:
        """What waited for this statement, before or since."""
        return chain(super().answering(identity), self._answering_before(identity))

    def _answering_before(self, identity: str) -> Iterator[str]:
        """What answers a statement that had not arrived before, and therefore waited itself or was held back."""
        for each in self._known.answering(identity):
            if each in self._before.footing.held_back:
                self._roles_may_change = True
            elif not arrived(self._before.verdicts.get(each, ACCEPTED)):
                if self._may_change_roles(judged(self._known, each)):
                    self._roles_may_change = True
                yield each

    def _may_change_roles(self, statement: Statement) -> bool:
        """Whether taking in or settling this one can change more than what answers it."""
        footing = self._before.footing
        return (
            statement.kind in ROLE_KINDS
            or statement.id in footing.gaps
            or not footing.files.isdisjoint(statement.attachments)
        )


class _Known:
    """What was judged before, with what is new; more may be held that is neither."""

    def __init__(self, judged: Verdicts, known: HeldSet, fresh: Mapping[str, Statement]) -> None:
        self._judged = judged
        self._known = known
        self._fresh = fresh

    def has(self, identity: str) -> bool:
        return identity in self._fresh or identity in self._judged

    def get(self, identity: str) -> Statement | None:
        return self._fresh.get(identity) or self._known.get(identity)


def _settled(
    judgement: Judgement, kinds: Mapping[str, KindRule], known: HeldSet, fresh: Mapping[str, Statement]
) -> Judgement | None:
    return _More(judgement, kinds, known, fresh).judgement() if fresh else judgement


def _fresh(judgement: Judgement, new: Iterable[Statement]) -> dict[str, Statement]:
    """Those that were not judged yet, or not with their bodies."""
    return {
        statement.id: statement
        for statement in _one_copy_of_each(new).values()
        if statement.id not in judgement.verdicts or _brings_body(judgement, statement)
    }


def _one_copy_of_each(statements: Iterable[Statement]) -> dict[str, Statement]:
    """By id, a copy with the body where there is one."""
    held: dict[str, Statement] = {}
    for statement in statements:
        if statement.body_bytes is not None or statement.id not in held:
            held[statement.id] = statement
    return held


def _brings_body(judgement: Judgement, statement: Statement) -> bool:
    return statement.id in judgement.footing.bodiless and statement.body_bytes is not None
