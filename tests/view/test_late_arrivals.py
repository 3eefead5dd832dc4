"""What comes late, in pieces or after what answers it, leaves the view as if it had been there from the start."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import practice
from tests.view.histories import APPROVED, History, assert_whole, pack

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.orrendal import Circle

NOTICE = {"harm": "Two children were sick.", "instead": "Use soap."}


@pytest.fixture
def history(circle: Circle) -> History:
    return History(circle)


def deliver(history: History, names: Sequence[str], *, bare: Sequence[str] = (), to: str = "T") -> None:
    """Bring statements to a site, some without their bodies, and look at it."""
    statements = [statement for name in names if (statement := history.store.get(name)) is not None]
    stick = history.circle.new_stick()
    chosen = [one.without_body() if one.id in bare else one for one in statements]
    pack(history, chosen, stick, chance=Random("".join(names)))
    report = history.circle[to].exchange(stick)
    assert report.refused == ()
    assert_whole(history.circle[to])


def stop(history: History, label: str) -> str:
    return history.say("S1", "sync/revocation", {"key": history.circle.keys[label].public, "last": []})


def test_an_edition_set_aside_is_noted_once_the_waiting_one_it_follows_is_settled(history: History) -> None:
    root = history.say("C1", "fieldbook/edition", practice("Root"))
    parent = history.say("T1", "fieldbook/edition", practice("Parent"), after=[root])
    child = history.say("L1", "fieldbook/edition", practice("Child"), after=[parent])
    stopped = stop(history, "L1")
    deliver(history, [stopped])
    deliver(history, [parent, child])
    assert history.circle["T"].view.entry_of(child) is None
    deliver(history, [root])
    assert history.circle["T"].view.entry_of(child) == root


def test_the_order_of_approvals_follows_what_arrives_below_them(history: History) -> None:
    """An approval answers what was set aside before all that it answers was here; its place may still change."""
    name = history.say("C1", "fieldbook/edition", practice())
    far = [history.say("C1", "fieldbook/edition", practice("Elsewhere"))]
    for _ in range(3):
        far.append(history.say("C1", "fieldbook/edition", practice("Elsewhere"), after=far[-1:]))
    pause = {"on": True, "reason": "A hen died."}
    aside = history.say("T1", "fieldbook/hold", pause, after=sorted([name, far[-1]]))
    first = history.say("C3", "fieldbook/approval", APPROVED, after=sorted([name, aside]))
    held = [name]
    for _ in range(2):
        held.append(history.say("L1", "fieldbook/hold", pause, after=held[-1:]))
    second = history.say("L2", "fieldbook/approval", APPROVED, after=sorted([name, held[-1]]))
    deliver(history, [stop(history, "T1"), *held, aside, first, second])
    view = history.circle["T"].view
    assert [one["id"] for one in view.folded(name)["editions"][0]["approvals"]] == [first, second]
    deliver(history, far)
    assert [one["id"] for one in view.folded(name)["editions"][0]["approvals"]] == [second, first]


def test_a_body_that_comes_later_may_move_an_edition_and_all_that_follows_it(history: History) -> None:
    root = history.say("C1", "fieldbook/edition", practice("Root"))
    adapted = history.say("T1", "fieldbook/edition", practice("Adapted", adaptation=True), after=[root])
    after = history.say("T1", "fieldbook/edition", practice("After"), after=[adapted])
    deliver(history, [root, adapted, after], bare=[adapted])
    view = history.circle["T"].view
    assert {view.entry_of(name) for name in (root, adapted, after)} == {root}
    deliver(history, [adapted])
    assert [view.entry_of(name) for name in (root, adapted, after)] == [root, adapted, adapted]


def test_a_withdrawal_that_comes_first_acts_the_moment_its_edition_comes(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    deliver(history, [recall])
    assert history.circle["T"].view.count() == 0
    deliver(history, [name])
    assert history.circle["T"].page(name).state == "recalled"


def test_a_withdrawal_reaches_an_edition_whose_words_are_lacking(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    deliver(history, [recall, name], bare=[name])
    page = history.circle["T"].page(name)
    assert (page.state, dict(page.title)) == ("recalled", {"und": f"practice entry {name[:12]}"})
    deliver(history, [name])
    page = history.circle["T"].page(name)
    assert (page.state, dict(page.title), page.document) == ("recalled", {"en": "Rows of onions"}, {})


def test_a_body_taken_back_goes_from_every_page_and_search(history: History) -> None:
    name = history.say("C1", "fieldbook/edition", practice())
    approval = history.say("C3", "fieldbook/approval", APPROVED, after=[name])
    deliver(history, [name, approval])
    site = history.circle["T"]
    assert site.search("onions")
    deliver(history, [history.say("C1", "sync/redaction", {}, after=[name])])
    assert site.search("onions") == ()
    assert site.cards() == ()
    history.circle.carry("CTCT")
    assert len(history.circle.states("CT")) == 1
