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

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from hashlib import sha256
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, NamedTuple

from sync.canonical import canonical_bytes
from sync.charter.forms import FIRST_VERSION, STEWARDS, needs_newer, read_version
from sync.charter.held import judged
from sync.charter.verdict import (
    ACCEPTED,
    LACKING_BODY,
    LACKING_VOICES,
    NEEDS_NEWER,
    Verdict,
    arrived,
    in_order,
    lacking,
    malformed,
)
from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, MutableMapping
    from collections.abc import Set as AbstractSet

    from sync.charter.forms import StewardsNamed
    from sync.charter.held import Joined
    from sync.charter.room import Sets
    from sync.network import Network, Steward
    from sync.statement import Statement

_NAME_HEX = 64
_NUMBER_HEX = 16  # of the number of a version: enough for the largest whole number


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
        voices: Ids of the statements that say it, sorted; none for version 1. Looked up when asked for: one steward may
            say one list a million times.
    """

    name: str
    number: int
    stewards: Mapping[str, Steward]
    threshold: int
    before: Mapping[str, tuple[str, ...]]
    answers: tuple[str, ...]
    voices: Sequence[str]


@dataclass(frozen=True)
class Versions:
    """What the statements of stewards come to.

    Attributes:
        in_force: By name, those answered since included.
        heads: Those that none in force answers, sorted by name; several are rivals.
        proposed: Those that answer just the heads, are not in force yet, and are said by somebody whom a list names
            that a steward has said, sorted by name; looked up when asked for.
        verdicts: Of every statement of ``sync/stewards``.
    """

    in_force: Mapping[str, Version]
    heads: tuple[Version, ...]
    proposed: Collection[Version]
    verdicts: MutableMapping[str, Verdict]

    def ever_stewards(self) -> frozenset[str]:
        """The keys that any version in force has named."""
        return frozenset(key for version in self.in_force.values() for key in version.stewards)


class Saying(Sequence[str]):
    """The ids of the statements that say a version, sorted."""

    def __init__(self, saying: Sets, name: str) -> None:
        """Of what is noted by the names of versions."""
        self._saying = saying
        self._name = name

    def __iter__(self) -> Iterator[str]:
        """One by one."""
        return self._saying.of(self._name)

    def __getitem__(self, which: Any) -> Any:
        """Those at some places; the first is found at once."""
        return next(iter(self)) if which == 0 else tuple(self)[which]

    def __len__(self) -> int:
        """How many there are."""
        return sum(1 for _ in self)

    def __bool__(self) -> bool:
        """Whether there are any."""
        return self._name in self._saying

    def __eq__(self, other: object) -> bool:
        """Whether others are the same ids in the same order."""
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    __hash__ = None  # type: ignore[assignment]


class _Placed(NamedTuple):
    """The version that a statement says, as those need it that answer the statement."""

    name: str
    number: int

    def packed(self) -> bytes:
        return bytes.fromhex(f"{self.name}{self.number:0{_NUMBER_HEX}x}")


class _Stated:
    """The versions that are said, in force or not, by their names."""

    def __init__(self, held: Joined) -> None:
        room = held.room()
        self._held = held
        self._numbered = room.names()  # number and name of each that somebody says whose words may count
        self._saying = room.sets()
        self._authors = room.sets()
        self._answers = room.sets()

    def say(self, statement: Statement, placed: _Placed, answers: Iterable[str]) -> None:
        self._saying.add(placed.name, statement.id)
        self._authors.add(placed.name, statement.author)
        for each in answers:
            self._answers.add(placed.name, each)
        self._numbered.add(f"{placed.number:0{_NUMBER_HEX}x}{placed.name}")

    def names(self) -> Iterator[str]:
        """Those with lower numbers first, and then by name."""
        return (each[_NUMBER_HEX:] for each in in_order(self._numbered))

    def authors(self, name: str) -> set[str]:
        """Who says one: no more keys than it names or those that it answers."""
        return set(self._authors.of(name))

    def answers(self, name: str) -> tuple[str, ...]:
        """The names of the versions that one answers, sorted."""
        return tuple(self._answers.of(name))

    def version(self, name: str) -> Version:
        """One of them, read again from the first statement that says it."""
        body = self._body(next(self._saying.of(name)))
        return Version(
            name=name,
            number=body.version,
            stewards={steward.key: steward for steward in body.stewards},
            threshold=body.threshold,
            before=body.before,
            answers=self.answers(name),
            voices=Saying(self._saying, name),
        )

    def _body(self, identity: str) -> StewardsNamed:
        return read_version(judged(self._held, identity).body or {})


class _Proposed(Collection[Version]):
    """Of the versions that are said those that answer just the heads; what they answer would be none otherwise."""

    def __init__(self, stated: _Stated, heads: tuple[str, ...]) -> None:
        self._stated = stated
        self._heads = heads

    def __iter__(self) -> Iterator[Version]:
        return (self._stated.version(name) for name in self._names())

    def __len__(self) -> int:
        return sum(1 for _ in self._names())

    def __contains__(self, version: object) -> bool:
        return any(each == version for each in self)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Collection) and all(one == another for one, another in zip_longest(self, other))

    __hash__ = None  # type: ignore[assignment]

    def _names(self) -> Iterator[str]:
        """All of them have one number, so they come by their names."""
        return (name for name in self._stated.names() if self._stated.answers(name) == self._heads)


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


def _possible(network: Network, held: Joined) -> AbstractSet[str]:
    """The keys whose words may bring a version into force: the first stewards, and whom any of these would have.

    Anybody may say a list that names themselves, and say a million; without a steward's voice none of them counts.
    """
    room = held.room()
    possible, found, waiting = room.names(), room.row(), room.lists()

    def name(keys: Iterable[str]) -> None:
        for key in keys:
            if key not in possible:
                possible.add(key)
                found.append(key)

    name(steward.key for steward in network.stewards)
    for statement in held.of_kinds({STEWARDS}):
        if statement.author in possible:
            name(_named_in(statement))
        else:
            waiting.append(statement.author, statement.id)
    while found:
        for identity in waiting.pop(found.pop()):
            said = held.get(identity)
            name(() if said is None else _named_in(said))
    return possible


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
        self._first = Version(
            name=network.id,
            number=FIRST_VERSION,
            stewards={steward.key: steward for steward in network.stewards},
            threshold=network.threshold,
            before={},
            answers=(),
            voices=(),
        )
        self._stated = _Stated(held)
        self._placed = held.room().texts()
        self._named = held.room().sets()  # whom each version names
        self._verdicts = held.room().verdicts()
        self._name(self._first.name, self._first.stewards)

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
        names = sorted({placed.name for placed in answers})
        own = {steward.key for steward in body.stewards}
        if statement.author not in own and not any(self._named.holds(name, statement.author) for name in names):
            raise RemoteError("its author is a signatory neither of this version nor of the one it answers")
        digest = sha256(statement.body_bytes).hexdigest()
        placed = _Placed(sha256(canonical_bytes([digest, *names])).hexdigest(), body.version)
        self._placed[statement.id] = placed.packed()
        self._name(placed.name, own)
        if statement.author in self._possible:
            self._stated.say(statement, placed, names)
        return LACKING_VOICES

    def _name(self, version: str, keys: Iterable[str]) -> None:
        if version not in self._named:
            for key in keys:
                self._named.add(version, key)

    def _is_version(self, identity: str) -> bool:
        answered = self._held.get(identity)
        return answered is not None and answered.kind == STEWARDS

    def _answers(self, answered: Iterable[str]) -> list[_Placed]:
        """The versions that these statements say; the first where there are none."""
        found = [self._placed_at(each) for each in answered]
        if None in found:
            raise RemoteError("this version of the signatories answers one that is not in the form agreed")
        placed = [each for each in found if each is not None]
        return placed or [_Placed(self._first.name, self._first.number)]

    def _placed_at(self, identity: str) -> _Placed | None:
        packed = self._placed.get(identity)
        if packed is None:
            return None
        return _Placed(packed.hex()[:_NAME_HEX], int(packed.hex()[_NAME_HEX:], 16))

    def result(self) -> Versions:
        """Bring the versions into force, the lower numbers first, since each answers only lower ones."""
        in_force = {self._first.name: self._first}
        for name in self._stated.names():
            version = self._agreed(name, in_force)
            if version is not None:
                in_force[name] = version
                for voice in version.voices:
                    self._verdicts[voice] = ACCEPTED
        answered = {name for version in in_force.values() for name in version.answers}
        heads = tuple(in_force[name] for name in sorted(in_force.keys() - answered))
        return Versions(in_force, heads, _Proposed(self._stated, tuple(head.name for head in heads)), self._verdicts)

    def _agreed(self, name: str, in_force: Mapping[str, Version]) -> Version | None:
        """A version if enough say it."""
        answered = [in_force.get(each) for each in self._stated.answers(name)]
        authors = self._stated.authors(name)
        if not all(each is not None and len(authors & each.stewards.keys()) >= each.threshold for each in answered):
            return None
        version = self._stated.version(name)
        return version if len(authors & version.stewards.keys()) >= version.threshold else None
