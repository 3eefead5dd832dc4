"""Paper by page: what was printed, what to take down, drills, seconding, a withdrawal by ingredient."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.orrendal import practice
from tests.site.test_ingredients import with_spray
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_what_was_printed_is_noted_by_a_person_who_is_signed_in(circle: Circle) -> None:
    edition = circle.write("C1", practice("Smoke spray"))
    trainer = visitor_of(circle, "C").sit("C1")
    trainer.get(f"/entry/{edition}")
    assert f'href="/paper/{edition}"' in trainer.page
    trainer.get(f"/paper/{edition}")
    trainer.post(f"/paper/{edition}", {"sheets": "many", "where": "tap stand"})
    assert trainer.status == 422
    assert "The number of sheets is missing" in trainer.words()
    assert 'value="tap stand"' in trainer.page
    trainer.post(f"/paper/{edition}", {"sheets": "١٢", "where": "tap stand"})  # 12 on an Arabic keyboard
    assert [(one.sheets, one.where) for one in circle["C"].papers.of(edition)] == [(12, "tap stand")]
    reader = visitor_of(circle, "C")
    reader.get(f"/paper/{edition}")
    assert "Sign in" in reader.words()
    reader.get(f"/entry/{edition}")
    assert "tap stand" not in reader.page


def test_the_notice_lists_paper_and_the_list_says_how_far_the_word_came(circle: Circle) -> None:
    edition = circle.write("C1", practice("Smoke spray"))
    circle["C"].papers.register(edition, sheets=12, where="tap stand")
    recall = circle.recall("C3", edition)
    trainer = visitor_of(circle, "C").sit("C1")
    trainer.get(f"/entry/{edition}")
    assert f"12 sheets with the code {edition[:12]} : tap stand" in trainer.words()
    trainer.post(f"/paper/down/{recall}", {"sheets": "11"})
    assert "1 of 4 sites know of it; 1 has taken its paper down." in trainer.words()
    trainer.get(f"/entry/{edition}")
    assert "No sheet of it is noted at this site." in trainer.words()
    trainer.post(f"/paper/down/{'f' * 64}", {"sheets": "1"})
    assert "There is no such withdrawal here" in trainer.words()


def test_a_drill_is_begun_by_a_reviewer_and_says_what_it_is(circle: Circle) -> None:
    reviewer = visitor_of(circle, "C").sit("C3")
    reviewer.get("/withdrawn/")
    reviewer.post("/withdrawn/drill", {})
    assert "1 of 4 sites know of it" in reviewer.words()
    assert "It took 0 exchanges here and 0 days so far." in reviewer.words()
    edition = circle["C"].drills.every()[0].edition
    reader = visitor_of(circle, "C")
    reader.get(f"/entry/{edition}")
    assert "Drill: nothing is wrong" in reader.words()
    reader.get("/withdrawn/")
    assert "Begin a drill" not in reader.words()


def test_the_other_reviewer_is_asked_about_the_fourth_withdrawal_and_seconds_it(circle: Circle) -> None:
    editions = [circle.write("L1", practice(f"Onions {n}")) for n in range(4)]
    recalls = [circle.recall("L2", edition) for edition in editions]
    circle.carry("LC")
    reviewer = visitor_of(circle, "C").sit("C3")
    reviewer.get("/review/")
    assert "Withdrawn by one reviewer alone, again and again" in reviewer.words()
    assert f"Practice {editions[3][:12]}" in reviewer.words()
    reviewer.get(f"/entry/{editions[3]}")
    assert "Not seconded:" in reviewer.words()
    reviewer.post(f"/withdrawn/{recalls[3]}/second", {})
    assert "Two reviewers withdrew it now." in reviewer.words()
    reviewer.get("/review/")
    assert "again and again" not in reviewer.words()


def test_a_reviewer_chooses_an_ingredient_of_the_practice_and_the_notice_names_it(circle: Circle) -> None:
    edition = circle.write("C1", with_spray("Tobacco spray", "tobacco"))
    other = circle.write("C1", with_spray("Tobacco and soap", "soap", "tobacco"))
    reviewer = visitor_of(circle, "C").sit("C3")
    reviewer.get(f"/review/{edition}/stop")
    assert "tobacco in a spray" in reviewer.words()
    told = {"harm": "A child was sick.", "now": "", "instead": "Use soap.", "ingredient": "spray tobacco"}
    reviewer.post(f"/review/{edition}/stop/recall", told)
    reader = visitor_of(circle, "C")
    reader.get(f"/entry/{other}")
    assert "It stops every practice with tobacco in a spray ." in reader.words()
