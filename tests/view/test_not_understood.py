"""What this software does not understand is isolated, kept, and passed on byte for byte; nothing else suffers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from sync.bundle import parse_bundle
from tests.orrendal import practice
from tests.view.histories import FORMLESS, History, assert_readable, assert_whole

if TYPE_CHECKING:
    from pathlib import Path

    from sync import Statement
    from tests.orrendal import Circle

NOTICE = {"harm": "Two children were sick.", "instead": "Use soap."}


def statements_on(stick: Path) -> dict[str, Statement]:
    """Every statement on a stick, as its bytes lie there."""
    files = stick.glob("tried-ground-*/sites/*/*/*/*.bundle")
    return {one.id: one for file in files for one in parse_bundle(file.read_bytes()).statements}


@pytest.mark.parametrize("body", FORMLESS)
@pytest.mark.parametrize("withdrawn", [False, True])
def test_an_edition_without_form_hides_nothing_but_itself(
    circle: Circle, body: dict[str, object], *, withdrawn: bool
) -> None:
    history = History(circle)
    sound = circle.write("C1", practice("Sound onions"))
    name = history.slip_in("L2", "fieldbook/edition", body)
    if withdrawn:
        history.say("C3", "fieldbook/recall", NOTICE, after=[name])
    circle.carry("CSC")
    for letter in "CS":
        assert_whole(circle[letter])
        assert_readable(circle[letter], circle.signer("C3"))
        assert sound in {card.edition for card in circle[letter].cards(reader=circle.signer("C3"))}
    assert len(circle.states("CS")) == 1


def test_an_edition_of_newer_software_is_shown_to_nobody_and_approved_by_nobody(circle: Circle) -> None:
    history = History(circle)
    name = history.say("L2", "fieldbook/edition", practice(colour="violet"), critical=["colour"])
    circle["C"].refresh()
    assert circle["C"].cards(reader=circle.signer("C3")) == ()
    with pytest.raises(FieldbookError, match="no edition that can be shown"):
        circle["C"].page(name, reader=circle.signer("C3"))
    with pytest.raises(FieldbookError, match="not shown to readers: its words are not here in a form"):
        circle["C"].page(name)
    with pytest.raises(FieldbookError, match="not in a form that this software knows"):
        circle.approve("C3", name)
    assert circle["C"].search("onions", reader=circle.signer("C3")) == ()


def test_a_newer_edition_that_is_not_understood_leaves_the_one_before_in_use(circle: Circle) -> None:
    first = circle.write("L2")
    circle.carry("LC")
    circle.approve("C3", first)
    history = History(circle)
    history.say("L2", "fieldbook/edition", practice("Tomorrow", colour="violet"), after=[first], critical=["colour"])
    circle["C"].refresh()
    (card,) = circle["C"].cards()
    assert (card.edition, card.state) == (first, "approved")


def test_a_withdrawal_of_what_is_not_understood_is_shown_by_what_title_there_is(circle: Circle) -> None:
    history = History(circle)
    titled = history.say("L2", "fieldbook/edition", practice("Violet spray", colour="violet"), critical=["colour"])
    bare = history.slip_in("L2", "fieldbook/edition", {})
    for name in (titled, bare):
        history.say("C3", "fieldbook/recall", NOTICE, after=[name])
    circle["C"].refresh()
    shown = {card.edition: dict(card.title) for card in circle["C"].cards()}
    assert shown == {titled: {"en": "Violet spray"}, bare: {"und": f"practice entry {bare[:12]}"}}
    assert {hit.edition for hit in circle["C"].search("violet")} == {titled}


def test_what_is_not_understood_travels_on_byte_for_byte(circle: Circle) -> None:
    history = History(circle)
    first = circle.write("C1")
    strange = [
        history.slip_in("T1", "fieldbook/song", {"tune": "é low"}, after=[first]),
        history.say("L2", "fieldbook/edition", practice(colour="violet"), critical=["colour"]),
        *(history.slip_in("L2", "fieldbook/edition", body) for body in FORMLESS),
        history.slip_in("L2", "fieldbook/approval", {"limits": 3}, after=[first]),
    ]
    circle.carry("CT", circle.new_stick("one"))
    circle.carry("TS", circle.new_stick("two"))
    sent, passed_on = statements_on(circle.new_stick("one")), statements_on(circle.new_stick("two"))
    for name in strange:
        before, after = sent[name], passed_on[name]
        assert (before.header_bytes, before.body_bytes) == (after.header_bytes, after.body_bytes)
        assert (before.salt, before.signature) == (after.salt, after.signature)
    assert len(circle.states("CTS")) == 1


@pytest.mark.parametrize("body", FORMLESS)
@pytest.mark.parametrize("kind", ["approval", "sent-back", "retirement", "hold", "lifting"])
def test_a_decision_without_form_decides_nothing(circle: Circle, kind: str, body: dict[str, object]) -> None:
    history = History(circle)
    name = circle.write("C1")
    before = circle["C"].view.folded(name)["editions"][0]
    history.slip_in("L2", f"fieldbook/{kind}", body, after=[name])
    circle["C"].refresh()
    assert circle["C"].view.folded(name)["editions"][0] == before


def test_a_withdrawal_whose_words_cannot_be_read_still_stops(circle: Circle) -> None:
    history = History(circle)
    name = circle.write("C1")
    history.slip_in("L2", "fieldbook/recall", {"harm": [], "instead": 4}, after=[name])
    circle["C"].refresh()
    page = circle["C"].page(name)
    assert page.state == "recalled"
    assert page.document == {}
