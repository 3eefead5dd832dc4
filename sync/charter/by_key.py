"""Maps by key that lie in no memory: what belongs to a key is made when it is asked for.

Not where what they are made from lies (that is the room of whoever holds the set). One rule: they are walked through in
the order of the keys, as often as one likes, and equal any map that says the same.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import ItemsView, Mapping, ValuesView
from heapq import merge
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Container, Iterable, Iterator

ValueT = TypeVar("ValueT")


class InPairs(Mapping[str, ValueT]):
    """A map that is walked through without asking for each key anew."""

    @abstractmethod
    def pairs(self) -> Iterator[tuple[str, ValueT]]:
        """Each key with what belongs to it, in order."""

    def items(self) -> ItemsView[str, ValueT]:
        """Each key with what belongs to it."""
        return _Items(self, self.pairs)

    def values(self) -> ValuesView[ValueT]:
        """What belongs to each key."""
        return _Values(self, self.pairs)


class Looked(Mapping[str, ValueT]):
    """What belongs to the keys of something else, looked up or made when it is asked for."""

    def __init__(self, keys: Collection[str]) -> None:
        """Whose keys these are; they are walked through in the order that it gives."""
        self._keys = keys

    def __contains__(self, key: object) -> bool:
        """Whether anything belongs to it."""
        return key in self._keys

    def __iter__(self) -> Iterator[str]:
        """The keys."""
        return iter(self._keys)

    def __len__(self) -> int:
        """How many there are."""
        return len(self._keys)


class ByKey(InPairs[ValueT]):
    """What belongs to keys, walked through in their order."""

    def __iter__(self) -> Iterator[str]:
        """The keys."""
        return (key for key, _ in self.pairs())

    def __len__(self) -> int:
        """How many there are."""
        return sum(1 for _ in self.pairs())

    def __eq__(self, other: object) -> bool:
        """Whether the same belongs to the same keys."""
        if not isinstance(other, Mapping):
            return NotImplemented
        return len(self) == len(other) and all(key in other and other[key] == value for key, value in self.pairs())

    __hash__ = None  # type: ignore[assignment]


class _Items(ItemsView[str, ValueT]):
    def __init__(self, of: Mapping[str, ValueT], pairs: Callable[[], Iterator[tuple[str, ValueT]]]) -> None:
        super().__init__(of)
        self._pairs = pairs

    def __iter__(self) -> Iterator[tuple[str, ValueT]]:
        return self._pairs()


class _Values(ValuesView[ValueT]):
    def __init__(self, of: Mapping[str, ValueT], pairs: Callable[[], Iterator[tuple[str, ValueT]]]) -> None:
        super().__init__(of)
        self._pairs = pairs

    def __iter__(self) -> Iterator[ValueT]:
        return (value for _, value in self._pairs())


class Told(ByKey[ValueT], Generic[ValueT]):
    """What is kept of keys, each told in another form; some keys are left out."""

    def __init__(
        self, kept: Mapping[str, bytes], told: Callable[[str, bytes], ValueT], *, without: Container[str] = ()
    ) -> None:
        """Of a map that does not change any more.

        Args:
            kept: By key.
            told: Makes of a key and what is kept of it what belongs to it.
            without: The keys that are left out.
        """
        self._kept = kept
        self._told = told
        self._without = without

    def __getitem__(self, key: str) -> ValueT:
        """What belongs to one."""
        if key in self._without:
            raise KeyError(key)
        return self._told(key, self._kept[key])

    def __contains__(self, key: object) -> bool:
        """Whether anything belongs to it."""
        return key in self._kept and key not in self._without

    def pairs(self) -> Iterator[tuple[str, ValueT]]:
        """Each key with what belongs to it."""
        return ((key, self._told(key, kept)) for key, kept in pairs_in_order(self._kept) if key not in self._without)


class FirstOf(ByKey[ValueT], Generic[ValueT]):
    """Several maps as one: of what they say of a key, the first counts."""

    def __init__(self, *some: Mapping[str, ValueT]) -> None:
        """Of these."""
        self._some = some

    def __getitem__(self, key: str) -> ValueT:
        """What the first says that knows the key."""
        for each in self._some:
            value = each.get(key)
            if value is not None:
                return value
        raise KeyError(key)

    def pairs(self) -> Iterator[tuple[str, ValueT]]:
        """Each key with what belongs to it."""
        return first_of(*map(pairs_in_order, self._some))


def first_of(*some: Iterable[tuple[str, ValueT]]) -> Iterator[tuple[str, ValueT]]:
    """Pairs that come by key, together by key; of those with equal keys the first one's."""
    together = merge(*some, key=itemgetter(0))
    return (next(same) for _, same in groupby(together, key=itemgetter(0)))


def pairs_in_order(of: Mapping[str, ValueT]) -> Iterable[tuple[str, ValueT]]:
    """The pairs of a map by key; all that is not a dict gives them in order itself."""
    return sorted(of.items(), key=itemgetter(0)) if isinstance(of, dict) else of.items()
