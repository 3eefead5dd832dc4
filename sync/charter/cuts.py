"""Keys that are stopped, with the cut that parts what they said before from what is set aside.

Not a deletion: what is set aside is kept and passed on. One rule: one steward suffices to stop and the
threshold to allow again; neither is itself touched by any revocation, so this fold needs no role but the
stewards' and ends.

A revocation acts at once, whatever its ``after`` names and whether or not its ``last`` is here (an id of
``last`` may name a bundle, which no cut judges). A reinstatement is counted for each revocation that it
names and that is here; it waits for those that are not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.charter.by_key import Looked
from sync.charter.forms import REVOCATION, STEWARDSHIP, needs_newer, read_revocation
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
    from collections.abc import Iterable, Iterator

    from sync.charter.ballots import Ballots
    from sync.charter.chains import Chains
    from sync.charter.held import Joined
    from sync.charter.room import Sets
    from sync.charter.voices import Voices
    from sync.statement import Statement

_ID_HEX = 64


class Stops(Looked[tuple[str, ...]]):
    """By key that is stopped, the ids of the revocations that stand, sorted; there may be very many of either."""

    def __init__(self, stopping: Sets) -> None:
        """Of what is filled elsewhere."""
        super().__init__(stopping)
        self._stopping = stopping

    def of(self, key: str) -> Iterator[str]:
        """Those that stop one, one by one."""
        return self._stopping.of(key)

    def __getitem__(self, key: str) -> tuple[str, ...]:
        """Those that stop one."""
        if key not in self._stopping:
            raise KeyError(key)
        return tuple(self._stopping.of(key))


class CutsByKey(Looked[tuple[tuple[str, ...], ...]]):
    """By key that is stopped, its cuts (lists of last good statements), each once, sorted; read when asked for."""

    def __init__(self, stops: Stops, held: Joined) -> None:
        """Of the revocations that stand, whose bodies are here."""
        super().__init__(stops)
        self._stops = stops
        self._held = held

    def each(self, key: str) -> Iterator[tuple[str, ...]]:
        """The cuts of one, one by one, as often as they were said."""
        for identity in self._stops.of(key):
            found = self._held.get(identity)
            if found is not None and found.body is not None:
                yield read_revocation(found.body).last

    def in_order(self, key: str) -> Iterator[tuple[str, ...]]:
        """The cuts of one, one by one, each once, sorted."""
        cuts, names_none = self._held.room().names(), False
        for cut in self.each(key):
            names_none = names_none or not cut
            if cut:
                cuts.add("".join(cut))  # ids are of one length, so these stand in the order of the cuts
        if names_none:
            yield ()
        for joined in sorted(cuts) if isinstance(cuts, set) else cuts:
            yield tuple(joined[start : start + _ID_HEX] for start in range(0, len(joined), _ID_HEX))

    def __getitem__(self, key: str) -> tuple[tuple[str, ...], ...]:
        """The cuts of one."""
        if key not in self._stops:
            raise KeyError(key)
        return tuple(self.in_order(key))


class Cuts:
    """The revocations in force over one set of statements.

    Attributes:
        standing: The revocations that stand, by key.
        by_key: The cuts that they make, by key.
        verdicts: Of every statement that stops or lifts.
    """

    def __init__(self, *, held: Joined, voices: Voices, chains: Chains, ballots: Ballots) -> None:
        """Start with nobody stopped."""
        self._held = held
        self._voices = voices
        self._chains = chains
        self._ballots = ballots
        self._room = held.room()
        self._stopping = self._room.texts()
        self._stopping_each = self._room.sets()
        self._wished = self._room.names()
        self._looked_at = self._room.names()
        self._good = self._room.names()
        self.standing = Stops(self._stopping_each)
        self.by_key = CutsByKey(self.standing, held)
        self.verdicts = self._room.verdicts()

    def fold(self, revocations: Iterable[Statement], reinstatements: Iterable[Statement]) -> None:
        """Find the cuts that stand, and the verdict of each of these statements; they are walked through twice."""
        for statement in revocations:
            self.verdicts[statement.id] = self._revocation(statement)
        for statement in reinstatements:
            self._count(statement)
        for statement in reinstatements:
            self.verdicts[statement.id] = self._reinstatement(statement)
        for identity, key in self._stopping.items():
            if not self._is_lifted(identity):
                self._stopping_each.add(key.hex(), identity)
                if identity in self._wished:
                    self._ballots.lack(identity, identity)

    def sets_aside(self, statement: Statement) -> bool:
        """Whether a revocation sets this statement aside."""
        author = statement.author
        if author not in self.standing or statement.kind in STEWARDSHIP:
            return False
        if author not in self._looked_at:
            self._looked_at.add(author)
            for each in self._chains.good(author, self.by_key.each(author)):
                self._good.add(each)
        return statement.id not in self._good

    def gaps(self) -> Iterator[str]:
        """Ids that would change what is set aside, if they came; any of them several times."""
        for key in self.standing:
            ends = self._room.names()
            for cut in self.by_key.each(key):
                for each in cut:
                    ends.add(each)
            yield from self._chains.gaps(key, ends)

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
        self._stopping[statement.id] = bytes.fromhex(revoked.key)
        return ACCEPTED

    def _count(self, statement: Statement) -> None:
        if needs_newer(statement):
            return
        is_steward = self._voices.is_steward(statement)
        for identity in statement.after:
            if is_steward or identity in self._stopping:  # a ballot for whatever a stranger names would have no end
                self._wished.add(identity)
                self._ballots.hear(identity, statement)

    def _is_lifted(self, identity: str) -> bool:
        return identity in self._wished and self._ballots.is_met(identity)

    def _reinstatement(self, statement: Statement) -> Verdict:
        answered = {each: self._kind_of(each) for each in statement.after}
        missing = tuple(each for each, kind in answered.items() if kind is None)
        named = [each for each, kind in answered.items() if kind == REVOCATION]
        if needs_newer(statement):
            return NEEDS_NEWER
        if not named and not missing:
            return malformed("it names no revocation that it would lift")
        if not self._voices.is_steward(statement):
            return lacking_role(missing)
        if missing:
            return lacking(missing)
        return ACCEPTED if all(self._is_lifted(each) for each in named) else LACKING_VOICES

    def _kind_of(self, identity: str) -> str | None:
        found = self._held.get(identity)
        return None if found is None else found.kind
