"""A set that is judged where it lies, in a store, comes out as one that lies in memory."""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sync import LocalError, Store
from sync.charter import judge, judge_more
from sync.charter.verdict import ACCEPTED, REVOKED, Changed
from sync.store import marks, scratch, spilling
from tests.fast import memory_folder
from tests.sync.charter_histories import AWAY, History
from tests.sync.charter_model import model
from tests.sync.charter_scene import KINDS, Circle

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from sync.network import Network
    from sync.statement import Statement

ONE, OTHER = "1" * 64, "2" * 64
seeds = st.integers(0, 2**32)


@pytest.fixture(params=[3, spilling.KEPT], ids=["in a scratch file", "in memory"], autouse=True)
def kept(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> int:
    """How much of what a judging remembers lies in memory."""
    monkeypatch.setattr(spilling, "KEPT", request.param)
    return int(request.param)


at_once = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@contextmanager
def store_of(network: Network) -> Iterator[Store]:
    with tempfile.TemporaryDirectory(dir=memory_folder()) as folder:
        store = Store.create(Path(folder) / "store.sqlite", network, KINDS.values())
        try:
            yield store
        finally:
            store.close()


def parts_of(said: Iterable[Statement], random: Random) -> Iterator[list[Statement]]:
    coming = list(said)
    random.shuffle(coming)
    while coming:
        yield [coming.pop() for _ in range(min(len(coming), random.choice((1, 1, 2, 5))))]


@at_once
@given(seeds, st.integers(5, 40))
def test_a_store_judges_its_set_as_if_that_lay_in_memory(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    here = [each for each in circle.said if random.random() < 0.9]
    with store_of(circle.network) as store:
        for part in parts_of(here, random):
            store.add(part, sealed=True)  # nobody asks in between, so the whole is judged at once
        assert store.judgement == judge(circle.network, KINDS, here)
        states = {name: verdict.state for name, verdict in store.judgement.verdicts.items()}
        assert states == model(circle.network, KINDS, here).states


@at_once
@given(seeds, st.integers(5, 40))
def test_a_store_that_is_asked_at_any_time_comes_to_the_same(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    here: list[Statement] = []
    with store_of(circle.network) as store:
        for part in parts_of(circle.said, random):
            bare = random.random() < 0.2
            store.add([each.without_body() for each in part] if bare else part, sealed=True)
            if random.random() < 0.5:
                store.judge_some()
            if bare:  # bodies come later
                assert store.judgement == judge(circle.network, KINDS, [*here, *(one.without_body() for one in part)])
                for each in part:
                    store.supply(each)
            here.extend(part)
            if random.random() < 0.5:
                assert store.judgement == judge(circle.network, KINDS, here)
        assert store.judgement == circle.judged()


@at_once
@given(seeds, st.integers(5, 40))
def test_what_is_not_in_the_store_yet_is_judged_beside_it(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    held = [each for each in circle.said if random.random() < 0.7]
    with store_of(circle.network) as store:
        store.add(held, sealed=True)
        before = store.judgement
        assert judge_more(before, KINDS, store, circle.said) == circle.judged()
        assert before == store.judgement == judge(circle.network, KINDS, held)


def test_a_judgement_stays_what_it_was_when_more_comes() -> None:
    circle = Circle("C1")
    circle.name_person("C2")
    first, second = circle.edition("C2"), circle.edition("C2")
    with store_of(circle.network) as store:
        store.add(circle.said[:-1], sealed=True)
        before = store.judgement
        store.add([second], sealed=True)
        assert second.id in store.judgement.verdicts
        assert (first.id in before.verdicts, second.id in before.verdicts, len(before.verdicts)) == (True, False, 2)
        assert set(before.verdicts) == {each.id for each in circle.said[:-1]}
        with pytest.raises(KeyError):
            before.verdicts[second.id]


@at_once
@given(seeds, st.integers(5, 40))
def test_what_turned_between_two_judgings_is_what_is_listed_otherwise(seed: int, steps: int) -> None:
    random = Random(seed)
    circle = History(random).run(steps)
    with store_of(circle.network) as store:
        judged = [store.judgement]
        listed = [dict(judged[0].verdicts.others)]
        for part in parts_of(circle.said, random):
            store.add(part, sealed=True)
            judged.append(store.judgement)
            listed.append(dict(judged[-1].verdicts.others))
        for _ in range(20):
            first, second = sorted(random.choices(range(len(judged)), k=2))
            old, new = judged[first].verdicts, judged[second].verdicts
            assert dict(old.others) == listed[first]  # later judgings left it as it was
            names = listed[first].keys() | listed[second].keys()
            differing = [name for name in sorted(names) if listed[first].get(name) != listed[second].get(name)]
            assert list(new.turned(old)) == differing
            assert [new.of(name) for name in differing] == [listed[second].get(name, ACCEPTED) for name in differing]


def waiting_and_told_otherwise() -> Circle:
    """Words that wait for one that is not here, and a key that is stopped later."""
    circle = Circle("C1")
    circle.name_person("C3")
    first = circle.edition("C3")
    for _ in range(12):
        circle.edition("C3", first)
    return circle


def test_two_judgings_may_stand_on_one_and_know_nothing_of_each_other() -> None:
    circle = waiting_and_told_otherwise()
    with store_of(circle.network) as store:
        late = circle.said[1]
        store.add([each for each in circle.said if each is not late], sealed=True)
        before = store.judgement
        waiting = dict(before.verdicts.others)
        assert len(waiting) == 12
        supposed = judge_more(before, KINDS, store, [late])
        assert not supposed.verdicts.others
        store.add([circle.edition("C3", AWAY)], sealed=True)
        assert (dict(before.verdicts.others), len(store.judgement.verdicts.others)) == (waiting, 13)
        assert not supposed.verdicts.others
        one, other = (
            marks.kept(store.scratch, Changed(before.verdicts.others, {name: REVOKED})) for name in (ONE, OTHER)
        )
        assert (one.get(ONE), one.get(OTHER), other.get(OTHER), other.get(ONE)) == (REVOKED, None, REVOKED, None)


def test_a_judging_that_found_no_room_on_the_disk_succeeds_when_there_is_some(monkeypatch: pytest.MonkeyPatch) -> None:
    circle = waiting_and_told_otherwise()
    monkeypatch.setattr(spilling, "KEPT", 3)
    with store_of(circle.network) as store:
        store.add([each for each in circle.said if each is not circle.said[1]], sealed=True)
        with monkeypatch.context() as full:
            full.setattr(scratch, "_PRAGMAS", (*scratch._PRAGMAS, "max_page_count = 2"))
            for _ in range(2):
                with pytest.raises(LocalError, match="the disk under this site's store is full"):
                    assert store.judgement
        assert len(store.judgement.verdicts.others) == 12
