"""Roles as they are given: sites and reviewers by stewards, people by their sites.

Not who may give them (`sync.charter.voices`) and not when a grant waits (`sync.charter.settling`). One
rule: a role that was given stays given in the judging of what its holder said; only a cut takes from it.

Where several grants name one key differently, the one that answers the others (names them in ``after``) is
shown, else the first by its words; the scopes of a reviewer add up, and trainer is more than volunteer.

Whoever may give roles may give a million, to as many keys or to one; so what is given lies in the room of whoever holds
the set: of each key the words that were heard first, and by their ids alone the statements that name it again.
"""

from __future__ import annotations

import json
from itertools import chain
from typing import TYPE_CHECKING, Any

from sync.charter.by_key import ByKey, FirstOf, Told, pairs_in_order
from sync.charter.forms import GRANT, PERSON, PERSON_ROLES, SiteGrant, read_grant, read_person
from sync.charter.held import judged
from sync.charter.labels import Labels
from sync.charter.roles import Charter, PersonRole, ReviewerRole, SiteRole
from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from sync.charter.cuts import CutsByKey
    from sync.charter.forms import PersonNamed, ReviewerGrant
    from sync.charter.held import Joined
    from sync.charter.room import Room
    from sync.charter.versions import Version, Versions
    from sync.network import Network, Steward
    from sync.statement import Statement

Words = list[Any]  # what a grant says of a key beside the key: of equal rank the least counts

_ID_BYTES = 32
_NO_STATEMENT = "00" * _ID_BYTES
_NAMES = ("site", "reviewer", *PERSON_ROLES)
_SETS = tuple(frozenset(name for place, name in enumerate(_NAMES) if bits >> place & 1) for bits in range(16))
_REMEMBERED = 1024  # keys whose roles are asked for again and again


class RolesGiven(ByKey[frozenset[str]]):
    """By key, every role ever given."""

    def __init__(self, room: Room) -> None:
        """None yet."""
        self._bits = room.texts()
        self._asked: dict[str, frozenset[str]] = {}

    def add(self, key: str, role: str) -> bool:
        """Give one; tell whether the key had it not."""
        before = self._bits.get(key, b"\x00")[0]
        after = before | 1 << _NAMES.index(role)
        if after == before:
            return False
        self._bits[key] = bytes([after])
        self._asked.pop(key, None)
        return True

    def __getitem__(self, key: str) -> frozenset[str]:
        """The roles of one."""
        found = self._asked.get(key)
        if found is None:
            found = _SETS[self._bits[key][0]]
            if len(self._asked) >= _REMEMBERED:
                self._asked.clear()
            self._asked[key] = found
        return found

    def __contains__(self, key: object) -> bool:
        """Whether it was given any."""
        return key in self._bits

    def pairs(self) -> Iterator[tuple[str, frozenset[str]]]:
        """Each key with its roles."""
        return ((key, _SETS[bits[0]]) for key, bits in pairs_in_order(self._bits))


class Granted:
    """What has been given so far.

    Attributes:
        roles: By key, every role ever given (stewards speak by version and are not among them).
    """

    def __init__(self, network: Network, held: Joined) -> None:
        """The founding site is granted by the network file and cannot be replaced.

        Args:
            network: Whose file it is.
            held: What is here.
        """
        self._founding = network.site
        self._room = held.room()
        self.roles = RolesGiven(self._room)
        self._sites, self._reviewers, self._people = (_Said(held) for _ in range(3))
        self._sites.put(self._founding.key, [self._founding.letter, self._founding.name])
        self.roles.add(self._founding.key, "site")

    def site(self, statement: Statement, given: SiteGrant) -> bool:
        """Make a key a site; tell whether it was none before."""
        if given.key != self._founding.key:
            self._sites.hear(given.key, statement)
        return self.roles.add(given.key, "site")

    def reviewer(self, statement: Statement, given: ReviewerGrant) -> bool:
        """Make a key a reviewer; tell whether it was none before."""
        self._reviewers.hear(given.key, statement)
        return self.roles.add(given.key, "reviewer")

    def person(self, statement: Statement, given: PersonNamed) -> bool:
        """Make a key a person of the site that says it; tell whether it had not that role before."""
        self._people.hear(given.key, statement)
        return self.roles.add(given.key, given.role)

    def is_site(self, key: str) -> bool:
        """Whether a key has been granted as a site, stopped since or not."""
        return "site" in self.roles.get(key, ())

    def charter(self, versions: Versions, revoked: CutsByKey) -> Charter:
        """The roles in force, where these keys are stopped; nothing is given afterwards."""
        self._settle()
        heads = versions.heads
        stewards, threshold = _standing(heads)
        sites, reviewers, people = self._sites.kept, self._reviewers.kept, self._people.kept
        standing = {steward.key: (steward.name, steward.site) for steward in stewards}
        named = FirstOf(standing, Told(reviewers, _name_of_reviewer), Told(people, _name_of_person))
        return Charter(
            heads=heads,
            stewards=stewards,
            threshold=threshold,
            sites=Told(sites, _site_role, without=revoked),
            reviewers=Told(reviewers, _reviewer_role, without=revoked),
            people=Told(people, _person_role, without=revoked),
            revoked=revoked,
            alarm=tuple(head.name for head in heads) if len(heads) > 1 else (),
            proposed=versions.proposed,
            labels=Labels(letters=Told(sites, _letter), people=named, room=self._room),
            homes=FirstOf(
                Told(sites, _key_itself),
                {steward.key: steward.site for steward in stewards},
                Told(reviewers, _home_of_reviewer),
                Told(people, _home_of_person),
            ),
            scopes=Told(reviewers, _scope),
        )

    def _settle(self) -> None:
        """Find what is shown of those who were named several times."""
        for key, shown, _ in self._sites.named_again():
            self._sites.put(key, shown)
        for key, (name, _, site), every in self._reviewers.named_again():
            self._reviewers.put(key, [name, _added_up(scope for _, scope, _ in every), site])
        for key, (site, name, _), _ in self._people.named_again():
            self._people.put(key, [site, name, next(role for role in PERSON_ROLES if role in self.roles[key])])


