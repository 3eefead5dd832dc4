"""What waits for voices, on pages: by whom and when, that it is one of several, and putting it away at one site."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site.roles import Doubt
from tests.orrendal import PASSPHRASE, steward
from tests.web.gardens import visitor_of
from tests.web.markup import read_page
from tests.web.test_role_pages import at, roles
from tests.web.test_role_warnings import KISWAHILI
from tests.web.test_role_ways import exchanged

if TYPE_CHECKING:
    from tests.orrendal import Circle
    from tests.web.gardens import Visitor

SEVERAL = "This is one of 2 lists that wait. As soon as one is in force the others wait here no more"
WEST, EAST = "The signatories are C1 and L1, and 2", "The signatories are L1 and S1, and 2"


def say_list(circle: Circle, by: str, *labels: str, threshold: int = 2) -> None:
    """One voice for a list."""
    listed = [steward(circle, label) for label in labels]
    circle[by[0]].state_stewards(listed, threshold=threshold, signer=circle.signer(by))


def name_of(circle: Circle, letter: str, *names: str) -> str:
    """The id of the list that waits and names just these."""
    motions = circle[letter].need_ledger().motions()
    (found,) = [one.id for one in motions if sorted(s["name"] for s in one.body["stewards"]) == sorted(names)]
    return found


def parts(visitor: Visitor) -> tuple[str, str]:
    """What waits, and what was put away, as the page says it."""
    visitor.get("/people/voices/")
    assert read_page(visitor.page).judged() == []
    waits, _, away = visitor.words().partition(" Put away at this site ")
    return waits, away


def test_a_list_that_is_wanted_no_more_is_put_away_at_one_site_and_shown_again(circle: Circle) -> None:
    say_list(circle, "L1", "C1", "L1")
    say_list(circle, "L1", "L1", "S1")
    circle.carry("LC")
    visitor, before = at(circle, "L1"), circle.states("L")
    waits, away = parts(visitor)
    assert waits.count(SEVERAL) == 2
    assert waits.count("Said by L1 (2026-11-25).") == 2
    assert away == ""
    east = name_of(circle, "L", "L1", "S1")
    visitor.post(f"/people/voices/{east}/away", {}, headers=KISWAHILI)
    assert "Limewekwa pembeni kwenye kituo hiki." in visitor.words()
    waits, away = parts(visitor)
    assert (WEST in waits, EAST in waits, EAST in away) == (True, False, True)
    assert "Put away at this site by L1 (2026-11-25)." in away
    assert SEVERAL in waits  # the other may still find its voices
    circle.open("L")
    visitor = at(circle, "L1")
    assert EAST in parts(visitor)[1]
    visitor.get("/people/")
    assert "What waits for voices (1)" in visitor.words()
    assert EAST in parts(at(circle, "C1"))[0]  # at other sites it waits as before
    parts(visitor)
    visitor.post(f"/people/voices/{east}/back", {})
    assert "It stands among what waits for voices again." in visitor.words()
    assert (EAST in parts(visitor)[0], parts(visitor)[1]) == (True, "")
    assert circle.states("L") == before


def test_what_somebody_else_says_too_stands_among_what_waits_again(circle: Circle) -> None:
    say_list(circle, "C1", "C1", "L1", "S1", "T1", threshold=3)
    circle.carry("CL")
    visitor = at(circle, "L1")
    parts(visitor)
    visitor.post(f"/people/voices/{name_of(circle, 'L', 'C1', 'L1', 'S1', 'T1')}/away", {})
    assert "waits for your voice" not in exchanged(visitor, circle.stick)
    circle.carry("S")
    circle["S"].agree(circle["S"].need_ledger().motions()[0], signer=circle.signer("S1"))
    circle.carry("S")
    assert "1 thing waits for your voice" in exchanged(visitor, circle.stick)
    waits, away = parts(visitor)
    assert "Said by C1 (2026-11-25) and S1 (2026-11-25). 1 more voice is needed." in waits
    assert away == ""


def test_a_list_that_was_put_away_can_still_come_into_force_and_ends_the_others(circle: Circle) -> None:
    say_list(circle, "L1", "C1", "L1")
    say_list(circle, "L1", "L1", "S1")
    circle.carry("LC")
    visitor = at(circle, "L1")
    for names in (("C1", "L1"), ("L1", "S1")):
        parts(visitor)
        visitor.post(f"/people/voices/{name_of(circle, 'L', *names)}/away", {})
    site = circle["C"]
    site.agree(site.motion_named(name_of(circle, "C", "C1", "L1")), signer=circle.signer("C1"))
    circle.carry("CL")
    assert "steward" not in roles(circle, "L", "S1")
    waits, away = parts(visitor)
    assert ("Nothing waits for voices here." in waits, away) == (True, "")


def test_a_lifting_says_who_said_it_and_when_and_a_further_stop_shows_it_again(circle: Circle) -> None:
    site = circle["C"]
    site.stop(site.key_named("L2"), Doubt(), signer=circle.signer("C1"))
    site.lift(site.key_named("L2"), signer=circle.signer("C1"))
    visitor = at(circle, "C1")
    assert "The stop of L2 is lifted. Said by C1 (2026-11-25). 1 more voice is needed." in parts(visitor)[0]
    visitor.post(f"/people/voices/{site.need_ledger().motions()[0].id}/away", {})
    assert "The stop of L2 is lifted." in parts(visitor)[1]
    circle.carry("CS")
    circle["S"].stop(circle["S"].key_named("L2"), Doubt(everything=True), signer=circle.signer("S1"))
    circle.carry("SC")
    waits, away = parts(visitor)
    assert "C1 (2026-11-25) said it before something changed, and would have to say it again." in waits
    assert away == ""


def test_a_volunteer_looks_and_puts_nothing_away(circle: Circle) -> None:
    say_list(circle, "L1", "C1", "L1")
    site = circle["L"]
    person = site.add_person("L8", role="volunteer", passphrase=PASSPHRASE)
    visitor = visitor_of(circle, "L")
    circle.keys["L8"] = site.unlock("L8", PASSPHRASE).key
    visitor.sit("L8")
    assert person.role == "volunteer"
    assert "Put away here" not in parts(visitor)[0]
    visitor.get("/people/sign-in")
    visitor.post(f"/people/voices/{name_of(circle, 'L', 'C1', 'L1')}/away", {})
    assert "L8 may not put this away." in visitor.words()
    assert WEST in parts(visitor)[0]
