"""Comparisons by page: begun by lot, counted bit by bit, signed with whatever came of it, printed to count with."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.trying import compare, plan
from tests.web.gardens import Visitor, entry_with, visitor_of

if TYPE_CHECKING:
    from tests.orrendal import Circle


def begun(visitor: Visitor, circle: Circle, **changed: object) -> int:
    """A volunteer's comparison at C; its number."""
    entry = entry_with(circle, "soap")
    visitor.get(f"/entry/{entry}/compare")
    visitor.post(f"/entry/{entry}/compare", plan(**changed))
    (paper,) = circle["C"].trials.under_way()
    return paper.number


def test_an_entry_leads_whoever_is_signed_in_to_a_comparison_and_a_reader_to_signing_in(
    planted: Circle, visitor: Visitor
) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/entry/{entry}/compare")
    assert "Passphrase" in visitor.words()
    visitor.sit("C1").get(f"/entry/{entry}")
    assert f"/entry/{entry}/compare" in visitor.page
    visitor.get(f"/entry/{entry}/compare")
    assert "Ten leaves of one sack are one try, not ten." in visitor.words()


def test_lots_are_drawn_and_every_sack_has_its_way_and_its_own_page(planted: Circle, visitor: Visitor) -> None:
    number = begun(visitor.sit("C1"), planted)
    assert visitor.status == 200
    assert "6 sacks are not counted yet" in visitor.words()
    assert visitor.words().count("water only (the usual way)") == 3
    for row in range(6):
        assert f'href="/comparisons/{number}/{row}"' in visitor.page
    assert visitor.page.count("What came of it?") == 0


