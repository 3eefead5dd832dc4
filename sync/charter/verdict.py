"""What the charter says of one statement, and of all: accepted, waiting, or quarantined, and why.

Not what a statement does. One rule: every verdict but the plain accepted one gives its reason as one plain
sentence, and a short name of the rule so that a page can say it in any language.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

State = Literal["accepted", "waiting", "quarantined"]
Rule = Literal["", "adopted", "role", "after", "body", "voices", "site", "newer", "form", "revoked"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The standing of one statement in the set.

    Attributes:
        state: ``accepted``, ``waiting`` or ``quarantined`` (set aside).
        reason: One sentence, without a capital or a full stop; empty for the plain accepted.
        missing: Ids that it answers and that are not here, sorted.
        rule: Short name of the reason.
    """

    state: State
    reason: str = ""
    missing: tuple[str, ...] = ()
    rule: Rule = ""


ACCEPTED = Verdict("accepted")
ADOPTED = Verdict("accepted", "it was set aside, and then adopted by a reviewer or a steward", rule="adopted")
REVOKED = Verdict(
    "quarantined", "its author's key was stopped, and it is not among what that key said before", rule="revoked"
)
LACKING_BODY = Verdict("waiting", "its body is not here yet", rule="body")
LACKING_VOICES = Verdict("waiting", "too few stewards have said the same yet", rule="voices")
LACKING_SITE = Verdict("waiting", "the site of this reviewer has not been granted yet", rule="site")
NEEDS_NEWER = Verdict("waiting", "it asks for newer software than this", rule="newer")


def lacking(missing: tuple[str, ...]) -> Verdict:
    """Wait for what is answered: ids that are not here, or a statement that waits itself."""
    if missing:
        return Verdict("waiting", "it answers something that is not here yet", missing, "after")
    return Verdict("waiting", "it answers a statement that is itself waiting", rule="after")


def lacking_role(missing: tuple[str, ...]) -> Verdict:
    """Wait until its author has a role that may say such a thing."""
    return Verdict("waiting", "its author has no role yet that may say this", missing, "role")


def malformed(reason: str) -> Verdict:
    """Set aside for good: no role will ever make it right."""
    return Verdict("quarantined", reason, rule="form")


def arrived(verdict: Verdict | None) -> bool:
    """Whether what answers it need not wait for it; what is set aside counts as arrived."""
    return verdict is not None and verdict.state != "waiting"


class Verdicts(Mapping[str, Verdict]):
    """The verdict of every statement of a set, by id: those that are not plainly accepted are listed, the others not.

    Attributes:
        ids: Of all statements of the set.
        others: The verdicts that are not the plain accepted one, by id.
    """

    def __init__(self, ids: Collection[str], others: Mapping[str, Verdict]) -> None:
        """Of what is not listed in ``others`` the verdict is that it is accepted."""
        self.ids = ids
        self.others = others

    def __getitem__(self, identity: str) -> Verdict:
        """The verdict of one of them."""
        other = self.others.get(identity)
        if other is not None:
            return other
        if identity in self.ids:
            return ACCEPTED
        raise KeyError(identity)

    def __contains__(self, identity: object) -> bool:
        """Whether a statement is in the set."""
        return identity in self.others or identity in self.ids

    def __iter__(self) -> Iterator[str]:
        """All ids."""
        return iter(self.ids)

    def __len__(self) -> int:
        """How many there are."""
        return len(self.ids)

    def __eq__(self, other: object) -> bool:
        """Whether the same is said of the same statements."""
        if not isinstance(other, Verdicts):
            return Mapping.__eq__(self, other)
        return self.others == other.others and len(self) == len(other) and all(each in other.ids for each in self.ids)

    __hash__ = None  # type: ignore[assignment]

    def of(self, identity: str) -> Verdict:
        """The verdict of a statement that is known to be in the set."""
        return self.others.get(identity, ACCEPTED)
