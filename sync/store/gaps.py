"""Which bundles lack a body that is not taken back, and which hold anything that is.

Not why: roles decide that. One rule: it is what held when it was asked for; whoever changes the store asks again.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING

from sync.store.bundles import row_key
from sync.store.spilling import SpillingMap

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from sync.store.bundles import Bundles
    from sync.store.scratch import Scratch


class Gaps:
    """The bundles of a store by what is missing in them."""

    def __init__(self, bundles: Bundles, taken_back: Iterable[str], scratch: Scratch) -> None:
        """Count it.

        Args:
            bundles: The store's.
            taken_back: The ids whose bodies are taken back.
            scratch: Where it goes if there is much of it.
        """
        self._absent: Mapping[str, int] = bundles.absent()
        self._erased = SpillingMap[int](scratch, packed=b"%d".__mod__, unpacked=int)
        for row, has_body in bundles.lying(taken_back):
            self._erased[row_key(row)] = self._erased.get(row_key(row), 0) + (not has_body)

        self._lacks_any = len(self._absent) > 0
        self._erased_any = len(self._erased) > 0

    def lack(self, row: int) -> bool:
        """Whether the bundle in a row lacks a body that is not taken back."""
        if not self._lacks_any:
            return False
        key = row_key(row)
        return self._absent.get(key, 0) > self._erased.get(key, 0)

    def are_taken_back(self, row: int) -> bool:
        """Whether anything in the bundle in a row is taken back."""
        return self._erased_any and row_key(row) in self._erased


class Without(AbstractSet[str]):
    """The ids of one set that are not in another, in order; neither is copied."""

    def __init__(self, names: AbstractSet[str], others: AbstractSet[str]) -> None:
        """Of two sets that stay as they are."""
        self._names = names
        self._others = others

    @classmethod
    def _from_iterable(cls, names: Iterable[str]) -> frozenset[str]:  # type: ignore[override]
        return frozenset(names)

    def __contains__(self, name: object) -> bool:
        """Whether an id is in the one and not in the other."""
        return name in self._names and name not in self._others

    def __iter__(self) -> Iterator[str]:
        """The ids in order."""
        in_order = sorted(self._names) if isinstance(self._names, frozenset) else self._names
        return (name for name in in_order if name not in self._others)

    def __len__(self) -> int:
        """How many there are."""
        return sum(1 for _ in self) if self._others else len(self._names)
