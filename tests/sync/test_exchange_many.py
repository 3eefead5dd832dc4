"""Exchanges where there is too much for the memory: the same comes of them, and a disk without room costs a visit."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sync import FolderCarrier, LocalError
from sync import carrier as carrier_module
from sync.exchange.copies import Copies, Copy
from sync.store import scratch as scratch_module
from sync.store import spilling
from sync.store.scratch import Scratch
from tests.sync.camps import (
    Site,
    bundles_of,
    carry,
    files_of,
    folder_of,
    meet,
    new_stick,
    share_one_set,
    state_of,
)
from tests.sync.trials import acknowledged_at, each_time, require_all_well

if TYPE_CHECKING:
    from pathlib import Path

KEPT = 3
PRAGMAS = scratch_module._PRAGMAS
SITES = ("a" * 26, "b" * 26, "c" * 26)
copies = st.builds(
    Copy,
    site=st.sampled_from(SITES),
    log=st.sampled_from(("0" * 16, "1" * 16)),
    lane=st.sampled_from(("urgent", "text")),
    number=st.integers(1, 3),
    id=st.sampled_from(("d" * 26, "e" * 26)),
    absent=st.integers(0, 2),
)


def capitals(path: Path) -> None:
    """Spell a file as no site does."""
    path.rename(path.with_name(path.name.upper()))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    there=st.lists(copies, max_size=30),
    tried=st.lists(copies, max_size=5),
    dropped=st.lists(copies, max_size=5),
    stem=copies.map(lambda copy: copy.stem),
    known=st.sets(st.sampled_from(SITES)),
)
def test_very_many_copies_are_told_of_as_few_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: list[Copy], tried: list[Copy], dropped: list[Copy], stem: str,
    known: set[str],
) -> None:  # fmt: skip
    def told(kept: int) -> tuple[Any, ...]:
        monkeypatch.setattr(spilling, "KEPT", kept)
        scratch = Scratch(tmp_path / "store.sqlite")
        found = Copies(scratch)
        for copy in there:
            found.add(copy)
        found.settle()
        for copy in tried:
            found.try_one(copy)
        for copy in dropped:
            found.drop(copy)
        found.try_all(stem)
        lanes = [[list(some) for some in found.not_tried(lane, known)] for lane in ("urgent", "text")]
        said = (
            [[some for some in lane if some] for lane in lanes],
            [found.of(copy.stem) for copy in there],
            [copy in found for copy in (*there, *dropped)],
            list(found.of_others(known)),
        )
        scratch.close()
        return said

    few = told(1000)
    assert told(2) == few
    (urgent, _), *_ = few
    assert all(copy.file not in {each.file for each in (*tried, *dropped)} for some in urgent for copy in some)
    assert all([site for site, _ in groupby(copy.site for copy in some)] == [some[0].site] for some in urgent)


def test_few_files_need_no_room_outside_the_memory(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: Path) -> None:
        raise LocalError("there is no room")

    monkeypatch.setattr(scratch_module, "_open", full)
    meet(stick, *sites.values())
    recall = sites["C"].say("garden/recall", {"why": "it burns"})
    carry(stick, sites["C"], sites["T"], rounds=1)
    assert state_of(sites["T"], recall.id) == "accepted"


def test_where_the_disk_has_no_room_for_very_many_that_is_said_and_nothing_is_lost(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With room for ever more pages, until there is enough."""
    monkeypatch.setattr(spilling, "KEPT", 2)
    refused = 0
    for pages, sites, stick in each_time(place):
        acknowledged, before = acknowledged_at(sites), files_of(stick)
        monkeypatch.setattr(scratch_module, "_PRAGMAS", (*PRAGMAS, f"max_page_count = {pages}"))
        try:
            sites["T"].exchange(stick)
            break
        except LocalError as error:
            assert error.message == "the disk under this site's store is full"  # noqa: PT017 - both may happen
            refused += 1
        finally:
            monkeypatch.setattr(scratch_module, "_PRAGMAS", PRAGMAS)
        if refused == 1:
            assert files_of(stick) == before, "the carrier was changed although it could not be listed"
        require_all_well(sites, stick, acknowledged)
    assert refused >= 3


@pytest.mark.parametrize("kept", [KEPT, spilling.KEPT])
def test_a_carrier_that_spells_all_names_in_capitals_is_read_and_tidied(
    sites: dict[str, Site], stick: Path, monkeypatch: pytest.MonkeyPatch, kept: int
) -> None:
    monkeypatch.setattr(spilling, "KEPT", kept)
    meet(stick, *sites.values())
    photo = sites["C"].store.attachments.put(b"a drawing")
    edition = sites["C"].edition(attachments=[photo])
    carry(stick, sites["C"], sites["L"], sites["C"], rounds=1)
    (folder_of(stick) / "receipts" / "left.json.part").write_bytes(b"")
    for path in sorted(stick.rglob("*"), key=lambda path: -len(path.parts)):
        capitals(path)
    sites["T"].exchange(stick)
    assert state_of(sites["T"], edition.id) == "accepted"
    assert sites["T"].store.attachments.has(photo)
    spoiled = max(stick.glob("*/*/*/*/TEXT/*.BUNDLE"))
    spoiled.write_bytes(b"spoiled")
    report = sites["C"].exchange(stick)
    carry(stick, sites["L"], sites["T"], sites["C"], rounds=4)
    assert share_one_set(*sites.values())
    assert not report.not_left
    assert not [path for path in stick.rglob("*") if path.is_file() and path.read_bytes() == b"spoiled"]


def test_of_names_that_differ_only_in_case_both_folders_are_read(sites: dict[str, Site], stick: Path) -> None:
    meet(stick, *sites.values())
    editions = [sites["C"].edition(str(number)) for number in range(2)]
    others = []
    for number in range(2):
        others.append(new_stick(stick.parent, str(number)))
        sites["C"].exchange(others[number])
    sites_of = folder_of(stick) / "sites"
    sites_of.rename(sites_of.with_name("SITES"))
    (folder_of(others[1]) / "sites").rename(sites_of)
    for path in bundles_of(stick, "urgent"):
        path.unlink()
    sites["T"].exchange(stick)
    assert [state_of(sites["T"], edition.id) for edition in editions] == ["accepted", "accepted"]


def test_a_carrier_remembers_a_bounded_number_of_names_and_proves_all_folders(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(carrier_module, "KNOWN_MAX", 2)
    carrier = FolderCarrier(tmp_path)
    written = [carrier.write(f"sites/{number}/a/b.json", b"%d" % number) for number in range(9)]
    failed: list[object] = []
    assert carrier.prove(written, failed=failed.append)
    assert not failed
    assert [carrier.read(each.name, limit_bytes=9) for each in written] == [b"%d" % number for number in range(9)]
    assert len(carrier._spelled) <= 3
