"""Joining by pages: the stick's network is compared first, a site waits and says so, a signatory lets it in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site, begin_site
from fieldbook.site.beginning import FirstTrainer
from fieldbook.web.here import EXTENSION
from tests.orrendal import PASSPHRASE, noon, practice, site_facts
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle


@pytest.fixture
def newcomer(planted: Circle) -> Visitor:
    """A visitor, signed in as D1, at a new site that is in no network."""
    place = planted.folder / "drywell"
    facts = replace(site_facts("T"), letter="D", name="Dry Well")
    begin_site(place, facts, founding=None, first=FirstTrainer("D1", PASSPHRASE))
    site = planted.sites["D"] = Site.open(place, clock=noon)
    planted.keys["D1"] = site.unlock("D1", PASSPHRASE).key
    planted.carry("C")
    return visitor_of(planted, "D").sit("D1")


def joined(newcomer: Visitor) -> Visitor:
    """The newcomer after it left its request on the stick."""
    newcomer.get("/joining/")
    newcomer.post("/joining/", {"typed": str(newcomer.circle.stick)})
    network = newcomer.page.split('name="network_words" value="')[1].split('"')[0]
    newcomer.post("/joining/leave", {"folder": str(newcomer.circle.stick), "network_words": network, "same": "yes"})
    newcomer.app.extensions[EXTENSION]["work"].wait()
    return newcomer


def steward_at_c(circle: Circle) -> Visitor:
    return visitor_of(circle, "C").sit("C1")


def let_in(circle: Circle) -> Visitor:
    circle.carry("C")
    steward = steward_at_c(circle)
    key = circle["D"].site_key.public
    steward.get(f"/joining/sites/{key}")
    steward.post(f"/joining/sites/{key}", {"same": "yes"})
    return steward


def test_a_site_without_a_network_is_led_to_join_one(newcomer: Visitor) -> None:
    newcomer.get("/")
    assert "not part of a network yet" in newcomer.words()
    assert 'href="/joining/"' in newcomer.page
    newcomer.get("/joining/")
    assert (newcomer.status, read_page(newcomer.page).judged()) == (200, [])
    assert "Join a network" in newcomer.words()


def test_the_words_are_shown_before_anything_is_joined(newcomer: Visitor) -> None:
    newcomer.get("/joining/")
    newcomer.post("/joining/", {"typed": str(newcomer.circle.stick)})
    cloudstep = newcomer.circle["C"]
    assert (newcomer.status, read_page(newcomer.page).judged()) == (200, [])
    assert cloudstep.network_words is not None
    assert cloudstep.network_words in newcomer.words()
    assert newcomer.site.words in newcomer.words()
    assert newcomer.page.count('<svg xmlns="http://www.w3.org/2000/svg" class="qr"') == 2
    assert newcomer.site.ledger is None
    assert not list(newcomer.circle.stick.glob("*/joining/*"))


def test_a_request_is_left_and_every_page_says_that_words_wait(newcomer: Visitor) -> None:
    joined(newcomer)
    assert "The request lies on the stick." in newcomer.words()
    assert list(newcomer.circle.stick.glob("*/joining/*"))
    for path in ("/", "/practices", "/write/", "/joining/", "/people/"):
        newcomer.get(path)
        assert "waits for a signatory to let it in" in newcomer.words(), path
        assert (newcomer.status, read_page(newcomer.page).judged()) == (200, [])


def test_the_sheet_says_how_the_site_is_run_and_that_it_waits(newcomer: Visitor) -> None:
    newcomer.get("/running")
    assert "none yet" in newcomer.words()
    joined(newcomer)
    newcomer.get("/running")
    assert (newcomer.status, read_page(newcomer.page).judged()) == (200, [])
    site = newcomer.site
    assert "which has not let this site in yet" in newcomer.words()
    for said in (str(site.folder), "D1", site.words, site.network_words or "?"):
        assert said in newcomer.words()
    newcomer.post("/people/sign-out", {})
    newcomer.get("/running")
    assert str(site.folder) not in newcomer.page


def test_a_site_that_waits_reads_what_a_stick_brings(newcomer: Visitor) -> None:
    joined(newcomer)
    newcomer.get("/search?q=aphids")
    assert "Checked once" in newcomer.words()
    assert newcomer.site.waits
    newcomer.get("/joining/")
    assert "See whether the stick can be taken out" in newcomer.words()
    newcomer.get("/exchange/now")
    assert "The stick is safe to remove." in newcomer.words()


def test_a_stick_that_was_changed_after_the_words_were_shown_joins_nothing(newcomer: Visitor) -> None:
    newcomer.get("/joining/")
    newcomer.post("/joining/leave", {"folder": str(newcomer.circle.stick), "network_words": "not these", "same": "yes"})
    assert newcomer.status == 422
    assert "another network than the one whose words were compared" in newcomer.words()
    newcomer.get("/joining/")
    newcomer.post("/joining/leave", {"folder": str(newcomer.circle.stick), "same": "yes"})
    assert newcomer.status == 422
    assert newcomer.site.ledger is None


def test_a_network_whose_words_were_not_compared_is_not_joined(newcomer: Visitor) -> None:
    newcomer.get("/joining/")
    newcomer.post("/joining/", {"typed": str(newcomer.circle.stick)})
    network = newcomer.page.split('name="network_words" value="')[1].split('"')[0]
    sent = {"folder": str(newcomer.circle.stick), "network_words": network}
    newcomer.post("/joining/leave", sent, headers={"Accept-Language": "sw"})
    assert (newcomer.status, newcomer.site.ledger) == (422, None)
    assert "Nothing has been joined. Tick that you compared all eight words." in newcomer.words()
    assert "Hakuna mtandao uliojiungwa." in newcomer.words()
    assert network in newcomer.words()
    assert "A site joins one network, once" in newcomer.words()
    assert read_page(newcomer.page).judged() == []


@pytest.mark.parametrize("typed", ["", "stick", "/nowhere/at/all", "~nobody-here/stick"])
def test_a_folder_that_is_not_there_is_said_in_a_sentence(newcomer: Visitor, typed: str) -> None:
    newcomer.get("/joining/")
    newcomer.post("/joining/", {"typed": typed})
    assert newcomer.status == 422
    assert "no folder" in newcomer.words().lower()


def test_an_empty_stick_holds_no_network(newcomer: Visitor) -> None:
    newcomer.get("/joining/")
    newcomer.post("/joining/", {"typed": str(newcomer.circle.new_stick("blank"))})
    assert newcomer.status == 422
    assert "holds no network" in newcomer.words()


def test_a_signatory_sees_who_wishes_to_join_with_their_words(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    circle.carry("C")
    steward = steward_at_c(circle)
    steward.get("/people/")
    assert "Sites that wish to join (1)" in steward.words()
    steward.get("/joining/sites")
    assert (steward.status, read_page(steward.page).judged()) == (200, [])
    assert "Dry Well" in steward.words()
    assert newcomer.site.words in steward.words()
    steward.get(f"/joining/sites/{newcomer.site.site_key.public}")
    assert (steward.status, read_page(steward.page).judged()) == (200, [])
    assert 'class="qr"' in steward.page


def test_nobody_is_let_in_without_the_tick_that_says_the_words_were_compared(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    circle.carry("C")
    steward = steward_at_c(circle)
    key = newcomer.site.site_key.public
    steward.get(f"/joining/sites/{key}")
    steward.post(f"/joining/sites/{key}", {})
    assert steward.status == 422
    assert "Nobody has been let in" in steward.words()
    assert len(circle["C"].joins_waiting()) == 1


def test_once_let_in_the_site_is_told_by_the_stick_and_its_people_can_speak(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    steward = let_in(circle)
    assert "D Dry Well is let in." in steward.words()
    assert "No site waits to be let in." in steward.words()
    circle.carry("CD")
    newcomer.get("/")
    assert "waits for a signatory" not in newcomer.words()
    edition = circle.write("D1", practice())
    circle.carry("DC")
    assert circle["C"].edition_id(edition) == edition


def test_a_request_that_is_not_kept_here_is_found_on_the_stick_by_its_words(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    steward = steward_at_c(circle)  # C has not exchanged since, as if its list were full of strangers' requests
    key = newcomer.site.site_key.public
    steward.get("/joining/sites")
    assert 'href="/joining/find"' in steward.page
    steward.get(f"/joining/sites/{key}")
    assert steward.status == 404
    steward.get("/joining/find")
    assert (steward.status, read_page(steward.page).judged()) == (200, [])
    steward.post("/joining/find", {"typed": str(circle.stick), "words": "amber " * 8})
    assert (steward.status, "No site with these words has asked to join." in steward.words()) == (422, True)
    steward.get("/joining/find")
    steward.post("/joining/find", {"typed": str(circle.stick), "words": newcomer.site.words.upper()})
    assert "Let D Dry Well in?" in steward.words()
    steward.post(f"/joining/sites/{key}?folder={circle.stick}", {"same": "yes"})
    assert "D Dry Well is let in." in steward.words()
    circle.carry("CD")
    assert not newcomer.site.waits


def test_only_a_signatory_lets_a_site_in(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    circle.carry("C")
    reviewer = visitor_of(circle, "C").sit("C3")
    for path in ("/joining/sites", f"/joining/sites/{newcomer.site.site_key.public}"):
        reviewer.get(path)
        assert reviewer.status == 403
    stranger = visitor_of(circle, "C")
    stranger.get("/joining/sites")
    assert "Reading and searching need no sign-in." in stranger.words()


def test_a_request_that_is_not_there_or_is_granted_already_is_no_page(newcomer: Visitor) -> None:
    circle = joined(newcomer).circle
    steward = let_in(circle)
    steward.get(f"/joining/sites/{newcomer.site.site_key.public}")
    assert steward.status == 404


def test_a_letter_that_the_network_has_already_is_pointed_out(planted: Circle) -> None:
    place = planted.folder / "second"
    begin_site(place, replace(site_facts("T"), letter="C", name="Second C"), founding=None)
    planted.carry("C")
    site = planted.sites["second"] = Site.open(place, clock=noon)
    site.request_join(planted.stick)
    key = site.site_key.public
    planted.carry("C")
    steward = steward_at_c(planted)
    steward.get(f"/joining/sites/{key}")
    assert "has the letter C already" in steward.words()
