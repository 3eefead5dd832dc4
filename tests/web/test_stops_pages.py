"""Withdrawals by page: the notice with its two lines, the list to hang up, allowing again, typing in what was heard."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.orrendal import practice
from tests.web.gardens import Visitor, visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle

PAGE_MAX_BYTES = 30 * 1024


@pytest.fixture
def withdrawn(circle: Circle) -> tuple[Circle, str]:
    """An approved entry that L2 withdrew, known at all four sites."""
    edition = circle.write("T1", practice("Smoke spray", summary={"en": "Soak leaves in smoke water."}))
    circle.carry("TL")
    circle.approve("L2", edition)
    circle.recall("L2", edition)
    circle.carry("LCTSLCTS")
    return circle, edition


def lines_on(visitor: Visitor) -> list[str]:
    """The two lines as they stand on a notice."""
    return re.findall(r'<p class="fingerprint"[^>]*>([^<]+)</p>', visitor.page)


def test_two_sites_allow_a_practice_again_by_their_pages(withdrawn: tuple[Circle, str]) -> None:
    circle, edition = withdrawn
    first, second = visitor_of(circle, "L").sit("L2"), visitor_of(circle, "C").sit("C3")
    first.get(f"/entry/{edition}")
    assert f'href="/withdrawn/{edition}/allow"' in first.page
    first.get(f"/withdrawn/{edition}/allow")
    assert "Nobody has allowed it again yet." in first.words()
    first.post(f"/withdrawn/{edition}/allow", {"editions": edition, "reason": "It was the pot."})
    assert "It stays withdrawn until somebody of another site says the same" in first.words()
    circle.carry("LC")
    second.get(f"/withdrawn/{edition}/allow")
    assert "L2 of site L has allowed 1 edition again" in second.words()
    second.post(f"/withdrawn/{edition}/allow", {"editions": edition, "reason": "We tried it anew."})
    assert "Two sites allow it again" in second.words()
    circle.carry("CTLS")
    reader = visitor_of(circle, "S")
    reader.get(f"/entry/{edition}")
    assert "Checked once." in reader.words()


def test_allowing_again_says_what_lacks_and_keeps_what_was_typed(withdrawn: tuple[Circle, str]) -> None:
    circle, edition = withdrawn
    reviewer = visitor_of(circle, "L").sit("L2")
    reviewer.get(f"/withdrawn/{edition}/allow")
    reviewer.post(f"/withdrawn/{edition}/allow", {"reason": "It was the pot."})
    assert reviewer.status == 422
    assert "No edition was chosen. Choose the editions" in reviewer.words()
    assert "It was the pot." in reviewer.page
    reviewer.post(f"/withdrawn/{edition}/allow", {"editions": edition, "reason": " "})
    assert "The reason is empty" in reviewer.words()
    assert re.search(rf'value="{edition}" checked', reviewer.page)


def test_a_trainer_or_reader_cannot_allow_again(withdrawn: tuple[Circle, str]) -> None:
    circle, edition = withdrawn
    trainer = visitor_of(circle, "T").sit("T1")
    trainer.get(f"/entry/{edition}")
    assert "Allow it again" not in trainer.words()
    trainer.get(f"/withdrawn/{edition}/allow")
    assert trainer.status == 403
    reader = visitor_of(circle, "T")
    reader.get(f"/withdrawn/{edition}/allow")
    assert "Sign in" in reader.words()


def test_the_notice_has_two_lines_that_pause_it_at_a_site_that_the_stick_has_not_reached(circle: Circle) -> None:
    edition = circle.write("T1", practice("Smoke spray"))
    circle.carry("TL")
    circle.approve("L2", edition)
    circle.carry("LS")
    circle.recall("L2", edition)
    notice = visitor_of(circle, "L")
    notice.get(f"/entry/{edition}")
    first, second = lines_on(notice)
    trainer, reader = visitor_of(circle, "S").sit("S1"), visitor_of(circle, "S")
    trainer.get("/withdrawn/heard")
    trainer.post("/withdrawn/heard", {"first": first.lower(), "second": second})
    assert "is paused here now" in trainer.words()
    assert "POUR IT AWAY" in trainer.words()
    reader.get(f"/entry/{edition}")
    assert "it is paused at this site" in reader.words()
    reader.get("/withdrawn/")
    assert "Paused here by word of radio" in reader.words()
    trainer.get(f"/review/{edition}/stop")
    trainer.post(f"/review/{edition}/stop/release", {})
    reader.get(f"/entry/{edition}")
    assert reader.status == 200


def test_lines_of_what_is_not_here_yet_pause_it_when_it_comes(circle: Circle) -> None:
    edition = circle.write("T1", practice("Smoke spray"))
    circle.carry("TL")
    circle.recall("L2", edition)
    notice = visitor_of(circle, "L")
    notice.get(f"/entry/{edition}")
    first, second = lines_on(notice)
    trainer = visitor_of(circle, "S").sit("S1")
    trainer.get("/withdrawn/heard")
    trainer.post("/withdrawn/heard", {"first": first, "second": second})
    assert "What the lines name is not here yet; when it comes, it is paused at once." in trainer.words()


def test_a_mistyped_line_is_told_on_the_page_and_may_be_mended_there(circle: Circle) -> None:
    trainer = visitor_of(circle, "S").sit("S1")
    trainer.get("/withdrawn/heard")
    trainer.post("/withdrawn/heard", {"first": "STOP mango xylem", "second": ""})
    assert trainer.status == 422
    assert "Line 1: word 2 after STOP is none of the list" in trainer.words()
    assert "STOP mango xylem" in trainer.page
    reader = visitor_of(circle, "S")
    reader.get("/withdrawn/heard")
    assert "Sign in" in reader.words()


def test_the_list_to_hang_up_names_the_code_of_every_sheet(withdrawn: tuple[Circle, str]) -> None:
    circle, edition = withdrawn
    later = circle.write("T1", practice("Smoke spray, weaker"), after=[edition])
    reader = visitor_of(circle, "T")
    response = reader.get("/withdrawn/")
    words = reader.words()
    assert edition[:12] in words
    assert later[:12] in words
    assert "Two children were sick." in words
    assert "Use soap." in words
    assert "Soak leaves" not in words
    assert len(response.get_data()) < PAGE_MAX_BYTES


def test_a_notice_asks_and_shows_who_is_at_risk_and_how_it_is_known(circle: Circle) -> None:
    edition = circle.write("L1", practice("Smoke spray"))
    reviewer = visitor_of(circle, "L").sit("L2")
    reviewer.get(f"/review/{edition}/stop")
    assert "Who is at risk?" in reviewer.words()
    words = {
        "harm": "Two children were sick.",
        "instead": "Use soap.",
        "at_risk": "Those who ate of it.",
        "sources": "",
    }
    reviewer.post(f"/review/{edition}/stop/recall", {**words, "sources": "Told by the vet."})
    reader = visitor_of(circle, "L")
    for page in (f"/entry/{edition}", "/withdrawn/"):
        reader.get(page)
        assert "Who is at risk. Those who ate of it." in reader.words()
        assert "How it is known. Told by the vet." in reader.words()


def test_what_is_out_of_date_leads_to_what_replaces_it(circle: Circle) -> None:
    old, new = circle.write("C1", practice("Rows of onions")), circle.write("C1", practice("Beds of onions"))
    for edition in (old, new):
        circle.approve("C3", edition)
    reviewer = visitor_of(circle, "C").sit("C3")
    reviewer.get(f"/review/{old}/stop")
    reviewer.post(f"/review/{old}/stop/retire", {"reason": "Beds hold water.", "replaced_by": new[:12]})
    reader = visitor_of(circle, "C")
    reader.get(f"/entry/{old}")
    assert "Beds hold water." in reader.words()
    assert f'href="/entry/{new}"' in reader.page
    reviewer.get(f"/review/{new}/stop")
    reviewer.post(f"/review/{new}/stop/retire", {"reason": "Old.", "replaced_by": "nothing here"})
    assert reviewer.status == 422
    assert "is no id of an edition" in reviewer.words()
    reviewer.post(f"/review/{new}/stop/retire", {"reason": "Old.", "replaced_by": " "})
    assert reviewer.status == 200
