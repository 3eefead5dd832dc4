"""What stops harm comes first: shown before anything else is read from a stick, and with room of its own on the disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site.reserve import Reserve

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle

SIZE = 64 * 1024
MUCH, LITTLE = 10 * SIZE, SIZE - 1


def test_a_withdrawal_acts_on_the_pages_before_the_rest_of_the_stick_is_read(circle: Circle) -> None:
    edition = circle.write("C1")
    circle.carry("CTC")
    recall = circle["C"].recall(edition, signer=circle.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    later = circle.write("C1")
    circle.carry("C")
    seen: list[tuple[bool, bool]] = []

    def told(what: str, done: int, _of: int) -> None:
        if what == "taking in text" and done == 0:
            folded = circle["T"].view.folded(edition)
            recalls = {one["id"] for edition in folded["editions"] for one in edition["recalls"]}
            seen.append((recall in recalls, circle["T"].need_ledger().said(later) is not None))

    circle["T"].exchange(circle.stick, progress=told)
    assert seen[0] == (True, False)
    assert circle["T"].need_ledger().said(later) is not None


def test_room_is_kept_where_the_disk_has_plenty(tmp_path: Path) -> None:
    reserve = Reserve(tmp_path, size_bytes=SIZE, free=lambda _: MUCH)
    reserve.keep()
    reserve.keep()
    assert [path.stat().st_size for path in tmp_path.iterdir()] == [SIZE]


def test_no_room_is_kept_where_that_would_fill_the_disk(tmp_path: Path) -> None:
    Reserve(tmp_path, size_bytes=SIZE, free=lambda _: 2 * SIZE).keep()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("free", "left"), [(MUCH, 1), (LITTLE, 0)])
def test_the_room_is_given_to_urgent_words_only_where_the_disk_is_nearly_full(
    tmp_path: Path, free: int, left: int
) -> None:
    Reserve(tmp_path, size_bytes=SIZE, free=lambda _: MUCH).keep()
    Reserve(tmp_path, size_bytes=SIZE, free=lambda _: free).give()
    assert len(list(tmp_path.iterdir())) == left


def test_a_disk_that_takes_no_reserve_serves_without_one(tmp_path: Path) -> None:
    reserve = Reserve(tmp_path / "not there", size_bytes=SIZE, free=lambda _: MUCH)
    reserve.keep()
    reserve.give()


def test_an_open_site_keeps_its_room_and_has_it_again_after_an_exchange(circle: Circle) -> None:
    site = circle["C"]
    site.reserve = Reserve(site.folder, size_bytes=SIZE)
    circle.carry("C")
    assert (site.folder / "urgent.reserve").stat().st_size == SIZE
