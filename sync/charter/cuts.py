"""Keys that are stopped, with the cut that parts what they said before from what is set aside.

Not a deletion: what is set aside is kept and passed on. One rule: one steward suffices to stop and the
threshold to allow again; neither is itself touched by any revocation, so this fold needs no role but the
stewards' and ends.

A revocation acts at once, whatever its ``after`` names and whether or not its ``last`` is here (an id of
``last`` may name a bundle, which no cut judges). A reinstatement is counted for each revocation that it
names and that is here; it waits for those that are not.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from sync.charter.forms import REVOCATION, STEWARDSHIP, Revoked, needs_newer, read_revocation
from sync.charter.verdict import (
    ACCEPTED,
    LACKING_BODY,
    LACKING_VOICES,
    NEEDS_NEWER,
    Verdict,
    lacking,
    lacking_role,
    malformed,
)
from sync.errors import RemoteError

if TYPE_CHECKING:
    from collections.abc import Iterable
    from collections.abc import Set as AbstractSet

    from sync.charter.chains import Chains
    from sync.charter.held import Joined
    from sync.charter.voices import Ballot, Tally, Voices
    from sync.statement import Statement


class Cuts:
    """The revocations in force over one set of statements."""

    def __init__(self, *, held: Joined, voices: Voices, chains: Chains) -> None:
        """Start with nobody stopped."""
        self._held = held
        self._voices = voices
        self._chains = chains
        self._stopping: dict[str, Revoked] = {}
        self._lifting: defaultdict[str, Ballot] = defaultdict(voices.ballot)
        self._good: dict[str, AbstractSet[str]] = {}
        self.by_key: dict[str, tuple[tuple[str, ...], ...]] = {}
        self.standing: dict[str, tuple[str, ...]] = {}
        self.verdicts = held.room().verdicts()

    def fold(self, revocations: Iterable[Statement], reinstatements: Iterable[Statement]) -> None:
        """Find the cuts that stand, and the verdict of each of these statements; they are walked through twice."""
        for statement in revocations:
            self.verdicts[statement.id] = self._revocation(statement)
        for statement in reinstatements:
            self._count(statement)
        for statement in reinstatements:
            self.verdicts[statement.id] = self._reinstatement(statement)
        standing: defaultdict[str, list[str]] = defaultdict(list)
        for identity, revoked in self._stopping.items():
            if not self._is_lifted(identity):
                standing[revoked.key].append(identity)
        self.standing = {key: tuple(sorted(ids)) for key, ids in standing.items()}
        self.by_key = {
            key: tuple(sorted({self._stopping[identity].last for identity in ids})) for key, ids in standing.items()
        }

    def tallies(self) -> dict[str, Tally]:
        """For each revocation that stands and that somebody would lift: how far the lifting is."""
        open_ids = (identity for ids in self.standing.values() for identity in ids if identity in self._lifting)
        return {identity: self._lifting[identity].tally() for identity in open_ids}

    def sets_aside(self, statement: Statement) -> bool:
        """Whether a revocation sets this statement aside."""
        author = statement.author
        if author not in self.by_key or statement.kind in STEWARDSHIP:
            return False
        if author not in self._good:
            self._good[author] = self._chains.good(author, self.by_key[author])
        return statement.id not in self._good[author]

    def gaps(self) -> frozenset[str]:
        """Ids that would change what is set aside, if they came."""
        return frozenset().union(*(self._chains.gaps(key, cuts) for key, cuts in self.by_key.items()))

    def _revocation(self, statement: Statement) -> Verdict:
        if needs_newer(statement):
            return NEEDS_NEWER
        if statement.body is None:
            return LACKING_BODY
        try:
            revoked = read_revocation(statement.body)
        except RemoteError as error:
            return malformed(error.message)
        if not self._voices.is_steward(statement):
            return lacking_role(())
        self._stopping[statement.id] = revoked
        return ACCEPTED

    def _count(self, statement: Statement) -> None:
        if needs_newer(statement):
            return
        is_steward = self._voices.is_steward(statement)
        for identity in statement.after:
            if is_steward or identity in self._stopping:  # a ballot for whatever a stranger names would have no end
                self._lifting[identity].hear(statement)

    def _is_lifted(self, identity: str) -> bool:
        return identity in self._lifting and self._lifting[identity].is_met()

    def _reinstatement(self, statement: Statement) -> Verdict:
        answered = {each: self._held.get(each) for each in statement.after}
        missing = tuple(each for each, found in answered.items() if found is None)
        named = [each for each, found in answered.items() if found is not None and found.kind == REVOCATION]
        if needs_newer(statement):
            return NEEDS_NEWER
        if not named and not missing:
            return malformed("it names no revocation that it would lift")
        if not self._voices.is_steward(statement):
            return lacking_role(missing)
        if missing:
            return lacking(missing)
        return ACCEPTED if all(self._is_lifted(each) for each in named) else LACKING_VOICES
