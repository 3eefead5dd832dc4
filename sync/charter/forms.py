"""The forms of the bodies that give and take roles, read into frozen values.

Not who may say them (`sync.charter.voices`) and not what follows (`sync.charter.settling`). One rule: a
body is read whole or refused with one sentence; nothing is guessed. A grant has exactly the names of its
form; the other bodies may hold names that a later version adds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sync.errors import RemoteError
from sync.network import Steward, read_stewards, require_threshold
from sync.shape import require_hex, require_list, require_number, require_object, require_sorted, require_text

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from sync.statement import Statement

GRANT = "sync/grant"
REVOCATION = "sync/revocation"
REINSTATEMENT = "sync/reinstatement"
STEWARDS = "sync/stewards"
HEARTBEAT = "sync/heartbeat"
REDACTION = "sync/redaction"
ADOPTION = "sync/adoption"
PERSON = "sync/person"

ROLE_KINDS = frozenset({GRANT, REVOCATION, REINSTATEMENT, STEWARDS, REDACTION, ADOPTION, PERSON})
STEWARDSHIP = frozenset({STEWARDS, REVOCATION, REINSTATEMENT})  # what no revocation touches

PERSON_ROLES = ("trainer", "volunteer")  # the stronger first
FIRST_VERSION = 1  # the network file
_LETTER = re.compile(r"[A-Z]")
_PERSON = re.compile(r"[A-Z][1-9][0-9]{0,3}")


@dataclass(frozen=True, slots=True, order=True)
class SiteGrant:
    """A steward's word that a key is a site of the network."""

    key: str
    letter: str
    name: str


@dataclass(frozen=True, slots=True, order=True)
class ReviewerGrant:
    """A steward's voice for a reviewer at a site; an empty scope means all kinds of entries."""

    key: str
    name: str
    scope: tuple[str, ...]
    site: str


@dataclass(frozen=True, slots=True, order=True)
class PersonNamed:
    """A site's word that a key is a person there."""

    key: str
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Revoked:
    """A steward's word that a key is stopped; ``last`` names its last good statements."""

    key: str
    last: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StewardsNamed:
    """A version of the stewards; ``before`` gives each earlier steward's last statements."""

    version: int
    stewards: tuple[Steward, ...]
    threshold: int
    before: Mapping[str, tuple[str, ...]]


def read_grant(body: Mapping[str, Any]) -> SiteGrant | ReviewerGrant:
    """Read the body of a grant.

    Raises:
        RemoteError: It is neither of the two forms.
    """
    if body.get("role") == "site":
        _exactly(body, {"key", "letter", "name", "role"})
        return SiteGrant(_key(body), _letter(body["letter"]), require_text(body["name"], "the name of the site"))
    if body.get("role") == "reviewer":
        _exactly(body, {"key", "name", "role", "scope", "site"})
        scope = [require_text(each, "a kind in the scope") for each in require_list(body["scope"], "the scope")]
        site = require_hex(body["site"], "the site of the reviewer")
        return ReviewerGrant(_key(body), _person(body["name"]), require_sorted(scope, "the scope"), site)
    raise RemoteError("a grant gives the role of a site or of a reviewer")


def read_person(body: Mapping[str, Any]) -> PersonNamed:
    """Read the body by which a site names a person.

    Raises:
        RemoteError: It is not of that form.
    """
    require_object(body, "the naming of a person", names={"key", "name", "role"}, more=True)
    if body["role"] not in PERSON_ROLES:
        raise RemoteError("a person whom a site names is a trainer or a volunteer")
    return PersonNamed(_key(body), _person(body["name"]), body["role"])


def read_revocation(body: Mapping[str, Any]) -> Revoked:
    """Read the body that stops a key.

    Raises:
        RemoteError: It is not of that form.
    """
    require_object(body, "the revocation", names={"key", "last"}, more=True)
    return Revoked(_key(body), _ids(body["last"], "the list of last good statements"))


def read_version(body: Mapping[str, Any]) -> StewardsNamed:
    """Read the body of a version of the stewards.

    Raises:
        RemoteError: It is not of that form.
    """
    names = {"version", "stewards", "threshold", "before"}
    require_object(body, "the version of the signatories", names=names, more=True)
    stewards = read_stewards(body["stewards"])
    for steward in stewards:
        _person(steward.name)
    version = require_number(body["version"], "the number of a version of the signatories", least=FIRST_VERSION + 1)
    before = require_object(body["before"], "what the signatories said before", names=(), more=True)
    return StewardsNamed(
        version,
        stewards,
        require_threshold(body["threshold"], len(stewards)),
        {
            require_hex(key, "the key of a signatory before"): _ids(ends, "what a signatory said last")
            for key, ends in before.items()
        },
    )


READERS: Mapping[str, tuple[Callable[[Mapping[str, Any]], object], Collection[str]]] = {
    GRANT: (read_grant, ("key", "letter", "name", "role", "scope", "site")),
    PERSON: (read_person, ("key", "name", "role")),
    REVOCATION: (read_revocation, ("key", "last")),
    STEWARDS: (read_version, ("version", "stewards", "threshold", "before")),
}


def needs_newer(statement: Statement) -> bool:
    """Whether it asks its reader to understand a field of its body that this software does not know."""
    known = READERS[statement.kind][1] if statement.kind in READERS else ()
    return any(name not in known for name in statement.critical)


def _exactly(body: Mapping[str, Any], names: set[str]) -> None:
    if body.keys() != names:
        raise RemoteError(f"this grant has not exactly the fields {', '.join(sorted(names))}")


def _key(body: Mapping[str, Any]) -> str:
    return require_hex(body["key"], "the key that is named")


def _letter(value: Any) -> str:
    if not _LETTER.fullmatch(require_text(value, "the letter of the site")):
        raise RemoteError("the letter of the site is not one capital letter from A to Z")
    return str(value)


def _person(value: Any) -> str:
    if not _PERSON.fullmatch(require_text(value, "the name of the person")):
        raise RemoteError("a person is not named by a letter and a number, such as C3")
    return str(value)


def _ids(value: Any, where: str) -> tuple[str, ...]:
    return tuple(sorted({require_hex(each, f"an id in {where}") for each in require_list(value, where)}))
