"""A disk without room under an open site: SQLite itself refuses, as on a full disk, since the file may have no page more.

What every single call of a work does when it is refused is tried in ``tests/faults``; here it is what people see.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fieldbook.errors import FieldbookError
from tests.faults.work import photos
from tests.orrendal import practice
from tests.view.histories import assert_whole

if TYPE_CHECKING:
    from tests.orrendal import Circle


WORDS_THAT_FILL = 100  # statements that surely need a page more than a small file has free


def fill(database: object) -> None:
    """Let an SQLite file grow no more."""
    pages = database.execute("PRAGMA page_count").fetchone()[0]  # type: ignore[attr-defined]
    database.execute(f"PRAGMA max_page_count={pages}").fetchone()  # type: ignore[attr-defined]


def test_a_withdrawal_acts_though_the_disk_takes_no_view(circle: Circle) -> None:
    site = circle["C"]
    edition = circle.write("C1", practice("Onions"))
    circle.approve("C3", edition)
    fill(site.view._db)
    path = circle.place("C") / "view.sqlite"
    path.rename(path.with_name("elsewhere"))
    path.mkdir()  # so that no new one can be made either
    for number in range(WORDS_THAT_FILL):
        circle.write("C1", practice(f"Leeks {number}"))
        if not site.view.lasts:
            break
    circle.recall("C3", edition)
    assert not site.view.lasts
    assert site.page(edition).notice is not None
    assert [hit.state for hit in site.search("onions")] == ["recalled"]
    with pytest.raises(FieldbookError, match="no edition here begins with"):
        site.edition_id("0" * 64)
    site = circle.open("C")
    assert site.page(edition).notice is not None
    with pytest.raises(FieldbookError, match="the disk does not take it"):
        site.rebuild()
    path.rmdir()
    site = circle.open("C")
    assert site.view.lasts
    assert site.page(edition).notice is not None
    assert_whole(site)


def test_what_the_store_does_not_take_is_not_said_and_leaves_no_photo_and_no_mark(circle: Circle) -> None:
    site = circle["C"]
    assert site.ledger is not None
    before = site.ledger.count()
    fill(site.ledger._store._database._connection)
    written: list[str] = []
    with pytest.raises(FieldbookError, match="the disk under this site's store is full") as refusal:
        written.extend(circle.write("C1", practice(f"{one} leeks"), photos=photos()) for one in range(WORDS_THAT_FILL))
    assert "nothing was lost" in refusal.value.hint
    assert site.ledger.count() == before + len(written)
    assert site.notebook.offering() is None
    assert len(list((circle.place("C") / "home_photos").glob("*"))) == (2 if written else 0)
    circle.open("C")
    circle.write("C1", practice("Onions"), photos=photos())
    assert circle["C"].verify().ok


def test_an_exchange_that_the_index_cannot_follow_says_so_and_what_it_took_in_is_shown(circle: Circle) -> None:
    circle.approve("L2", circle.write("L1", practice("Onions")))
    circle.carry("L")
    (words := circle.place("C") / "index" / "words").parent.mkdir(exist_ok=True)
    if words.exists():
        words.rename(words.with_name("gone"))
    words.write_text("a file where a folder should be")
    report = circle["C"].exchange(circle.stick)
    assert any("search index" in note for note in report.notes)
    assert [card.title for card in circle["C"].cards()] == [{"en": "Onions"}]
    circle.open("C")
    with pytest.raises(FieldbookError, match="the search index cannot be written"):
        circle["C"].search("onions")
    words.unlink()
    assert len(circle["C"].search("onions")) == 1
