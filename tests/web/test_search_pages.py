"""The first page, searching, the lists of practices."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.orrendal import practice
from tests.web.gardens import Visitor, entry_with

if TYPE_CHECKING:
    from tests.orrendal import Circle


def test_the_first_page_asks_in_a_large_box_and_says_what_to_plant_this_month(visitor: Visitor) -> None:
    """The clock stands on 25 November; C has its second rains then (the scenario's table)."""
    visitor.get("/")
    words = visitor.words()
    assert 'type="search"' in visitor.page
    assert "November: what to sow or plant here" in words
    assert "until 1 December" in words
    assert "Dung and steeps 1" in words


@pytest.mark.parametrize("asked", ["aphids on kale", "vidukari kwenye sukuma wiki", "pucerons"])
def test_a_reader_finds_an_entry_in_their_own_words(visitor: Visitor, planted: Circle, asked: str) -> None:
    visitor.get(f"/search?q={asked}")
    assert entry_with(planted, "Aphids") in visitor.page
    assert "Checked once." in visitor.words()
    assert "Keeping pests away" in visitor.words()


def test_worry_puts_what_to_do_first_above_the_answers(visitor: Visitor) -> None:
    visitor.get("/search?q=my hens are dying")
    words = visitor.words()
    assert words.index("to the clinic, at once") < words.index("do not touch, eat, sell or move them")
    visitor.get("/search?q=wick bottle")
    assert "to the clinic" not in visitor.words()


def test_nothing_found_says_what_to_try(visitor: Visitor) -> None:
    visitor.get("/search?q=qqqqxx")
    assert "Nothing found for “ qqqqxx ”" in visitor.words()
    assert "Look through all practices" in visitor.words()


def test_a_question_is_shown_again_and_never_as_markup(visitor: Visitor) -> None:
    visitor.get("/search", query_string={"q": '"><script>alert(1)</script>'})
    assert "<script>" not in visitor.page


def test_a_very_long_question_is_cut_and_answered(visitor: Visitor) -> None:
    visitor.get("/search", query_string={"q": "kale " * 5000})
    assert visitor.status == 200


def test_a_withdrawn_entry_is_found_as_its_notice_only(planted: Circle, visitor: Visitor) -> None:
    entry = entry_with(planted, "Rabbit-dung")
    planted.recall("C3", entry)
    visitor.get("/search?q=rabbit dung steep sack")
    words = visitor.words()
    assert "Withdrawn: do not use." in words
    assert "Droppings steep in a hanging sack" not in words


def test_practices_are_listed_by_kind(visitor: Visitor) -> None:
    visitor.get("/practices/manure")
    assert "Macération de crottes de lapin" in visitor.words()
    assert "Vidukari" not in visitor.words()
    visitor.get("/practices/fish")
    assert "There is nothing of this kind here yet." in visitor.words()


def test_many_entries_of_a_kind_come_a_page_at_a_time(planted: Circle, visitor: Visitor) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("fieldbook.web.pages.entries.LINES_MAX", 1)
        planted.write("C1", practice("Rows of leeks"))
        planted.write("C1", practice("Rows of onions"))
        visitor.get("/practices/teaching")
        assert ("Rows of leeks" in visitor.words(), "Rows of onions" in visitor.words()) == (True, False)
        visitor.get("/practices/teaching?from=1")
        assert ("Rows of leeks" in visitor.words(), "Rows of onions" in visitor.words()) == (False, True)
        assert "More of them" not in visitor.words()
        visitor.get("/practices")
        assert "Teaching 2" in visitor.words()
