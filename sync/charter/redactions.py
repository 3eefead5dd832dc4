"""Bodies and files that their author or a steward has taken back.

Not the erasing (the store does that). One rule: a redaction acts on each thing that it names and that it
may take, whether or not the others are here, and for as long as it is not set aside.

What may be taken: the body of a statement, except of urgent kinds and of ``sync/person``, since those decide
who may do what and what is stopped; an unknown kind is taken for text. A file goes when a steward says so,
or the author of a statement that has it, unless somebody else's accepted statement has it too: otherwise
anyone could attach another's photo and then take it from everybody.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from sync.charter.by_key import Looked
from sync.charter.forms import ADOPTION, GRANT, HEARTBEAT, PERSON, REDACTION, STEWARDSHIP, needs_newer
from sync.charter.verdict import ACCEPTED, NEEDS_NEWER, REVOKED, Verdict, lacking, lacking_role, malformed

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Iterable, Mapping
    from collections.abc import Set as AbstractSet

    from sync.charter.held import Joined
    from sync.charter.room import Room
    from sync.charter.verdict import Verdicts
    from sync.charter.voices import Voices
    from sync.statement import KindRule, Statement

_REMEMBERED = 4096  # targets: each is asked for several times in a row
_LASTING = STEWARDSHIP | {GRANT, HEARTBEAT, REDACTION, ADOPTION, PERSON}


class _Named(NamedTuple):
    """What a redaction names: no more of it than the judging asks for."""

    id: str
    author: str
    kind: str


class TakenBack(Looked[tuple[str, ...]]):
    """For each body that is taken back the ids of the redactions that take it, sorted.

    Attributes:
        ids: Those of the statements whose bodies they are.
    """

    def __init__(self, room: Room) -> None:
        """None yet."""
        self.ids = room.names()
        super().__init__(self.ids)
        self._taking = room.lists()

    def add(self, target: str, redaction: str) -> None:
        """One more takes it."""
        self.ids.add(target)
        self._taking.append(target, redaction)

    def __getitem__(self, target: str) -> tuple[str, ...]:
        """Those that take one."""
        if target not in self.ids:
            raise KeyError(target)
        return tuple(sorted(set(self._taking.of(target))))


class Redactions:
    """What the redactions over one set of statements take."""

    def __init__(
        self,
        *,
        redactions: Iterable[Statement],
        held: Joined,
        kinds: Mapping[str, KindRule],
        voices: Voices,
        sets_aside: Callable[[Statement], bool],
    ) -> None:
        """Find out who else has the files that are named.

        Args:
            redactions: Walked through several times.
            held: What is here.
            kinds: The table of kinds.
            voices: Who speaks as a steward.
            sets_aside: Whether a revocation sets a statement aside.
        """
        self._redactions = redactions
        self._held = held
        self._kinds = kinds
        self._voices = voices
        self._sets_aside = sets_aside
        self.files_named = held.room().names()
        for each in redactions:
            for file in each.attachments:
                self.files_named.add(file)
        self._found: dict[str, _Named | None] = {}
        self._looked_at = held.room().names()
        self._authors = held.room().sets()

    def _has_said(self, author: str, file: str) -> bool:
        """Whether somebody has said something that has a file; a million may have."""
        if file not in self._looked_at:
            self._looked_at.add(file)
            for each in self._held.having([file]):
                if each.kind != REDACTION:
                    self._authors.add(file, each.author)
        return self._authors.holds(file, author)

    def verdict(self, redaction: Statement, *, waits: bool) -> Verdict:
        """The standing of one redaction.

        Args:
            redaction: The statement.
            waits: Whether something that it names is not here, or waits itself.
        """
        missing = tuple(each for each in redaction.after if self._target(each) is None)
        if self._sets_aside(redaction):
            return REVOKED
        if needs_newer(redaction):
            return NEEDS_NEWER
        if not missing and not redaction.attachments and not self._erasable(redaction):
            return malformed("it names nothing whose body could be taken back")
        if not missing and not self._may_take_any(redaction):
            return lacking_role(())
        return lacking(missing) if waits else ACCEPTED

    def bodies(self) -> TakenBack:
        """The ids of the statements whose bodies go, each with the redactions that take it."""
        taken = TakenBack(self._held.room())
        for redaction in self._acting():
            for target in self._erasable(redaction):
                if self._may_take(redaction, target):
                    taken.add(target.id, redaction.id)
        return taken

    def files(self, verdicts: Verdicts, bodies: Container[str]) -> AbstractSet[str]:
        """The ids of the files that go, which nobody fetches."""
        gone, looked_at, showing = self._held.room().names(), self._held.room().names(), self._held.room().sets()
        for redaction in self._acting():
            for file in redaction.attachments:
                if self._voices.is_steward(redaction):
                    gone.add(file)
                elif file not in gone and self._has_said(redaction.author, file):
                    if file not in looked_at:
                        looked_at.add(file)
                        for author in self._showing(file, verdicts, bodies):
                            showing.add(file, author)
                    if all(author == redaction.author for author in showing.of(file)):
                        gone.add(file)
        return gone

    def _showing(self, file: str, verdicts: Verdicts, bodies: Container[str]) -> set[str]:
        """Whose accepted statements, with their bodies, have a file; two of them at most, since two keep it."""
        authors: set[str] = set()
        for each in self._held.having([file]):
            if each.kind != REDACTION and each.id not in bodies and verdicts.of(each.id).state == "accepted":
                authors.add(each.author)
                if len(authors) > 1:
                    break
        return authors

    def _acting(self) -> Iterable[Statement]:
        return (each for each in self._redactions if not self._sets_aside(each) and not needs_newer(each))

    def _erasable(self, redaction: Statement) -> list[_Named]:
        targets = map(self._target, redaction.after)
        return [target for target in targets if target is not None and not self._lasts(target.kind)]

    def _target(self, identity: str) -> _Named | None:
        if identity not in self._found:
            if len(self._found) >= _REMEMBERED:
                self._found.clear()
            statement = self._held.get(identity)
            self._found[identity] = None if statement is None else _named(statement)
        return self._found[identity]

    def _lasts(self, kind: str) -> bool:
        return kind in _LASTING or (kind in self._kinds and self._kinds[kind].lane == "urgent")

    def _may_take(self, redaction: Statement, target: _Named) -> bool:
        return redaction.author == target.author or self._voices.is_steward(redaction)

    def _may_take_any(self, redaction: Statement) -> bool:
        return any(self._may_take(redaction, target) for target in self._erasable(redaction)) or any(
            self._has_said(redaction.author, file) or self._voices.is_steward(redaction)
            for file in redaction.attachments
        )


def _named(statement: Statement) -> _Named:
    return _Named(statement.id, statement.author, statement.kind)
