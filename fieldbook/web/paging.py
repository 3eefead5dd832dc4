"""A long list in several pages, so that each stays small enough for a weak link and an old phone.

Not a search and not an order. Its one rule: nothing is left out: what does not stand on this page stands on another,
and the page says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from flask import request

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_T = TypeVar("_T")
_U = TypeVar("_U")


@dataclass(frozen=True)
class Paged(Generic[_T]):
    """What stands on one page of a list.

    Attributes:
        shown: What stands on it.
        page: Its number, from 1.
        pages: How many pages there are, 1 at least.
        first: The number of its first thing in the whole list, from 1; 0 where there is nothing.
        of: How many things there are in all.
    """

    shown: tuple[_T, ...]
    page: int
    pages: int
    first: int
    of: int

    def made(self, make: Callable[[_T], _U]) -> Paged[_U]:
        """The same page, with something made of each thing on it."""
        return Paged(tuple(make(one) for one in self.shown), self.page, self.pages, self.first, self.of)


def paged(found: Sequence[_T], *, most: int) -> Paged[_T]:
    """The page of a list that the address asks for; where it asks for none that there is, the nearest.

    Args:
        found: The whole list.
        most: How many things stand on a page.
    """
    return paged_in_parts([found[at : at + most] for at in range(0, len(found), most)])


def paged_in_parts(parts: Sequence[Sequence[_T]]) -> Paged[_T]:
    """The same of a list that was cut into pages already."""
    page = min(max(1, _asked()), max(1, len(parts)))
    before = sum(map(len, parts[: page - 1]))
    shown = tuple(parts[page - 1]) if parts else ()
    return Paged(shown, page, max(1, len(parts)), before + 1 if shown else 0, sum(map(len, parts)))


def _asked() -> int:
    typed = request.args.get("page", "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 6 else 1
