"""What the charter says of one statement, and of all: accepted, waiting, or quarantined, and why.

Not what a statement does. One rule: every verdict but the plain accepted one gives its reason as one plain
sentence, and a short name of the rule so that a page can say it in any language.
"""

from __future__ import annotations

import json
from abc import abstractmethod
from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import asdict, dataclass
from heapq import merge
from itertools import groupby
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

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
ADOPTED = Verdict("accepted", "it was set aside, and then adopted by a reviewer or a signatory", rule="adopted")
REVOKED = Verdict(
    "quarantined", "its author's key was stopped, and it is not among what that key said before", rule="revoked"
)
LACKING_BODY = Verdict("waiting", "its body is not here yet", rule="body")
LACKING_VOICES = Verdict("waiting", "too few signatories have said the same yet", rule="voices")
LACKING_SITE = Verdict("waiting", "the site of this reviewer has not been granted yet", rule="site")
NEEDS_NEWER = Verdict("waiting", "it asks for newer software than this", rule="newer")
_USUAL = (ACCEPTED, ADOPTED, REVOKED, LACKING_BODY, LACKING_VOICES, LACKING_SITE, NEEDS_NEWER)


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


def packed(verdict: Verdict) -> bytes:
    """A verdict as few bytes, for where a million lie."""
    if verdict in _USUAL:
        return bytes([_USUAL.index(verdict)])
    return json.dumps(asdict(verdict)).encode()


def unpacked(data: bytes) -> Verdict:
    """The verdict that was packed; one of the usual ones is the very same value."""
    if len(data) == 1:
        return _USUAL[data[0]]
    fields = json.loads(data)
    return Verdict(**fields | {"missing": tuple(fields["missing"])})


class Marks(Mapping[str, Verdict]):
    """Verdicts by id that know how they came from earlier ones."""

    @abstractmethod
    def changed_since(self, before: Mapping[str, Verdict], /) -> Iterator[str] | None:
        """The ids, in order, whose verdict may have changed since; None where these did not come from those."""


class Changed(MutableMapping[str, Verdict]):
    """Verdicts that stand on others, which stay as they are.

    Attributes:
        before: The others.
        since: What is otherwise; the plain accepted one where nothing is listed any more.
    """

    def __init__(self, before: Mapping[str, Verdict], since: MutableMapping[str, Verdict]) -> None:
        """Stand on ``before``; ``since`` is empty and is filled."""
        self.before = before
        self.since = since

    def __getitem__(self, identity: str) -> Verdict:
        """The verdict that is listed."""
        verdict = self.since.get(identity)
        if verdict is None:
            return self.before[identity]
        if verdict is ACCEPTED:
            raise KeyError(identity)
        return verdict

    def __setitem__(self, identity: str, verdict: Verdict) -> None:
        """List another."""
        self.since[identity] = verdict

    def __delitem__(self, identity: str) -> None:
        """List none."""
        if identity in self.before:
            self.since[identity] = ACCEPTED
        else:
            del self.since[identity]

    def __iter__(self) -> Iterator[str]:
        """The ids in order."""
        return (each for each in in_order(self.before, self.since) if each in self)

    def __len__(self) -> int:
        """How many are listed."""
        return sum(1 for _ in self)


def in_order(*some: Iterable[str]) -> Iterator[str]:
    """The ids in any of these, sorted, each once; all that is no plain dict or set gives them in order itself."""
    sources = (sorted(each) if isinstance(each, dict | set | frozenset) else each for each in some)
    return (identity for identity, _ in groupby(merge(*sources)))


class Verdicts(Mapping[str, Verdict]):
    """The verdict of every statement of a set, by id: those that are not plainly accepted are listed, the others not.

    Attributes:
        ids: Of all statements of the set.
        others: The verdicts that are not the plain accepted one, by id; walked through in order, unless it is a dict.
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

    def turned(self, before: Verdicts) -> Iterator[str]:
        """The ids, in order, of which something else is listed now; most are the very same value.

        Args:
            before: Of a smaller set of the same network.
        """
        old, new = before.others, self.others
        if old is new:
            return iter(())
        ids = new.changed_since(old) if isinstance(new, Marks) else None
        return (each for each in (in_order(old, new) if ids is None else ids) if old.get(each) != new.get(each))

    def of(self, identity: str) -> Verdict:
        """The verdict of a statement that is known to be in the set."""
        return self.others.get(identity, ACCEPTED)
