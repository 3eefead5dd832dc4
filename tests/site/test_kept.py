"""What is kept between two looks is made once, and made anew as soon as what it came from changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldbook.site.kept import Kept
from tests.orrendal import practice

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_a_value_is_made_once_a_stamp() -> None:
    kept, made = Kept(), []

    def make() -> int:
        made.append(1)
        return len(made)

    assert [kept.get("a", "x", make), kept.get("a", "x", make), kept.get("a", "y", make)] == [1, 1, 2]
    assert [kept.get("b", "x", make), kept.get("a", "x", make)] == [3, 4]


def test_lists_that_are_kept_follow_each_change_at_once(circle: Circle) -> None:
    site, reviewer = circle["L"], circle.signer("L2")
    edition = circle.write("L1", practice("Smoke spray"))
    assert [one.card.edition for one in site.review_queue.items(reviewer)] == [edition]
    assert site.stops.every() == ()
    site.complaints.tell(edition, says="hurt")
    assert site.review_queue.items(reviewer)[0].weight.harmed == 1
    recall = circle.recall("L2", edition)
    assert [one.recall for one in site.stops.every()] == [recall]
    assert site.review_queue.items(reviewer) == ()
    assert site.acknowledging.reach(recall).cleared == 0
    site.papers.took_down(recall, sheets=3, signer=circle.signer("L1"))
    assert site.acknowledging.reach(recall).cleared == 1
    circle.carry("LC")
    other = circle["C"].seconding.second(recall, signer=circle.signer("C3"))
    circle.carry("CL")
    assert site.seconding.seconded_by(recall) == ("C3",)
    assert {one.recall for one in site.stops.every()} == {recall, other}
