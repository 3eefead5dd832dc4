"""Clocks of 1970 and of 2099 through a whole journey: nothing is refused, reordered, hidden or lost by them.

The site's clock is given, as always; the machine's own, which sessions and limits of the pages read, is turned too.
"""

from __future__ import annotations

import datetime as dt
import time
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site, back_up, restore
from tests.orrendal import PASSPHRASE, practice
from tests.web.gardens import visitor_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.orrendal import Circle

CLOCKS = {1970: dt.datetime(1970, 1, 1, 0, 3, tzinfo=dt.UTC), 2099: dt.datetime(2099, 12, 31, 23, 59, tzinfo=dt.UTC)}


def clock_of(year: int) -> Callable[[], dt.datetime]:
    return lambda: CLOCKS[year]


def test_sites_whose_clocks_are_a_century_apart_come_to_one_state_by_any_way(circle: Circle) -> None:
    for letter, year in (("C", 1970), ("T", 2099), ("L", 1970), ("S", 2099)):
        circle.open(letter, clock=clock_of(year))
    kept, harmful, older = (circle.write("C1", practice(f"Onions {name}")) for name in ("kept", "harmful", "older"))
    circle.approve("C3", kept)
    circle.approve("C3", harmful)
    circle.carry("CT")
    newer = circle.write("T1", practice("Onions newer"), after=[older])
    circle.carry("TL")
    circle.recall("L2", harmful)
    circle.approve("L2", newer)
    circle.carry("LSCTLS")
    assert len(circle.states()) == 1
    for letter in "CTLS":
        site = circle[letter]
        states = {card.title["en"]: card.state for card in site.cards()}
        assert states == {"Onions kept": "approved", "Onions harmful": "recalled", "Onions newer": "approved"}
        assert site.clock_doubt is not None
        assert {hit.state for hit in site.search("onions")} == {"approved", "recalled"}
        assert any(site.windows_in_month(month) for month in range(1, 13))


def test_a_network_whose_clocks_are_wrong_has_the_state_of_one_whose_clocks_are_right(circle: Circle) -> None:
    """The same words at the same sites; a claimed time is a part of a word, so the set differs and the state does not."""
    for letter in "CT":
        circle.open(letter, clock=clock_of(1970))
    edition = circle.write("C1")
    circle.approve("C3", edition)
    circle.carry("CT")
    for letter, year in (("C", 2099), ("T", 1970)):
        before = circle[letter].verify().state
        site = circle.open(letter, clock=clock_of(year))
        site.rebuild()
        assert site.verify().state == before


@pytest.mark.parametrize("year", CLOCKS)
def test_people_read_sign_in_write_and_exchange_by_page(
    circle: Circle, year: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    edition = circle.write("C1", practice("Rows of onions"))
    circle.open("C", clock=clock_of(year))
    monkeypatch.setattr(time, "time", CLOCKS[year].timestamp)
    visitor = visitor_of(circle)
    visitor.get("/people/sign-in")
    visitor.post("/people/sign-in", {"label": "C3", "passphrase": PASSPHRASE})
    assert visitor.status == 200
    visitor.get(f"/review/{edition}")
    visitor.post(f"/review/{edition}/approve", {"sure": "yes"})
    assert circle["C"].page(edition).state == "approved"
    visitor.get("/exchange/")
    visitor.post("/exchange/begin", {"folder": str(circle.stick)})
    visitor.app.extensions["fieldbook"]["work"].wait()
    visitor.get("/exchange/now")
    assert "The stick is safe to remove." in visitor.words()
    for path in ("/", "/calendar", "/search?q=onions", "/practices", f"/entry/{edition}"):
        visitor.get(path)
        assert (visitor.status, str(year) in visitor.words()) == (200, True), path


@pytest.mark.parametrize("year", CLOCKS)
def test_a_backup_of_that_day_is_put_back_on_another(circle: Circle, year: int) -> None:
    edition = circle.write("C1")
    site = circle.open("C", clock=clock_of(year))
    done = back_up(site, circle.folder / "backup")
    circle.shut("C")
    other = 2099 if year == 1970 else 1970
    restore(circle.folder / "backup", circle.folder / "again", phrase=done.phrase)
    again = Site.open(circle.folder / "again", clock=clock_of(other))
    assert again.verify().ok
    assert again.page(edition).state == "offered"
    assert again.put_back is not None
    again.close()


def test_a_clock_that_goes_back_five_years_between_two_words_reorders_nothing(circle: Circle) -> None:
    now = [dt.datetime(2027, 3, 1, 9, tzinfo=dt.UTC)]
    circle.open("C", clock=lambda: now[0])
    first = circle.write("C1", practice("Onions first"))
    now[0] = dt.datetime(2022, 3, 1, 9, tzinfo=dt.UTC)
    second = circle.write("C1", practice("Onions second"), after=[first])
    circle.approve("C3", second)
    now[0] = dt.datetime(2027, 3, 1, 10, tzinfo=dt.UTC)
    third = circle.write("C1", practice("Onions third"), after=[second])
    circle.carry("CTLSC")
    assert len(circle.states()) == 1
    for letter in "CTLS":
        page = circle[letter].page(first)
        assert page.line.edition == second
        assert [line.edition for line in page.editions] == [first, second, third]
