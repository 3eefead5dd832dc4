"""Amounts keep their order inside a text that runs from right to left (Unicode Standard Annex 9, isolates)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.web.said import in_language, isolated

if TYPE_CHECKING:
    from playwright.sync_api import Page

SPACING = "كل 30 cm: 8 حفر"
POSITIONS = """text => {
    document.body.innerHTML = '<p dir="rtl" lang="ar" style="font: 20px sans-serif"></p>';
    const node = document.body.firstChild.appendChild(document.createTextNode(text));
    const left = sign => {
        const range = document.createRange(), at = text.indexOf(sign);
        range.setStart(node, at); range.setEnd(node, at + 1);
        return range.getBoundingClientRect().left;
    };
    return [left('3'), left('c'), left('8')];
}"""


def test_each_amount_of_an_arabic_text_stands_in_an_isolate_of_its_own() -> None:
    said = in_language({"ar": SPACING}, ["ar"])
    assert said is not None
    assert said.text == "كل \u206630 cm\u2069: \u20668\u2069 حفر"


@pytest.mark.parametrize("amount", ["1:10", "20 L", "2.5 m²", "5-10 g/L", "50%", "٢٠", "C-14", "B3"])
def test_an_amount_and_its_unit_stay_together(amount: str) -> None:
    assert isolated(f"ثم {amount}، ثم") == f"ثم \u2066{amount}\u2069، ثم"


def test_a_text_that_runs_from_left_to_right_is_left_as_it_is() -> None:
    said = in_language({"fr": "tous les 30 cm : 8 trous"}, ["fr"])
    assert said is not None
    assert said.text == "tous les 30 cm : 8 trous"


@pytest.mark.browser
def test_a_browser_shows_the_spacing_before_the_count_that_follows_it(page: Page) -> None:
    three, unit, eight = page.evaluate(POSITIONS, isolated(SPACING))
    assert eight < three < unit  # read from the right: first "30 cm", then, further left, "8"
