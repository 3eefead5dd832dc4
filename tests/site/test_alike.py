"""A withdrawal stops what reads the same, here or still to come, in any order; what is only near is pointed out."""

from __future__ import annotations

import json
import shutil
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.review.bodies import NOTICE_MAX_BYTES, notice_bytes
from tests.orrendal import practice
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle

SAID = (
    "Fill the tin with dry leaves and light them in a quiet corner.",
    "Lead the smoke through water for an hour, then pour it on the leaves.",
    "Come again after three days and look under ten leaves for aphids.",
)


def smoke(title: str, *said: str, **fields: Any) -> dict[str, Any]:
    return practice(title, steps=[{"say": {"en": words}} for words in said or SAID], **fields)


def state_of(circle: Circle, letter: str, edition: str) -> str:
    site = circle[letter]
    label = {"C": "C3", "L": "L2"}.get(letter, f"{letter}1")
    return site.page(site.entry_id(edition), edition=edition, reader=circle.signer(label)).state


@pytest.mark.parametrize("seed", range(4))
def test_a_copy_typed_anew_is_stopped_in_any_order_of_sticks(circle: Circle, seed: int) -> None:
    first = circle.write("T1", smoke("Smoke spray"))
    circle.carry("T", circle.new_stick("first"))
    circle["L"].exchange(circle.new_stick("first"))
    plain = circle.write("C1", smoke("Grandmother's water", *(one.upper() for one in SAID)))
    later = circle.write("C1", smoke("Grandmother's water", *SAID, "Wash your hands."), after=[plain])
    other = circle.write("C1", smoke("Watered leaves", *SAID[:2], "Cover the tin and keep children away from it."))
    circle.carry("C", circle.new_stick("copy"))
    circle.recall("L2", first)
    circle.carry("L", circle.new_stick("word"))
    sticks = ["first", "copy", "word"] * 2
    Random(seed).shuffle(sticks)
    known = False
    for stick in sticks:
        circle["S"].exchange(circle.new_stick(stick))
        known = known or stick == "word"
        for edition in (first, plain, later):
            if known and circle["S"].view.entry_of(edition):
                assert state_of(circle, "S", edition) == "recalled"
        assert circle["S"].verify().problems == ()
    assert state_of(circle, "S", other) == "offered"
    assert [stop.copy for stop in circle["S"].stops.of(plain)] == [True]
    assert [stop.copy for stop in circle["S"].stops.of(first)] == [False]
    again = circle.write("S1", smoke("Smoke again"))
    assert state_of(circle, "S", again) == "recalled"


