"""What is too much for the memory goes on in a file without a name, and comes out as it would have from memory."""

from __future__ import annotations

import gc
import os
from collections import defaultdict
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sync.errors import LocalError
from sync.store import scratch as scratch_module
from sync.store import spilling
from sync.store.scratch import Scratch
from sync.store.spilling import SpillingHeap, SpillingLists, SpillingMap, SpillingRow, SpillingSet
from tests.sync.test_flat import peak_bytes

if TYPE_CHECKING:
    from collections.abc import Iterator

IDS = [sha256(bytes([number])).hexdigest() for number in range(40)]
LONG_BYTES = 2**18
ids = st.sampled_from(IDS)
in_turns = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture
def scratch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Scratch]:
    monkeypatch.setattr(spilling, "KEPT", 4)
    monkeypatch.setattr(scratch_module, "PAGE_ROWS", 3)
    opened = Scratch(tmp_path / "store.sqlite")
    yield opened
    opened.close()


@in_turns
@given(steps=st.lists(st.tuples(ids, st.one_of(st.none(), st.binary(max_size=3)))))
def test_a_map_is_what_a_dict_would_be(scratch: Scratch, steps: list[tuple[str, bytes | None]]) -> None:
    spilled, plain = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes), dict[str, bytes]()
    for name, value in steps:
        if value is None:
            assert spilled.pop(name, None) == plain.pop(name, None)
        else:
            spilled[name] = plain[name] = value
    assert [(name in spilled, spilled.get(name)) for name in IDS] == [(name in plain, plain.get(name)) for name in IDS]
    assert (list(spilled), len(spilled)) == (sorted(plain), len(plain))
    assert spilled == plain


@in_turns
@given(values=st.dictionaries(ids, st.integers(0, 3000)))
def test_a_map_gives_its_pairs_as_a_dict_would_however_long_they_are(scratch: Scratch, values: dict[str, int]) -> None:
    spilled = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes)
    for name, length in values.items():
        spilled[name] = bytes(length)
    assert list(spilled.items()) == [(name, bytes(values[name])) for name in sorted(values)]
    assert list(map(len, spilled.values())) == [values[name] for name in sorted(values)]
    assert len(spilled.items()) == len(values)


