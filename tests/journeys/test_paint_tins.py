"""Trap h: paint tins are at hand at L. As containers for food or water they are refused, with the reason and a way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.practices.codes import FACT_GROUPS
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle


def tins(*, held: str | None) -> dict[str, Any]:
    """Kale in tins on a wall; what a vessel held before stands in its facts."""
    vessel = {"volume_l": 5, "cover": "lid", **({"prior_use": held} if held else {})}
    known = [group for group in FACT_GROUPS if group != "vessel"]
    facts = {"none": known, "cautions": ["C04"], "vessel": vessel}
    return practice("Kale in tins") | {"facts": facts, "hazards": [{"code": "C04"}]}


@pytest.mark.parametrize("held", ["paint", "unknown"])
def test_a_tin_that_held_paint_is_stopped_with_reason_and_substitution_and_never_approved(
    circle: Circle, held: str
) -> None:
    edition = circle.write("L1", tins(held=held))
    stops = [finding for finding in circle["L"].findings(edition) if finding.result == "stop"]
    assert "MAT-01" in {finding.rule for finding in stops}
    finding = next(finding for finding in stops if finding.rule == "MAT-01")
    assert finding.words
    assert finding.source
    assert finding.instead
    answers = {one.rule: "We washed them well." for one in circle["L"].findings(edition)}
    with pytest.raises(FieldbookError, match="MAT-01: stop"):
        circle.approve("L2", edition, answers=answers)
    assert circle["L"].page(edition, reader=circle.signer("L2")).state == "offered"


def test_what_a_tin_held_before_must_be_asked_for(circle: Circle) -> None:
    """An entry cannot know every reader's tin: without the reviewer's words on it there is no approval."""
    edition = circle.write("L1", tins(held=None))
    assert "MAT-01" in {one.rule for one in circle["L"].findings(edition)}
    with pytest.raises(FieldbookError, match="MAT-01: needs the reviewer's words"):
        circle.approve("L2", edition)


def test_what_the_rules_stop_reaches_no_reader_anywhere(circle: Circle) -> None:
    edition = circle.write("L1", tins(held="paint"))
    circle.carry("LC")
    for letter in "LC":
        assert circle[letter].cards() == ()
        assert circle[letter].search("kale tins") == ()
    assert {card.edition for card in circle["L"].cards(reader=circle.signer("L2"))} == {edition}
    assert circle["L"].review_queue.items(circle.signer("L2"))[0].weight.stops
