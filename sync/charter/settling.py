"""Taking in statements until nothing more can be settled: who has a role, and what waits for what.

Not the stewards' versions and not the cuts: those stand before this begins, so that every step here only
ever settles more and the end is the same in every order. One rule: a statement is settled when its author
may say it and everything that it answers is settled; what is set aside is settled too.

A statement that cannot be settled is looked at again when its author gains a role, when the next thing that
it answers is settled, or when the grant that it is a voice for is met. Which these are is remembered by their ids
alone, in the room that whoever holds the set gives: there may be a million.

Of what is plainly accepted nothing is noted, since that is nearly everything. So those that are taken in out of their
order (they give roles, or have just come) are known to be ahead of the rest, with what they answer, until each of
these has had its turn; all else has its turn after all that it answers.
"""

from __future__ import annotations

from hashlib import sha256
from itertools import chain
from typing import TYPE_CHECKING, Protocol

from sync.charter.forms import (
    ADOPTION,
    GRANT,
    HEARTBEAT,
    PERSON,
    REDACTION,
    ROLE_KINDS,
    STEWARDSHIP,
    ReviewerGrant,
    needs_newer,
    read_grant,
    read_person,
)
from sync.charter.verdict import (
    ACCEPTED,
    LACKING_BODY,
    LACKING_SITE,
    LACKING_VOICES,
    NEEDS_NEWER,
    REVOKED,
    Verdict,
    arrived,
    lacking,
    lacking_role,
    malformed,
)
from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, MutableMapping

    from sync.charter.ballots import Ballots
    from sync.charter.grants import Granted
    from sync.charter.redactions import Redactions
    from sync.charter.room import Room
    from sync.statement import KindRule, Statement

_OWN_SIGNERS: Mapping[str, frozenset[str]] = {
    GRANT: frozenset({"steward"}),
    HEARTBEAT: frozenset({"steward"}),
    ADOPTION: frozenset({"reviewer", "steward"}),
    PERSON: frozenset({"site"}),
}


class Authority:
    """Whether an author may say something, by the roles held so far."""

    def __init__(
        self,
        *,
        kinds: Mapping[str, KindRule],
        roles: Mapping[str, Iterable[str]],
        is_steward: Callable[[Statement], bool],
        sets_aside: Callable[[Statement], bool],
    ) -> None:
        """Keep a live view of ``roles``: it grows while statements are settled."""
        self._kinds = kinds
        self._roles = roles
        self._is_steward = is_steward
        self.sets_aside = sets_aside

    def may_say(self, statement: Statement) -> bool:
        """Whether one of its author's roles suits its kind; any role suits a kind that is unknown."""
        held = set(self._roles.get(statement.author, ()))
        signers = self._signers(statement.kind)
        if signers is None:
            return bool(held) or self._is_steward(statement)
        if "volunteer" in signers and held - {"site"}:
            return True
        if not held.isdisjoint(signers):
            return True
        return not signers.isdisjoint({"steward", "volunteer"}) and self._is_steward(statement)

    def _signers(self, kind: str) -> frozenset[str] | None:
        if kind in _OWN_SIGNERS:
            return _OWN_SIGNERS[kind]
        return frozenset(self._kinds[kind].signers) if kind in self._kinds else None


class Here(Protocol):
    """The statements over which verdicts grow."""

    def has(self, identity: str) -> bool:
        """Whether a statement is here."""

    def get(self, identity: str) -> Statement | None:
        """A statement that was taken in before."""


