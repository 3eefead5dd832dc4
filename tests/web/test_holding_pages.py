"""What each site holds, heartbeats and taking back, by page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.orrendal import practice
from tests.web.gardens import Visitor, visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_only_people_who_are_signed_in_see_what_each_site_holds(visitor: Visitor) -> None:
    visitor.get("/holding/")
    assert "Sign in" in visitor.words()


def test_the_page_warns_before_a_laptop_with_the_only_copy_is_wiped(planted: Circle, visitor: Visitor) -> None:
    planted.write("C1", practice("Held here alone"))
    visitor.sit("C1").get("/holding/")
    assert "Do not wipe this laptop or give it away yet." in visitor.words()
    assert "here alone" in visitor.words()
    planted.open("T")
    planted.carry("CTC")
    visitor.get("/holding/")
    assert "Other sites are known to hold every signed word of this laptop." in visitor.words()
    assert "T (since the last exchange)" in visitor.words()


def test_who_keeps_the_laptop_is_led_to_damage_and_mending(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1").get("/holding/")
    assert 'href="/mend/"' in visitor.page


def test_a_steward_says_how_much_is_stopped_and_others_have_no_button(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C3").get("/holding/")
    assert "Say how much is stopped" not in visitor.words()
    visitor.post("/holding/heartbeat", {})
    assert visitor.status == 403
    visitor.sit("C1").get("/holding/")
    visitor.post("/holding/heartbeat", {})
    visitor.get("/holding/")
    assert "C1 counts 0 withdrawals and stopped keys. This site knows exactly the same." in visitor.words()
    assert planted["C"].heartbeats()[0].proven


def test_every_page_says_when_a_withdrawal_is_missing_and_reading_goes_on(planted: Circle) -> None:
    thinned = planted.new_stick("thinned")
    edition = planted["C"].cards()[0].edition
    planted.open("T")
    planted.carry("CT")
    planted["C"].recall(edition, signer=planted.signer("C3"), harm="It burnt.", now="Stop.", instead="Use soap.")
    planted.carry("C", planted.new_stick("kept back"))
    planted["C"].beat(signer=planted.signer("C1"))
    planted.carry("C", thinned)
    newest = max(path.name for path in thinned.rglob("urgent/*.bundle"))
    for path in thinned.rglob("urgent/*.bundle"):
        if path.name != newest:
            path.unlink()
    planted.carry("T", thinned)
    reader = visitor_of(planted, "T")
    for address in ("/", "/practices", "/help"):
        reader.get(address)
        assert reader.status == 200
        assert "at least 1 did not reach it" in reader.words()


def test_before_an_exchange_the_page_says_what_the_stick_lacks(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1").get("/exchange/")
    visitor.post("/exchange/", {"typed": str(planted.new_stick())})
    assert "This stick lacks" in visitor.words()
    assert "which go first" in visitor.words()


def test_words_are_taken_back_only_after_the_page_said_what_cannot_be_called_back(
    planted: Circle, visitor: Visitor
) -> None:
    edition = planted.write("C1", practice("Somebody's name"))
    visitor.sit("C1").get(f"/take-back/{edition}")
    assert "What cannot be called back. Paper that was printed" in visitor.words()
    visitor.post(f"/take-back/{edition}", {"what": "words"})
    assert visitor.status == 422
    assert "nothing was taken back" in visitor.words()
    visitor.post(f"/take-back/{edition}", {"what": "words", "sure": "yes"})
    assert planted["C"].taken_back_by(edition) == "C1"
    visitor.get("/practices")
    assert "Somebody's name" not in visitor.words()


def test_who_is_neither_author_nor_steward_cannot_take_words_back(planted: Circle, visitor: Visitor) -> None:
    edition = planted.write("C1", practice("Somebody's name"))
    visitor.sit("C3").get(f"/take-back/{edition}")
    assert visitor.status == 403
    visitor.post(f"/take-back/{edition}", {"what": "words", "sure": "yes"})
    assert planted["C"].taken_back_by(edition) is None
