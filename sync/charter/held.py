"""What is held, as the judging asks for it: found by id, by kind, by author, by file, and walked through once.

Not a store. One rule: nothing is listed here that whoever holds the set can find again, so that a million statements
are judged in the memory that those take which give roles, or wait.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Collection
from typing import TYPE_CHECKING

from sync.charter.room import Memory
from sync.errors import LocalError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from sync.charter.room import Room
    from sync.statement import Statement

Link = tuple[str, str | None]  # the id of a statement, and of the one that it follows


class HeldSet(ABC):
    """A set of statements that need not lie in memory."""

    @abstractmethod
    def get(self, identity: str, /) -> Statement | None:
        """The statement of that id, or None."""

    @abstractmethod
    def has(self, identity: str, /) -> bool:
        """Whether a statement is in the set."""

    @abstractmethod
    def statements(self) -> Iterable[Statement]:
        """All of them, each after all that it answers."""

    @abstractmethod
    def of_kinds(self, kinds: Iterable[str], /) -> Iterable[Statement]:
        """Those of some kinds, in any order."""

    @abstractmethod
    def in_order(self, kind: str, /) -> Iterable[Statement]:
        """Those of one kind, each after those among them that it answers."""

    @abstractmethod
    def chain_of(self, author: str, /) -> Iterable[Link]:
        """All statements of one author, each after the one of the same author that it follows, if that is here."""

    @abstractmethod
    def answering(self, identity: str, /) -> Iterable[str]:
        """The ids of those that answer a statement, held or not, in any order."""

    @abstractmethod
    def having(self, files: Collection[str], /) -> Iterable[Statement]:
        """Those that name any of these files, in any order, any of them several times."""

    @abstractmethod
    def ids(self) -> Collection[str]:
        """The ids of what is in the set now; they stay those when more comes."""

    def room(self) -> Room:
        """Where a judging of the set keeps what it has to remember."""
        return Memory()


class _Nothing(HeldSet):
    """The empty set."""

    def get(self, _identity: str, /) -> None:
        return None

    def has(self, _identity: str, /) -> bool:
        return False

    def statements(self) -> tuple[Statement, ...]:
        return ()

    def of_kinds(self, _kinds: Iterable[str], /) -> tuple[Statement, ...]:
        return ()

    def in_order(self, _kind: str, /) -> tuple[Statement, ...]:
        return ()

    def chain_of(self, _author: str, /) -> tuple[Link, ...]:
        return ()

    def answering(self, _identity: str, /) -> tuple[str, ...]:
        return ()

    def having(self, _files: Collection[str], /) -> tuple[Statement, ...]:
        return ()

    def ids(self) -> frozenset[str]:
        return frozenset()


NOTHING = _Nothing()


class Joined:
    """A set that is held together with statements given beside it; what is given takes the place of what is held.

    Attributes:
        given: What is given, by id.
    """

    def __init__(self, held: HeldSet, given: Mapping[str, Statement]) -> None:
        """Join them."""
        self._held = held
        self.given = given

    def get(self, identity: str) -> Statement | None:
        """The statement of that id, or None."""
        return self.given.get(identity) or self._held.get(identity)

    def has(self, identity: str) -> bool:
        """Whether a statement is here."""
        return identity in self.given or self._held.has(identity)

    def walked(self) -> Iterator[Statement]:
        """What is held and was not given, each after all of it that it answers."""
        return self._not_given(self._held.statements())

    def of_kinds(self, kinds: Collection[str]) -> Iterator[Statement]:
        """Those of some kinds."""
        yield from (each for each in self.given.values() if each.kind in kinds)
        yield from self._not_given(self._held.of_kinds(kinds))

    def in_order(self, kind: str) -> Iterable[Statement]:
        """Those of one kind, each after those among them that it answers."""
        given = [each for each in self.given.values() if each.kind == kind]
        if not given:
            return self._not_given(self._held.in_order(kind))
        return in_order_of_answering([*given, *self._not_given(self._held.of_kinds({kind}))])

    def chain_of(self, author: str) -> Iterable[Link]:
        """All statements of one author, each after the one of the same author that it follows, if that is here."""
        given = [(each.id, each.previous) for each in self.given.values() if each.author == author]
        if not given:
            return self._held.chain_of(author)
        return in_chains([*given, *(link for link in self._held.chain_of(author) if link[0] not in self.given)])

    def room(self) -> Room:
        """Where a judging keeps what it has to remember."""
        return self._held.room()

    def having(self, files: Collection[str]) -> Iterator[Statement]:
        """Those that name any of these files."""
        yield from (each for each in self.given.values() if not set(files).isdisjoint(each.attachments))
        yield from self._not_given(self._held.having(files))

    def ids(self) -> Collection[str]:
        """The ids of all."""
        return with_more(self._held.ids(), (each for each in self.given if not self._held.has(each)))

    def _not_given(self, statements: Iterable[Statement]) -> Iterator[Statement]:
        return (each for each in statements if each.id not in self.given)


def judged(held: HeldSet | Joined, identity: str) -> Statement:
    """A statement that was judged.

    Raises:
        LocalError: It is not among those known: whoever holds the set has lost it.
    """
    statement = held.get(identity)
    if statement is None:
        raise LocalError(
            f"statement {identity[:8]} was judged but is not among those known",
            hint="report this: it must never happen",
        )
    return statement


def in_chains(links: Sequence[Link]) -> list[Link]:
    """The statements of one author, given in any order, each after the one that it follows."""
    here = {identity for identity, _ in links}
    following: defaultdict[str, list[Link]] = defaultdict(list)
    order: list[Link] = []
    for identity, previous in links:
        if previous in here:
            following[str(previous)].append((identity, previous))
        else:
            order.append((identity, previous))
    for identity, _ in order:  # the list grows while it is walked
        order.extend(following.get(identity, ()))
    return order


def in_order_of_answering(said: Iterable[Statement]) -> list[Statement]:
    """The statements, each after those among them that it answers."""
    among = {statement.id: statement for statement in said}
    answers = {identity: [each for each in s.after if each in among] for identity, s in among.items()}
    answered_by: defaultdict[str, list[str]] = defaultdict(list)
    for identity, answered in answers.items():
        for each in answered:
            answered_by[each].append(identity)
    open_answers = {identity: len(answered) for identity, answered in answers.items()}
    order = [identity for identity, count in open_answers.items() if not count]
    for identity in order:  # the list grows while it is walked
        for later in answered_by[identity]:
            open_answers[later] -= 1
            if not open_answers[later]:
                order.append(later)
    return [among[identity] for identity in order]


class _WithMore(Collection[str]):
    """Ids, and a few more that are not among them."""

    def __init__(self, ids: Collection[str], more: frozenset[str]) -> None:
        self.first = ids
        self.more = more

    def __contains__(self, identity: object) -> bool:
        return identity in self.more or identity in self.first

    def __iter__(self) -> Iterator[str]:
        yield from self.first
        yield from self.more

    def __len__(self) -> int:
        return len(self.first) + len(self.more)


def with_more(ids: Collection[str], more: Iterable[str]) -> Collection[str]:
    """These ids and more that are not among them; what is known of the first stays where it is."""
    added = frozenset(more)
    if not added:
        return ids
    return _WithMore(ids.first, ids.more | added) if isinstance(ids, _WithMore) else _WithMore(ids, added)
