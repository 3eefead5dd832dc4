"""The sheet to take home: counted, in each language of the entry, and refused with reasons while a check is missing."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest

from fieldbook.shipped import shipped_text
from fieldbook.web.sheet_words import TABLE, sheet_words
from tests.orrendal import practice
from tests.review.known_drafts import BAD
from tests.web.gardens import Visitor, entry_with, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle

PAGE_MAX_BYTES = 30 * 1024
WORD = {"role": "vet", "on": "2026-11-20", "words": "It may go home."}


def may_go_home(circle: Circle) -> str:
    """An approved practice in which nothing is at stake, in two languages."""
    steps = [{"say": {"en": "Plant onions a hand apart.", "ar": "ازرع البصل على مسافة 10 cm."}, "day_offset": 0}]
    edition = circle.write("C1", practice({"en": "Rows of onions", "ar": "صفوف البصل"}, steps=steps))
    circle.approve("C3", edition)
    return edition


def print_it(visitor: Visitor, edition: str, language: str = "en") -> None:
    visitor.get(f"/sheet/{edition}")
    visitor.post(f"/sheet/{edition}", {"sheets": "30", "where": "30 households", "language": language})


def test_a_sheet_is_reached_from_the_entry_counted_and_bears_its_code_and_the_strip(circle: Circle) -> None:
    edition = may_go_home(circle)
    visitor = visitor_of(circle).sit("C1")
    visitor.get(f"/entry/{edition}")
    assert f'href="/sheet/{edition}' in visitor.page
    print_it(visitor, edition)
    words = visitor.words()
    assert "Plant onions a hand apart." in words
    assert f"edition 1, {edition[:12]} , approved by C3" in words
    assert "It hurt someone: stop, and tell a trainer today." in words
    assert "older than 12 months" in words
    assert read_page(visitor.page).judged() == []
    assert len(visitor.page.encode()) < PAGE_MAX_BYTES
    assert [(one.sheets, one.where) for one in circle["C"].papers.of(edition)] == [(30, "30 households")]
    circle.recall("C3", edition)
    visitor.get(f"/entry/{edition}")
    assert f"30 sheets with the code {edition[:12]} : 30 households" in visitor.words()
    visitor.get(f"/sheet/{edition}")
    assert "Withdrawn: do not use" in visitor.words()


def test_a_sheet_runs_from_right_to_left_with_english_beside_its_few_own_words(circle: Circle) -> None:
    edition = may_go_home(circle)
    visitor = visitor_of(circle).sit("C1")
    print_it(visitor, edition, language="ar")
    assert '<article class="take-home" lang="ar" dir="rtl">' in visitor.page
    assert "ماذا تفعل What to do" in visitor.words()
    assert "\u206610 cm\u2069" in visitor.page  # an amount keeps its order (Unicode Standard Annex 9)
    assert read_page(visitor.page).judged() == []


def test_whoever_is_not_signed_in_is_asked_to_sign_in_and_nothing_is_counted(circle: Circle) -> None:
    edition = may_go_home(circle)
    reader = visitor_of(circle)
    reader.get(f"/sheet/{edition}")
    assert "Whoever prints it signs in" in reader.words()
    reader.post(f"/sheet/{edition}", {"sheets": "30", "where": "here"})
    assert circle["C"].papers.of(edition) == ()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"sheets": "", "where": "here"}, "The number of sheets is missing"),
        ({"sheets": "30", "where": " "}, "It is not said where the sheets hang"),
        ({"sheets": "0", "where": "here"}, "0 sheets cannot be right"),
    ],
)
def test_what_was_typed_badly_counts_nothing(circle: Circle, typed: dict[str, str], said: str) -> None:
    edition = may_go_home(circle)
    visitor = visitor_of(circle).sit("C1")
    visitor.get(f"/sheet/{edition}")
    visitor.post(f"/sheet/{edition}", typed)
    assert visitor.status == 422
    assert said in visitor.words()
    assert circle["C"].papers.of(edition) == ()
    visitor.get(f"/sheet/{edition}/1")
    assert visitor.status == 404


def refused(visitor: Visitor, edition: str) -> str:
    """What the page says where there is no sheet; a form sent all the same counts nothing."""
    visitor.get(f"/sheet/{edition}")
    assert visitor.status == 409
    words = visitor.words()
    assert "No sheet to take home yet" in words
    visitor.get("/tell")  # any page with a token
    visitor.post(f"/sheet/{edition}", {"sheets": "30", "where": "here"})
    assert visitor.site.papers.of(edition) == ()
    return words


def test_what_nobody_checked_or_a_rule_stops_or_is_out_of_date_gives_no_sheet_but_reasons(circle: Circle) -> None:
    visitor = visitor_of(circle).sit("C1")
    plain = circle.write("C1", practice("Rows of onions"))
    assert "Nobody has checked it. A reviewer finds it in the list of what waits." in refused(visitor, plain)
    bad = next(one for one in BAD if one.rule == "MAN-01")
    stopped = circle.write("C1", practice("Dung on leaves", facts=bad.entry.document["facts"]))
    (why, *_) = [one.words for one in circle["C"].findings(stopped) if one.result == "stop"]
    assert f"A rule of safety stops it: {why}" in refused(visitor, stopped)
    circle.approve("C3", plain)
    circle["C"].retire(plain, signer=circle.signer("C3"), reason="Beds are better.")
    assert "It is out of date. Use what takes its place" in refused(visitor, plain)
    back = circle.write("C1", practice("Beds of onions"))
    circle["C"].send_back(back, signer=circle.signer("C3"), reason="Say how deep.")
    assert "It was sent back to its author." in refused(visitor, back)
    held = may_go_home(circle)
    circle["C"].hold(held, signer=circle.signer("C1"), reason="A hen died.")
    assert "It is paused at this site." in refused(visitor, held)


def test_one_check_is_not_enough_where_germs_are_at_stake_until_a_second_word_stands(planted: Circle) -> None:
    visitor = visitor_of(planted).sit("C1")
    entry = entry_with(planted, "Rabbit-dung")
    edition = planted["C"].page(entry).line.edition
    words = refused(visitor, edition)
    assert "A second check is missing on germs. Another reviewer approves it too; or print the questions" in words
    planted["C"].approve(
        edition,
        signer=planted.signer("C3"),
        answers={one.rule: "Seen." for one in planted["C"].findings(edition)},
        second_word={**WORD, "about": list(planted["C"].second_words.at_stake(edition))},
    )
    print_it(visitor, edition, language="fr")
    assert visitor.status == 200
    assert "Attendez au moins Wait at least 120 days avant la cueillette" in visitor.words()
    assert "Dung and dung water can carry germs" in visitor.words()
    assert len(visitor.page.encode()) < PAGE_MAX_BYTES


def test_an_older_edition_gives_no_sheet_once_a_newer_one_is_followed(circle: Circle) -> None:
    old = may_go_home(circle)
    new = circle.write("C1", practice("Rows of onions, 2"), after=[old])
    circle.approve("C3", new)
    assert "Another edition is to be followed now." in refused(visitor_of(circle).sit("C1"), old)


def test_each_label_is_there_in_each_language_of_the_table() -> None:
    rows = list(csv.DictReader(io.StringIO(shipped_text(TABLE))))
    assert all(all(row.values()) for row in rows)
    assert {"en", "sw", "fr", "ar", "es"} <= rows[0].keys()
    assert sheet_words("pt-BR")["steps"].own is None
    french = sheet_words("fr-CD")["steps"].own
    assert french is not None
    assert french.text == "Que faire"
