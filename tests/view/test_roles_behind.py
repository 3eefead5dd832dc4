"""What a person said before their key was stopped keeps its force; what they said after has none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.orrendal import practice
from tests.view.histories import APPROVED, History, assert_whole

if TYPE_CHECKING:
    from tests.orrendal import Circle

NOTICE = {"harm": "Two children were sick.", "instead": "Use soap."}


@pytest.fixture
def history(circle: Circle) -> History:
    return History(circle)


def stop(history: History, label: str, *, last: list[str]) -> str:
    """A steward stops a person's key."""
    body = {"key": history.circle.keys[label].public, "last": last}
    statement = history.say("S1", "sync/revocation", body)
    history.site.refresh()
    assert_whole(history.site)
    return statement


def edition(history: History, name: str) -> dict[str, Any]:
    history.site.refresh()
    folded = history.site.view.folded(history.site.entry_id(name))
    found: dict[str, Any] = next(one for one in folded["editions"] if one["id"] == name)
    return found


def test_a_withdrawal_outlives_the_stopping_of_its_reviewer(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    stop(history, "L2", last=[recall])
    assert edition(history, name)["state"] == "recalled"


def test_a_withdrawal_said_after_the_cut_is_set_aside(history: History) -> None:
    name = history.circle.write("C1")
    history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    stop(history, "L2", last=[])
    assert edition(history, name)["state"] == "offered"


def test_an_approval_outlives_the_stopping_of_its_reviewer_within_what_they_might_approve(history: History) -> None:
    """A key that is stopped has no scope in force; that must not read as "all kinds"."""
    grant = {"key": history.circle.keys["T1"].public, "name": "T1", "role": "reviewer", "scope": ["compost"]}
    grant["site"] = history.circle["T"].site_key.public
    for steward in ("C1", "L1"):
        history.say(steward, "sync/grant", grant)
    within, beyond = (history.circle.write("C1", practice(kind=kind)) for kind in ("compost", "teaching"))
    approvals = [history.say("T1", "fieldbook/approval", APPROVED, after=[name]) for name in (within, beyond)]
    for _ in ("in force", "stopped"):
        assert [edition(history, name)["state"] for name in (within, beyond)] == ["approved", "offered"]
        stop(history, "T1", last=[approvals[-1]])


def test_an_approval_said_after_the_cut_does_not_count(history: History) -> None:
    name = history.circle.write("C1")
    history.say("L2", "fieldbook/approval", APPROVED, after=[name])
    stop(history, "L2", last=[])
    assert edition(history, name)["standing"] == "unchecked"


def test_a_lifting_by_a_former_steward_still_counts_beside_a_reviewers(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    for label in ("C3", "S1"):
        history.say(label, "fieldbook/lifting", {"reason": "It was the soap."}, after=sorted([name, recall]))
    assert edition(history, name)["state"] == "offered"
    for label in ("C1", "L1"):
        body, after = history.ledger.next_stewards(history._stewards[:2], threshold=2)
        history.say(label, "sync/stewards", body, after=after)
    assert "steward" not in history.ledger.roles_of(history.circle.keys["S1"].public)
    assert edition(history, name)["state"] == "offered"


def test_two_liftings_from_one_site_allow_nothing(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    for label in ("L1", "L2"):
        history.say(label, "fieldbook/lifting", {"reason": "It was the soap."}, after=sorted([name, recall]))
    assert edition(history, name)["state"] == "recalled"


def test_two_stewards_without_a_reviewer_allow_nothing(history: History) -> None:
    name = history.circle.write("C1")
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[name])
    for label in ("C1", "S1"):
        history.say(label, "fieldbook/lifting", {"reason": "It was the soap."}, after=sorted([name, recall]))
    assert edition(history, name)["state"] == "recalled"


def test_what_two_liftings_do_not_both_name_stays_withdrawn(history: History) -> None:
    first = history.circle.write("C1")
    second = history.circle.write("C1", practice("Weaker"), after=[first])
    recall = history.say("L2", "fieldbook/recall", NOTICE, after=[first])
    history.say("C3", "fieldbook/lifting", {"reason": "Weaker is safe."}, after=sorted([first, second, recall]))
    history.say("S1", "fieldbook/lifting", {"reason": "Weaker is safe."}, after=sorted([second, recall]))
    assert [edition(history, name)["state"] for name in (first, second)] == ["recalled", "offered"]


def test_an_edition_that_is_set_aside_is_shown_to_nobody_and_cannot_be_approved(history: History) -> None:
    name = history.say("S1", "fieldbook/edition", practice())
    assert edition(history, name)["stands"] == "accepted"
    history.say("C1", "sync/revocation", {"key": history.circle.keys["S1"].public, "last": []})
    history.site.refresh()
    reviewer = history.circle.signer("C3")
    assert history.site.cards(reader=reviewer) == ()
    assert history.site.search("onions", reader=reviewer) == ()
    assert history.site.review_queue.items(reviewer) == ()
    with pytest.raises(Exception, match="set aside"):
        history.circle.approve("C3", name)
    assert_whole(history.site)


def test_what_only_the_vanished_voices_gave_goes_from_view_and_search(history: History) -> None:
    """The site that vouched for T1 is stopped from its beginning, so T1 has no role, and their edition waits again."""
    name = history.say("T1", "fieldbook/edition", practice())
    history.site.refresh()
    assert history.site.search("onions", reader=history.circle.signer("C3"))
    history.say("S1", "sync/revocation", {"key": history.circle["T"].site_key.public, "last": []})
    history.site.refresh()
    said = history.ledger.said(name)
    assert said is not None
    assert said.stands == "waiting"
    assert history.site.view.count() == 0
    assert history.site.search("onions", reader=history.circle.signer("C3")) == ()
