"""The power goes at any moment: what was acknowledged is there afterwards, and everything verifies.

A kill is milder than a power cut: the machine's memory still reaches the disk. What a disk does with its own memory no
test here can show; that each word is pushed to the disk first is SQLite's part (synchronous FULL, its documentation).
"""

from __future__ import annotations

import multiprocessing
import os
import time
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import Signer, Site
from sync import SigningKey
from tests.orrendal import noon, practice
from tests.sync.second_verifier import check_carrier
from tests.view.histories import assert_whole

if TYPE_CHECKING:
    from tests.orrendal import Circle

KILLS = 10


def work(folder: str, stick: str, told: str, seed: str, number: int) -> None:
    """Write, keep drafts and exchange until the power goes, and tell each thing once it is acknowledged."""
    site = Site.open(Path(folder), clock=noon, random=Random(f"{seed} {number}").randbytes)
    signer = Signer("C1", frozenset({"trainer"}), SigningKey.from_seed(bytes.fromhex(seed)))
    book = os.open(told, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    count = 0
    while True:
        count += 1
        document = practice(f"Night {number}, entry {count}")
        written = site.write(document, signer=signer, draft=count % 3 == 0)
        os.write(book, f"{written.draft or written.edition}\n".encode())
        if count % 2 == 0:
            site.exchange(Path(stick))


def start(circle: Circle, number: int) -> multiprocessing.process.BaseProcess:
    """Let another process work at C."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.journeys.test_power_cut"])
    told = circle.folder / "told"
    told.touch()
    seed = circle.keys["C1"].seed.hex()
    child = context.Process(target=work, args=(str(circle.place("C")), str(circle.stick), str(told), seed, number))
    child.start()
    return child


def wait_until_told(circle: Circle, lines: int) -> None:
    """Wait until the other process has acknowledged so many things in all."""
    for _ in range(2000):
        if (circle.folder / "told").read_text().count("\n") >= lines:
            return
        time.sleep(0.01)
    raise AssertionError("the other process says nothing")


def told_so_far(circle: Circle) -> list[str]:
    return (circle.folder / "told").read_text(encoding="ascii").split()


def test_after_any_cut_all_that_was_acknowledged_is_there_and_verifies(circle: Circle) -> None:
    circle.carry("CT")
    chance = Random(7)
    for number in range(KILLS):
        circle.shut("C")
        child = start(circle, number)
        wait_until_told(circle, len(told_so_far(circle)) + 1)
        time.sleep(chance.random() / 8)
        child.kill()
        child.join()
        site = circle.open("C", chance=100 + number)
        assert site.verify().problems == ()
        assert_whole(site)
        drafts = {draft.name for draft in site.notebook.drafts()}
        editions = set(site.view.editions_of(site.view.entries()))
        assert set(told_so_far(circle)) <= drafts | editions
    reports = circle.carry("TCTC")
    assert [report.refused for report in reports] == [()] * 4
    assert len(circle.states("CT")) == 1
    assert check_carrier(circle.stick) == []


def test_a_second_process_on_a_site_is_refused_and_told_why(circle: Circle) -> None:
    circle.shut("C")
    child = start(circle, 0)
    try:
        wait_until_told(circle, 1)
        with pytest.raises(FieldbookError, match="another program is using the site") as refusal:
            Site.open(circle.place("C"))
        assert "close it first" in refusal.value.hint
    finally:
        child.kill()
        child.join()
    circle.open("C", chance=5)


def test_a_site_that_is_open_already_is_refused_in_the_same_process_too(circle: Circle) -> None:
    with pytest.raises(FieldbookError, match="another program is using the site"):
        Site.open(circle.place("C"))
    assert circle["C"].verify().ok