def test_what_is_wrong_stands_at_its_box_and_nothing_typed_is_lost(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1")
    entry = entry_with(planted, "soap")
    visitor.get(f"/entry/{entry}/compare")
    visitor.post(f"/entry/{entry}/compare", plan(usual="sprayed", way_what="one spoon"))
    assert visitor.status == 422
    box = visitor.page.partition('for="usual"')[2].partition("<input")[0]
    assert "Is the name of the other way too" in box
    assert 'value="one spoon"' in visitor.page
    assert "no lot was drawn yet" in visitor.words()
    assert planted["C"].trials.papers() == ()


def test_counts_are_typed_in_bit_by_bit_and_each_form_leads_to_the_next_sack(planted: Circle, visitor: Visitor) -> None:
    number = begun(visitor.sit("C1"), planted)
    visitor.get(f"/comparisons/{number}/0")
    visitor.post(f"/comparisons/{number}/0", {"before": ["20", "19"], "counted": ["", ""], "day": "7", "go": "next"})
    assert "<h1>Sack <bdi>2</bdi></h1>" in visitor.page
    visitor.post(f"/comparisons/{number}/1", {"counted": ["3", "x"], "day": "7", "go": "next"})
    assert visitor.status == 422
    assert 'value="x"' in visitor.page
    visitor.get(f"/comparisons/{number}/0")
    assert re.findall(r'name="before" value="(\d*)"', visitor.page) == ["20", "19"]
    assert re.findall(r'name="counted" value="(\d*)"', visitor.page) == ["", ""]
    assert planted["C"].trials.paper(number).body["units"][1] == {
        key: value
        for key, value in planted["C"].trials.paper(number).body["units"][1].items()
        if key in {"label", "arm"}
    }


def count_all(visitor: Visitor, number: int) -> None:
    for row in range(6):
        visitor.get(f"/comparisons/{number}/{row}")
        visitor.post(f"/comparisons/{number}/{row}", {"counted": ["3", str(row)], "day": "7", "go": "list"})
    visitor.get(f"/comparisons/{number}")


def test_whatever_came_of_it_is_signed_by_buttons_of_one_size_and_everybody_may_read_it(
    planted: Circle, visitor: Visitor
) -> None:
    number = begun(visitor.sit("C1"), planted)
    count_all(visitor, number)
    buttons = re.findall(r'<button class="(\w+)" name="outcome" value="([\w-]+)"', visitor.page)
    assert buttons == [("main", code) for code in ("worked", "partly", "no", "harmed")]
    visitor.post(f"/comparisons/{number}/finish", {"outcome": "no", "note": "Ants carried them back."})
    assert "It goes on the next stick, whatever came of it" in visitor.words()
    reader = visitor_of(planted)
    reader.get("/comparisons/")
    assert "It did not work." in reader.words()
    (known,) = planted["C"].trials.every()
    reader.get(f"/comparisons/of/{known.statement[:12]}")
    assert "Sack 1" in reader.words()
    assert "Ants" not in reader.words(), "what a person wrote is for those who are signed in"
    assert "Take it back" not in reader.words()


def test_harm_is_confirmed_once_then_pauses_here_and_stands_first_for_the_reviewer(
    planted: Circle, visitor: Visitor
) -> None:
    number = begun(visitor.sit("C1"), planted)
    count_all(visitor, number)
    word = {"outcome": "harmed", "harm_note": "A child's skin burnt."}
    visitor.post(f"/comparisons/{number}/finish", word)
    assert "are you sure?" in visitor.words()
    assert planted["C"].trials.every() == ()
    visitor.post(f"/comparisons/{number}/finish", {**word, "sure": "yes"})
    assert "The practice is paused at this site now" in visitor.words()
    reviewer = visitor_of(planted).sit("C3")
    reviewer.get("/review/")
    assert "A child's skin burnt." in reviewer.words()
    assert "by a comparison" in reviewer.words()
    reader = visitor_of(planted)
    reader.get("/told")
    assert "It hurt someone" in reader.words()
    assert "burnt" not in reader.words()


def test_a_comparison_of_what_was_stopped_meanwhile_says_so_and_can_still_be_ended(
    planted: Circle, visitor: Visitor
) -> None:
    number = begun(visitor.sit("C1"), planted)
    edition = planted["C"].trials.paper(number).edition
    planted["C"].complaints.tell(edition, says="hurt")
    visitor.get(f"/comparisons/{number}")
    assert "Do not go on with the practice: it is paused at this site." in visitor.words()
    visitor.post(f"/comparisons/{number}/drop", {"why": ""})
    assert "Nobody said why it is given up" in visitor.words()
    visitor.post(f"/comparisons/{number}/drop", {"why": "It was paused."})
    assert "Given up here: 1" in visitor.words()


def test_counts_of_an_entry_that_is_not_here_yet_are_shown_and_kept(planted: Circle, visitor: Visitor) -> None:
    number = begun(visitor.sit("C1"), planted)
    record = planted["C"].notebook.record("trial", number)
    assert record is not None
    planted["C"].notebook.change_record(record, {**record.document, "edition": "ab" * 32})
    visitor.get(f"/comparisons/{number}")
    assert visitor.status == 200
    assert "Do not go on with the practice: its words are not here" in visitor.words()
    visitor.get(f"/comparisons/{number}/0")
    visitor.post(f"/comparisons/{number}/0", {"counted": ["3", "4"], "day": "7", "go": "list"})
    assert visitor.status == 200
    visitor.get("/comparisons/")
    assert visitor.status == 200


def test_the_sheet_has_a_line_for_each_sack_with_its_lot_and_a_box_for_each_plant(
    planted: Circle, visitor: Visitor
) -> None:
    number = begun(visitor.sit("C1"), planted)
    visitor.get(f"/comparisons/{number}/sheet")
    rows = visitor.page.partition("<tbody>")[2].partition("</tbody>")[0].split("<tr>")[1:]
    assert len(rows) == 6
    for row in rows:
        assert row.count('class="box"') == 2 * 2 + 1
        assert ("sprayed" in row) != ("water only" in row)


def test_the_author_takes_a_comparison_back_and_nobody_else_is_offered_it(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    edition = planted["C"].page(entry).line.edition
    signed = compare(
        planted["C"], edition, tried=[[1], [2]], untried=[[3], [4]], before=[9], signer=planted.signer("C3")
    )
    visitor.get(f"/comparisons/of/{signed}")
    assert "Take it back" not in visitor.words()
    author = visitor_of(planted).sit("C3")
    author.get(f"/comparisons/of/{signed}")
    author.post(f"/comparisons/of/{signed}/take-back", {})
    assert "Taken back here" in author.words()
    assert planted["C"].trials.every() == ()


def test_every_page_of_a_comparison_is_light(planted: Circle, visitor: Visitor) -> None:
    number = begun(visitor.sit("C1"), planted, each=12, per_unit=10)
    entry = entry_with(planted, "soap")
    for path in (
        f"/entry/{entry}/compare",
        f"/comparisons/{number}",
        f"/comparisons/{number}/0",
        f"/comparisons/{number}/sheet",
        "/comparisons/",
    ):
        visitor.get(path)
        assert visitor.status == 200
        assert len(visitor.page.encode()) < 30_000, path


def test_an_entry_says_how_far_it_was_tried_and_what_came_of_it_failures_as_large_as_successes(
    planted: Circle, visitor: Visitor
) -> None:
    entry = entry_with(planted, "soap")
    visitor.get(f"/entry/{entry}")
    assert "How far it was tried Told, not tried by anyone as far as is known." in visitor.words()
    edition = planted["C"].page(entry).line.edition
    few, many = [[2, 3], [1, 1], [4, 2]], [[20, 22], [18, 25], [30, 21]]
    compare(planted["C"], edition, tried=few, untried=many, signer=planted.signer("C3"))
    compare(planted["C"], edition, tried=many, untried=few, unit="bed", outcome="no", signer=planted.signer("C1"))
    visitor.get(f"/entry/{entry}")
    assert "Repeated by another person at the same site." in visitor.words()
    assert "The counts speak for the practice." in visitor.words()
    assert "The counts speak against the practice." in visitor.words()
    assert "Growers say: worked 1, partly 0, did not work 1, harmed 0." in visitor.words()
    parts = visitor.page.split('<section class="compared">')[1:]
    blocks = [part.partition("</section>")[0] for part in parts]
    assert [block.count("<strong>") for block in blocks] == [1, 1]
    assert [block.count("<svg") for block in blocks] == [1, 1]
    assert [block.count("Welch") for block in blocks] == [2, 2]
    assert len(visitor.page.encode()) < 30_000


def test_too_few_for_a_range_are_listed_sack_by_sack(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    edition = planted["C"].page(entry).line.edition
    compare(planted["C"], edition, tried=[[1], [2]], untried=[[3], [4]], before=[9], signer=planted.signer("C3"))
    visitor.get(f"/entry/{entry}")
    assert "no range from so few" in visitor.words()
    block = visitor.page.partition('<section class="compared">')[2].partition("</section>")[0]
    assert block.count("<svg") == 0
    assert block.count("<li><bdi>") == 4
    visitor.get(f"/entry/{entry}/compared")
    assert "too few were counted for a range" in visitor.words()


def test_what_does_not_fit_on_the_page_of_the_entry_has_a_page_of_its_own(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "soap")
    edition = planted["C"].page(entry).line.edition
    for unit in ("sack", "bed", "tray"):
        compare(planted["C"], edition, tried=[[1], [2]], untried=[[3], [4]], before=[9], unit=unit)
    visitor.get(f"/entry/{entry}")
    assert "All that was counted, and 1 more question" in visitor.words()
    visitor.get(f"/entry/{entry}/compared")
    assert visitor.page.count('<section class="compared">') == 3
    assert visitor.status == 200


def test_words_that_run_from_right_to_left_stand_in_an_isolate_of_their_own(planted: Circle, visitor: Visitor) -> None:
    """Unicode Standard Annex 9, section 2.4: FIRST STRONG ISOLATE to POP DIRECTIONAL ISOLATE."""
    entry = entry_with(planted, "soap")
    edition = planted["C"].page(entry).line.edition
    tried, untried = [[2], [1], [4]], [[20], [25], [30]]
    arabic = {"language": "ar", "way": "مرشوش", "usual": "ماء فقط"}
    compare(planted["C"], edition, tried=tried, untried=untried, before=[22], signer=None, outcome="worked", **arabic)
    visitor.get(f"/entry/{entry}?language=ar")
    assert "\u2068مرشوش\u2069" in visitor.page
