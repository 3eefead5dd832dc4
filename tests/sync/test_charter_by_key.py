"""Roles that lie in no memory say what a plain reckoning over lists and dicts says."""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sync import LocalError, canonical_bytes
from sync.canonical import canonical_pieces
from sync.charter import judge
from sync.charter.by_key import FirstOf, Told
from sync.charter.labels import Labels
from sync.store import spilling
from sync.store.marks import SpillingRoom
from sync.store.scratch import Scratch
from tests.fast import memory_folder
from tests.sync.charter_histories import History
from tests.sync.charter_scene import KINDS, Circle, key

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from sync.charter.room import Room
    from sync.statement import Statement

FEW = 2  # ids that lie in memory
some_keys = st.integers(0, 40).map(
    lambda number: f"{number % 3:x}{number:063x}"[::-1] if number % 2 else f"{number:064x}"
)
names = st.sampled_from(["T", "C", "C3", "C4", "T3", "X1"])
seeds = st.integers(0, 2**32)


@contextmanager
def small_room() -> Iterator[Room]:
    with tempfile.TemporaryDirectory(dir=memory_folder()) as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(spilling, "KEPT", FEW)
        scratch = Scratch(Path(folder) / "store.sqlite")
        yield SpillingRoom(scratch)
        scratch.close()


# short names


def told_apart(named: Mapping[str, str]) -> dict[str, int]:
    """For each key whose name another one has too: how many characters tell it from every other, at least four."""
    shown = {}
    for one, name in named.items():
        same = sorted(other for other in named if named[other] == name)
        common = [
            next(i for i, (a, b) in enumerate(zip(first, second, strict=True)) if a != b)
            for first, second in pairwise(same)
        ]
        if common:
            shown[one] = max(4, 1 + max(common))
    return shown


def labels_by_definition(letters: Mapping[str, str], people: Mapping[str, tuple[str, str]]) -> dict[str, str]:
    shown = told_apart(letters)
    labels = {one: f"{letter}-{one[: shown[one]]}" if one in shown else letter for one, letter in letters.items()}
    at_site = {
        one: name if labels.get(site) == name[:1] else f"{name}-{site[: shown.get(site, 4)]}"
        for one, (name, site) in people.items()
        if one not in letters
    }
    twice = told_apart(at_site)
    return labels | {one: f"{name}-{one[: twice[one]]}" if one in twice else name for one, name in at_site.items()}


@given(
    st.dictionaries(some_keys, st.sampled_from("TC"), max_size=6),
    st.dictionaries(some_keys, st.tuples(names, some_keys), max_size=25),
)
@settings(max_examples=80, deadline=None)
def test_short_names_are_those_of_a_reckoning_over_all_of_them_at_once(
    letters: dict[str, str], people: dict[str, tuple[str, str]]
) -> None:
    expected = labels_by_definition(letters, people)
    with small_room() as room:
        labels = Labels(letters=letters, people=people, room=room)
        assert dict(labels.items()) == expected
        assert {one: labels[one] for one in labels} == expected
        assert labels == expected
        assert "f" * 64 not in labels


# what is shown of several words


class Named(Circle):
    """A circle in which few keys are named again and again."""

    def run(self, random: Random, steps: int) -> Named:
        self.grant_site("C1", "T")
        for _ in range(steps):
            kind = random.choice(("sync/person", "sync/grant"))
            who, name = random.choice("AB") * 64, f"C{random.randint(1, 3)}"
            body: dict[str, Any] = {"key": who.lower(), "name": name, "role": random.choice(("trainer", "volunteer"))}
            if kind == "sync/grant":
                scope = sorted(random.sample(["bed", "pest", "water"], random.randint(0, 2)))
                body |= {"role": "reviewer", "scope": scope, "site": key("C")}
            if kind == "sync/grant" and random.random() < 0.5:
                body = {"key": who.lower(), "letter": random.choice("AB"), "name": name, "role": "site"}
            by = random.choice("CT") if kind == "sync/person" else "C1"
            answered = [each for each in self.said if random.random() < 0.3]
            self.say(by, kind, body, after=answered)
        return self


def shown_by_definition(said: Iterable[Statement]) -> dict[tuple[str, str], list[Any]]:
    """By key and kind of role: the first words, by their order, of those that no other for the same answers."""
    groups: dict[tuple[str, str], list[Statement]] = {}
    for each in said:
        assert each.body is not None
        role = "person" if each.kind == "sync/person" else each.body["role"]
        groups.setdefault((each.body["key"], role), []).append(each)
    return {
        place: min(
            words_of(each) for each in group if not any(each.id in other.after for other in group)
        )
        for place, group in groups.items()
    }  # fmt: skip


def words_of(each: Statement) -> list[Any]:
    body = each.body or {}
    if each.kind == "sync/person":
        return [each.author, body["name"]]
    return [body["letter"], body["name"]] if body["role"] == "site" else [body["name"], body["scope"], body["site"]]


@given(seeds, st.integers(1, 25))
@settings(max_examples=60, deadline=None)
def test_of_several_words_for_one_key_those_are_shown_that_the_rule_names(seed: int, steps: int) -> None:
    circle = Named().run(Random(seed), steps)
    charter = circle.judged().charter
    for (who, role), words in shown_by_definition(circle.said).items():
        if role == "person":
            assert [charter.people[who].site, charter.people[who].name] == words
        elif role == "site":
            assert [charter.sites[who].letter, charter.sites[who].name] == words
        else:
            assert [charter.reviewers[who].name, charter.reviewers[who].site] == [words[0], words[2]]


# told by the piece


@given(seeds, st.integers(5, 40))
@settings(max_examples=30, deadline=None)
def test_the_roles_in_force_are_spelled_by_the_piece_as_at_once(seed: int, steps: int) -> None:
    circle = History(Random(seed)).run(steps)
    charter = judge(circle.network, KINDS, circle.said).charter
    assert b"".join(charter.spelled()) == canonical_bytes(charter.as_value())


values = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("abc"), inner, max_size=3),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(["a", "b-1", "C"]), values, max_size=3))
def test_an_object_is_spelled_by_the_piece_as_at_once(value: dict[str, Any]) -> None:
    some = {name: iter(each) if isinstance(each, list) else each for name, each in value.items()}
    assert b"".join(canonical_pieces(some)) == canonical_bytes(value)


@pytest.mark.parametrize("value", [{"a b": 1}, {"a": iter([0.5])}, {"a": iter(["\ud800"])}])
def test_what_is_no_value_of_ours_is_not_spelled_by_the_piece_either(value: dict[str, Any]) -> None:
    with pytest.raises(LocalError):
        list(canonical_pieces(value))


# maps


def test_a_map_that_is_told_otherwise_leaves_out_whom_it_is_told_to() -> None:
    told = Told({"b": b"2", "a": b"1", "c": b"3"}, lambda one, kept: one + kept.decode(), without={"c"})
    assert list(told.items()) == [("a", "a1"), ("b", "b2")]
    assert list(told) == ["a", "b"]
    assert (len(told), "c" in told, told.get("c"), told.get("d")) == (2, False, None, None)
    assert told == {"a": "a1", "b": "b2"}
    assert told != {"a": "a1", "b": "b3"}
    assert told != ["a", "b"]


def test_of_several_maps_the_first_that_knows_a_key_counts() -> None:
    first = FirstOf({"b": 1}, {"c": 4, "b": 2}, {"a": 3, "b": 5})
    assert list(first.items()) == [("a", 3), ("b", 1), ("c", 4)]
    assert first["b"] == 1
    assert first.get("d") is None
