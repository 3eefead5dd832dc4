"""Telling without an account that a practice did not work or hurt someone: what stops, who hears of it, who answers."""

from __future__ import annotations

from contextlib import closing
from random import Random
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.ledger import LedgerError
from fieldbook.site import Signer, Site, begin_site
from fieldbook.site.complaining import UNANSWERED_MAX
from tests.orrendal import noon, practice, site_facts

if TYPE_CHECKING:
    from pathlib import Path

    from tests.orrendal import Circle

SMOKE = practice("Strong leaf-smoke water spray", summary={"en": "Soak leaves in smoke water and spray."})


def checked_everywhere(circle: Circle) -> str:
    """An entry of T that is approved and held by all four sites."""
    edition = circle.write("T1", SMOKE)
    circle.carry("TL")
    circle.approve("L2", edition)
    circle.carry("LTCSLTCS")
    return edition


def test_a_report_of_harm_stops_the_practice_here_for_readers_and_nowhere_else(circle: Circle) -> None:
    edition = checked_everywhere(circle)
    circle["S"].complaints.tell(edition, says="hurt", words="A child's skin burnt.")
    assert circle["S"].cards() == ()
    assert circle["S"].search("smoke spray") == ()
    with pytest.raises(FieldbookError, match="it is paused at this site"):
        circle["S"].page(edition)
    assert circle["L"].page(edition).state == "approved"


def test_a_report_of_harm_waits_first_at_every_site_after_one_exchange_until_a_reviewer_answers(circle: Circle) -> None:
    edition = checked_everywhere(circle)
    other = circle.write("T1", practice("Onions"))
    circle.carry("TLS")
    circle["S"].complaints.tell(other, says="did-not-work")
    report = circle["S"].complaints.tell(edition, says="hurt")
    circle.carry("SL")
    reviewers = circle["L"].complaints
    assert reviewers.waiting()[0].statement == report
    assert (reviewers.of_harm(edition), reviewers.of_harm(other), reviewers.of_failure(other)) == (1, 0, 1)
    assert (reviewers.every()[0].by, reviewers.every()[0].letter) == ("S", "S")
    circle["L"].complaints.answer(report, signer=circle.signer("L1"), words="We ask the reviewer.")
    assert reviewers.of_harm(edition) == 1, "a trainer's answer is shown, and does not end the waiting"
    circle["L"].complaints.answer(report[:12], signer=circle.signer("L2"), words="Stop it; the leaves were too strong.")
    assert reviewers.of_harm(edition) == 0
    circle.carry("LS")
    (told,) = circle["S"].complaints.about(edition)
    assert [answer.by for answer in told.answers] == ["L1", "L2"]
    assert not told.is_open


def test_what_did_not_work_pauses_nothing_and_ends_by_any_answer(circle: Circle) -> None:
    edition = circle.write("T1", SMOKE)
    report = circle["T"].complaints.tell(edition, says="did-not-work", words="The lice stayed.")
    assert circle["T"].page(edition).state == "offered"
    circle["T"].complaints.answer(report, signer=circle.signer("T1"), words="Spray in the evening.")
    assert circle["T"].complaints.waiting() == ()


def test_an_older_edition_does_not_step_in_for_a_paused_one_and_a_later_one_neither(circle: Circle) -> None:
    first = circle.write("C1", SMOKE)
    circle.approve("C3", first)
    second = circle.write("C1", practice("Smoke spray, weaker"), after=[first])
    circle.approve("C3", second)
    circle["C"].complaints.tell(second, says="hurt")
    assert circle["C"].cards() == ()
    third = circle.write("C1", practice("Smoke spray, once more"), after=[second])
    circle.approve("C3", third)
    assert circle["C"].cards() == ()
    circle["C"].release(third, signer=circle.signer("C1"))
    assert [card.edition for card in circle["C"].cards()] == [third]


def test_what_is_paused_already_is_not_paused_twice(circle: Circle) -> None:
    edition = circle.write("C1", SMOKE)
    for _ in range(2):
        circle["C"].complaints.tell(edition, says="hurt")
    assert len(circle["C"].view.folded(edition)["editions"][0]["holds"]) == 1
    assert circle["C"].complaints.of_harm(edition) == 2


