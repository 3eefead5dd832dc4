"""Carriers that are another thing in the middle of a visit, whose blocks went astray, or that break off again and again.

The common outcome: nothing acknowledged is lost, nothing invalid accepted, the next exchange succeeds without a person
repairing files, and one plain line says what happened.
"""

from __future__ import annotations

import json
import shutil
from random import Random
from typing import TYPE_CHECKING

import pytest

from sync import CarrierError, FolderCarrier, RemoteError, read_network
from sync.canonical import canonical_bytes
from sync.limits import SEALED_PACKED_BYTES_PREFERRED
from tests.sync.camps import (
    Site,
    Watched,
    bundles_of,
    carry,
    files_of,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    three_unseen,
)
from tests.sync.charter_scene import network_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

BLOCK_BYTES = 4096


class Changing(Watched):
    """A stick to which something happens just before its first bundle is opened, after it was listed."""

    def __init__(self, stick: Path, happens: Callable[[], object]) -> None:
        super().__init__(stick)
        self._happens = [happens]

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        if name.endswith(".bundle") and self._happens:
            self._happens.pop()()
        return super().read(name, limit_bytes=limit_bytes)


def remove_bundles(stick: Path) -> None:
    for path in bundles_of(stick):
        path.unlink()


def cut_bundles(stick: Path) -> None:
    for path in bundles_of(stick):
        path.write_bytes(path.read_bytes()[:-7])


def swap_bundles(stick: Path) -> None:
    first, *_, last = bundles_of(stick)
    one, other = first.read_bytes(), last.read_bytes()
    first.write_bytes(other)
    last.write_bytes(one)


def make_folders_of_bundles(stick: Path) -> None:
    for path in bundles_of(stick):
        path.unlink()
        path.mkdir()


@pytest.mark.parametrize("happens", [remove_bundles, cut_bundles, swap_bundles, make_folders_of_bundles])
def test_a_carrier_that_changes_while_it_is_read_costs_nothing_but_a_sentence(
    sites: dict[str, Site], stick: Path, happens: Callable[[Path], None]
) -> None:
    """Somebody clears the stick on another computer, or a program that tidies files runs over the meeting folder."""
    three_unseen(sites, stick)
    own = sites["T"].edition("mine")
    report = sites["T"].exchange(Changing(stick, lambda: happens(stick)))
    said = [each.reason for each in report.refused] + list(report.notes)
    assert said or report.accepted.number, "something happened, and nobody is told"
    assert sites["T"].store.get(own.id) == own
    for path in (*bundles_of(stick), *folder_of(stick).rglob("*.bundle")):
        if path.is_dir():  # a person removes what no program of ours would
            path.rmdir()
    meet(stick, *sites.values())
    assert share_one_set(*sites.values())


