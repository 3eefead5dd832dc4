"""Who may do what, on pages: whoever needs a step is led to it, and what is told is so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site.roles import Doubt
from fieldbook.web.here import EXTENSION
from fieldbook.web.pages import keys as keys_pages
from fieldbook.web.pages import roles as roles_pages
from tests.journeys.test_rival_lists import become_rivals
from tests.orrendal import PASSPHRASE
from tests.web.gardens import visitor_of
from tests.web.markup import read_page
from tests.web.test_role_pages import at, key, roles

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from tests.orrendal import Circle
    from tests.web.gardens import Visitor


def exchanged(visitor: Visitor, stick: Path) -> str:
    """What the page says after an exchange with this stick."""
    visitor.get("/exchange/")
    visitor.post("/exchange/begin", {"folder": str(stick)})
    visitor.app.extensions[EXTENSION]["work"].wait()
    visitor.get("/exchange/now")
    return visitor.words()


def test_whoever_forgot_their_passphrase_is_led_to_what_can_be_done_without_signing_in(circle: Circle) -> None:
    visitor = visitor_of(circle, "T")
    visitor.get("/people/sign-in")
    assert 'href="/people/lost"' in visitor.page
    visitor.get("/people/")
    assert 'href="/people/lost"' in visitor.page
    visitor.get("/people/lost")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert "A passphrase cannot be asked for again." in visitor.words()
    assert "/people/new" not in visitor.page  # that is for trainers
    assert "/people/keys/" not in visitor.page


def test_an_exchange_tells_a_signatory_what_waits_for_their_voice(circle: Circle) -> None:
    site = circle["C"]
    site.make_reviewer(site.key_named("T1"), signer=circle.signer("C1"))
    circle.carry("C")
    longshade = at(circle, "L1")
    assert "1 thing waits for your voice, which no stick brings." in exchanged(longshade, circle.stick)
    assert 'href="/people/voices/"' in longshade.page
    assert "waits for your voice" not in exchanged(at(circle, "L2"), circle.stick)
    assert "waits for your voice" not in exchanged(at(circle, "C1"), circle.stick)  # C1 has said it


def test_a_person_whose_key_was_stopped_is_told_on_every_page(circle: Circle) -> None:
    site = circle["L"]
    visitor = at(circle, "L2")
    visitor.get("/")
    assert "Your key was stopped" not in visitor.words()
    site.stop(site.key_named("L2"), Doubt(), signer=circle.signer("L1"))
    for address in ("/", "/review/", "/write/"):
        visitor.get(address)
        assert "what you write, count or approve with it is believed at no site" in visitor.words()
    visitor.get("/people/")
    assert "L2 stopped" in visitor.words()
    assert "What was doubted of what they said is set aside" in visitor.words()
    assert "Your key was stopped" not in at(circle, "L1").words()


def test_while_rivals_stand_pages_offer_only_what_counts(circle: Circle) -> None:
    become_rivals(circle)
    site = circle["L"]
    site.make_reviewer(site.key_named("T1"), signer=circle.signer("L1"))
    circle.carry("LC")
    visitor = at(circle, "C1")
    visitor.get("/people/voices/")
    assert "T1 becomes a reviewer" in visitor.words()
    assert "I agree" not in visitor.words()
    assert "a new network" not in visitor.words()
    visitor.get(f"/people/keys/{key(circle, 'L2')}")
    assert "Stop this key" not in visitor.words()
    visitor.get(f"/people/keys/{key(circle, 'L2')}/stop")
    assert "C1 stands in one of the rival lists only" in visitor.words()
    assert "Agree on one list first" in visitor.words()
    visitor.get("/people/")
    assert "Signatories in every list: L1." in visitor.words()
    assert "2 of 1" not in visitor.words()
    visitor.get("/people/signatories")
    assert "The next list" in visitor.words()
    assert "only somebody whom every list names can stop a key" in visitor.words()


def test_a_list_that_stands_and_a_second_list_are_told_before_anything_is_said(circle: Circle) -> None:
    visitor = at(circle, "L1")
    visitor.get("/people/signatories")
    now = {"key": [key(circle, label) for label in ("C1", "L1", "S1")], "threshold": "2"}
    visitor.post("/people/signatories", now)
    assert (visitor.status, "This is the list that is in force." in visitor.words()) == (422, True)
    first = {"key": [key(circle, label) for label in ("C1", "L1")], "threshold": "2"}
    visitor.post("/people/signatories", {**first, "sure": "yes"})
    assert "Your voice is given" in visitor.words()
    visitor.post("/people/signatories", {**first, "sure": "yes"})
    assert (visitor.status, "L1 has said this already." in visitor.words()) == (422, True)
    second = {"key": [key(circle, label) for label in ("L1", "S1")], "threshold": "2"}
    visitor.post("/people/signatories", second)
    assert "L1 said another list before: if both find enough voices, two rival lists stand." in visitor.words()
    assert roles(circle, "L", "S1") == {"steward", "trainer"}


def test_a_number_is_understood_with_the_letter_of_the_site_before_it(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/new")
    for typed, label in (("C4", "C4"), ("c5", "C5")):
        visitor.post("/people/new", {"number": typed, "role": "trainer", "passphrase": PASSPHRASE, "again": PASSPHRASE})
        assert f"{label} can sign in here now." in visitor.words()
        visitor.get("/people/new")


def test_words_that_were_typed_stay_in_the_form_when_no_site_is_found_by_them(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/joining/find")
    typed = "amber amber amber qqq amber amber amber amber"
    visitor.post("/joining/find", {"words": typed, "typed": str(circle.stick)})
    assert (visitor.status, read_page(visitor.page).judged()) == (422, [])
    assert "Word 4 of what was typed is none of the list." in visitor.words()
    assert f'value="{typed}"' in visitor.page
    assert f'value="{circle.stick}"' in visitor.page


def give_voices(circle: Circle, label: str, sent: dict[str, str]) -> None:
    """Two signatories at two sites give their voices for a reviewer on the pages."""
    for by in ("C1", "L1"):
        visitor = at(circle, by)
        visitor.get(f"/people/keys/{key(circle, label)}/reviewer")
        visitor.post(f"/people/keys/{key(circle, label)}/reviewer", {**sent, "sure": "yes", "same": "yes"})
        assert visitor.status == 200, visitor.words()
        circle.carry("CL" if by == "C1" else "LCT")


def test_a_reviewer_of_one_kind_is_given_more_kinds_on_the_pages(circle: Circle) -> None:
    give_voices(circle, "T1", {"scope": "teaching"})
    visitor = at(circle, "C1")
    visitor.get(f"/people/keys/{key(circle, 'T1')}")
    assert "Reviewer of teaching." in visitor.words()
    assert "Make T1 a reviewer" not in visitor.words()
    assert "Let T1 judge more kinds" in visitor.words()
    visitor.get(f"/people/keys/{key(circle, 'T1')}/reviewer")
    assert read_page(visitor.page).judged() == []
    assert "T1 is a reviewer of teaching already. That stays" in visitor.words()
    assert 'value="teaching"' not in visitor.page
    visitor.post(f"/people/keys/{key(circle, 'T1')}/reviewer", {"reach": "some", "scope": "teaching"})
    assert (visitor.status, "T1 is a reviewer of that already." in visitor.words()) == (422, True)
    give_voices(circle, "T1", {"reach": "some", "scope": "compost"})
    assert circle["T"].need_ledger().reviewer_scope(key(circle, "T1")) == ("compost", "teaching")
    give_voices(circle, "T1", {"reach": "all"})
    assert circle["T"].need_ledger().reviewer_scope(key(circle, "T1")) == ()
    visitor.get(f"/people/keys/{key(circle, 'T1')}")
    assert "Reviewer of all kinds of entries." in visitor.words()
    assert "judge more kinds" not in visitor.words()


def test_a_form_on_which_no_kind_was_chosen_makes_nobody_a_reviewer_of_every_kind(circle: Circle) -> None:
    visitor = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'T1')}/reviewer"
    visitor.get(address)
    for sent, told in (
        ({}, "Which kinds is not said."),
        ({"reach": "some"}, "Which kinds is not said."),
        ({"reach": "all", "scope": "compost"}, "Both every kind and single kinds are chosen."),
    ):
        visitor.post(address, {**sent, "sure": "yes", "same": "yes"}, headers={"Accept-Language": "sw"})
        assert (visitor.status, told in visitor.words()) == (422, True)
        assert read_page(visitor.page).judged() == []
    assert circle["C"].need_ledger().motions() == ()
    visitor.post(address, {"reach": "all"})
    assert "T1 may then approve, send back and withdraw all kinds of entries." in visitor.words()
    assert '<input type="hidden" name="reach" value="all">' in visitor.page


def test_where_very_many_people_are_known_pages_stay_small_and_everybody_can_be_named(
    circle: Circle, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(roles_pages, "PEOPLE_MOST", 4)
    monkeypatch.setattr(keys_pages, "KEYS_A_PAGE", 4)
    visitor = at(circle, "C1")
    visitor.get("/people/keys/")
    assert "1 to 4 of" in visitor.words()
    assert key(circle, "T1") not in visitor.page
    visitor.get("/people/keys/?page=3")
    assert key(circle, "T1") in visitor.page
    visitor.get("/people/signatories")
    assert read_page(visitor.page).judged() == []
    assert key(circle, "S1") in visitor.page  # whoever is a signatory now always stands there
    assert key(circle, "T1") not in visitor.page
    now = [key(circle, label) for label in ("C1", "L1")]
    visitor.post("/people/signatories", {"key": now, "others": "t1, Z9", "threshold": "2"})
    assert (visitor.status, "Nobody in the network is called 'Z9'." in visitor.words()) == (422, True)
    assert 'value="t1, Z9"' in visitor.page
    sent = {"key": now, "others": "t1", "threshold": "2"}
    visitor.post("/people/signatories", sent)
    assert "The signatories are C1, L1 and T1, and 2 of them must agree." in visitor.words()
    assert circle["C"].need_ledger().words(key(circle, "T1")) in visitor.words()
    visitor.post("/people/signatories", {**sent, "sure": "yes", "same": "yes"})
    assert "Your voice is given" in visitor.words()