class _Said:
    """What is said of keys in one role.

    Attributes:
        kept: By key, whose statement was heard first, with its words.
    """

    def __init__(self, held: Joined) -> None:
        """Nothing yet."""
        self._held = held
        self._room = held.room()
        self.kept = self._room.texts()
        self._again = self._room.names()
        self._more = self._room.lists()

    def hear(self, key: str, statement: Statement) -> None:
        """Somebody says something of a key."""
        if key not in self.kept:
            self.put(key, _words_in(statement), said_by=statement.id)
        else:
            self._again.add(key)
            self._more.append(key, statement.id)

    def put(self, key: str, words: Words, *, said_by: str = _NO_STATEMENT) -> None:
        """Let these be the words of a key."""
        self.kept[key] = bytes.fromhex(said_by) + json.dumps(words).encode()

    def named_again(self) -> Iterator[tuple[str, Words, Iterator[Words]]]:
        """The keys of which several statements speak: with the words that are shown, and those of every one."""
        for key in self._again:
            answered = self._room.names()
            for statement in self._saying(key):
                for each in statement.after:
                    answered.add(each)
            shown = min(_words_in(statement) for statement in self._saying(key) if statement.id not in answered)
            yield key, shown, (_words_in(statement) for statement in self._saying(key))

    def _saying(self, key: str) -> Iterator[Statement]:
        """The statements that speak of a key, found again: any of them may be long."""
        return (judged(self._held, each) for each in chain([self.kept[key][:_ID_BYTES].hex()], self._more.of(key)))


def sites_taken(network: Network, held: Joined, stewards: Container[str]) -> AbstractSet[str]:
    """The keys of the sites whose bundles are taken in: granted ever, by anyone ever a steward, whatever became of it.

    Args:
        network: Its founding site is one of them.
        held: What is here.
        stewards: The keys of all who ever were one.
    """
    taken = held.room().names()
    taken.add(network.site.key)
    for grant in held.of_kinds({GRANT}):
        if grant.author in stewards and (key := _site_named(grant)) is not None:
            taken.add(key)
    return taken


def _site_named(grant: Statement) -> str | None:
    """The key that a grant names as a site, whatever becomes of the grant."""
    try:
        given = read_grant(grant.body) if grant.body is not None else None
    except RemoteError:
        return None
    return given.key if isinstance(given, SiteGrant) else None


def _words_in(statement: Statement) -> Words:
    """What a statement that gives a role says beside the key."""
    body = statement.body or {}
    if statement.kind == PERSON:
        person = read_person(body)
        return [statement.author, person.name, person.role]
    given = read_grant(body)
    if isinstance(given, SiteGrant):
        return [given.letter, given.name]
    return [given.name, given.scope, given.site]


def _words(kept: bytes) -> Words:
    words: Words = json.loads(kept[_ID_BYTES:])
    return words


def _site_role(key: str, kept: bytes) -> SiteRole:
    letter, name = _words(kept)
    return SiteRole(key, letter, name)


def _reviewer_role(key: str, kept: bytes) -> ReviewerRole:
    name, scope, site = _words(kept)
    return ReviewerRole(key, name, site, tuple(scope))


def _person_role(key: str, kept: bytes) -> PersonRole:
    site, name, role = _words(kept)
    return PersonRole(key, name, role, site)


def _letter(_key: str, kept: bytes) -> str:
    return str(_words(kept)[0])


def _key_itself(key: str, _kept: bytes) -> str:
    return key


def _name_of_reviewer(_key: str, kept: bytes) -> tuple[str, str]:
    name, _, site = _words(kept)
    return name, site


def _name_of_person(_key: str, kept: bytes) -> tuple[str, str]:
    site, name, _ = _words(kept)
    return name, site


def _home_of_reviewer(_key: str, kept: bytes) -> str:
    return str(_words(kept)[2])


def _home_of_person(_key: str, kept: bytes) -> str:
    return str(_words(kept)[0])


def _scope(_key: str, kept: bytes) -> tuple[str, ...]:
    return tuple(_words(kept)[1])


def _added_up(scopes: Iterable[list[str]]) -> list[str]:
    """All kinds of several scopes; an empty one is for all kinds."""
    kinds = set[str]()
    for scope in scopes:
        if not scope:
            return []
        kinds.update(scope)
    return sorted(kinds)


def _standing(heads: tuple[Version, ...]) -> tuple[tuple[Steward, ...], int]:
    """The stewards whose word counts under every head, and how many must agree."""
    keys = frozenset.intersection(*(frozenset(head.stewards) for head in heads))
    return tuple(heads[0].stewards[key] for key in sorted(keys)), max(head.threshold for head in heads)
