"""Ids that were ground to come first or last, and editions that cross: what counts never goes by an id."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_an_edition_whose_id_was_ground_never_takes_the_place_of_an_approved_one(circle: Circle) -> None:
    """T1 tries words until one edition has the least id of all, and one the greatest: only display may follow ids."""
    first = circle.write("C1")
    honest = circle.write("C1", practice("Onions, two rows"), after=[first])
    circle.approve("C3", honest)
    circle.carry("CT")
    ground: list[str] = []
    while not (any(one < honest for one in ground) and any(one > honest for one in ground)):
        ground.append(circle.write("T1", practice(f"Onions, try {len(ground)}"), after=[first]))
    circle.carry("TC")
    for letter in "CT":
        page = circle[letter].page(first)
        assert page.line.edition == honest
        assert page.standing == "checked-once"
    worker = circle["C"].page(first, reader=circle.signer("C3"))
    assert worker.line.edition == honest
    assert {line.edition for line in worker.editions if line.newest} == {honest, *ground}


def test_three_editions_at_once_and_a_merge_of_two_while_the_third_arrives(circle: Circle) -> None:
    """The merge answers what its author had seen; the third stays beside it until somebody answers both."""
    first = circle.write("C1")
    circle.carry("CTLS")
    sides = {
        letter: circle.write(f"{letter}1", practice(f"Onions at {letter}"), after=[first]) for letter in ("C", "T", "S")
    }
    circle.carry("CTL")
    merged = circle.write("L1", practice("Onions at both"), after=[sides["C"], sides["T"]])
    circle.carry("SLCTS")
    newest = set()
    for letter in "CTLS":
        page = circle[letter].page(first, edition=merged, reader=circle.signer("C3" if letter == "C" else "L2"))
        newest.add(frozenset(line.edition for line in page.editions if line.newest))
    assert newest == {frozenset({merged, sides["S"]})}
    circle.carry("CTLS")
    assert len(circle.states()) == 1
