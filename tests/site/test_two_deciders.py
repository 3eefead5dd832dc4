"""Two reviewers decide on one edition at two sites that know nothing of each other: both words stay, one state follows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.orrendal import Circle


def approve(circle: Circle, label: str, edition: str) -> None:
    circle[label[0]].approve(edition, signer=circle.signer(label), answers={}, limits=[f"as {label} says"])


def send_back(circle: Circle, label: str, edition: str) -> None:
    circle[label[0]].send_back(
        edition, signer=circle.signer(label), code="unclear", reason=f"{label} cannot follow it."
    )


def retire(circle: Circle, label: str, edition: str) -> None:
    circle[label[0]].retire(edition, signer=circle.signer(label), reason=f"{label} knows a better one.")


DECISIONS: list[tuple[Callable[[Circle, str, str], None], Callable[[Circle, str, str], None], str]] = [
    (approve, send_back, "sent-back"),
    (approve, approve, "approved"),
    (send_back, send_back, "sent-back"),
    (approve, retire, "retired"),
    (send_back, retire, "retired"),
]


@pytest.mark.parametrize(("at_c", "at_l", "state"), DECISIONS, ids=lambda one: getattr(one, "__name__", str(one)))
def test_both_are_kept_and_every_order_of_sticks_leads_to_the_careful_state(
    circle: Circle,
    at_c: Callable[[Circle, str, str], None],
    at_l: Callable[[Circle, str, str], None],
    state: str,
) -> None:
    edition = circle.write("S1")
    circle.carry("SCLTS")
    at_c(circle, "C3", edition)
    at_l(circle, "L2", edition)
    from_c, from_l = circle.new_stick(), circle.new_stick()
    circle.carry("C", from_c)
    circle.carry("L", from_l)
    circle.carry("T", from_c)
    circle.carry("T", from_l)
    circle.carry("S", from_l)
    circle.carry("S", from_c)
    circle.carry("C", from_l)
    circle.carry("L", from_c)
    assert len(circle.states()) == 1
    for letter in "CTLS":
        (folded,) = circle[letter].view.folded(edition)["editions"]
        assert folded["state"] == state
        assert len(folded["decisions"]) == 2
        ledger = circle[letter].need_ledger()
        said_by = {ledger.label(said.author) for one in folded["decisions"] if (said := ledger.said(one)) is not None}
        assert said_by == {"C3", "L2"}


def test_a_later_decision_that_knows_of_both_settles_it(circle: Circle) -> None:
    edition = circle.write("S1")
    circle.carry("SCL")
    approve(circle, "C3", edition)
    send_back(circle, "L2", edition)
    circle.carry("CLC")
    page = circle["C"].page(edition, reader=circle.signer("C3"))
    assert (page.state, [one.by for one in page.sent_back]) == ("sent-back", ["L2"])
    at_odds = (
        "C3 approved it and L2 sent it back, neither knowing of the other: the careful word holds until a reviewer "
        "decides once more."
    )
    assert at_odds in page.sentences()
    reviewer = visitor_of(circle, "C").sit("C3")
    for path in (f"/entry/{edition}", f"/review/{edition}"):
        reviewer.get(path)
        assert reviewer.words().count(at_odds) == 1
    approve(circle, "C3", edition)
    circle.carry("CLTSC")
    assert {circle[letter].page(edition).state for letter in "CTLS"} == {"approved"}
    assert len(circle.states()) == 1
    assert circle["C"].page(edition).at_odds == ""
