"""A restored site, a clone, a stolen key and rival lists of signatories in one season: all come to one state, nothing is lost.

Each alone has its journey; here they meet, and only sticks in an order by lot bring the sites together.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site
from fieldbook.site.roles import Doubt
from tests.journeys.test_restored_site import editions_at, put_aside, put_back
from tests.journeys.test_rival_lists import become_rivals
from tests.orrendal import noon, practice, steward
from tests.sync.second_verifier import check_carrier

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.orrendal import Circle

MEETINGS = 20  # visits in an order by lot; a site that is never drawn is met at the end


@pytest.fixture
def twin(circle: Circle) -> Iterator[Site]:
    """Thornpan runs twice: both laptops go on."""
    copy = put_aside(circle, "T")
    other = Site.open(copy, clock=noon, random=Random("twin").randbytes, reserve_bytes=0)
    yield other
    other.close()


def meet_by_lot(circle: Circle, twin: Site, chance: Random) -> None:
    """Three sticks are carried about by lot, one of them to the twin alone and Cloudstep; then everybody meets."""
    sticks = [circle.new_stick(f"lot {number}") for number in range(3)]
    for _ in range(MEETINGS):
        where, stick = chance.choice("CTLS2"), chance.choice(sticks)
        (twin if where == "2" else circle[where]).exchange(stick)
    last = circle.new_stick("last")
    for _ in range(3):
        for where in "CTLS2":
            (twin if where == "2" else circle[where]).exchange(last)
    assert check_carrier(last) == []


def said_by_the_thief(circle: Circle) -> list[str]:
    """Somebody signs with L2's key at Longshade after it was stolen: an edition, and an approval of it by nobody else."""
    bait = circle.write("L2", practice("Poured from a drum"))
    return [bait, circle.recall("L2", bait)]


@pytest.mark.parametrize("seed", range(2))
def test_after_restore_clone_theft_and_rival_lists_all_sites_hold_one_state_and_nothing_good_is_lost(
    circle: Circle, twin: Site, seed: int
) -> None:
    chance = Random(seed)
    before = circle.write("L1", practice("Before"))
    circle.carry("L", circle.new_stick("early"))
    copy: Path = put_aside(circle, "L")
    good = circle.approve("L2", circle.write("L1", practice("Between")))
    circle.carry("LC", circle.new_stick("early"))
    stolen = said_by_the_thief(circle)
    circle.carry("LS", circle.new_stick("early"))
    put_back(circle, "L", copy)  # Longshade forgets what it said since, the thief's words too
    mine = circle.write("T1", practice("At one laptop"))
    written = twin.write(practice("At the other laptop"), signer=circle.signer("T1")).edition
    assert written is not None
    become_rivals(circle)  # which meets Saltreed, and so brings the thief's words back
    # of the signatories only one who stands in both lists has a voice now
    circle["S"].stop(circle["S"].key_named("L2"), Doubt(since=(stolen[0],)), signer=circle.signer("L1"))
    meet_by_lot(circle, twin, chance)

    every = [*(circle[letter] for letter in "CTLS"), twin]
    assert len({site.verify().state for site in every}) == 1
    assert [site.verify().problems for site in every] == [()] * 5
    for site in every:
        ledger = site.need_ledger()
        assert {before, mine, written} <= editions_at(site)
        assert len(ledger.rival_lists()) == 2
        said = {name: ledger.said(name) for name in (*stolen, good)}
        assert {name: one.stands for name, one in said.items() if one is not None} == {
            **dict.fromkeys(stolen, "quarantined"),
            good: "accepted",
        }


def test_a_list_that_answers_both_rivals_ends_the_alarm_at_the_clone_too(circle: Circle, twin: Site) -> None:
    become_rivals(circle)
    every = [steward(circle, label) for label in ("C1", "L1", "S1")]
    circle["L"].state_stewards(every, threshold=2, signer=circle.signer("L1"))
    circle.carry("LC")
    for letter, label in (("C", "C1"), ("S", "S1")):
        (motion,) = circle[letter].need_ledger().motions()
        circle[letter].agree(motion, signer=circle.signer(label))
        circle.carry(letter + "S")
    meet_by_lot(circle, twin, Random(9))
    for site in (*(circle[letter] for letter in "CTLS"), twin):
        assert site.need_ledger().rival_lists() == ()
    assert len({site.verify().state for site in (*(circle[letter] for letter in "CTLS"), twin)}) == 1
