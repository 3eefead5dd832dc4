"""A site put back from an old copy, run twice, or left without its store: nothing that had left it is lost."""

from __future__ import annotations

import shutil
from random import Random
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site import Site
from sync.receipt import parse_receipt
from tests.orrendal import noon, practice
from tests.sync.second_verifier import check_carrier
from tests.view.histories import assert_whole

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.orrendal import Circle


def put_aside(circle: Circle, letter: str) -> Path:
    """Copy a site's folder while the site is closed, and open it again."""
    circle.shut(letter)
    copy = circle.folder / f"copy of {letter}"
    shutil.copytree(circle.place(letter), copy)
    circle.open(letter, chance=2)
    return copy


def put_back(circle: Circle, letter: str, copy: Path) -> Site:
    circle.shut(letter)
    shutil.rmtree(circle.place(letter))
    shutil.copytree(copy, circle.place(letter))
    return circle.open(letter, chance=3)


def logs_of(stick: Path, site: Site) -> dict[str, tuple[str, ...]]:
    """The logs of a site on a stick, each with those that it says it follows."""
    files = stick.glob(f"tried-ground-*/receipts/{site.site_key.public[:26]}-*.json")
    assert site.ledger is not None
    receipts = [parse_receipt(file.read_bytes(), network_id=site.ledger.network_id) for file in files]
    return {receipt.log: tuple(receipt.follows) for receipt in receipts}


def editions_at(site: Site) -> set[str]:
    return set(site.view.editions_of(site.view.entries()))


def test_a_restored_site_takes_its_words_back_and_goes_on_under_a_new_log(circle: Circle) -> None:
    before = circle.write("L1", practice("Before"))
    circle.carry("LC")
    copy = put_aside(circle, "L")
    between = circle.write("L1", practice("Between"))
    approval = circle.approve("L2", between)
    circle.carry("LC")
    site = put_back(circle, "L", copy)
    assert editions_at(site) == {before}
    after = circle.write("L1", practice("After"))
    (report,) = circle.carry("L")
    assert any("put back from an older copy" in note for note in report.notes)
    assert editions_at(site) == {before, between, after}
    assert site.page(between).approvals[0].by == "L2"
    assert site.ledger is not None
    assert site.ledger.said(approval) is not None
    circle.carry("CLTSCLTS")
    assert len(circle.states()) == 1
    assert editions_at(circle["S"]) == {before, between, after}
    logs = logs_of(circle.stick, site)
    assert len(logs) == 2
    newest = next(log for log, follows in logs.items() if follows)
    assert logs[newest] == tuple(sorted(logs.keys() - {newest}))
    assert check_carrier(circle.stick) == []


def test_the_withdrawal_that_a_restored_site_had_made_still_stops(circle: Circle) -> None:
    edition = circle.write("L1")
    circle.carry("LC")
    copy = put_aside(circle, "L")
    circle.recall("L2", edition)
    circle.carry("LC")
    site = put_back(circle, "L", copy)
    assert site.page(edition, reader=circle.signer("L1")).state == "offered"
    circle.carry("L")
    assert site.page(edition).state == "recalled"


def test_a_site_restored_again_and_again_loses_nothing(circle: Circle) -> None:
    copy = put_aside(circle, "L")
    written = []
    for number in range(4):
        written.append(circle.write("L1", practice(f"Trip {number}")))
        circle.carry("LC")
        put_back(circle, "L", copy)
        circle.open("L", chance=10 + number)
    circle.carry("LCLC")
    assert editions_at(circle["L"]) == editions_at(circle["C"]) == set(written)
    assert len(circle.states("LC")) == 1
    assert check_carrier(circle.stick) == []


@pytest.fixture
def twin(circle: Circle) -> Iterator[Site]:
    """L runs twice: somebody copied its folder to a second laptop, and both go on."""
    circle.write("L1", practice("Before"))
    circle.carry("LC")
    copy = put_aside(circle, "L")
    site = Site.open(copy, clock=noon, random=Random("twin").randbytes)
    yield site
    site.close()


def test_two_live_clones_become_two_logs_of_one_site(circle: Circle, twin: Site) -> None:
    here = circle.write("L1", practice("At the first laptop"))
    there = twin.write(practice("At the second laptop"), signer=circle.signer("L1")).edition
    for _ in range(2):
        circle.carry("L")
        twin.exchange(circle.stick)
    again = [circle.write("L1", practice("First again"))]
    again += [str(twin.write(practice("Second again"), signer=circle.signer("L1")).edition)]
    for _ in range(3):
        circle.carry("LC")
        twin.exchange(circle.stick)
    wanted = {here, str(there), *again}
    for site in (circle["L"], twin, circle["C"]):
        assert wanted <= editions_at(site)
        assert_whole(site)
    assert circle.states("LC") == {twin.verify().state}
    assert check_carrier(circle.stick) == []


def test_a_site_whose_store_is_gone_joins_again_and_has_everything_back_that_had_left_it(circle: Circle) -> None:
    edition = circle.write("L1", practice("Left on the stick"))
    circle.write("L1", practice("Never left"), draft=False)
    circle.carry("LC")
    circle.shut("L")
    for path in (*circle.place("L").glob("store.sqlite*"), circle.place("L") / "attachments"):
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
    site = circle.open("L", chance=4)
    with pytest.raises(FieldbookError, match="this site is in no network yet"):
        site.search("onions")
    site.request_join(circle.stick)
    circle.carry("LCL")
    assert edition in editions_at(site)
    circle.write("L1", practice("Going on"))
    circle.carry("LCTS")
    assert len(circle.states()) == 1
    assert_whole(site)


def test_a_spoiled_store_is_an_error_and_is_never_taken_for_an_empty_one(circle: Circle) -> None:
    circle.shut("L")
    store = circle.place("L") / "store.sqlite"
    for spoiled in (b"", b"no database", store.read_bytes()[:5000]):
        store.write_bytes(spoiled)
        with pytest.raises(FieldbookError) as refusal:
            Site.open(circle.place("L"))
        assert refusal.value.hint
        assert store.read_bytes() == spoiled
