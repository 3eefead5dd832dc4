"""Review: the queue, findings and differences, approving with answers and limits, and the ways to stop an edition."""

from __future__ import annotations

import datetime as dt
import json
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.review import body_faults
from fieldbook.site import PhotoIn
from fieldbook.web.caution_words import STANDING_LINE
from fieldbook.web.findings import finding_groups
from tests.orrendal import NOON, practice
from tests.photos.pictures import photo, saved
from tests.starters import FOLDERS, answers_of, entry_of
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
    assert "It is followed now. It has waited 9 days." in reviewer.words()


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
    reviewer.post(f"/review/{edition}/approve", {"limits": "Only at C\n\nOnly in May", "answer.MAN-04": " \n\u00a0 "})
    assert (reviewer.status, "MAN-04: Needs the reviewer's words." in reviewer.words()) == (422, True)
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
    assert "Words that are new are underlined, words that are gone are struck out." in words
    assert "Pour <del>10</del> L of clean water" in reviewer.page
    assert "Pour <ins>12</ins> L of clean water" in reviewer.page


def test_an_edition_without_an_approved_one_before_it_is_all_new(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    reviewer.get(f"/review/{edition}")
    assert "What changed since the last approved edition" in reviewer.words()
    assert "No edition of it has been approved before: all of it is new." in reviewer.words()


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


def test_arabic_words_are_compared_in_their_own_direction(planted: Circle, reviewer: Visitor) -> None:
    first = planted.write("C1", practice({"ar": "منقوع روث الماعز، 20 لترا"}))
    planted.approve("C3", first)
    newer = planted.write("C1", practice({"ar": "منقوع روث الأرنب، 20 لترا"}), after=[first])
    reviewer.get(f"/review/{newer}")
    assert '<bdi class="lines" lang="ar" dir="rtl">منقوع روث <ins>الأرنب،</ins> ' in reviewer.page


def test_photos_that_changed_stand_side_by_side_and_no_file_name_is_shown(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    document = copy_of(planted["C"].entry_value(entry).document)
    name = document["photos"][0]["name"]
    old = document["photos"][0]["ref"]
    document["photos"][0] = {"name": name, "alt": {}}
    edition = planted.write(
        "C1", document, after=[entry], photos=[PhotoIn(name, saved(photo(), "PNG"), "none", "a.png")]
    )
    reviewer.get(f"/review/{edition}")
    new = planted["C"].entry_value(edition).document["photos"][0]["ref"]
    compared = reviewer.page[: reviewer.page.index("What the safety rules find")]
    assert old in compared
    assert new in compared
    assert f"Before: {name}" in reviewer.words()
    assert old not in reviewer.words()
    assert new not in reviewer.words()


def test_an_earlier_answer_is_taken_over_by_a_tick_and_never_by_itself(planted: Circle, reviewer: Visitor) -> None:
    soil: dict[str, Any] = {"item": 1, "mode": "soil_surface", "incorporated_after_d": 5}
    first = planted.write("C1", steep(**soil))
    planted.approve("C3", first, answers={"MAN-04": "Rain does it here."})
    second = planted.write("C1", steep(**soil))
    reviewer.get(f"/review/{second}")
    assert "Take over what you answered on 2026-11-25 for the same value, on another edition : Rain does it here." in (
        reviewer.words()
    )
    reviewer.post(f"/review/{second}/approve", {})
    assert reviewer.status == 422
    reviewer.post(f"/review/{second}/approve", {"again.MAN-04": "f" * 64})
    assert reviewer.status == 422
    statement = planted["C"].page(first).approvals[0]
    offered = planted["C"].earlier_answers.offered(second, signer=planted.signer("C3"))
    reviewer.post(f"/review/{second}/approve", {"again.MAN-04": offered[0].name, "answer.MAN-04": "Seen again."})
    assert statement.answers["MAN-04"] == "Rain does it here."
    assert planted["C"].page(second).approvals[0].answers["MAN-04"] == "Rain does it here. Seen again."


def test_a_coded_reason_is_signed_in_words_that_older_software_reads(planted: Circle, reviewer: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    reviewer.get(f"/review/{edition}")
    reviewer.post(f"/review/{edition}/send-back", {"code": "other", "reason": ""})
    assert (reviewer.status, "The reason is empty." in reviewer.words()) == (422, True)
    reviewer.post(f"/review/{edition}/send-back", {"code": "gossip", "reason": "x"})
    assert reviewer.status == 422
    reviewer.post(f"/review/{edition}/send-back", {"code": "wait", "reason": "Say how many days."})
    (remark,) = planted["C"].page(edition, reader=planted.signer("C1")).sent_back
    assert remark.reason == "A waiting time is wrong or missing: Say how many days."
    said = planted["C"].need_ledger().said(remark.statement)
    assert said is not None
    assert (said.body or {})["code"] == "wait"


def test_a_code_of_newer_software_takes_no_force_from_a_word_that_sends_back() -> None:
    for code in ("tomorrow's", 5, None, ["wait"]):
        assert body_faults("fieldbook/sent-back", {"reason": "Too wet.", "code": code}, strict=False) == ()
        assert body_faults("fieldbook/sent-back", {"reason": "Too wet.", "code": code}) != ()


def test_questions_go_out_on_paper_and_their_answers_come_back_into_the_approval(
    planted: Circle, reviewer: Visitor
) -> None:
    edition = planted.write("C1", steep(item=1, mode="soil_surface", incorporated_after_d=5))
    reviewer.get(f"/review/{edition}")
    reviewer.get(f"/review/{edition}/questions")
    words = reviewer.words()
    assert "Answer this: Mix dung into the soil within three days." in words
    assert "Write your office and the day, never your name." in words
    assert "Germs in dung. Dung and dung water can carry germs" in words
    assert STANDING_LINE in words
    reviewer.post(f"/review/{edition}/questions", {"role": "builder", "on": "1 May", "words": "Fine.", "about": "C01"})
    assert (reviewer.status, "There is no day 1 May." in reviewer.words()) == (422, True)
    assert "Fine." in reviewer.page
    sent = {
        "role": "environmental-health-officer",
        "on": "2026-11-20",
        "words": "Enough where hands are washed.",
        "about": ["C01", "C14"],
        "answer.MAN-04": "The rains mix it in within a day.",
    }
    reviewer.post(f"/review/{edition}/questions", sent)
    assert "It counts once a reviewer signs it with an approval." in reviewer.words()
    assert (
        "Take over what the environmental-health officer answered on 2026-11-20: The rains mix it in"
        in reviewer.words()
    )
    (word,) = planted["C"].second_words.of(edition)
    reviewer.post(
        f"/review/{edition}/approve",
        {"again.MAN-04": f"sheet-{word.number}", "second_word": str(word.number)},
    )
    assert "Approved: this exact edition, and no other." in reviewer.words()
    reader = Visitor(reviewer.app, planted)
    reader.get(f"/entry/{edition}")
    said = "The environmental-health officer said on 2026-11-20, on germs in dung and small children"
    assert said in reader.words()
    assert "It counts at this site." in reader.words()
    assert "Checked twice." in reader.words()


def test_a_trainer_types_in_a_sheet_but_not_for_their_own_edition(planted: Circle, visitor: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions", hazards=[{"code": "C08"}]))
    visitor.sit("C1").get(f"/review/{edition}/questions")
    assert "You wrote this edition, so another trainer or reviewer of this site types it in." in visitor.words()
    visitor.post(f"/review/{edition}/questions", {"role": "builder", "on": "2026-11-20", "words": "x", "about": "C08"})
    assert visitor.status == 422


def test_what_rests_on_practice_alone_is_named_together(planted: Circle, reviewer: Visitor) -> None:
    waits = [
        {"before": "harvest", "days_min": 3, "source": "common practice"},
        {"before": "touching", "days_min": 1, "source": "common practice"},
    ]
    edition = planted.write("C1", practice("Rows of onions", waiting=waits))
    reviewer.get(f"/review/{edition}")
    words = reviewer.words()
    assert "Nobody looked it up, it is common practice in the trade. Wait 1; Wait 2." in words
    assert "One look and one decision is enough for all of these together." in words


def test_a_second_reviewer_approves_by_page_what_was_checked_once(planted: Circle, reviewer: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    reviewer.get(f"/review/{entry}")
    assert "It is approved already." in reviewer.words()
    reviewer.get(f"/entry/{entry}")
    assert "Not for a sheet to take home yet: a second check is missing on germs" in reviewer.words()


def test_a_review_screen_weighs_at_most_40_kilobytes_packed(planted: Circle, reviewer: Visitor) -> None:
    """Our limit, on the longest starter entry, as a next edition of itself with every step reworded."""
    heaviest = max(FOLDERS, key=lambda name: len(json.dumps(entry_of(name))))
    document = copy_of(entry_of(heaviest))
    document["photos"] = []
    for step in document["steps"]:
        step.pop("picture", None)
    first = planted.write("C1", document)
    answers = next(one for one in answers_of(heaviest)["approvals"] if one["reviewer"] == "C3")
    planted["C"].approve(first, signer=planted.signer("C3"), answers=answers["answers"])
    for step in document["steps"]:
        step["say"] = {tag: " ".join(reversed(words.split())) for tag, words in step["say"].items()}
    edition = planted.write("C1", document, after=[first])
    response = reviewer.client.get(f"/review/{edition}", headers={"Accept-Encoding": "gzip"}, buffered=True)
    assert response.headers["Content-Encoding"] == "gzip"
    assert len(response.data) <= 40 * 1024