def test_a_held_down_button_is_refused_in_the_end_and_the_pause_stays(circle: Circle) -> None:
    edition = circle.write("C1", SMOKE)
    for says, refusal in (("did-not-work", "that it did not work wait"), ("hurt", "reports of harm from here wait")):
        for _ in range(UNANSWERED_MAX):
            circle["C"].complaints.tell(edition, says=says)
        with pytest.raises(FieldbookError, match=refusal):
            circle["C"].complaints.tell(edition, says=says)
    assert circle["C"].cards() == ()


@pytest.mark.parametrize(
    ("words", "refusal"),
    [
        ("Ask me: +000 12 345 67", "a long number"),
        ("at -13.40117, 22.881", "a long number"),
        ("x" * 301, "longer than 300 characters"),
    ],
)
def test_words_with_a_number_of_a_person_or_too_many_of_them_are_refused_and_nothing_is_kept(
    circle: Circle, words: str, refusal: str
) -> None:
    edition = circle.write("C1", SMOKE)
    with pytest.raises(FieldbookError, match=refusal):
        circle["C"].complaints.tell(edition, says="hurt", words=words)
    assert circle["C"].complaints.every() == ()
    assert circle["C"].page(edition).state == "offered"


def test_amounts_and_days_may_stand_in_what_is_told(circle: Circle) -> None:
    edition = circle.write("C1", SMOKE)
    words = "1 L of it on 12 m2, 0.5 kg of leaves; after 3 days 20 of 24 plants were dead."
    circle["C"].complaints.tell(edition, says="did-not-work", words=words)
    assert circle["C"].complaints.every()[0].words == words


def test_bad_input_is_refused(circle: Circle) -> None:
    edition = circle.write("C1", SMOKE)
    report = circle["C"].complaints.tell(edition, says="hurt")
    with pytest.raises(FieldbookError, match="nothing was chosen"):
        circle["C"].complaints.tell(edition, says="worked")
    with pytest.raises(FieldbookError, match="names no report"):
        circle["C"].complaints.answer(report[:7], signer=circle.signer("C3"), words="x")
    with pytest.raises(FieldbookError, match="the answer is empty"):
        circle["C"].complaints.answer(report, signer=circle.signer("C3"), words="  ")
    volunteer = circle["C"].add_person("C2", role="volunteer", passphrase="four plain words here")
    key = circle["C"].unlock("C2", "four plain words here").key
    with pytest.raises(FieldbookError, match="C2 is neither trainer nor reviewer"):
        circle["C"].complaints.answer(report, signer=Signer(volunteer.label, frozenset({"volunteer"}), key), words="x")


def test_a_volunteers_word_is_no_answer_even_where_newer_software_signs_it(circle: Circle) -> None:
    """The kind lets anyone vouched for speak; who may answer is looked at by the reader."""
    site = circle["C"]
    edition = circle.write("C1", SMOKE)
    report = site.complaints.tell(edition, says="hurt")
    assert site.ledger is not None
    body = {"says": "answer", "words": "All is well."}
    try:
        site.ledger.say(site.site_key, "fieldbook/report", body, after=(edition, report), time=None, random=site.random)
    except LedgerError:  # pragma: no cover - the door may refuse it too
        return
    assert site.complaints.of_harm(edition) == 1


def test_a_site_that_is_not_let_in_yet_pauses_what_hurt_someone_all_the_same(circle: Circle, tmp_path: Path) -> None:
    edition = circle.write("C1", SMOKE)
    circle.approve("C3", edition)
    circle.carry("C")
    facts = site_facts("S")
    begin_site(tmp_path / "new", facts, founding=None, random=Random("new").randbytes)
    with closing(Site.open(tmp_path / "new", clock=noon, random=Random("open").randbytes)) as site:
        site.request_join(circle.stick)
        site.exchange(circle.stick)
        assert [card.edition for card in site.cards()] == [edition]
        assert len(site.search("smoke")) == 1
        assert site.complaints.tell(edition, says="hurt") == ""
        assert (site.cards(), site.search("smoke")) == ((), ())
        with pytest.raises(FieldbookError, match="not let into the network yet"):
            site.complaints.tell(edition, says="did-not-work")
