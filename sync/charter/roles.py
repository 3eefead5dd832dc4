"""The charter: the roles in force, as a value that people and pages can ask.

Not the statements that gave them. One rule: equal sets of statements give equal charters, and equal
charters give equal bytes (`Charter.as_value`).

A key that is stopped has no role in force, but keeps its name, since what it said before still stands.
People, sites and reviewers may be a million: a map of them is walked through in the order of the keys, and need not lie
in memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sync.canonical import canonical_pieces

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from sync.charter.cuts import CutsByKey
    from sync.charter.versions import Version
    from sync.network import Steward

_SHOWN_UNKNOWN = 8  # characters of a key that nobody named


@dataclass(frozen=True, slots=True)
class SiteRole:
    """A site of the network."""

    key: str
    letter: str
    name: str


@dataclass(frozen=True, slots=True)
class ReviewerRole:
    """A reviewer; an empty scope means all kinds of entries."""

    key: str
    name: str
    site: str
    scope: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PersonRole:
    """A trainer or volunteer, and the key of the site that vouches for them."""

    key: str
    name: str
    role: str
    site: str


@dataclass(frozen=True)
class Charter:
    """Who may do what.

    Attributes:
        heads: The stewards' versions that count; several are rivals.
        stewards: Those whose word counts now: stewards in every head, sorted by key.
        threshold: How many must agree to allow (with rivals the largest).
        sites: By key, those not stopped, the founding site included.
        reviewers: By key, those not stopped.
        people: Trainers and volunteers by key, those not stopped.
        revoked: Stopped keys, each with its cuts (lists of last good statements).
        alarm: Names of rival versions; empty when all is well.
        proposed: Next versions that some have stated and that lack voices; whoever agrees says the body of one of
            their ``voices`` again, answering `answers`.
        labels: Short names by key, of everyone ever named.
        homes: The site's key by key, of everyone ever named.
        scopes: The kinds of entries by key, of everyone ever a reviewer; empty for all.
    """

    heads: tuple[Version, ...]
    stewards: tuple[Steward, ...]
    threshold: int
    sites: Mapping[str, SiteRole]
    reviewers: Mapping[str, ReviewerRole]
    people: Mapping[str, PersonRole]
    revoked: CutsByKey
    alarm: tuple[str, ...]
    proposed: Collection[Version]
    labels: Mapping[str, str]
    homes: Mapping[str, str]
    scopes: Mapping[str, tuple[str, ...]]

    def roles_of(self, key: str) -> frozenset[str]:
        """The roles in force of a key: site, trainer, volunteer, reviewer, steward."""
        if key in self.revoked:
            return frozenset()
        roles = {
            "site": key in self.sites,
            "reviewer": key in self.reviewers,
            "steward": any(steward.key == key for steward in self.stewards),
        }
        named = {self.people[key].role} if key in self.people else set()
        return frozenset(role for role, held in roles.items() if held) | named

    def name_of(self, key: str) -> str:
        """The short name of a person or site (``C3``, ``T``), or the beginning of an unknown key."""
        return self.labels.get(key, key[:_SHOWN_UNKNOWN])

    def site_of(self, key: str) -> str | None:
        """The key of the site where a person is (a site is at itself), or None."""
        return self.homes.get(key)

    def answers(self) -> tuple[str, ...]:
        """What the next version of the stewards names in ``after``: a statement of each head."""
        return tuple(sorted(head.voices[0] for head in self.heads if head.voices))

    def next_version(self) -> int:
        """The number of the next version of the stewards."""
        return 1 + max(head.number for head in self.heads)

    def as_value(self) -> dict[str, Any]:
        """The roles in force as one canonical JSON value."""
        value: dict[str, Any] = _gathered(self._parts())
        return value

    def spelled(self) -> Iterator[bytes]:
        """The canonical bytes of that value, a piece at a time."""
        return canonical_pieces(self._parts())

    def _parts(self) -> dict[str, Any]:
        """The same value; what there can be very many of is told one by one."""
        people, reviewers, sites = self.people.values(), self.reviewers.values(), self.sites.values()
        return {
            "people": ({"key": p.key, "name": p.name, "role": p.role, "site": p.site} for p in people),
            "reviewers": ({"key": r.key, "name": r.name, "scope": list(r.scope), "site": r.site} for r in reviewers),
            "revoked": ({"cuts": map(list, self.revoked.in_order(key)), "key": key} for key in self.revoked),
            "sites": ({"key": s.key, "letter": s.letter, "name": s.name} for s in sites),
            "stewards": [{"key": s.key, "name": s.name, "site": s.site} for s in self.stewards],
            "threshold": self.threshold,
            "versions": [{"name": head.name, "version": head.number} for head in self.heads],
        }


def _gathered(value: Any) -> Any:
    """A value with a list in the place of everything that tells its elements one by one."""
    if isinstance(value, dict):
        return {name: _gathered(each) for name, each in value.items()}
    return list(map(_gathered, value)) if isinstance(value, Iterator) else value
