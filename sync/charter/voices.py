"""With which versions of the stewards a statement speaks, and when enough of them agree.

Not who is a steward today (`sync.charter.versions`). One rule: under a head, what is reached from its
``before`` by ``previous`` speaks with the versions that it answers, all else with the head itself; a
statement counts only if it counts under every head, so that rivals can allow nothing alone.

Voices do not add up across versions: the threshold of one version is met by statements that speak with
that version. Where a head answers several versions (the end of a rivalry), what its ``before`` keeps
speaks with each of them in which its author is a steward.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync.charter.chains import Chains
    from sync.charter.held import Joined
    from sync.charter.versions import Version, Versions
    from sync.statement import Statement


_REMEMBERED = 4096  # statements: they are asked about several times in a row, and may be a million
Spoken = tuple[frozenset[str], ...]  # per head, the versions in which the author speaks as a steward, or empty


class Voices:
    """The authority of stewards over one set of statements."""

    def __init__(self, versions: Versions, chains: Chains, held: Joined) -> None:
        """Nothing is computed until a steward's statement is asked about."""
        self._versions = versions
        self._chains = chains
        self._ever = versions.ever_stewards()
        self._spoken: dict[str, Spoken] = {}
        self._looked_at: set[tuple[str, str]] = set()
        self._kept = held.room().names()

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

    def gaps(self) -> Iterator[str]:
        """Ids that would change with which version something speaks, if they came."""
        for version in self._versions.in_force.values():
            for key, ends in version.before.items():
                yield from self._chains.gaps(key, ends)

    def _under(self, head: Version, statement: Statement) -> frozenset[str]:
        looked_at = {head.name}
        pending = [head]
        spoken = set()
        while pending:
            version = pending.pop()
            if self._keeps(version, statement):
                new = [name for name in version.answers if name not in looked_at]
                looked_at.update(new)
                pending.extend(self._versions.in_force[name] for name in new)
            elif statement.author in version.stewards:
                spoken.add(version.name)
        return frozenset(spoken)

    def _keeps(self, version: Version, statement: Statement) -> bool:
        author = statement.author
        ends = version.before.get(author, ())
        if not ends:
            return False
        if (version.name, author) not in self._looked_at:
            self._looked_at.add((version.name, author))
            for identity in self._chains.good(author, [ends]):
                self._kept.add(version.name + identity)
        return version.name + statement.id in self._kept
