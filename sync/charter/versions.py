"""The versions of the stewards that are in force, and the heads among them.

Not what a steward may say (`sync.charter.voices`). One rule: a version is what its statements say *and*
what they answer, so that the same body answering other versions is another version; it is in force when
every version that it answers is, and the threshold of each of those and of its own have said it.

Version 1 is the network file, which is no statement: a statement whose ``after`` names no statement of
``sync/stewards`` answers version 1. Whatever else ``after`` names only has to be here (an id that is
missing might be a version). No revocation and no ``before`` touches these statements, so this fold needs
nothing but them and ends.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, NamedTuple

from sync.canonical import canonical_bytes
from sync.charter.forms import FIRST_VERSION, STEWARDS, StewardsNamed, needs_newer, read_version
from sync.charter.verdict import (
    ACCEPTED,
    LACKING_BODY,
    LACKING_VOICES,
    NEEDS_NEWER,
    Verdict,
    arrived,
    lacking,
    malformed,
)
from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, MutableMapping
    from collections.abc import Set as AbstractSet

    from sync.charter.held import Joined
    from sync.network import Network, Steward
    from sync.statement import Statement


@dataclass(frozen=True)
class Version:
    """One version of the stewards.

    Attributes:
        name: 64 hex from its body and the versions answered; for version 1 the network id.
        number: From 1.
        stewards: By key.
        threshold: How many of them must agree to allow.
        before: Per key the last statements that still speak with the versions answered.
        answers: Names of the versions answered, sorted.
        voices: Ids of the statements that say it, sorted; none for version 1.
    """

    name: str
    number: int
    stewards: Mapping[str, Steward]
    threshold: int
    before: Mapping[str, tuple[str, ...]]
    answers: tuple[str, ...]
    voices: tuple[str, ...]


@dataclass(frozen=True)
class Versions:
    """What the statements of stewards come to.

    Attributes:
        in_force: By name, those answered since included.
        heads: Those that none in force answers, sorted by name; several are rivals.
        proposed: Those that answer just the heads, are not in force yet, and are said by somebody whom a list names
            that a steward has said, sorted by name.
        verdicts: Of every statement of ``sync/stewards``.
    """

    in_force: Mapping[str, Version]
    heads: tuple[Version, ...]
    proposed: tuple[Version, ...]
    verdicts: MutableMapping[str, Verdict]

    def ever_stewards(self) -> frozenset[str]:
        """The keys that any version in force has named."""
        return frozenset(key for version in self.in_force.values() for key in version.stewards)


@dataclass
class _Proposed:
    """A version that is said, in force or not, with who says it."""

    name: str
    body: StewardsNamed
    answers: tuple[str, ...]
    voices: dict[str, str] = field(default_factory=dict)  # id of the statement: its author

    def authors(self) -> set[str]:
        return set(self.voices.values())


class _Placed(NamedTuple):
    """The version that a statement says, as those need it that answer the statement."""

    name: str
    number: int
    stewards: frozenset[str]

    def packed(self) -> bytes:
        return json.dumps([self.name, self.number, sorted(self.stewards)]).encode()


def fold_versions(network: Network, held: Joined) -> Versions:
    """Fold all statements of ``sync/stewards``.

    Args:
        network: Version 1.
        held: Everything that is here.
    """
    fold = _Fold(network, held, _possible(network, held))
    for statement in held.in_order(STEWARDS):
        fold.place(statement)
    return fold.result()


def _possible(network: Network, held: Joined) -> frozenset[str]:
    """The keys whose words may bring a version into force: the first stewards, and whom any of these would have.

    Anybody may say a list that names themselves, and say a million; without a steward's voice none of them counts.
    """
    possible = {steward.key for steward in network.stewards}
    while True:
        before = len(possible)
        for statement in held.of_kinds({STEWARDS}):
            if statement.author in possible:
                possible.update(_named_in(statement))
        if len(possible) == before:
            return frozenset(possible)


def _named_in(statement: Statement) -> Iterable[str]:
    try:
        body = read_version(statement.body) if statement.body is not None else None
    except RemoteError:
        return ()
    return () if body is None else (steward.key for steward in body.stewards)


class _Fold:
    def __init__(self, network: Network, held: Joined, possible: AbstractSet[str]) -> None:
        self._held = held
        self._possible = possible
        first = Version(
            name=network.id,
            number=FIRST_VERSION,
            stewards={steward.key: steward for steward in network.stewards},
            threshold=network.threshold,
            before={},
            answers=(),
            voices=(),
        )
        self._first = first
        self._proposed: dict[str, _Proposed] = {}
        self._placed = held.room().texts()
        self._verdicts = held.room().verdicts()

    def place(self, statement: Statement) -> None:
        """Find the version that a statement says, or what keeps it from saying one."""
        try:
            verdict = self._place(statement)
        except RemoteError as error:
            verdict = malformed(error.message)
        self._verdicts[statement.id] = verdict

    def _place(self, statement: Statement) -> Verdict:
        if needs_newer(statement):
            return NEEDS_NEWER
        if statement.body is None or statement.body_bytes is None:
            return LACKING_BODY
        body = read_version(statement.body)
        answered = [each for each in statement.after if self._is_version(each)]
        missing = tuple(each for each in statement.after if not self._held.has(each))
        if missing or not all(arrived(self._verdicts.get(each)) or each in self._placed for each in answered):
            return lacking(missing)
        answers = self._answers(answered)
        if body.version != 1 + max(placed.number for placed in answers):
            raise RemoteError("the number of this version of the signatories is not one more than the one it answers")
        own = frozenset(steward.key for steward in body.stewards)
        if statement.author not in own.union(*(placed.stewards for placed in answers)):
            raise RemoteError("its author is a signatory neither of this version nor of the one it answers")
        names = tuple(sorted({placed.name for placed in answers}))
        digest = sha256(statement.body_bytes).hexdigest()
        name = sha256(canonical_bytes([digest, *names])).hexdigest()
        self._placed[statement.id] = _Placed(name, body.version, own).packed()
        if statement.author in self._possible:
            self._proposed.setdefault(name, _Proposed(name, body, names)).voices[statement.id] = statement.author
        return LACKING_VOICES

    def _is_version(self, identity: str) -> bool:
        answered = self._held.get(identity)
        return answered is not None and answered.kind == STEWARDS

    def _answers(self, answered: Iterable[str]) -> list[_Placed]:
        """The versions that these statements say; the first where there are none."""
        found = [self._placed_at(each) for each in answered]
        if None in found:
            raise RemoteError("this version of the signatories answers one that is not in the form agreed")
        placed = [each for each in found if each is not None]
        return placed or [_Placed(self._first.name, self._first.number, frozenset(self._first.stewards))]

    def _placed_at(self, identity: str) -> _Placed | None:
        packed = self._placed.get(identity)
        if packed is None:
            return None
        name, number, stewards = json.loads(packed)
        return _Placed(name, number, frozenset(stewards))

    def result(self) -> Versions:
        """Bring the versions into force, the lower numbers first, since each answers only lower ones."""
        in_force = {self._first.name: self._first}
        for proposed in sorted(self._proposed.values(), key=lambda each: each.body.version):
            if self._is_agreed(proposed, in_force):
                in_force[proposed.name] = _version(proposed)
        for voice in (voice for version in in_force.values() for voice in version.voices):
            self._verdicts[voice] = ACCEPTED
        answered = {name for version in in_force.values() for name in version.answers}
        heads = tuple(in_force[name] for name in sorted(in_force.keys() - answered))
        return Versions(in_force, heads, self._answering(heads), self._verdicts)

    def _answering(self, heads: Iterable[Version]) -> tuple[Version, ...]:
        """None of these is in force: what it answers would be no head."""
        names = tuple(head.name for head in heads)
        waiting = (each for each in self._proposed.values() if each.answers == names)
        return tuple(sorted((_version(each) for each in waiting), key=lambda version: version.name))

    def _is_agreed(self, proposed: _Proposed, in_force: Mapping[str, Version]) -> bool:
        if not all(name in in_force for name in proposed.answers):
            return False
        authors = proposed.authors()
        own = len(authors.intersection(steward.key for steward in proposed.body.stewards)) >= proposed.body.threshold
        return own and all(
            len(authors & in_force[name].stewards.keys()) >= in_force[name].threshold for name in proposed.answers
        )


def _version(proposed: _Proposed) -> Version:
    body = proposed.body
    return Version(
        name=proposed.name,
        number=body.version,
        stewards={steward.key: steward for steward in body.stewards},
        threshold=body.threshold,
        before=body.before,
        answers=proposed.answers,
        voices=tuple(sorted(proposed.voices)),
    )
