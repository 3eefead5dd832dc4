"""Trap e: the laptop at T says 1 January 2000 after a power cut. Nothing is blocked, and nothing is ordered by clocks."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import practice
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.orrendal import Circle


def clock_of(year: int, month: int = 1, day: int = 1) -> Callable[[], dt.datetime]:
    moment = dt.datetime(year, month, day, 0, 4, tzinfo=dt.UTC)
    return lambda: moment


@pytest.fixture
def cut(circle: Circle) -> Circle:
    """T's clock stands at the beginning of 2000."""
    circle.open("T", clock=clock_of(2000))
    return circle


def test_the_doubt_is_said_in_a_sentence_that_asks_for_the_month(cut: Circle) -> None:
    doubt = cut["T"].clock_doubt
    assert doubt is not None
    assert "1 January 2000, which cannot be right" in doubt
    assert "which month and week" in doubt
    assert cut["C"].clock_doubt is None
    visitor = visitor_of(cut, "T")
    visitor.get("/")
    assert "1 January 2000" in visitor.words()


def test_nothing_is_blocked_and_no_time_is_claimed(cut: Circle) -> None:
    first = cut.write("T1", practice("Goat steep"))
    cut["T"].hold(first, signer=cut.signer("T1"), reason="A goat died.")
    cut.carry("TL")
    cut.approve("L2", first)
    cut.carry("LTCS")
    ledger = cut["S"].ledger
    assert ledger is not None
    times = {said.author: said.time for said in ledger.all_said() if said.id == first or first in said.after}
    assert times == {cut.keys["T1"].public: None, cut.keys["L2"].public: "2026-11-25T12:00:00Z"}
    assert len(cut.states()) == 1
    assert cut["T"].windows_in_month(7)
    assert cut["T"].windows_now() == ()


def test_an_edition_made_that_day_follows_its_parents_and_overwrites_nothing_newer(cut: Circle) -> None:
    first = cut.write("C1", practice("Steep"))
    cut.carry("CT")
    newer = cut.write("C1", practice("Steep, corrected"), after=[first])
    that_day = cut.write("T1", practice("Steep for goats"), after=[first])
    cut.carry("CTLCTL")
    lines = cut["L"].page(first, edition=first, reader=cut.signer("L2")).editions
    assert lines[0].edition == first
    assert {line.edition: line.newest for line in lines} == {first: False, newer: True, that_day: True}


@pytest.mark.parametrize("year", [1970, 1999, 2000, 2025, 2070, 2106])
def test_clocks_that_cannot_be_right_are_doubted(circle: Circle, year: int) -> None:
    assert circle.open("T", clock=clock_of(year)).clock_doubt is not None


@pytest.mark.parametrize("year", [2027, 2040, 2069])
def test_clocks_that_may_be_right_are_believed(circle: Circle, year: int) -> None:
    site = circle.open("T", clock=clock_of(year, 7))
    assert site.clock_doubt is None
    assert site.claimed_time() == f"{year}-07-01T00:04:00Z"
    assert site.windows_now() == site.windows_in_month(7)


def test_a_claimed_time_from_elsewhere_decides_nothing(circle: Circle) -> None:
    """C's clock runs thirty years ahead; its approval is as good as any, and so is what answers it."""
    circle.open("C", clock=clock_of(2056))
    edition = circle.write("C1")
    circle.approve("C3", edition)
    circle.carry("CL")
    circle["L"].retire(edition, signer=circle.signer("L2"), reason="There is a better way.")
    circle.carry("LC")
    for letter in "CL":
        assert circle[letter].page(edition).state == "retired"
