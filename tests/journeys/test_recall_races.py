"""Trap c: a withdrawal races older sticks. In whatever order they come, the entry is never seen once the word is there."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from tests.orrendal import copy_of_circle, fast_folder, practice
from tests.thorough import tried

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from fieldbook.site import Site
    from tests.orrendal import Circle

SMOKE = practice("Strong leaf-smoke water spray", summary={"en": "Soak leaves in smoke water and spray."})


def withdrawn_from_sight(site: Site, edition: str) -> bool:
    """True where readers are shown the notice and nothing else of it; fails where anything is seen."""
    page = site.page(site.entry_id(edition), edition=edition)
    assert page.state == "recalled"
    assert page.document == {}
    assert page.notice is not None
    assert (page.notice.by, page.notice.harm) == ("L2", "Two children were sick.")
    assert (page.notice.now, page.notice.instead) == ("Pour it away.", "Use soap.")
    assert page.sentences()[1:] == ["Now: Pour it away.", "Instead: Use soap."]
    return True


def assert_never_seen(site: Site, editions: Iterable[str]) -> None:
    here = [edition for edition in editions if site.view.entry_of(edition) is not None]
    assert all(withdrawn_from_sight(site, edition) for edition in here)
    assert {card.state for card in site.cards()} <= {"recalled"}
    assert all((card.summary, card.picture) == ({}, None) for card in site.cards())
    assert {hit.state for hit in site.search("smoke spray soak leaves")} <= {"recalled"}


@cache
def race() -> tuple[Circle, tuple[str, ...]]:
    """The entry, its next edition and an adaptation, two of them approved, each trip on a stick of its own.

    Then L withdraws it. Closed, never to be changed; S knows nothing of it.
    """
    circle = copy_of_circle(fast_folder())
    trips = iter(range(1, 6))

    def leave(letters: str) -> None:
        circle.carry(letters, circle.new_stick(f"trip {next(trips)}"))

    first = circle.write("T1", SMOKE)
    leave("TL")
    circle.approve("L2", first)
    leave("LT")
    after = circle.write("T1", SMOKE | {"title": {"en": "Smoke spray, weaker"}}, after=[first])
    made = circle.write("T1", SMOKE | {"title": {"en": "Smoke of dry leaves"}}, after=[first], adaptation=True)
    leave("TL")
    circle.approve("L2", made)
    leave("L")
    circle.recall("L2", first)
    leave("L")
    word_alone(circle, circle.new_stick("the word alone"))
    circle.close()
    return circle, (first, after, made)


@pytest.mark.parametrize("seed", range(tried(10, 30)))
def test_in_any_order_of_sticks_the_entry_is_never_visible_once_the_word_is_there(seed: int) -> None:
    source, editions = race()
    with copy_of_circle(fast_folder(), source) as circle:
        sticks = 2 * sorted(stick.name for stick in (circle.folder / "sticks").iterdir())
        Random(seed).shuffle(sticks)
        known = False
        for stick in sticks:
            circle["S"].exchange(circle.new_stick(stick))
            known = known or stick in {"trip 5", "the word alone"}
            assert known == knows_withdrawal(circle["S"])
            if known:
                assert_never_seen(circle["S"], editions)
        circle.carry("SLTCSLTC")
        assert len(circle.states()) == 1


def knows_withdrawal(site: Site) -> bool:
    assert site.ledger is not None
    return any(said.kind == "fieldbook/recall" for said in site.ledger.all_said())


def word_alone(circle: Circle, stick: Path) -> Path:
    """A stick from L that holds nothing but what is urgent: the rest was cut off on the way."""
    circle.carry("L", stick)
    for file in stick.glob("tried-ground-*/sites/*/*/text/*.bundle"):
        file.unlink()
    return stick


def test_a_withdrawal_arrives_before_its_entry_and_is_remembered(circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    circle.carry("TL")
    circle.recall("L2", edition)
    circle.carry("S", word_alone(circle, circle.new_stick()))
    assert circle["S"].view.entry_of(edition) is None
    assert knows_withdrawal(circle["S"])
    circle.carry("S")
    assert withdrawn_from_sight(circle["S"], edition)


def test_an_adaptation_written_after_the_withdrawal_is_withdrawn_at_birth(circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    circle.carry("TL")
    circle.recall("L2", edition)
    adapted = circle.write("T1", practice("Smoke, thinned"), after=[edition], adaptation=True)
    following = circle.write("T1", practice("Smoke, next"), after=[edition])
    circle.carry("TLS")
    for name in (edition, adapted, following):
        assert withdrawn_from_sight(circle["S"], name)
        with pytest.raises(FieldbookError, match="withdrawn"):
            circle.approve("L2", name)


def test_an_approval_given_apart_never_beats_the_withdrawal(circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    circle.carry("TCL")
    circle.approve("C3", edition)
    circle.recall("L2", edition)
    circle.carry("CLCL")
    for letter in "CL":
        assert withdrawn_from_sight(circle[letter], edition)


def test_two_sites_allow_again_and_one_alone_does_not(circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    circle.carry("TLC")
    circle.approve("C3", edition)
    circle.carry("CL")
    recall = circle.recall("L2", edition)
    circle.carry("LC")
    for label, state in (("L2", "recalled"), ("C3", "approved")):
        site = circle[label[0]]
        assert site.ledger is not None
        body = {"reason": "It was the pot, not the spray."}
        site.ledger.say(
            circle.keys[label], "fieldbook/lifting", body, after=(edition, recall), time=None, random=site.random
        )
        site.refresh()
        circle.carry("LCLC")
        assert {circle[letter].page(edition).state for letter in "LC"} == {state}
    assert circle["C"].search("smoke spray")[0].state == "approved"
