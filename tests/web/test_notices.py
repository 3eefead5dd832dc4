"""What people are told though nothing is wrong: in the reader's language with the English beneath, links kept."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import Notice
from tests.orrendal import NOON
from tests.web.gardens import entry_with, planted_copy, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.web.gardens import Visitor

KISWAHILI = {"Accept-Language": "sw"}


@pytest.fixture
def visitor(tmp_path: Path) -> Iterator[Visitor]:
    circle = planted_copy(tmp_path / "circle")
    yield visitor_of(circle)
    circle["C"].clock = lambda: NOON
    circle.close()


def test_a_notice_stands_in_the_readers_language_above_the_english(visitor: Visitor) -> None:
    visitor.site.clock = lambda: dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    visitor.get("/calendar", headers=KISWAHILI)
    assert read_page(visitor.page).judged() == []
    said = '<span class="retold" lang="sw" dir="ltr">Saa ya kompyuta hii inasema 1 January 2000'
    assert said in visitor.page
    assert '<small class="raised" lang="en" dir="ltr">This laptop&#39;s clock says 1 January 2000' in visitor.page
    visitor.get("/calendar", headers={"Accept-Language": "en"})
    assert "Saa ya kompyuta" not in visitor.page
    assert "This laptop's clock says 1 January 2000, which cannot be right." in visitor.words()


def test_what_was_done_is_acknowledged_in_the_readers_language(visitor: Visitor) -> None:
    visitor.sit("C1").get("/beds/new", headers=KISWAHILI)
    visitor.post("/beds/new", {"label": "B7", "kind": "bed", "day_zero": "2026-10-01"}, headers=KISWAHILI)
    assert "B7 iko kwenye daftari la vitalu. Yaliyowekwa humo kabla yanapaswa kuandikwa pia" in visitor.words()
    assert "B7 stands in the bed book. What went into it before belongs there too: note it now." in visitor.words()
    assert read_page(visitor.page).judged() == []
    visitor.get("/due/", headers=KISWAHILI)
    visitor.post("/due/", {}, headers=KISWAHILI)
    assert "Hakuna kilichowekewa alama." in visitor.words()


@pytest.mark.parametrize(
    ("time", "said"),
    [("2026-11-01T10:00:00Z", "nakala ya akiba ya 2026-11-01"), (None, "nakala ya akiba ambayo siku yake haijulikani")],
)
def test_that_a_site_was_put_back_is_said_until_the_next_stick(visitor: Visitor, time: str | None, said: str) -> None:
    exchanges = int(visitor.site.notebook.fact("exchanges") or 0)
    visitor.site.notebook.set_fact("put_back", {"time": time, "exchanges": exchanges})
    visitor.get("/", headers=KISWAHILI)
    assert said in visitor.words()
    visitor.site.notebook.set_fact("exchanges", exchanges + 1)
    visitor.get("/", headers=KISWAHILI)
    assert said not in visitor.words()


def test_harm_and_a_household_are_told_in_the_readers_language(visitor: Visitor) -> None:
    for name in ("soap", "Rabbit-dung"):
        path = f"/tell/{entry_with(visitor.circle, name)}"
        visitor.get(path)
        visitor.post(path, {"says": "hurt", "sure": "yes", "words": ""})
    visitor.sit("C1").get("/calendar", headers=KISWAHILI)
    assert "Mtu ameumia: taarifa 2 zinamsubiri mhakiki." in visitor.words()
    visitor.post("/calendar/water", {"persons": "4", "water": "80"}, headers=KISWAHILI)
    assert "Kuanzia sasa kalenda inahesabu maji ya kaya hii." in visitor.words()
    visitor.post("/calendar/water", {"forget": "yes"}, headers=KISWAHILI)
    assert "Kuanzia sasa kalenda haihesabu maji ya kaya yoyote." in visitor.words()


def test_words_of_people_in_a_notice_stay_as_they_were_and_are_never_obeyed(visitor: Visitor) -> None:
    tin = {"name": "<b>tin</b>", "kind": "volume", "holds": "400"}
    visitor.sit("C1").get("/sums/measures", headers=KISWAHILI)
    visitor.post("/sums/measures", tin, headers=KISWAHILI)
    assert "Imeandikwa: &lt;b&gt;tin&lt;/b&gt; hujaa 400 mL." in visitor.page
    assert "<b>tin</b>" not in visitor.page


def test_a_notice_is_plain_text_wherever_it_goes() -> None:
    assert (Notice("Noted."), Notice("Noted.").upper(), f"{Notice('Noted.')}") == ("Noted.", "NOTED.", "Noted.")
