"""What cuts reach of somebody's chains, however these fork and whatever is missing, is what a definition says."""

from __future__ import annotations

import tempfile
from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sync.charter.chains import Chains
from sync.charter.held import HeldSet, Joined
from sync.charter.room import Memory
from sync.store import scratch as scratch_module
from sync.store import spilling
from sync.store.marks import SpillingRoom
from sync.store.scratch import Scratch
from tests.sync.charter_scene import Kept, key
from tests.sync.test_charter_scale import unsigned

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from sync.charter.room import Room
    from sync.statement import Statement

MOST = 14
numbers = st.integers(0, MOST + 1)  # the last two are never here
cuts_of = st.lists(st.lists(numbers, max_size=4), min_size=1, max_size=5)
tried = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


class InRoom(Kept):
    """Statements with a room to judge them in."""

    def __init__(self, statements: Iterable[Statement], room: Room) -> None:
        super().__init__(statements)
        self._room = room

    def room(self) -> Room:
        return self._room


@pytest.fixture(params=["in memory", "in a scratch file"])
def room(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterable[Room]:
    """Either room; of the second three ids lie in memory."""
    monkeypatch.setattr(spilling, "KEPT", 3)
    monkeypatch.setattr(scratch_module, "PAGE_ROWS", 2)
    with tempfile.TemporaryDirectory() as folder:
        scratch = Scratch(Path(folder) / "store.sqlite")
        yield Memory() if request.param == "in memory" else SpillingRoom(scratch)
        scratch.close()


def named(number: int) -> str:
    return unsigned(number, "C2", "fieldbook/edition", {}).id


def wood(parents: Sequence[int | None], missing: set[int]) -> list[Statement]:
    """Statements that each follow an earlier one or none; some have not come."""
    return [
        unsigned(n, "C2", "fieldbook/edition", {}, previous=None if parent is None or parent >= n else named(parent))
        for n, parent in enumerate(parents)
        if n not in missing
    ]


def reached(said: Sequence[Statement], ends: Iterable[str]) -> set[str]:
    """By definition: the ends that are here, and whatever they follow without a gap."""
    here = {each.id: each.previous for each in said}
    found: set[str] = set()
    for end in ends:
        at: str | None = end
        while at in here:
            found.add(str(at))
            at = here[str(at)]
    return found


woods = st.lists(st.one_of(st.none(), st.integers(0, MOST)), max_size=MOST)


@tried
@given(parents=woods, missing=st.sets(st.integers(0, MOST), max_size=2), cuts=cuts_of)
def test_good_is_what_every_cut_reaches(
    room: Room, parents: list[int | None], missing: set[int], cuts: list[list[int]]
) -> None:
    said = wood(parents, missing)
    ends = [[named(number) for number in cut] for cut in cuts]
    chains = Chains(Joined(InRoom(said, room), {}))
    expected = set.intersection(*(reached(said, cut) for cut in ends))
    assert set(chains.good(key("C2"), ends)) == expected
    assert set(chains.good(key("C2"), iter(ends[::-1]))) == expected


@tried
@given(parents=woods, missing=st.sets(st.integers(0, MOST), max_size=4), cut=st.lists(numbers, max_size=6))
def test_gaps_are_what_would_let_a_cut_reach_more(
    room: Room, parents: list[int | None], missing: set[int], cut: list[int]
) -> None:
    said = wood(parents, missing)
    here = {each.id for each in said}
    ends = [named(number) for number in cut]
    missing_links = {each.previous for each in said if each.id in reached(said, ends)} - here - {None}
    found = set(Chains(Joined(InRoom(said, room), {})).gaps(key("C2"), ends))
    assert found == missing_links | (set(ends) - here)


@tried
@given(steps=st.lists(st.tuples(st.integers(0, 3), st.integers(0, 9))))
def test_sets_by_id_are_what_a_dict_of_sets_would_be(room: Room, steps: list[tuple[int, int]]) -> None:
    sets, plain = room.sets(), defaultdict[str, set[str]](set)
    for at, name in steps:
        sets.add(named(at), named(name))
        plain[named(at)].add(named(name))
    assert (list(sets), len(sets)) == (sorted(plain), len(plain))
    for one in map(named, range(4)):
        assert (one in sets, list(sets.of(one))) == (one in plain, sorted(plain.get(one, ())))
        assert {name for name in map(named, range(10)) if sets.holds(one, name)} == plain.get(one, set())


def test_what_is_walked_through_stays_though_nobody_else_keeps_it(room: Room) -> None:
    names = room.names()
    for number in range(9):
        names.add(named(number))
    walked = iter(names)
    del names
    other = room.names()
    for number in range(9):
        other.add(named(number))
    assert sorted(walked) == sorted(map(named, range(9)))


def test_a_set_without_a_room_of_its_own_is_judged_in_memory() -> None:
    assert isinstance(HeldSet.room(Kept([])), Memory)
