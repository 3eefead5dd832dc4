"""Counting voices: who has said the same, with which versions of the stewards, and how many lack.

Not who may speak with which version (`sync.charter.voices`). One rule: what is counted lies in the room of whoever
holds the set, and one ballot at a time is laid open; a steward may speak about a million things.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sync.charter.by_key import Looked

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sync.charter.room import Room, Sets
    from sync.charter.versions import Versions
    from sync.charter.voices import Voices
    from sync.statement import Statement

_HEAD_HEX = 8
_NAME_HEX = 64


@dataclass(frozen=True, slots=True)
class Tally:
    """How far something is that takes the voices of several stewards.

    Attributes:
        said: Keys whose voices count with those who may speak now, sorted.
        earlier: Keys that said it with a version answered since, sorted: they would have to say it again.
        lacking: How many more voices it takes.
    """

    said: tuple[str, ...]
    earlier: tuple[str, ...]
    lacking: int


class Ballot:
    """Stewards who say the same, counted once each for every version that they speak with, under each head."""

    def __init__(self, versions: Versions, said: Iterable[str]) -> None:
        """Lay one open.

        Args:
            versions: Those in force.
            said: What `Ballots` noted of it.
        """
        self._versions = versions
        self._authors: tuple[defaultdict[str, set[str]], ...] = tuple(defaultdict(set) for _ in versions.heads)
        for each in said:
            head, rest = int(each[:_HEAD_HEX], 16), each[_HEAD_HEX:]
            self._authors[head][rest[:_NAME_HEX]].add(rest[_NAME_HEX:])

    def is_met(self) -> bool:
        """Whether under every head the threshold of some version has spoken."""
        return all(
            any(len(said) >= self._versions.in_force[name].threshold for name, said in authors.items())
            for authors in self._authors
        )

    def tally(self) -> Tally:
        """Who has said it and how many lack, counted with the heads alone: nobody can still speak with an older one."""
        heads = self._versions.heads
        at_heads = [authors.get(head.name, set()) for head, authors in zip(heads, self._authors, strict=True)]
        said = set.intersection(*at_heads)
        everyone = {author for authors in self._authors for names in authors.values() for author in names}
        lacking = max(head.threshold - len(authors) for head, authors in zip(heads, at_heads, strict=True))
        return Tally(tuple(sorted(said)), tuple(sorted(everyone - said)), max(0, lacking))


class Ballots:
    """Ballots about things that are named by 64 hex.

    Attributes:
        tallies: For each statement that was said to lack voices how far it is.
    """

    def __init__(self, voices: Voices, versions: Versions, room: Room) -> None:
        """Nobody has spoken."""
        self._voices = voices
        self._versions = versions
        self._said = room.sets()
        self._lacking = room.texts()
        self.tallies = Tallies(versions, self._said, self._lacking)

    def hear(self, about: str, statement: Statement) -> None:
        """Count the author of a statement, if it counts at all."""
        for head, names in enumerate(self._voices.spoken(statement)):
            for name in names:
                self._said.add(about, f"{head:0{_HEAD_HEX}x}{name}{statement.author}")

    def is_met(self, about: str) -> bool:
        """Whether enough have spoken about something."""
        return Ballot(self._versions, self._said.of(about)).is_met()

    def lack(self, statement: str, about: str) -> None:
        """Note that a statement lacks voices about something."""
        self._lacking[statement] = bytes.fromhex(about)

    def lack_no_more(self, statement: str) -> None:
        """Note that it does not any more."""
        self._lacking.pop(statement, None)


class Tallies(Looked[Tally]):
    """How far each statement is that lacks voices, counted when it is asked for."""

    def __init__(self, versions: Versions, said: Sets, lacking: Mapping[str, bytes]) -> None:
        """Of what `Ballots` noted."""
        super().__init__(lacking)
        self._versions = versions
        self._said = said
        self._lacking = lacking

    def __getitem__(self, identity: str) -> Tally:
        """How far one is."""
        return Ballot(self._versions, self._said.of(self._lacking[identity].hex())).tally()