def test_what_is_long_lies_in_memory_as_little_as_what_is_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spilling, "KEPT_BYTES", 4 * LONG_BYTES)
    scratch = Scratch(tmp_path / "store.sqlite")
    spilled = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes)
    names = SpillingSet(scratch)

    def put_and_walk() -> None:
        for name in IDS:
            spilled[name] = bytes(LONG_BYTES)
            names.add(name * (LONG_BYTES // len(name)))
        assert sum(len(value) for _, value in spilled.items()) == len(IDS) * LONG_BYTES
        assert sum(map(len, names)) == len(IDS) * LONG_BYTES

    assert peak_bytes(put_and_walk) < len(IDS) * LONG_BYTES / 2
    scratch.close()


def test_a_text_that_is_no_id_is_in_nothing(scratch: Scratch) -> None:
    spilled = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes)
    for name in IDS[:9]:
        spilled[name] = b""
    for text in ("somebody", "", IDS[0].upper(), f"{IDS[0]} "):
        assert text not in spilled
        assert spilled.get(text) is None


def test_a_set_together_with_a_plain_one_is_a_plain_one(scratch: Scratch) -> None:
    names = SpillingSet(scratch)
    names.update(IDS[:9])
    assert names | {IDS[20]} == {*IDS[:9], IDS[20]}


def test_what_is_not_in_a_map_is_no_key_of_it(scratch: Scratch) -> None:
    spilled = SpillingMap[bytes](scratch, packed=bytes, unpacked=bytes)
    for name in IDS[:9]:
        spilled[name] = b""
    with pytest.raises(KeyError):
        spilled[IDS[20]]
    with pytest.raises(KeyError):
        del spilled[IDS[20]]


@in_turns
@given(steps=st.lists(st.tuples(ids, st.booleans())))
def test_a_set_is_what_a_set_would_be(scratch: Scratch, steps: list[tuple[str, bool]]) -> None:
    spilled, plain = SpillingSet(scratch), set[str]()
    for name, comes in steps:
        if comes:
            spilled.update([name])
            plain.add(name)
        else:
            spilled.discard(name)
            plain.discard(name)
    assert (list(spilled), len(spilled)) == (sorted(plain), len(plain))


@in_turns
@given(steps=st.lists(st.tuples(st.sampled_from(IDS[:5]), st.one_of(st.none(), ids))))
def test_lists_give_what_was_put_into_them_and_then_are_empty(
    scratch: Scratch, steps: list[tuple[str, str | None]]
) -> None:
    spilled, plain = SpillingLists(scratch), defaultdict[str, list[str]](list)
    for key, name in steps:
        if name is None:
            assert sorted(spilled.pop(key)) == sorted(plain.pop(key, []))
        else:
            spilled.append(key, name)
            plain[key].append(name)
    for key in IDS[:5]:
        assert sorted(spilled.of(key)) == sorted(plain[key])
        assert sorted(spilled.pop(key)) == sorted(plain[key])
        assert not list(spilled.pop(key))


def test_a_list_that_grows_while_it_is_taken_out_gives_what_was_in_it(scratch: Scratch) -> None:
    lists = SpillingLists(scratch)
    for name in IDS[:12]:
        lists.append(IDS[0], name)
    taken = []
    for name in lists.pop(IDS[0]):
        taken.append(name)
        for more in range(3):
            lists.append(IDS[0], IDS[20 + more])
    assert sorted(taken) == sorted(IDS[:12])
    assert sorted(lists.pop(IDS[0])) == sorted(12 * IDS[20:23])


@in_turns
@given(steps=st.lists(st.one_of(st.none(), ids)))
def test_a_row_gives_back_what_came_last(scratch: Scratch, steps: list[str | None]) -> None:
    spilled, plain = SpillingRow(scratch), list[str]()
    for text in steps:
        if text is not None:
            spilled.append(text)
            plain.append(text)
        elif plain:
            assert spilled.pop() == plain.pop()
        assert len(spilled) == len(plain)
    assert list(reversed(spilled)) == plain[::-1]


@in_turns
@given(steps=st.lists(st.one_of(st.none(), st.tuples(st.integers(0, 3), ids))))
def test_a_heap_gives_the_least_first(scratch: Scratch, steps: list[tuple[int, str] | None]) -> None:
    spilled, plain = SpillingHeap(scratch), set[tuple[int, str]]()
    for pair in [*steps, *(None for _ in steps)]:
        if pair is not None:
            if pair not in plain:
                spilled.push(*pair)
            plain.add(pair)
        else:
            assert spilled.pop() == min(plain, default=None)
            plain.discard(min(plain, default=(0, "")))


def test_the_file_is_made_when_it_is_needed_and_has_no_name(scratch: Scratch, tmp_path: Path) -> None:
    names = SpillingSet(scratch)
    names.update(IDS[:4])
    assert not _open_files(tmp_path)
    names.update(IDS[:9])
    assert len(_open_files(tmp_path)) == 1
    assert not list(tmp_path.iterdir())


def test_what_a_power_cut_left_of_one_goes_when_the_next_is_made(scratch: Scratch, tmp_path: Path) -> None:
    (tmp_path / "store.sqlite.scratch-17").write_bytes(b"left")
    (tmp_path / "store.sqlite").write_bytes(b"not this")
    SpillingSet(scratch).update(IDS[:9])
    assert [path.name for path in tmp_path.iterdir()] == ["store.sqlite"]


def test_the_room_of_what_nobody_uses_any_more_is_used_again(scratch: Scratch) -> None:
    names = SpillingSet(scratch)
    names.update(IDS)
    del names
    gc.collect()
    after = SpillingSet(scratch)
    after.update(IDS)
    assert [name for (name,) in scratch.rows("SELECT name FROM sqlite_master")] == ["made", "scratch_2"]
    assert list(after) == sorted(IDS)


def test_after_a_full_disk_nothing_of_it_is_believed(scratch: Scratch) -> None:
    names = SpillingSet(scratch)
    names.update(IDS[:9])
    scratch.run("PRAGMA max_page_count = 3")
    with pytest.raises(LocalError, match="the disk under this site's store is full"):
        names.update(sha256(b"%d" % number).hexdigest() for number in range(4000))
    assert scratch.failed
    with pytest.raises(LocalError, match="the disk under this site's store is full"):
        assert IDS[20] in names


def test_a_scratch_file_that_cannot_be_made_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(LocalError, match="the store of this site cannot be used"):
        Scratch(tmp_path / "no folder" / "store.sqlite").table("(id BLOB)", owner=IDS)


def _open_files(folder: Path) -> list[str]:
    links = [os.path.realpath(each) for each in Path("/proc/self/fd").iterdir()]
    return [link for link in links if link.startswith(f"{folder}/")]
