"""A complaint by page: without sign-in, by the code on a sheet, with one confirmation, shown with its answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.web.gardens import Visitor, entry_with, visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle


def hurt(visitor: Visitor, entry: str, words: str = "") -> None:
    visitor.get(f"/tell/{entry}")
    visitor.post(f"/tell/{entry}", {"says": "hurt", "words": words})
    assert "are you sure?" in visitor.words()
    visitor.post(f"/tell/{entry}", {"says": "hurt", "sure": "yes", "words": words})


def test_every_entry_leads_to_telling_and_its_sheet_has_a_strip_with_its_code(
    planted: Circle, visitor: Visitor
) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/entry/{entry}")
    edition = planted["C"].page(entry).line.edition
    assert f'href="/tell/{edition}"' in visitor.page
    strip = visitor.page.partition('class="print-only strip"')[2].partition("</section>")[0]
    assert edition[:12] in strip
    assert "It did not work" in strip
    assert "It hurt someone" in strip
    visitor.get(f"/tell?code={edition[:12]}")
    assert visitor.status == 200
    assert "It did not work, or it hurt someone" in visitor.words()


def test_harm_is_told_without_sign_in_after_one_confirmation_and_pauses_here(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/tell/{entry}")
    visitor.post(f"/tell/{entry}", {"says": "hurt"})
    assert planted["C"].complaints.every() == ()
    hurt(visitor, entry, "The skin burnt.")
    assert "Told. It is paused at this site now" in visitor.words()
    assert "The skin burnt" not in visitor.words(), "what a person wrote is for those who are signed in"
    visitor.get(f"/entry/{entry}")
    assert "it is paused at this site" in visitor.words()


def test_a_reviewer_finds_it_first_and_the_answer_is_shown_to_everybody(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    hurt(visitor, entry, "The skin burnt.")
    reviewer = visitor_of(planted).sit("C3")
    reviewer.get("/review/")
    words = reviewer.words()
    assert "1 report waits for a reviewer" in words
    assert words.index("Somebody was hurt") < words.index("The skin burnt.")
    report = planted["C"].complaints.every()[0].statement
    reviewer.get("/told")
    reviewer.post(f"/told/{report}/answer", {"words": "Use 5 mL of soap, not 50."})
    visitor.get("/told")
    assert "Answer of C3 : Use 5 mL of soap, not 50." in visitor.words()
    reviewer.get("/review/")
    assert "Somebody was hurt" not in reviewer.words()


def test_what_did_not_work_is_told_in_one_step(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/tell/{entry}")
    visitor.post(f"/tell/{entry}", {"says": "did-not-work", "words": "The lice stayed."})
    assert "It waits for an answer" in visitor.words()
    visitor.get(f"/entry/{entry}")
    assert visitor.status == 200


def test_bad_input_is_told_on_the_page_and_nothing_typed_is_lost(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/tell/{entry}")
    visitor.post(f"/tell/{entry}", {"says": "did-not-work", "words": "call 000 1234567"})
    assert visitor.status == 422
    assert "a long number" in visitor.words()
    assert "call 000 1234567" in visitor.page
    visitor.post(f"/tell/{entry}", {"words": "x"})
    assert "Nothing was chosen" in visitor.words()
    visitor.get("/tell?code=zzz")
    assert visitor.status == 422
    assert "is no id of an edition" in visitor.words()


def test_a_phone_that_sends_without_end_is_told_to_wait(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/tell/{entry}")
    statuses = []
    for _ in range(7):
        visitor.get(f"/tell/{entry}")
        visitor.post(f"/tell/{entry}", {"says": "did-not-work"})
        statuses.append(visitor.status)
    assert statuses[-1] == 429
    assert statuses[:6] == [200] * 6
    assert "wait one minute" in visitor.words().lower()


def test_every_page_leads_to_telling_and_to_what_is_withdrawn(visitor: Visitor) -> None:
    for path in (
        "/",
        "/practices",
        "/calendar",
        "/people",
        "/help",
        "/told",
        "/withdrawn/",
        "/sign-in",
        "/nothing-here",
    ):
        visitor.get(path)
        assert 'href="/tell"' in visitor.page, path
        assert 'href="/withdrawn/"' in visitor.page, path
