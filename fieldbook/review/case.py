"""One item of the facts as a rule looks at it: every question gets true, false, or not said.

Not a rule. Its one rule: a missing field is answered with its path, so that the finding can name it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from fieldbook.practices.codes import NONE_PUBLISHED
from fieldbook.practices.numbers import decimal_of
from fieldbook.review.truth import Truth, Unsaid, any_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from fieldbook.practices import Entry
    from fieldbook.practices.facts import Item


@dataclass(frozen=True)
class Case:
    """One item of one group.

    Attributes:
        entry: the whole entry.
        group: the group's name.
        item: its known values.
        at: its field path.
    """

    entry: Entry
    group: str
    item: Item
    at: str

    def said(self, name: str) -> Any:
        """The value of a field, or None."""
        return self.item.get(name)

    def path(self, name: str) -> str:
        """The field's path."""
        return f"{self.at}.{name}"

    def unsaid(self, name: str) -> Unsaid:
        """That this field is missing."""
        return Unsaid((self.path(name),))

    def is_in(self, name: str, *codes: str) -> Truth:
        """Whether a code is one of these."""
        value = self.said(name)
        return self.unsaid(name) if value is None else value in codes

    def holds(self, name: str, *codes: str) -> Truth:
        """Whether a list of codes holds one of these."""
        values = self.said(name)
        if values is None:
            return self.unsaid(name)
        values = [values] if isinstance(values, str) else values
        # "other" may be any of them: only a code that is there is known.
        return any_of(any(code in values for code in codes), self.unsaid(name) if "other" in values else False)

    def lacks(self, name: str, *codes: str) -> Truth:
        """Whether a list of codes lacks at least one of these."""
        values = self.said(name)
        return self.unsaid(name) if values is None else any(code not in values for code in codes)

    def flag(self, name: str) -> Truth:
        """Whether a field is true."""
        value = self.said(name)
        return self.unsaid(name) if value is None else value is True

    def number(self, name: str) -> Decimal | None:
        """A number, or None; a wait that is nowhere published counts as no wait at all."""
        value = self.said(name)
        return Decimal(0) if value == NONE_PUBLISHED else decimal_of(value)

    def below(self, name: str, limit: Decimal | int) -> Truth:
        """Whether a number is below a limit."""
        value = self.number(name)
        return self.unsaid(name) if value is None else value < limit

    def above(self, name: str, limit: Decimal | int | str) -> Truth:
        """Whether a number is above a limit."""
        value = self.number(name)
        return self.unsaid(name) if value is None else value > Decimal(limit)

    def filled_anew(self, **item: Any) -> Case:
        """The same place with other values."""
        return replace(self, item=item)

    def filled_in(self, **more: Any) -> Case:
        """The same item with further values, where they are not said in it."""
        return replace(self, item={**more, **self.item})


def cases(entry: Entry, group: str) -> Iterator[Case]:
    """Give the items of a group."""
    facts = entry.facts
    for index, item in enumerate(facts.items(group)):
        yield Case(entry, group, item, facts.path(group, index))


def in_any(entry: Entry, group: str, question: Callable[[Case], Truth]) -> Truth:
    """Whether the question is true for any item of a group; a group that is ruled out has none."""
    if entry.facts.not_said(group):
        return Unsaid((f"facts.{group}",))
    return any_of(*(question(case) for case in cases(entry, group)))


def has(entry: Entry, group: str) -> Truth:
    """Whether the practice has the group at all."""
    return in_any(entry, group, lambda _: True)
