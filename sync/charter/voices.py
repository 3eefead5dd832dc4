"""With which versions of the stewards a statement speaks, and when enough of them agree.

Not who is a steward today (`sync.charter.versions`). One rule: under a head, what is reached from its
``before`` by ``previous`` speaks with the versions that it answers, all else with the head itself; a
statement counts only if it counts under every head, so that rivals can allow nothing alone.

Voices do not add up across versions: the threshold of one version is met by statements that speak with
that version. Where a head answers several versions (the end of a rivalry), what its ``before`` keeps
speaks with each of them in which its author is a steward.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Set as AbstractSet

    from sync.charter.chains import Chains
    from sync.charter.versions import Version, Versions
    from sync.statement import Statement


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


_REMEMBERED = 4096  # statements: they are asked about several times in a row, and may be a million
Spoken = tuple[frozenset[str], ...]  # per head, the versions in which the author speaks as a steward, or empty


class Voices:
    """The authority of stewards over one set of statements."""

    def __init__(self, versions: Versions, chains: Chains) -> None:
        """Nothing is computed until a steward's statement is asked about."""
        self._versions = versions
        self._chains = chains
        self._ever = versions.ever_stewards()
        self._spoken: dict[str, Spoken] = {}
        self._kept: dict[tuple[str, str], AbstractSet[str]] = {}

    def spoken(self, statement: Statement) -> Spoken:
        """The versions that it speaks with under each head; nothing if under some head it does not count."""
        if statement.author not in self._ever:
            return ()
        if statement.id not in self._spoken:
            if len(self._spoken) >= _REMEMBERED:
                self._spoken.clear()
            spoken = tuple(self._under(head, statement) for head in self._versions.heads)
            self._spoken[statement.id] = spoken if all(spoken) else ()
        return self._spoken[statement.id]

    def is_steward(self, statement: Statement) -> bool:
        """Whether its author says it as a steward."""
        return bool(self.spoken(statement))

    def ballot(self) -> Ballot:
        """An empty ballot over the heads."""
        return Ballot(self, self._versions)

    def gaps(self) -> frozenset[str]:
        """Ids that would change with which version something speaks, if they came."""
        return frozenset().union(
            *(
                self._chains.gaps(key, [ends])
                for version in self._versions.in_force.values()
                for key, ends in version.before.items()
            )
        )

    def _under(self, head: Version, statement: Statement) -> frozenset[str]:
        looked_at = {head.name}
        pending = [head]
        spoken = set()
        while pending:
            version = pending.pop()
            if statement.id in self._keeps(version, statement.author):
                new = [name for name in version.answers if name not in looked_at]
                looked_at.update(new)
                pending.extend(self._versions.in_force[name] for name in new)
            elif statement.author in version.stewards:
                spoken.add(version.name)
        return frozenset(spoken)

    def _keeps(self, version: Version, author: str) -> AbstractSet[str]:
        ends = version.before.get(author, ())
        if not ends:
            return frozenset()
        if (version.name, author) not in self._kept:
            self._kept[version.name, author] = self._chains.good(author, [ends])
        return self._kept[version.name, author]


class Ballot:
    """Stewards who say the same, counted once each for every version that they speak with."""

    def __init__(self, voices: Voices, versions: Versions) -> None:
        """Nobody has spoken."""
        self._voices = voices
        self._versions = versions
        self._authors: tuple[dict[str, set[str]], ...] = tuple({} for _ in versions.heads)

    def hear(self, statement: Statement) -> None:
        """Count its author, if it counts at all."""
        for authors, names in zip(self._authors, self._voices.spoken(statement), strict=False):
            for name in names:
                authors.setdefault(name, set()).add(statement.author)

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
