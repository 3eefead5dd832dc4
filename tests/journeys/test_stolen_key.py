"""A reviewer's key is stolen: one signatory stops it, what is good returns, several allow it again, a new key replaces it.

On real stores of the four sites; at the end of each journey all sites hold one state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.site.roles import Doubt
from tests.orrendal import PASSPHRASE, practice, steward

if TYPE_CHECKING:
    from tests.orrendal import Circle

EVERYWHERE = "CTLSCTLS"


def standing(circle: Circle, edition: str) -> list[str | None]:
    """How an edition stands at each of the four sites."""
    found = []
    for letter in "CTLS":
        site = circle[letter]
        lines = site.view.folded(site.entry_id(edition))["editions"]
        found.append(next(one["standing"] for one in lines if one["id"] == edition))
    return found


def titles(circle: Circle, letter: str) -> list[str]:
    """What the trainer of a site sees listed."""
    return [card.title["en"] for card in circle[letter].cards(reader=circle.signer(f"{letter}1"))]


def roles(circle: Circle, label: str) -> list[set[str]]:
    key = circle.keys[label].public
    return [set(circle[letter].need_ledger().roles_of(key)) for letter in "CTLS"]


def test_one_signatory_stops_a_stolen_key_and_what_it_said_after_is_set_aside_everywhere(circle: Circle) -> None:
    editions = [circle.write("C1", practice(f"Bed {number}")) for number in range(3)]
    circle.carry("CL")
    good, doubted, after = [circle.approve("L2", edition) for edition in editions]
    circle.carry("L" + EVERYWHERE)
    assert standing(circle, editions[1]) == ["checked-once"] * 4

    saltreed = circle["S"]
    l2 = saltreed.key_named("L2")
    would = saltreed.if_stopped(l2, Doubt(since=(doubted,)), signer=circle.signer("S1"))
    assert set(would.set_aside) == {doubted, after}
    assert would.lost == (("L2", frozenset({"reviewer", "trainer"})),)
    saltreed.stop(l2, Doubt(since=(doubted,)), signer=circle.signer("S1"))
    circle.carry("S" + EVERYWHERE)
    assert roles(circle, "L2") == [set()] * 4
    assert [standing(circle, edition)[0] for edition in editions] == ["checked-once", "unchecked", "unchecked"]
    assert {said.id for said in circle["T"].set_aside()} == {doubted, after}
    assert good not in would.set_aside
    assert len(circle.states()) == 1


def test_what_was_good_among_the_words_set_aside_returns_by_one_voice(circle: Circle) -> None:
    mine = circle.write("L2", practice("Onions in fish crates"))
    other = circle.write("L2", practice("Poured from a drum"))
    circle.carry("LC")
    cloudstep = circle["C"]
    cloudstep.stop(cloudstep.key_named("L2"), Doubt(since=(mine,)), signer=circle.signer("C1"))
    circle.carry("C" + EVERYWHERE)
    assert [titles(circle, letter) for letter in "CTLS"] == [[]] * 4
    circle["L"].adopt([mine], signer=circle.signer("L1"))
    circle.carry("L" + EVERYWHERE)
    assert [titles(circle, letter) for letter in "CTLS"] == [["Onions in fish crates"]] * 4
    assert {said.id for said in circle["S"].set_aside()} == {other}
    with pytest.raises(FieldbookError, match="was not set aside"):
        circle["L"].adopt([mine], signer=circle.signer("L1"))
    assert len(circle.states()) == 1


def test_a_stop_is_lifted_by_two_and_by_no_fewer(circle: Circle) -> None:
    edition = circle.write("C1")
    circle.carry("CL")
    approval = circle.approve("L2", edition)
    circle.carry("LC")
    for letter, label in (("C", "C1"), ("S", "S1")):  # two stop it at once, with different cuts
        site = circle[letter]
        site.stop(site.key_named("L2"), Doubt(everything=label == "S1"), signer=circle.signer(label))
    circle.carry("CSLC" + EVERYWHERE)
    longshade, saltreed = circle["L"], circle["S"]
    assert longshade.need_ledger().rule_of(approval) == "revoked"
    assert approval in longshade.if_lifted(longshade.key_named("L2")).back
    longshade.lift(longshade.key_named("L2"), signer=circle.signer("L1"))
    with pytest.raises(FieldbookError, match="said this already"):
        longshade.lift(longshade.key_named("L2"), signer=circle.signer("L1"))
    circle.carry("L" + EVERYWHERE)
    assert roles(circle, "L2") == [set()] * 4
    (motion,) = saltreed.need_ledger().motions()
    assert (motion.said, motion.lacking) == (("L1",), 1)
    saltreed.agree(motion, signer=circle.signer("S1"))
    circle.carry("S" + EVERYWHERE)
    assert roles(circle, "L2") == [{"reviewer", "trainer"}] * 4
    assert standing(circle, edition) == ["checked-once"] * 4
    assert circle["T"].need_ledger().motions() == ()
    assert len(circle.states()) == 1


def test_a_person_who_forgot_their_passphrase_is_introduced_anew_and_granted_what_they_had(circle: Circle) -> None:
    longshade = circle["L"]
    anew = longshade.add_person("L4", role="trainer", passphrase=PASSPHRASE)
    circle.keys["L4"] = longshade.unlock("L4", PASSPHRASE).key
    longshade.stop(longshade.key_named("L2"), Doubt(), signer=circle.signer("L1"))
    person = longshade.person_of_words(longshade.need_ledger().words(anew.key))
    longshade.make_reviewer(person, scope=["teaching"], signer=circle.signer("L1"))
    circle.carry("LC")
    (motion,) = circle["C"].need_ledger().motions()
    assert (motion.said, motion.lacking, motion.body["scope"]) == (("L1",), 1, ["teaching"])
    circle["C"].agree(motion, signer=circle.signer("C1"))
    circle.carry("C" + EVERYWHERE)
    assert roles(circle, "L4") == [{"reviewer", "trainer"}] * 4
    assert roles(circle, "L2") == [set()] * 4
    edition = circle.write("C1")
    circle.carry("CL")
    circle.approve("L4", edition)
    circle.carry("L" + EVERYWHERE)
    assert standing(circle, edition) == ["checked-once"] * 4
    assert len(circle.states()) == 1


def test_a_signatorys_lost_key_is_replaced_and_all_that_it_granted_stands(circle: Circle) -> None:
    """C1 alone let every site in, so leaving C1 out without their words would leave nobody in."""
    cloudstep = circle["C"]
    anew = cloudstep.add_person("C4", role="trainer", passphrase=PASSPHRASE)
    circle.keys["C4"] = cloudstep.unlock("C4", PASSPHRASE).key
    circle.carry("C" + EVERYWHERE)
    saltreed, longshade = circle["S"], circle["L"]
    saltreed.stop(saltreed.key_named("C1"), Doubt(), signer=circle.signer("S1"))
    listed = saltreed.next_signatories(
        add=[saltreed.person_of_words(saltreed.need_ledger().words(anew.key))], leave=[saltreed.key_named("C1")]
    )
    would = saltreed.if_stewards(listed, threshold=2)
    assert (would.lost, would.set_aside, would.rivals) == ((), (), 0)
    assert would.gained == (("C4", frozenset({"steward"})),)
    saltreed.state_stewards(listed, threshold=2, signer=circle.signer("S1"))
    circle.carry("SL")
    (motion,) = longshade.need_ledger().motions()
    longshade.agree(motion, signer=circle.signer("L1"))
    circle.carry("L" + EVERYWHERE)
    assert roles(circle, "C4") == [{"steward", "trainer"}] * 4
    assert [sorted(one["letter"] for one in circle[letter].need_ledger().who()["sites"]) for letter in "CTLS"] == [
        ["C", "L", "S", "T"]
    ] * 4
    assert roles(circle, "C3") == [{"reviewer", "trainer"}] * 4
    # and when the list changes once more, what C1 granted is kept again, though C1 is long gone from it
    further = [steward(circle, label) for label in ("L1", "C4")]
    circle["C"].state_stewards(further, threshold=2, signer=circle.signer("C4"))
    circle.carry("CL")
    longshade.agree(longshade.need_ledger().motions()[0], signer=circle.signer("L1"))
    circle.carry("L" + EVERYWHERE)
    assert roles(circle, "S1") == [{"trainer"}] * 4
    assert roles(circle, "T1") == [{"trainer"}] * 4
    assert roles(circle, "L2") == [{"reviewer", "trainer"}] * 4
    assert len(circle.states()) == 1