def test_a_stick_that_was_swapped_for_another_in_the_middle_is_not_called_safe_for_what_it_lacks(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    """A laptop slept through the change of sticks: what it listed before lies on neither as it was."""
    three_unseen(sites, stick)
    other = new_stick(place, "other")
    carry(other, sites["L"])

    def swap() -> None:
        stick.rename(place / "gone")
        other.rename(stick)

    sites["T"].exchange(Changing(stick, swap))
    assert stick.is_dir()
    meet(stick, *sites.values())
    meet(place / "gone", *sites.values())


def test_two_sites_on_one_share_with_stale_listings_lose_nothing(sites: dict[str, Site], stick: Path) -> None:
    """Both listed before either wrote."""
    three_unseen(sites, stick)
    for site in sites.values():
        site.edition(f"said at {site.letter} before")
    sites["T"].exchange(Changing(stick, lambda: sites["L"].exchange(stick)))
    meet(stick, *sites.values())


def zeroed(data: bytes, at: int, _old: bytes) -> bytes:
    return data[:at] + bytes(len(data[at : at + BLOCK_BYTES])) + data[at + BLOCK_BYTES :]


def swapped(data: bytes, at: int, _old: bytes) -> bytes:
    return data[at : at + BLOCK_BYTES] + data[:at] + data[at + BLOCK_BYTES :]


def stale(data: bytes, at: int, old: bytes) -> bytes:
    return data[:at] + (old * BLOCK_BYTES)[: len(data[at : at + BLOCK_BYTES])] + data[at + BLOCK_BYTES :]


def of_no_size(_data: bytes, _at: int, _old: bytes) -> bytes:
    return b""


def with_a_stale_tail(data: bytes, _at: int, old: bytes) -> bytes:
    return data + old


@pytest.mark.parametrize("damage", [zeroed, swapped, stale, of_no_size, with_a_stale_tail])
def test_a_block_that_went_astray_costs_its_own_file_and_no_other(
    sites: dict[str, Site], stick: Path, damage: Callable[[bytes, int, bytes], bytes]
) -> None:
    """A block of 4 KiB is zeroed, in another place or from an older file; a file has no size, or a tail of another."""
    chance = Random(4)
    meet(stick, *sites.values())
    old = bundles_of(stick)[0].read_bytes()
    before = set(bundles_of(stick))
    photo = chance.randbytes(3 * BLOCK_BYTES)
    for text in ("one", "two"):
        sites["C"].edition(text + chance.randbytes(2 * BLOCK_BYTES).hex())
        sites["C"].exchange(stick)
    name = sites["C"].store.attachments.put(photo)
    sites["C"].edition(attachments=[name])
    sites["C"].exchange(stick)
    first, *others = sorted(set(bundles_of(stick)) - before)
    assert others
    picture = next(folder_of(stick).rglob(name))
    for path in (first, picture):
        data = path.read_bytes()
        path.write_bytes(damage(data, BLOCK_BYTES * (len(data) // BLOCK_BYTES // 2), old))
    report = sites["T"].exchange(stick)
    assert len([each for each in report.refused if first.name in each.file]) == 1
    assert sites["T"].store.attachments.get(name) is None
    meet(stick, *sites.values())
    assert sites["T"].store.attachments.get(name) == photo


class Weak(Watched):
    """A carrier over a link that breaks off after so many bytes; each try begins anew."""

    def __init__(self, stick: Path, budget_bytes: int) -> None:
        super().__init__(stick)
        self._left = budget_bytes
        self.read_bytes = 0

    def read(self, name: str, *, limit_bytes: int) -> bytes:
        data = self.inner.read(name, limit_bytes=limit_bytes)
        self._left -= len(data)
        if self._left < 0:
            raise CarrierError("fault", name)
        self.read_bytes += len(data)
        return super().read(name, limit_bytes=limit_bytes)


def test_over_a_link_that_is_cut_each_half_minute_every_try_gets_on_and_repeats_little(
    sites: dict[str, Site], stick: Path
) -> None:
    """1 KB/s for 30 s is 30 KB a try: no bundle is larger than one try, and none is fetched twice."""
    chance = Random(5)
    meet(stick, *sites.values())
    for _ in range(120):
        sites["C"].edition(chance.randbytes(400).hex())
        if chance.random() < 0.2:
            sites["C"].exchange(stick)
    sites["C"].exchange(stick)
    largest = max(path.stat().st_size for path in bundles_of(stick))
    assert largest <= SEALED_PACKED_BYTES_PREFERRED
    counts, fetched = [sites["T"].store.count()], 0
    while sites["T"].store.count() < sites["C"].store.count():
        carrier = Weak(stick, 30_000)
        sites["T"].exchange(carrier)
        fetched += carrier.read_bytes
        counts.append(sites["T"].store.count())
        assert counts[-1] > counts[-2], "a try brought nothing"
    new = sum(path.stat().st_size for path in bundles_of(stick, "text"))
    assert fetched <= new + (len(counts) - 1) * SEALED_PACKED_BYTES_PREFERRED
    assert len(files_of(stick)) > len(bundles_of(stick))


def test_two_networks_of_one_title_share_a_stick_and_are_never_mixed(
    sites: dict[str, Site], stick: Path, place: Path
) -> None:
    """A title is what a person sees; the folder goes by the hash of the network file."""
    foreign = Site(place / "foreign", "C", chance=Random(6)).found(network_of("C1", "C2", threshold=2))
    assert foreign.store.network.title == sites["C"].store.network.title
    foreign.introduce()
    foreign.edition("of the other network")
    foreign.exchange(stick)
    there = files_of(stick)
    with pytest.raises(RemoteError, match="belongs to another network"):
        sites["C"].exchange(stick)
    assert files_of(stick) == there
    ours = new_stick(place, "ours")
    meet(ours, *sites.values())
    shutil.copytree(ours, stick, dirs_exist_ok=True)  # what a person does who copies all of one stick to another
    meet(stick, *sites.values())
    assert there.items() <= files_of(stick).items()
    foreign.exchange(stick)
    assert foreign.store.count() == 2
    with pytest.raises(RemoteError, match="holds 2 networks"):
        read_network(FolderCarrier(stick))


def test_a_network_file_that_too_few_signed_is_believed_by_nobody(sites: dict[str, Site], stick: Path) -> None:
    """One of two stewards signs; a site of the network writes the right one again, a newcomer is told."""
    meet(stick, *sites.values())
    file = folder_of(stick) / "network.json"
    right = file.read_bytes()
    short = network_of("C1", "L1", threshold=2)
    value = json.loads(short.to_bytes())
    value["signatures"].pop()
    file.write_bytes(canonical_bytes(value))
    with pytest.raises(RemoteError) as refusal:
        read_network(FolderCarrier(stick))
    assert "signature" in refusal.value.message
    meet(stick, *sites.values())
    assert file.read_bytes() == right
