"""Who may do what, on pages: each step is looked at before it is said, and said by those alone whose voice counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site.roles import Doubt
from fieldbook.web.pages import roles as roles_pages
from tests.journeys.test_rival_lists import become_rivals
from tests.orrendal import PASSPHRASE, practice
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle
    from tests.web.gardens import Visitor


def at(circle: Circle, label: str) -> Visitor:
    """A person signed in at the pages of their site."""
    return visitor_of(circle, label[0]).sit(label)


def key(circle: Circle, label: str) -> str:
    return circle.keys[label].public


def roles(circle: Circle, letter: str, label: str) -> set[str]:
    return set(circle[letter].need_ledger().roles_of(key(circle, label)))


def test_a_reviewer_is_made_at_two_sites_after_the_words_were_compared(circle: Circle) -> None:
    cloudstep = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'T1')}/reviewer"
    cloudstep.get(address)
    cloudstep.post(address, {"scope": "teaching"})
    words = circle["C"].need_ledger().words(key(circle, "T1"))
    assert words in cloudstep.words()
    assert "What cannot be undone." in cloudstep.words()
    cloudstep.post(address, {"scope": "teaching", "sure": "yes"})
    assert cloudstep.status == 422
    assert "nothing has been said" in cloudstep.words()
    cloudstep.post(address, {"scope": "teaching", "sure": "yes", "same": "yes"})
    assert "Your voice is given" in cloudstep.words()
    assert "T1 becomes a reviewer of teaching." in cloudstep.words()
    assert "I agree" not in cloudstep.words()  # C1 has said it
    circle.carry("CL")
    longshade = at(circle, "L1")
    longshade.get("/people/voices/")
    assert "Said by C1 (2026-11-25). 1 more voice is needed." in longshade.words()
    (motion,) = circle["L"].need_ledger().motions()
    longshade.get(f"/people/voices/{motion.id}")
    assert "Once enough have agreed T1 becomes reviewer." in longshade.words()
    longshade.post(f"/people/voices/{motion.id}", {"sure": "yes", "same": "yes"})
    assert "That was the last voice needed" in longshade.words()
    circle.carry("LCTS")
    assert [roles(circle, letter, "T1") for letter in "CTLS"] == [{"reviewer", "trainer"}] * 4


def test_a_key_is_stopped_from_a_chosen_word_on_after_a_look_at_what_comes_of_it(circle: Circle) -> None:
    editions = [circle.write("L2", practice(f"Onions in crate {number}")) for number in range(3)]
    circle.carry("LC")
    visitor = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'L2')}/stop"
    visitor.get(address)
    assert "2026-11-25: an edition of “Onions in crate 1”" in visitor.words()
    visitor.post(address, {"doubt": "some"})
    assert "What you doubt is not said." in visitor.words()
    visitor.post(address, {"doubt": "some", "since": editions[1]})
    assert "L2 is no longer reviewer and trainer." in visitor.words()
    assert "“Onions in crate 2”" in visitor.words()
    assert "“Onions in crate 0”" not in visitor.words()
    assert roles(circle, "C", "L2") == {"reviewer", "trainer"}  # nothing has been said yet
    visitor.post(address, {"doubt": "some", "since": editions[1], "sure": "yes"})
    assert "C1 stopped this key" in visitor.words()
    assert "set aside" in visitor.words()
    assert roles(circle, "C", "L2") == set()


def test_very_much_that_is_set_aside_stands_on_several_pages(circle: Circle, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(roles_pages, "ASIDE_A_PAGE", 2)
    editions = [circle.write("L2", practice(f"Onions in crate {number}")) for number in range(3)]
    circle.carry("LC")
    visitor = at(circle, "C1")
    visitor.get(f"/people/keys/{key(circle, 'L2')}/stop")
    visitor.post(f"/people/keys/{key(circle, 'L2')}/stop", {"doubt": "everything", "sure": "yes"})
    visitor.get("/people/aside")
    assert "1 to 2 of 3, page 1 of 2." in visitor.words()
    assert "“Onions in crate 2”" not in visitor.words()
    visitor.get("/people/aside?page=2")
    assert "“Onions in crate 2”" in visitor.words()
    visitor.post("/people/aside?page=2", {"said": editions[2], "sure": "yes"})
    assert "1 to 2 of 2" not in visitor.words()
    assert "“Onions in crate 1”" in visitor.words()
    assert "“Onions in crate 2”" not in visitor.words()


def test_good_words_of_a_stopped_key_are_taken_back_in_and_the_stop_is_lifted_by_two(circle: Circle) -> None:
    edition = circle.write("L2")
    circle.carry("LC")
    visitor = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'L2')}"
    visitor.get(f"{address}/stop")
    visitor.post(f"{address}/stop", {"doubt": "everything", "sure": "yes"})
    visitor.get("/people/aside")
    assert "L2 , 2026-11-25: an edition of “Rows of onions”" in visitor.words()
    visitor.post("/people/aside", {})
    assert "Nothing was chosen." in visitor.words()
    visitor.post("/people/aside", {"said": edition})
    assert "Each of them stands again at every site" in visitor.words()
    visitor.post("/people/aside", {"said": edition, "sure": "yes"})
    assert "Taken back in: 1 word." in visitor.words()
    assert "Nothing is set aside here." in visitor.words()
    visitor.get(f"{address}/lift")
    assert "L2 becomes reviewer and trainer." in visitor.words()
    visitor.post(f"{address}/lift", {"sure": "yes"})
    assert "The stop of L2 is lifted. Said by C1 (2026-11-25). 1 more voice is needed." in visitor.words()


def test_the_next_list_of_signatories_is_looked_at_compared_and_said(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/signatories")
    assert "The signatories are C1, L1 and S1, and 2 of them must agree." in visitor.words()
    chosen = {"key": [key(circle, label) for label in ("C1", "L1", "T1")], "threshold": "1"}
    visitor.post("/people/signatories", chosen)
    assert (visitor.status, "Take from 2 to 3" in visitor.words()) == (422, True)
    chosen["threshold"] = "2"
    visitor.post("/people/signatories", chosen)
    assert "S1 is no longer signatory." in visitor.words()
    assert circle["C"].need_ledger().words(key(circle, "T1")) in visitor.words()
    visitor.post("/people/signatories", {**chosen, "sure": "yes", "same": "yes"})
    assert "The signatories are C1, L1 and T1, and 2 of them must agree." in visitor.words()
    circle.carry("CL")
    longshade = at(circle, "L1")
    (motion,) = circle["L"].need_ledger().motions()
    longshade.get(f"/people/voices/{motion.id}")
    longshade.post(f"/people/voices/{motion.id}", {"sure": "yes", "same": "yes"})
    assert roles(circle, "L", "T1") == {"steward", "trainer"}


def test_a_second_list_by_the_same_person_is_warned_of(circle: Circle) -> None:
    for label in ("C1", "S1"):
        listed = [one for one in circle["L"].need_ledger().listed_stewards() if one["name"] in {"L1", label}]
        circle["L"].state_stewards(listed, threshold=2, signer=circle.signer("L1"))
    circle.carry("LC")
    visitor = at(circle, "L1")
    for motion in circle["L"].need_ledger().motions():
        visitor.get(f"/people/voices/{motion.id}")
        assert "two rival lists stand" in visitor.words()


def test_rivals_are_told_on_every_page_to_whoever_is_signed_in(circle: Circle) -> None:
    become_rivals(circle)
    visitor = visitor_of(circle, "T")
    visitor.get("/")
    assert "Two rival lists" not in visitor.words()
    visitor.sit("T1").get("/practices")
    assert "Two rival lists of signatories are in force." in visitor.words()
    visitor.get("/people/signatories")
    assert "One list names C1 and L1; 2 must agree. C1 and L1 said it." in visitor.words()
    assert "The next list" not in visitor.words()  # T1 has no voice in it
    saltreed = at(circle, "S1")
    saltreed.get("/people/signatories")
    assert "The next list" in saltreed.words()


@pytest.mark.parametrize("step", ["reviewer", "stop", "lift"])
def test_who_is_no_signatory_sees_everything_and_has_no_buttons(circle: Circle, step: str) -> None:
    visitor = at(circle, "T1")
    visitor.get(f"/people/keys/{key(circle, 'L2')}")
    assert circle["T"].need_ledger().words(key(circle, "L2")) in visitor.words()
    assert 'class="qr"' in visitor.page
    assert "Stop this key" not in visitor.words()
    visitor.get(f"/people/keys/{key(circle, 'L2')}/{step}")
    assert "T1 is no signatory of the network." in visitor.words()
    assert visitor.status >= 400
    visitor.get("/people/voices/")
    assert "Nothing waits for voices here." in visitor.words()


def test_what_a_key_said_is_for_people_who_are_signed_in(circle: Circle) -> None:
    visitor = visitor_of(circle, "T")
    for address in ("keys/", f"keys/{key(circle, 'L2')}", "voices/", "signatories", "aside", "new"):
        visitor.get(f"/people/{address}")
        assert "Reading and searching need no sign-in." in visitor.words()


def test_a_key_that_nobody_has_is_not_there(circle: Circle) -> None:
    visitor = at(circle, "C1")
    for address in (f"keys/{'ab' * 32}", f"keys/{'ab' * 32}/stop", f"keys/{'x' * 5}"):
        visitor.get(f"/people/{address}")
        assert visitor.status == 404
    visitor.get("/people/voices/abcd")
    assert "Nothing here waits for voices under the name 'abcd'." in visitor.words()


def test_a_person_is_added_whose_words_can_be_compared_at_once(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/new")
    sent = {"number": "4", "role": "trainer", "passphrase": PASSPHRASE}
    visitor.post("/people/new", {**sent, "again": "something else"})
    assert "The two passphrases are not the same." in visitor.words()
    assert circle["C"].notebook.person("C4") is None
    visitor.post("/people/new", {**sent, "again": PASSPHRASE})
    added = circle["C"].notebook.person("C4")
    assert added is not None
    assert "C4 can sign in here now." in visitor.words()
    assert circle["C"].need_ledger().words(added.key) in visitor.words()
    visitor.post("/people/new", {**sent, "number": "x", "again": PASSPHRASE})
    assert (visitor.status, "is no label of this site" in visitor.words()) == (422, True)


def test_a_stopped_signatory_can_still_stop_and_answer_a_stop(circle: Circle) -> None:
    """A stolen key must not be able to silence the others by stopping them first."""
    circle["L"].stop(circle["L"].key_named("C1"), Doubt(), signer=circle.signer("L1"))
    circle.carry("LC")
    visitor = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'L1')}/stop"
    visitor.get(address)
    visitor.post(address, {"doubt": "nothing", "sure": "yes"})
    assert "The key of L1 is stopped." in visitor.words()
    visitor.get("/people/signatories")
    assert "The next list" in visitor.words()


def test_a_lost_key_is_never_a_dead_end(circle: Circle) -> None:
    visitor = at(circle, "T1")
    visitor.get("/people/lost")
    assert "A trainer of their site adds the person anew" in visitor.words()
    assert "a new network" in visitor.words()
    for label in ("L1", "S1"):
        site = circle["C"]
        site.stop(site.key_named(label), Doubt(), signer=circle.signer("C1"))
    cloudstep = at(circle, "C1")
    cloudstep.get("/people/voices/")
    assert "a new network is the only way to that" in cloudstep.words()
