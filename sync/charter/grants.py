"""Roles as they are given: sites and reviewers by stewards, people by their sites.

Not who may give them (`sync.charter.voices`) and not when a grant waits (`sync.charter.settling`). One
rule: a role that was given stays given in the judging of what its holder said; only a cut takes from it.

Where several grants name one key differently, the one that answers the others (names them in ``after``) is
shown, else the first by its words; the scopes of a reviewer add up, and trainer is more than volunteer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from sync.charter.forms import PERSON_ROLES, PersonNamed, ReviewerGrant, SiteGrant
from sync.charter.roles import Charter, PersonRole, ReviewerRole, SiteRole, label_all

if TYPE_CHECKING:
    from sync.charter.versions import Version, Versions
    from sync.network import Network, Steward
    from sync.statement import Statement

GivenT = TypeVar("GivenT", SiteGrant, ReviewerGrant, tuple[str, PersonNamed])
Cuts = Mapping[str, tuple[tuple[str, ...], ...]]


class _Said(NamedTuple):
    """The statement that gives a role: no more of it than tells which of several is shown."""

    id: str
    after: tuple[str, ...]


class Granted:
    """What has been given so far.

    Attributes:
        roles: By key, every role ever given (stewards speak by version and are not among them).
    """

    def __init__(self, network: Network) -> None:
        """The founding site is granted by the network file and cannot be replaced."""
        self._founding = network.site
        self.roles: defaultdict[str, set[str]] = defaultdict(set)
        self.roles[network.site.key].add("site")
        self._sites: defaultdict[str, list[tuple[_Said, SiteGrant]]] = defaultdict(list)
        self._reviewers: defaultdict[str, list[tuple[_Said, ReviewerGrant]]] = defaultdict(list)
        self._people: defaultdict[str, list[tuple[_Said, tuple[str, PersonNamed]]]] = defaultdict(list)

    def site(self, statement: Statement, given: SiteGrant) -> bool:
        """Make a key a site; tell whether it was none before."""
        self._sites[given.key].append((_said(statement), given))
        return self._add(given.key, "site")

    def reviewer(self, statement: Statement, given: ReviewerGrant) -> bool:
        """Make a key a reviewer; tell whether it was none before."""
        self._reviewers[given.key].append((_said(statement), given))
        return self._add(given.key, "reviewer")

    def person(self, statement: Statement, given: PersonNamed) -> bool:
        """Make a key a person of the site that says it; tell whether it had not that role before."""
        self._people[given.key].append((_said(statement), (statement.author, given)))
        return self._add(given.key, given.role)

    def is_site(self, key: str) -> bool:
        """Whether a key has been granted as a site, stopped since or not."""
        return "site" in self.roles.get(key, ())

    def charter(self, versions: Versions, revoked: Cuts) -> Charter:
        """The roles in force, where these keys are stopped."""
        heads = versions.heads
        stewards, threshold = _standing(heads)
        sites, reviewers, people = self._site_roles(), self._reviewer_roles(), self._person_roles()
        named = {key: (person.name, person.site) for key, person in people.items()}
        named |= {key: (reviewer.name, reviewer.site) for key, reviewer in reviewers.items()}
        named |= {steward.key: (steward.name, steward.site) for steward in stewards}
        return Charter(
            heads=heads,
            stewards=stewards,
            threshold=threshold,
            sites={key: site for key, site in sites.items() if key not in revoked},
            reviewers={key: reviewer for key, reviewer in reviewers.items() if key not in revoked},
            people={key: person for key, person in people.items() if key not in revoked},
            revoked=revoked,
            alarm=tuple(head.name for head in heads) if len(heads) > 1 else (),
            proposed=versions.proposed,
            labels=label_all(letters={key: site.letter for key, site in sites.items()}, people=named),
            homes={key: site for key, (_, site) in named.items()} | {key: key for key in sites},
            scopes={key: reviewer.scope for key, reviewer in reviewers.items()},
        )

    def _add(self, key: str, role: str) -> bool:
        new = role not in self.roles[key]
        self.roles[key].add(role)
        return new

    def _site_roles(self) -> dict[str, SiteRole]:
        shown = {key: _shown(given) for key, given in self._sites.items()}
        sites = {key: SiteRole(key, site.letter, site.name) for key, site in shown.items()}
        founding = self._founding
        return sites | {founding.key: SiteRole(founding.key, founding.letter, founding.name)}

    def _reviewer_roles(self) -> dict[str, ReviewerRole]:
        roles = {}
        for key, given in self._reviewers.items():
            shown = _shown(given)
            roles[key] = ReviewerRole(key, shown.name, shown.site, _added_up(each.scope for _, each in given))
        return roles

    def _person_roles(self) -> dict[str, PersonRole]:
        roles = {}
        for key, given in self._people.items():
            site, shown = _shown(given)
            role = next(each for each in PERSON_ROLES if each in self.roles[key])
            roles[key] = PersonRole(key, shown.name, role, site)
        return roles


def _said(statement: Statement) -> _Said:
    return _Said(statement.id, statement.after)


def _shown(given: Iterable[tuple[_Said, GivenT]]) -> GivenT:
    """Of several words for one key: of those that no other answers the first."""
    answered = {each for said, _ in given for each in said.after}
    return min(words for said, words in given if said.id not in answered)


def _added_up(scopes: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    listed = list(scopes)
    return tuple(sorted({kind for scope in listed for kind in scope})) if all(listed) else ()


def _standing(heads: tuple[Version, ...]) -> tuple[tuple[Steward, ...], int]:
    """The stewards whose word counts under every head, and how many must agree."""
    keys = frozenset.intersection(*(frozenset(head.stewards) for head in heads))
    return tuple(heads[0].stewards[key] for key in sorted(keys)), max(head.threshold for head in heads)