def test_the_word_alone_stops_a_copy_where_the_practice_itself_has_never_been(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    recall = circle.recall("L2", first)
    plain, other = circle.write("S1", smoke("My own water")), circle.write("S1", practice("Rows of onions"))
    stick = circle.new_stick()
    circle.carry("L", stick)
    for lane in stick.rglob("text"):
        shutil.rmtree(lane)
    circle["S"].exchange(stick)
    assert circle["S"].view.entry_of(first) is None
    assert [state_of(circle, "S", one) for one in (plain, other)] == ["recalled", "offered"]
    assert [(one.recall, one.copy) for one in circle["S"].stops.every()] == [(recall, True)]
    assert circle["S"].verify().problems == ()
    circle.carry("LS")
    assert state_of(circle, "S", first) == "recalled"


def test_a_withdrawal_is_listed_where_nothing_that_it_names_has_come(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    recall = circle.recall("L2", first)
    stick = circle.new_stick()
    circle.carry("L", stick)
    for lane in stick.rglob("text"):
        shutil.rmtree(lane)
    circle["S"].exchange(stick)
    assert [(one.recall, one.target) for one in circle["S"].stops.every()] == [(recall, first)]


def test_what_was_made_from_a_copy_is_stopped_and_two_sites_allow_it_again(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    plain = circle.write("L1", smoke("My own water"))
    made = circle.write("L1", smoke("Thin smoke", "Use half of it."), after=[plain], adaptation=True)
    circle.recall("L2", first)
    assert {state_of(circle, "L", one) for one in (plain, made)} == {"recalled"}
    circle.carry("LC")
    for label in ("L2", "C3"):
        circle[label[0]].stops.allow_again([plain], signer=circle.signer(label), reason="It was another leaf.")
    circle.carry("CLCL")
    assert [state_of(circle, "L", one) for one in (first, plain, made)] == ["recalled", "offered", "recalled"]


def test_the_list_to_hang_up_holds_the_codes_of_copies_and_of_what_was_made_from_it(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    plain = circle.write("L1", smoke("My own water"))
    made = circle.write("L1", smoke("Thin smoke", "Use half of it."), after=[first], adaptation=True)
    circle.write("L1", practice("Rows of onions"))
    circle.recall("L2", first)
    (stop,) = circle["L"].stops.every()
    assert stop.editions[0] == first
    assert set(stop.editions) == {first, plain, made}
    reader = visitor_of(circle, "L")
    reader.get("/withdrawn/")
    assert all(one[:12] in reader.words() for one in (first, plain, made))


def test_an_innocent_entry_is_not_taken_down_by_an_edition_that_copies_what_was_withdrawn(circle: Circle) -> None:
    good = circle.write("L1", smoke("Soap spray", "Rub soap into the water until it foams a little on the hands."))
    circle.approve("L2", good)
    first = circle.write("L1", smoke("Smoke spray"))
    circle.recall("L2", first)
    slipped = circle.write("L1", smoke("Soap spray"), after=[good])
    states = {line.edition: line.state for line in circle["L"].page(good).editions}
    assert states == {good: "approved", slipped: "recalled"}


def test_a_long_notice_names_as_many_marks_as_its_kilobyte_leaves_room_for(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    tail = "And look again under the leaves of every plant in the row."
    for number in range(3):
        first_next = circle.write("L1", smoke("Smoke spray", *SAID, f"{tail} {number}"), after=[first])
    long = "x" * 290
    recall = circle["L"].recall(first_next, signer=circle.signer("L2"), harm=long, now=long, instead=long)
    said = circle["L"].need_ledger().said(recall)
    assert said is not None
    assert said.body is not None
    assert notice_bytes(said.body) <= NOTICE_MAX_BYTES
    assert 1 <= len(said.body["likenesses"]) < 4


def test_what_is_near_is_pointed_out_to_author_and_reviewer_and_not_stopped(circle: Circle) -> None:
    site = circle["L"]
    first = circle.write("L1", smoke("Smoke spray"))
    near = circle.write("L1", smoke("Smoke water", *(one.replace("hour", "night") for one in SAID)))
    far = circle.write("L1", smoke("Onions", "Plant onions in rows a hand apart, and water them in the evening."))
    circle.recall("L2", first)
    assert [one.sentence(("en",)) for one in site.alike.of_edition(near)] == [
        "It reads much like “Smoke spray”, which is withdrawn. Look whether what did harm is still in it."
    ]
    assert state_of(circle, "L", near) == "offered"
    assert site.alike.of_edition(far) == ()
    assert site.alike.of_edition(first) == ()
    written = site.write(smoke("Once more"), signer=circle.signer("L1"), draft=True)
    assert written.draft is not None
    (same,) = site.alike.of_draft(site.notebook.draft(written.draft))
    assert same.same
    assert "once it is offered, it is stopped too" in same.sentence(("en",))


def test_the_marks_of_a_notice_are_part_of_its_schema(circle: Circle) -> None:
    first = circle.write("L1", smoke("Smoke spray"))
    recall = circle.recall("L2", first)
    said = circle["L"].need_ledger().said(recall)
    assert said is not None
    assert json.dumps(dict(said.body or {})).count('"likenesses"') == 1
