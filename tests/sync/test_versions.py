"""Software of different ages in one network: what an old site does not understand it keeps and hands on to the byte."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from sync import check_store
from tests.simulate.camp import Camp
from tests.sync.camps import carry, new_stick
from tests.sync.charter_scene import network_of
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from pathlib import Path


def three(place: Path, *, versions: str) -> list[Camp]:
    """C, T and L, let in and named, each with software of its version."""
    network = network_of("C1", threshold=1)
    camps = [
        Camp(place / letter, letter, chance=Random(1), version=int(version)).found(network)
        for letter, version in zip("CTL", versions, strict=True)
    ]
    for camp in camps[1:]:
        camp.ask()
        camps[0].admit(camp.letter, camp.key.public)
    for camp in camps:
        camp.introduce()
    stick = new_stick(place, "first")
    carry(stick, *camps, rounds=3)
    return camps


def parts(camp: Camp, name: str) -> tuple[object, ...]:
    held = camp.store.get(name)
    assert held is not None
    return held.header_bytes, held.body_bytes, held.salt, held.signature


def test_an_old_site_between_two_new_ones_strips_nothing(place: Path) -> None:
    new, old, far = three(place, versions="212")
    said = [
        new.say("garden/tasting", {"sweet": 3}),
        new.say("garden/warning", {"why": "it burns"}),
        new.say_as_newer("a-later/kind", []),
    ]
    answer = new.edition("answers what an old site does not know", after=[said[0].id])
    before = {one.id: parts(new, one.id) for one in (*said, answer)}
    near, onward = new_stick(place, "near"), new_stick(place, "onward")
    carry(near, new, old)
    carry(onward, old, far)
    assert {name: parts(old, name) for name in before} == before
    assert {name: parts(far, name) for name in before} == before
    assert far.store.set_hash() == old.store.set_hash()
    assert list(far.state_lines()) == list(new.state_lines())
    assert check_carrier(onward) == []


def test_urgent_words_of_newer_software_stay_urgent_on_their_way_through_an_old_site(place: Path) -> None:
    new, old, _ = three(place, versions="212")
    warning = new.say("garden/warning", {"why": "it burns"})
    near, onward = new_stick(place, "near"), new_stick(place, "onward")
    new.exchange(near)
    old.exchange(near)
    old.exchange(onward)
    (bundle,) = old.store.bundles.holding_any([warning.id])
    assert [path.parent.name for path in onward.rglob(f"*{bundle[:26]}*")] == ["urgent"]


def test_up_down_and_up_again_a_site_makes_of_its_set_what_a_fresh_one_does(place: Path) -> None:
    """An old fold between two new ones leaves no trace."""
    new, turning, _ = three(place, versions="222")
    for number in range(3):
        new.say("garden/tasting", {"sweet": number})
    stick = new_stick(place)
    carry(stick, new, turning)
    for version in (1, 2, 1, 2):
        turning.change_software(version)
        turning.edition(f"said by version {version}")
        carry(stick, new, turning)
    fresh = Camp(place / "fresh", "S", chance=Random(2), version=2).found(new.store.network)
    fresh.exchange(stick)
    assert list(fresh.state_lines()) == list(turning.state_lines()) == list(new.state_lines())
    assert fresh.store.set_hash() == turning.store.set_hash()
    assert check_store(turning.store) == ()


def test_two_clones_and_a_restored_copy_meet_through_a_third_alone(place: Path) -> None:
    """Each speaks to its own stick; only L ever carries between them, and nobody's words are lost."""
    _, twin_of, third = three(place, versions="222")
    twin_of.back_up(place / "backup")
    twin = twin_of.clone(place / "twin")
    said = [twin_of.edition("by the one"), twin.edition("by the other")]
    sticks = [new_stick(place, name) for name in ("one", "two")]
    twin_of.exchange(sticks[0])
    twin.exchange(sticks[1])
    twin_of.restore(place / "backup")
    said.append(twin_of.edition("by the one that was put back"))
    twin_of.exchange(new_stick(place, "three"))
    for _ in range(3):
        for stick, camp in ((sticks[0], twin_of), (sticks[1], twin)):
            third.exchange(stick)
            camp.exchange(stick)
    third.exchange(sticks[0])
    assert len({camp.store.set_hash() for camp in (twin_of, twin, third)}) == 1
    for one in said:
        verdict = third.store.verdict(one.id)
        assert verdict is not None
        assert verdict.state == "accepted"
    assert all(check_store(camp.store) == () for camp in (twin_of, twin, third))
