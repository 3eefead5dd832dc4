"""Who may do what, on pages: what is warned of before a voice is given, and what is said when too few are left."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.site.roles import Doubt
from tests.orrendal import practice
from tests.web.gardens import visitor_of
from tests.web.markup import read_page
from tests.web.test_role_pages import at, key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.orrendal import Circle

KISWAHILI = {"Accept-Language": "sw"}
ALL_MUST_AGREE = "All 2 signatories must agree: if one of their keys is lost, nobody can ever make a reviewer"
ONLY_ONE = "There is only one signatory: if that one key is lost"
ONE_MORE = "Only 2 signatories are left that were not stopped, and all of them must agree"
TOO_FEW = "Too few signatories are left that were not stopped: 1, where 2 must agree."


def stop(circle: Circle, by: str, *labels: str) -> None:
    """Stop keys at one site, all of whose words stay good."""
    site = circle[by[0]]
    for label in labels:
        site.stop(site.key_named(label), Doubt(), signer=circle.signer(by))


def chosen(circle: Circle, labels: Sequence[str], threshold: int) -> dict[str, object]:
    """What the form of the next signatories sends."""
    return {"key": [key(circle, label) for label in labels], "threshold": str(threshold)}


def test_a_list_of_which_all_must_agree_is_warned_of_and_not_forbidden(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/signatories")
    visitor.post("/people/signatories", chosen(circle, ("C1", "L1", "S1"), 3))
    assert ALL_MUST_AGREE.replace("2", "3") in visitor.words()
    visitor.post("/people/signatories", chosen(circle, ("C1", "L1"), 2), headers=KISWAHILI)
    assert ALL_MUST_AGREE in visitor.words()
    assert "Wasimamizi wote 2 lazima wakubaliane" in visitor.words()
    assert read_page(visitor.page).judged() == []
    visitor.post("/people/signatories", {**chosen(circle, ("C1", "L1"), 2), "sure": "yes"})
    assert "Your voice is given" in visitor.words()
    circle.carry("CL")
    longshade = at(circle, "L1")
    (motion,) = circle["L"].need_ledger().motions()
    longshade.get(f"/people/voices/{motion.id}")
    assert ALL_MUST_AGREE in longshade.words()
    longshade.post(f"/people/voices/{motion.id}", {"sure": "yes"})
    for address in ("/people/", "/people/signatories", "/people/voices/"):
        longshade.get(address)
        assert ALL_MUST_AGREE in longshade.words(), address


def test_a_list_with_one_to_spare_is_not_warned_of(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/signatories")
    assert "one lost key ends nothing" in visitor.words()
    visitor.post("/people/signatories", chosen(circle, ("C1", "L1", "T1"), 2))
    assert "must agree: if" not in visitor.words()
    visitor.get("/people/")
    assert "The signatories are C1, L1 and S1, and 2 of them must agree." in visitor.words()
    assert 'class="notice"' not in visitor.page


def test_one_signatory_alone_is_warned_of(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/signatories")
    visitor.post("/people/signatories", chosen(circle, ("C1",), 1))
    assert ONLY_ONE in visitor.words()
    assert "Do not do this" not in visitor.words()


def test_who_is_stopped_counts_as_one_to_spare_no_more(circle: Circle) -> None:
    stop(circle, "C1", "S1")
    visitor = at(circle, "C1")
    visitor.get("/people/")
    assert "Stopped of them: S1." in visitor.words()
    assert ONE_MORE in visitor.words()
    visitor.get("/people/signatories")
    visitor.post("/people/signatories", chosen(circle, ("C1", "S1"), 2))
    assert ALL_MUST_AGREE in visitor.words()
    stop(circle, "C1", "L1")
    visitor.post("/people/signatories", chosen(circle, ("C1", "L1", "S1", "T1"), 3))
    assert TOO_FEW.replace(": 1, where 2", ": 2, where 3") in visitor.words()


def test_the_page_of_people_says_what_goes_on_and_what_does_not_when_too_few_are_left(circle: Circle) -> None:
    stop(circle, "C1", "L1", "S1")
    for visitor in (visitor_of(circle, "C"), at(circle, "C1")):
        visitor.get("/people/", headers=KISWAHILI)
        shown = visitor.words()
        assert "The signatories are C1, L1 and S1, and 2 of them must agree. Stopped of them: L1 and S1." in shown
        assert TOO_FEW in shown
        assert "What goes on: everybody reads, writes, approves, withdraws and exchanges as before." in shown
        assert "One signatory alone can still let a site in, stop a key" in shown
        assert "What nobody can do here any more: make a reviewer, lift a stop, name signatories." in shown
        assert "Kinachoendelea: kila mtu anasoma" in shown
        assert "They make reviewers" not in shown
        assert 'href="/people/lost"' in visitor.page
        assert read_page(visitor.page).judged() == []


def test_when_no_signatory_is_left_it_is_not_said_that_one_can_let_a_site_in(circle: Circle) -> None:
    stop(circle, "C1", "L1", "S1")
    stop(circle, "S1", "C1")
    circle.carry("SC")
    visitor = visitor_of(circle, "C")
    visitor.get("/people/")
    assert TOO_FEW.replace(": 1,", ": 0,") in visitor.words()
    assert "No site can be let in any more" in visitor.words()
    assert "One signatory alone can still" not in visitor.words()


def test_a_signatory_who_was_stopped_and_still_has_the_key_ends_what_too_few_could_not(circle: Circle) -> None:
    """What the page of people says of their voice is so."""
    stop(circle, "C1", "L1", "S1")
    site = circle["C"]
    site.lift(site.key_named("L1"), signer=circle.signer("C1"))
    circle.carry("CL")
    (motion,) = circle["L"].need_ledger().motions()
    circle["L"].agree(motion, signer=circle.signer("L1"))
    circle.carry("LC")
    assert "steward" in site.need_ledger().roles_of(key(circle, "L1"))
    assert site.need_ledger().can_sign() == (2, 2)


@pytest.mark.parametrize(("doubt", "here"), [("nothing", False), ("nothing", True), ("some", True)])
def test_a_stop_tells_how_far_it_reaches_beyond_what_is_here(circle: Circle, doubt: str, *, here: bool) -> None:
    first = circle.write("L2", practice("Onions in a crate"))
    if here:
        circle.carry("LC")
    under_way = circle.write("L2", practice("Onions in a sack"))
    visitor = at(circle, "C1")
    address = f"/people/keys/{key(circle, 'L2')}/stop"
    visitor.get(address)
    sent = {"doubt": doubt, "since": first if doubt == "some" else ""}
    visitor.post(address, sent, headers=KISWAHILI)
    assert (
        "Nothing that L2 said is known here, so this stop leaves nothing of it standing" in visitor.words()
    ) is not here
    assert (
        "What L2 said after what is known here, and is still on its way, is set aside too" in visitor.words()
    ) is here
    assert ("bado kiko njiani" in visitor.words()) is True
    assert read_page(visitor.page).judged() == []
    visitor.post(address, {**sent, "sure": "yes"})
    circle.carry("LCL")
    for letter in "CL":  # what was told is so
        ledger = circle[letter].need_ledger()
        stands = {name: ledger.rule_of(name) != "revoked" for name in (first, under_way)}
        assert stands == {first: here and doubt == "nothing", under_way: False}


def test_a_stop_of_everything_tells_nothing_of_what_is_under_way(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get(f"/people/keys/{key(circle, 'L2')}/stop")
    visitor.post(f"/people/keys/{key(circle, 'L2')}/stop", {"doubt": "everything"})
    assert "on its way" not in visitor.words()


def test_what_a_stop_sets_aside_stands_in_a_list_a_line_each(circle: Circle) -> None:
    for number in range(14):
        circle.write("L2", practice(f"Onions in crate {number}"))
    circle.carry("LC")
    visitor = at(circle, "C1")
    visitor.get(f"/people/keys/{key(circle, 'L2')}/stop")
    visitor.post(f"/people/keys/{key(circle, 'L2')}/stop", {"doubt": "everything"})
    assert "Set aside at every site: 14 words of L2." in visitor.words()
    listed = [f"<li>an edition of “Onions in crate {number}” (2026-11-25)</li>" for number in range(12)]
    assert "".join([*listed, "<li>and 2 more</li>"]) in visitor.page
    assert read_page(visitor.page).judged() == []


def test_signatories_whose_keys_lie_on_one_laptop_are_warned_of(circle: Circle) -> None:
    visitor = at(circle, "C1")
    visitor.get("/people/signatories")
    visitor.post("/people/signatories", chosen(circle, ("C1", "C3", "L1"), 2), headers=KISWAHILI)
    assert "2 of these signatories are at site C, and their keys on one laptop" in visitor.words()
    assert "Wasimamizi 2 kati ya hawa wako kwenye kituo C" in visitor.words()
    assert read_page(visitor.page).judged() == []
    visitor.post("/people/signatories", chosen(circle, ("C1", "C3", "L1", "L2", "S1"), 3))
    assert "on one laptop" not in visitor.words()  # three are left whichever is lost


def test_a_stop_of_a_signatory_tells_how_many_it_leaves(circle: Circle) -> None:
    visitor = at(circle, "C1")

    def looked_at(label: str) -> str:
        visitor.get(f"/people/keys/{key(circle, label)}/stop")
        visitor.post(f"/people/keys/{key(circle, label)}/stop", {"doubt": "everything"}, headers=KISWAHILI)
        assert read_page(visitor.page).judged() == []
        return visitor.words()

    assert "With this stop" not in looked_at("L2")
    shown = looked_at("S1")
    assert "With this stop 2 signatories are left that were not stopped, and all of them must agree." in shown
    assert "Kwa usimamishaji huu" in shown
    stop(circle, "C1", "S1")
    assert "With this stop too few signatories are left that were not stopped: 1, where 2 must agree." in looked_at(
        "L1"
    )
    assert "With this stop" not in looked_at("S1")  # it is stopped already
