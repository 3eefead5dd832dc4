"""Review: the queue, findings and differences, approving with answers and limits, and the ways to stop an edition."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.web.findings import finding_groups
from tests.orrendal import NOON, practice
from tests.starters import entry_of
from tests.web.gardens import Visitor, copy_of, entry_with

if TYPE_CHECKING:
    from tests.orrendal import Circle


def steep(*, item: int = 0, **inputs: Any) -> dict[str, Any]:
    """The shipped dung steep with some facts of the steep (0) or of the dung in it (1) changed."""
    document = copy_of(entry_of("dung-steep"))
    document["photos"] = []
    document["steps"][4].pop("picture")
    document["facts"]["inputs"][item] |= inputs
    return document


@pytest.fixture
def reviewer(visitor: Visitor) -> Visitor:
    return visitor.sit("C3")


def test_the_queue_says_what_is_at_stake_and_holds_nothing_of_ones_own(planted: Circle, reviewer: Visitor) -> None:
    planted.write("C1", practice("Rows of onions"))
    planted.write("C3", practice("Rows of leeks"))
    planted.write("C1", steep(wait_d=2))
    reviewer.get("/review/")
    words = reviewer.words()
    assert "The rules find nothing to answer." in words
    assert "Rows of leeks" not in words
    assert words.index("stop") < words.index("Rows of onions")


def test_what_fits_into_the_minutes_stands_first_with_its_reasons(planted: Circle, reviewer: Visitor) -> None:
    for n in range(7):
        planted.write("C1", practice(f"Rows of onions {n}"))
    stopped = planted.write("C1", steep(wait_d=2))
    reviewer.get("/review/")
    words = reviewer.words()
    assert "You have 20 minutes: these 6, for these reasons. 2 others wait." in words
    assert reviewer.page.index(stopped) < reviewer.page.index("These wait")
    assert "At stake: germs" in words
    reviewer.get("/review/?minutes=40")
    assert "You have 40 minutes: 8 editions wait, for these reasons." in reviewer.words()
    for odd in ("-3", "many", "99999999999"):
        assert reviewer.get(f"/review/?minutes={odd}").status_code == 200


def test_what_is_in_use_comes_before_what_is_not_and_says_how_long_it_has_waited(
    planted: Circle, reviewer: Visitor
) -> None:
    plain = planted.write("C1", practice("Rows of onions"))
    used = planted.write("C1", practice("Rows of leeks"))
    planted.approve("C3", used)
    newer = planted.write("C1", practice("Rows of leeks, closer"), after=[used])
    site = planted["C"]
    site.clock = lambda: NOON + dt.timedelta(days=9)
    assert [one.card.edition for one in site.review_queue.items(planted.signer("C3"))] == [newer, plain]
    reviewer.get("/review/")
    assert "An earlier edition of it is followed now. It has waited 9 days." in reviewer.words()


def test_a_stop_says_what_was_found_against_what_and_what_to_do_instead(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", steep(wait_d=2))
    reviewer.get(f"/review/{edition}")
    words = reviewer.words()
    assert "Stop: Wait at least 120 days between raw dung and the harvest of food that touches soil." in words
    assert "Days from putting it on to picking; found 2 days; held against 120 days" in words
    assert "Put raw dung into a bare bed on dung day" in words
    assert "7 CFR 205.203" in words
    assert "It cannot be approved as it stands: a rule stops it. Send it back with the reason." in words
    assert "Approve exactly this edition" not in words


def test_what_needs_an_answer_is_approved_only_with_one(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", steep(item=1, mode="soil_surface", incorporated_after_d=5))
    reviewer.get(f"/review/{edition}")
    assert "Answer this: Mix dung into the soil within three days." in reviewer.words()
    reviewer.post(f"/review/{edition}/approve", {"limits": "Only at C\n\nOnly in May"})
    assert reviewer.status == 422
    assert "MAN-04" in reviewer.words()
    assert "Only in May" in reviewer.page
    reviewer.post(
        f"/review/{edition}/approve", {"limits": "Only at C\n\nOnly in May", "answer.MAN-04": "Rain does it here."}
    )
    assert "Approved: this exact edition, and no other." in reviewer.words()
    page = planted["C"].page(edition, edition=edition)
    assert page.approvals[0].limits == ("Only at C", "Only in May")
    assert page.approvals[0].answers["MAN-04"] == "Rain does it here."


def test_what_changed_since_the_last_approved_edition_stands_side_by_side(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    document = copy_of(planted["C"].entry_value(entry).document)
    document["steps"][2]["say"]["en"] = "Pour 12 L of clean water into the container."
    document["facts"]["tea"]["water"] = "rain"
    edition = planted.write("C1", document, after=[entry])
    reviewer.get(f"/review/{edition}")
    words = reviewer.words()
    assert "Step 3: What to do: English Pour 10 L of clean water into the container, in the shade" in words
    assert "the steep: In which water? drinking rain" in words


def test_an_edition_without_an_approved_one_before_it_is_all_new(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    reviewer.get(f"/review/{edition}")
    assert "What changed since the last approved edition" in reviewer.words()
    assert "name: English nothing Rows of onions" in reviewer.words() or "name nothing" in reviewer.words()


def test_what_is_missing_before_approval_is_named(planted: Circle, reviewer: Visitor) -> None:
    document = steep()
    del document["waiting"]
    edition = planted.write("C1", document)
    reviewer.get(f"/review/{edition}")
    assert "Missing before it can be approved Wait" in reviewer.words()


def test_nobody_approves_their_own_work(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C3", practice("Rows of leeks"))
    reviewer.get(f"/review/{edition}")
    assert "You wrote this. Another reviewer decides" in reviewer.words()
    reviewer.post(f"/review/{edition}/approve", {})
    assert reviewer.status == 422
    assert "Nobody approves their own work." in reviewer.words()


def test_a_trainer_sees_findings_but_does_not_approve(planted: Circle, visitor: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    visitor.sit("C1").get(f"/review/{edition}")
    assert visitor.status == 200
    visitor.post(f"/review/{edition}/approve", {})
    assert visitor.status == 403


def test_sending_back_takes_a_reason_that_the_author_reads(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    reviewer.get(f"/review/{edition}")
    reviewer.post(f"/review/{edition}/send-back", {"reason": "  "})
    assert (reviewer.status, "The reason is empty." in reviewer.words()) == (422, True)
    reviewer.post(f"/review/{edition}/send-back", {"reason": "Say how far apart."})
    assert "Sent back to its author with your reason." in reviewer.words()
    reviewer.sit("C1").get(f"/entry/{edition}")
    assert "C3 sent it back: Say how far apart." in reviewer.words()


def test_a_pause_hides_an_entry_here_and_is_ended_here(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    reviewer.get(f"/review/{entry}/stop")
    reviewer.post(f"/review/{entry}/stop/hold", {"reason": "We had a flood."})
    assert "Paused at site C by C3 : We had a flood." in reviewer.words()
    reader = Visitor(reviewer.app, planted)
    reader.get(f"/entry/{entry}")
    assert reader.status == 404
    assert (
        "This cannot be shown This practice entry is not shown to readers: it is paused at this site." in reader.words()
    )
    reviewer.get(f"/review/{entry}/stop")
    reviewer.post(f"/review/{entry}/stop/release", {})
    assert "No longer paused at this site." in reviewer.words()
    reader.get(f"/entry/{entry}")
    assert reader.status == 200


def test_withdrawing_takes_what_happened_and_what_to_do_instead(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    reviewer.get(f"/review/{entry}/stop")
    reviewer.post(f"/review/{entry}/stop/recall", {"harm": "Two children were sick.", "instead": ""})
    assert reviewer.status == 422
    assert "Two children were sick." in reviewer.page
    reviewer.post(f"/review/{entry}/stop/recall", {"harm": "Two children were sick.", "instead": "Use compost."})
    assert "Withdrawn: do not use" in reviewer.words()
    assert "Use compost." in reviewer.words()


def test_what_is_out_of_date_says_so(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    reviewer.get(f"/review/{entry}/stop")
    reviewer.post(f"/review/{entry}/stop/retire", {"reason": "The leaf box is better."})
    assert "Out of date, says C3 : The leaf box is better." in reviewer.words()


def test_a_trainer_may_pause_but_not_withdraw(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    visitor.sit("C1").get(f"/review/{entry}/stop")
    assert "Pause it here" in visitor.words()
    assert "Withdraw it everywhere" not in visitor.words()
    visitor.post(f"/review/{entry}/stop/recall", {"harm": "x", "instead": "y"})
    assert visitor.status == 422
    visitor.post(f"/review/{entry}/stop/explode", {})
    assert visitor.status == 404


def test_findings_of_one_rule_stand_once_with_every_place(planted: Circle) -> None:
    document = steep(wait_d=2)
    document["facts"]["inputs"][1]["wait_d"] = 3
    found = planted["C"].findings(planted.write("C1", document))
    groups = finding_groups(found)
    raw = [group for group in groups if group.rule == "MAN-01"]
    assert len(raw) == 1
    assert ["found 2 days" in place or "found 3 days" in place for place in raw[0].places] == [True, True]
    assert sum(len(group.places) for group in groups) <= len(found)
    assert [group.result for group in groups] == sorted(
        (group.result for group in groups), key=["stop", "answer", "unknown", "note"].index
    )


def test_the_next_edition_of_a_checked_entry_waits_in_the_queue(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    document = copy_of(planted["C"].entry_value(entry).document)
    document["title"]["fr"] = "Purin corrigé"
    edition = planted.write("C1", document, after=[entry])
    reviewer.get("/review/")
    assert "Purin corrigé" in reviewer.words()
    assert f"/review/{edition}" in reviewer.page
