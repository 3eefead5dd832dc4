"""Where a judging keeps what it has to remember: in memory, or wherever whoever holds the set has room for much.

Not the set itself (that is `sync.charter.held`). One rule: what comes out is what went in, wherever it lay, so a
judgement is the same by any of them.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Iterator, MutableMapping, MutableSet

    from sync.charter.verdict import Verdict


class Lists(Protocol):
    """For each of many ids a list of ids."""

    def append(self, key: str, name: str, /) -> None:
        """Put an id into the list of another."""

    def of(self, key: str, /) -> Iterator[str]:
        """The list of an id, in any order; nothing may be put in meanwhile."""

    def pop(self, key: str, /) -> Iterator[str]:
        """Take the list of an id out, in any order."""


class Sets(Protocol):
    """For each of many ids a set of ids."""

    def add(self, key: str, name: str, /) -> None:
        """Put an id into the set of another."""

    def of(self, key: str, /) -> Iterator[str]:
        """The set of an id, in order."""

    def holds(self, key: str, name: str, /) -> bool:
        """Whether an id is in the set of another."""

    def __contains__(self, key: object, /) -> bool:
        """Whether an id has a set."""

    def __iter__(self) -> Iterator[str]:
        """The ids that have one, in order."""

    def __len__(self) -> int:
        """How many have one."""


class Row(Protocol):
    """Texts one after the other."""

    def __len__(self) -> int:
        """How many there are."""

    def __reversed__(self) -> Iterator[str]:
        """From the last to the first."""

    def append(self, text: str, /) -> None:
        """Put one in at the end."""

    def pop(self) -> str:
        """Take out the last."""


class Room(Protocol):
    """Gives empty sets, maps, lists, sets by id and rows."""

    def verdicts(self) -> MutableMapping[str, Verdict]:
        """Verdicts by id."""

    def texts(self) -> MutableMapping[str, bytes]:
        """Bytes by id."""

    def names(self) -> MutableSet[str]:
        """A set of ids."""

    def lists(self) -> Lists:
        """Lists of ids by id."""

    def sets(self) -> Sets:
        """Sets of ids by id."""

    def row(self) -> Row:
        """A row of texts."""


class Memory:
    """Room in the memory of the process."""

    def verdicts(self) -> MutableMapping[str, Verdict]:
        """Verdicts by id."""
        return {}

    def texts(self) -> MutableMapping[str, bytes]:
        """Bytes by id."""
        return {}

    def names(self) -> MutableSet[str]:
        """A set of ids."""
        return set()

    def lists(self) -> Lists:
        """Lists of ids by id."""
        return _Lists()

    def sets(self) -> Sets:
        """Sets of ids by id."""
        return _Sets()

    def row(self) -> Row:
        """A row of texts."""
        return []


class _Lists:
    def __init__(self) -> None:
        self._lists: defaultdict[str, list[str]] = defaultdict(list)

    def append(self, key: str, name: str, /) -> None:
        self._lists[key].append(name)

    def of(self, key: str, /) -> Iterator[str]:
        return iter(self._lists.get(key, ()))

    def pop(self, key: str, /) -> Iterator[str]:
        return iter(self._lists.pop(key, ()))


class _Sets:
    def __init__(self) -> None:
        self._sets: defaultdict[str, set[str]] = defaultdict(set)

    def add(self, key: str, name: str, /) -> None:
        self._sets[key].add(name)

    def of(self, key: str, /) -> Iterator[str]:
        return iter(sorted(self._sets.get(key, ())))

    def holds(self, key: str, name: str, /) -> bool:
        return name in self._sets.get(key, ())

    def __contains__(self, key: object, /) -> bool:
        return key in self._sets

    def __iter__(self) -> Iterator[str]:
        return iter(sorted(self._sets))

    def __len__(self) -> int:
        return len(self._sets)
