"""Two lists of signatories stand beside one another, a grant is forged, too few signatories are left: the garden goes on.

On real stores of the four sites; at the end of each journey all sites hold one state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site.roles import Doubt
from tests.cli.terminal import type_words
from tests.orrendal import steward
from tests.view.histories import History

if TYPE_CHECKING:
    from tests.orrendal import Circle

EVERYWHERE = "CTLSCTLS"


def roles(circle: Circle, label: str) -> list[set[str]]:
    key = circle.keys[label].public
    return [set(circle[letter].need_ledger().roles_of(key)) for letter in "CTLS"]


def become_rivals(circle: Circle) -> None:
    """L1 says two lists; each finds its second voice before the two meet."""
    lists = [[steward(circle, label) for label in labels] for labels in (("C1", "L1"), ("L1", "S1"))]
    for listed in lists:
        circle["L"].state_stewards(listed, threshold=2, signer=circle.signer("L1"))
    for letter, label, listed in zip("CS", ("C1", "S1"), lists, strict=True):
        stick = circle.new_stick()
        circle.carry(("L", letter), stick)
        circle[letter].state_stewards(listed, threshold=2, signer=circle.signer(label))
    circle.carry(EVERYWHERE)


def test_rival_lists_are_told_at_every_site_and_end_by_a_list_that_answers_both(circle: Circle) -> None:
    become_rivals(circle)
    for letter in "CTLS":
        found = circle[letter].need_ledger().rival_lists()
        assert sorted(one.stewards for one in found) == [("C1", "L1"), ("L1", "S1")]
        assert sorted(one.said for one in found) == [("C1", "L1"), ("L1", "S1")]
    # only who stands in both counts, and what was granted before goes on
    assert [roles(circle, label)[0] for label in ("C1", "L1", "S1")] == [
        {"trainer"},
        {"steward", "trainer"},
        {"trainer"},
    ]
    assert roles(circle, "C3") == [{"reviewer", "trainer"}] * 4
    longshade = circle["L"]
    every = [steward(circle, label) for label in ("C1", "L1", "S1")]
    would = longshade.if_stewards(every, threshold=2)
    assert (would.rivals, would.lost, would.set_aside) == (0, (), ())
    longshade.state_stewards(every, threshold=2, signer=circle.signer("L1"))
    circle.carry("LC")
    (motion,) = circle["C"].need_ledger().motions()
    assert (motion.said, motion.lacking) == (("L1",), 1)
    circle["C"].agree(motion, signer=circle.signer("C1"))
    circle.carry("CS")
    (motion,) = circle["S"].need_ledger().motions()
    assert (motion.said, motion.lacking) == (("C1", "L1"), 1)  # two of the other list have to agree as well
    circle["S"].agree(motion, signer=circle.signer("S1"))
    circle.carry("S" + EVERYWHERE)
    for letter in "CTLS":
        assert circle[letter].need_ledger().rival_lists() == ()
    assert [roles(circle, label)[3] for label in ("C1", "L1", "S1")] == [{"steward", "trainer"}] * 3
    assert roles(circle, "T1") == [{"trainer"}] * 4
    assert len(circle.states()) == 1


def test_every_command_tells_of_rivals_and_of_the_way_out(circle: Circle) -> None:
    become_rivals(circle)
    circle.shut("T")
    told = type_words("--site", circle.place("T"), "holds").done().out
    assert "Two rival lists of signatories are in force; only what both allow counts." in told
    assert "rivals" in type_words("--site", circle.place("T"), "holds", "--json").done().json


def test_grants_by_people_who_are_no_signatories_are_carried_and_not_believed(circle: Circle) -> None:
    """T1 grants itself as if it might, by the door for bundles, at its own site."""
    forger = History(circle)
    site_s = circle["S"].site_key.public
    grant = {"key": circle.keys["T1"].public, "name": "T1", "role": "reviewer", "scope": [], "site": site_s}
    listed = {"before": {}, "stewards": [steward(circle, "T1")], "threshold": 1, "version": 3}
    forged = [
        forger.slip_in("T1", "sync/grant", grant),
        forger.slip_in("T1", "sync/stewards", listed, after=forger.store.charter.answers()),
        forger.slip_in("T1", "sync/revocation", {"key": circle.keys["C1"].public, "last": []}),
        forger.slip_in("L1", "sync/grant", grant),  # one signatory alone makes no reviewer
    ]
    circle["C"].refresh()
    circle.carry(EVERYWHERE)
    for letter in "CTLS":
        ledger = circle[letter].need_ledger()
        assert [(said := ledger.said(name)) and said.stands for name in forged] == ["waiting"] * 4
        assert [motion.said for motion in ledger.motions()] == [("L1",)]  # a list that T1 alone states is not offered
        assert sorted(one["label"] for one in ledger.who()["stewards"]) == ["C1", "L1", "S1"]
        assert ledger.who()["stopped"] == []
    assert roles(circle, "T1") == [{"trainer"}] * 4
    with pytest.raises(FieldbookError, match="T1 is no signatory"):
        circle["T"].make_reviewer(circle["T"].key_named("T1"), signer=circle.signer("T1"))
    with pytest.raises(FieldbookError, match="T1 is no signatory"):
        circle["T"].stop(circle["T"].key_named("C1"), Doubt(), signer=circle.signer("T1"))
    assert len(circle.states()) == 1


def test_with_too_few_signatories_left_the_network_goes_on_and_one_can_still_stop(circle: Circle) -> None:
    cloudstep = circle["C"]
    for label in ("L1", "S1"):  # both keys are lost for good
        cloudstep.stop(cloudstep.key_named(label), Doubt(), signer=circle.signer("C1"))
    assert cloudstep.need_ledger().can_sign() == (1, 2)
    cloudstep.make_reviewer(cloudstep.key_named("T1"), signer=circle.signer("C1"))
    circle.carry("C" + EVERYWHERE)
    assert roles(circle, "T1") == [{"trainer"}] * 4  # nobody can make a reviewer any more
    edition = circle.write("T1")
    circle.carry("TL")
    circle.approve("L2", edition)
    circle.carry("L" + EVERYWHERE)
    assert circle["S"].page(circle["S"].entry_id(edition)).line.standing == "checked-once"
    circle["C"].stop(circle["C"].key_named("L2"), Doubt(everything=True), signer=circle.signer("C1"))
    circle.carry("C" + EVERYWHERE)
    assert roles(circle, "L2") == [set()] * 4
    assert len(circle.states()) == 1