class Settling:
    """Verdicts growing over statements that come in any order."""

    def __init__(self, *, authority: Authority, here: Here, room: Room, others: MutableMapping[str, Verdict]) -> None:
        """Begin with verdicts that stand already; the mapping is filled.

        Args:
            authority: Who may say what.
            here: All statements.
            room: Where to remember what waits.
            others: By id, the verdicts that are not the plain accepted one; grows.
        """
        self._authority = authority
        self._here = here
        self.others = others
        self._ahead = room.names()
        self._pending = room.row()
        self._by_author = room.lists()
        self._by_answered = room.lists()

    def settle(self, first: Iterable[Statement], rest: Iterable[Statement] = ()) -> None:
        """Take these in, and look again at all that waited for what they settle.

        Args:
            first: In any order; walked through several times.
            rest: Others, each after all of them that it answers.
        """
        for statement in first:
            self._note_ahead(statement)
        for statement in chain(first, rest):
            self._take(statement)
            while self._pending:
                again = self._pending.pop()
                if not self.has_arrived(again) and (found := self._here.get(again)) is not None:
                    self._take(found)

    def _note_ahead(self, statement: Statement) -> None:
        self._ahead.add(statement.id)

    def _take(self, statement: Statement) -> None:
        verdict = self.decide(statement)
        self._ahead.discard(statement.id)
        if verdict is ACCEPTED:
            self.others.pop(statement.id, None)
        else:
            self.others[statement.id] = verdict
        if arrived(verdict):
            self.look_again(self.answering(statement.id))

    def has_arrived(self, identity: str) -> bool:
        """Whether what answers a statement need not wait for it, as things stand."""
        other = self.others.get(identity)
        if other is not None:
            return arrived(other)
        return identity not in self._ahead and self._here.has(identity)

    def decide(self, statement: Statement) -> Verdict:
        """The verdict of an ordinary statement, as things stand."""
        if self._authority.sets_aside(statement):
            return REVOKED
        if statement.kind in _OWN_SIGNERS and needs_newer(statement):
            return NEEDS_NEWER
        if not self._authority.may_say(statement):
            self._by_author.append(statement.author, statement.id)
            return lacking_role(self.missing(statement))
        if self.waits(statement):
            return lacking(self.missing(statement))
        return ACCEPTED

    def waits(self, statement: Statement) -> bool:
        """Whether something that it answers is not here or waits; if so it is looked at again after that."""
        for answered in statement.after:
            if not self.has_arrived(answered):
                self._by_answered.append(answered, statement.id)
                return True
        return False

    def look_again(self, statements: Iterable[str]) -> None:
        """Put statements back into the row, by their ids."""
        for each in statements:
            self._pending.append(each)

    def gained(self, author: str) -> None:
        """An author has a new role: look again at what they said."""
        self.look_again(self._by_author.pop(author))

    def answering(self, identity: str) -> Iterable[str]:
        """The ids of what waited for this statement, which is now settled."""
        return self._by_answered.pop(identity)

    def missing(self, statement: Statement) -> tuple[str, ...]:
        """What it answers and is not here."""
        return tuple(each for each in statement.after if not self._here.has(each))


class WholeSettling(Settling):
    """Settling a whole set, in which roles are given."""

    def __init__(
        self,
        *,
        authority: Authority,
        here: Here,
        room: Room,
        standing: Mapping[str, Verdict],
        granted: Granted,
        ballots: Ballots,
        redactions: Redactions,
    ) -> None:
        """As `Settling`, with the verdicts of stewardship and with those who fold what statements give and take.

        ``bodiless`` gathers the ids of statements about roles whose bodies are not here.
        """
        super().__init__(authority=authority, here=here, room=room, others=room.verdicts())
        self._standing = standing
        self._granted = granted
        self._ballots = ballots
        self._redactions = redactions
        self.bodiless = room.names()
        self._saying = room.lists()
        self._for_site = room.lists()

    def _note_ahead(self, statement: Statement) -> None:
        super()._note_ahead(statement)
        for answered in statement.after:
            self._ahead.add(answered)

    def decide(self, statement: Statement) -> Verdict:
        """The verdict of any statement but the three of stewardship, which are settled before."""
        if statement.body_bytes is None and statement.kind in ROLE_KINDS:
            self.bodiless.add(statement.id)
        if statement.kind in STEWARDSHIP:
            return self._standing[statement.id]
        if statement.kind == REDACTION:
            return self._redactions.verdict(statement, waits=self.waits(statement))
        verdict = super().decide(statement)
        if statement.kind not in {GRANT, PERSON} or verdict in {REVOKED, NEEDS_NEWER}:
            return verdict
        try:
            return self._give(statement, verdict)
        except RemoteError as error:
            return malformed(error.message)

    def _give(self, statement: Statement, verdict: Verdict) -> Verdict:
        """Read the body before anything else is awaited: what is malformed will never be right."""
        if statement.body is None:
            return LACKING_BODY
        if statement.kind == PERSON:
            person = read_person(statement.body)
            if verdict is ACCEPTED and self._granted.person(statement, person):
                self.gained(person.key)
            return verdict
        given = read_grant(statement.body)
        if verdict is not ACCEPTED:
            return verdict
        if isinstance(given, ReviewerGrant):
            return self._voice(statement, given)
        if self._granted.site(statement, given):
            self.gained(given.key)
            self.look_again(self._for_site.pop(given.key))
        return ACCEPTED

    def _voice(self, statement: Statement, given: ReviewerGrant) -> Verdict:
        """Count a voice for a reviewer; the grant is in force when enough say the same and the site is there."""
        same = sha256(statement.body_bytes or b"").hexdigest()
        self._ballots.hear(same, statement)
        if not self._ballots.is_met(same):
            self._saying.append(same, statement.id)
            self._ballots.lack(statement.id, same)
            return LACKING_VOICES
        for said in self._saying.pop(same):
            self._ballots.lack_no_more(said)
            self.look_again([said])
        if not self._granted.is_site(given.site):
            self._for_site.append(given.site, statement.id)
            return LACKING_SITE
        if self._granted.reviewer(statement, given):
            self.gained(given.key)
        return ACCEPTED
