"""A carrier among ten thousand things that are not ours: counted by names alone, never opened, never touched."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from sync.system_calls import SystemCalls

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from tests.orrendal import Circle

CROWD = 10_000
NAMES = ("IMG_{}.JPG", "note {}.txt", "{}.bundle", "NETWORK-{}.JSON", "…{}", "con{}.", "-{}.part.tmp")


def crowd_into(folder: Path, count: int) -> set[Path]:
    """Put so many strange files, a pipe and a link into a folder."""
    made = {folder / NAMES[number % len(NAMES)].format(number) for number in range(count)}
    for path in made:
        path.write_bytes(b"not ours")
    os.mkfifo(folder / "pipe")
    (folder / "link").symlink_to("/etc/hostname")
    return made | {folder / "pipe", folder / "link"}


def test_ten_thousand_foreign_files_are_neither_opened_nor_touched_and_hold_nothing_up(
    circle: Circle, monkeypatch: pytest.MonkeyPatch
) -> None:
    edition = circle.write("C1")
    circle.carry("C")
    crowd: set[Path] = set()
    folder = next(circle.stick.glob("tried-ground-*"))
    for place in (circle.stick, folder, folder / "sites", folder / "receipts"):
        crowd |= crowd_into(place, CROWD // 4)
    opened: set[Path] = set()
    true_open = SystemCalls.open

    def noted(calls: SystemCalls, path: Path, flags: int) -> int:
        opened.add(path)
        return true_open(calls, path, flags)

    monkeypatch.setattr(SystemCalls, "open", noted)
    (report,) = circle.carry("T")
    assert circle["T"].ledger is not None
    assert circle["T"].ledger.said(edition) is not None
    assert len(crowd) > CROWD
    assert opened
    assert opened.isdisjoint(crowd)
    assert [path for path in crowd if not path.is_symlink() and not path.exists()] == []
    assert report.not_left == 0
    assert len(report.refused) <= 10, "a crowd is no list that a person reads"
