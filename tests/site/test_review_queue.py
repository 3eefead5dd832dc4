"""What waits for a reviewer: what is in use at this site comes before what nobody uses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.orrendal import practice
from tests.roofs import roof_bed
from tests.site.test_starting import answer

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_a_practice_that_was_begun_here_weighs_more_than_one_that_was_not(circle: Circle) -> None:
    unused, used = circle.write("C1", roof_bed()), circle.write("C1", roof_bed())
    circle.write("C1", practice("Plain"))
    slip = answer(circle, used)
    circle["C"].starting.begin(slip.slip.number, signer=circle.signer("C1"))
    queue = circle["C"].review_queue.items(circle.signer("C3"))
    assert [item.card.edition for item in queue][:2] == [used, unused]
    assert dict(queue[0].weight.reasons())["in-use"] == 1
    assert "in-use" not in dict(queue[1].weight.reasons())
