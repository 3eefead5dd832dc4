"""Backing up by page: who may, what is shown once, and that the sheet really opens the file."""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING

from fieldbook.ledger import invent_phrase
from fieldbook.site import Site, restore
from tests.sync.scene import seeded
from tests.web.gardens import visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from tests.orrendal import Circle
    from tests.web.gardens import Visitor


def written_down(page: str) -> str:
    """The words of the sheet as a person copies them from the page."""
    listed = re.search(r'<ol class="phrase".*?</ol>', page, re.DOTALL)
    return "" if listed is None else " ".join(re.findall(r"<li>(\w+)</li>", listed[0]))


def test_only_trainers_and_stewards_back_up(visitor: Visitor) -> None:
    visitor.get("/backup/")
    assert "Reading and searching need no sign-in." in visitor.words()
    visitor.get("/people/")
    assert "Back up this site" not in visitor.words()
    visitor.sit("C1").get("/people/")
    assert "Back up this site" in visitor.words()
    visitor.get("/backup/")
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])


def test_the_sheet_is_shown_once_never_kept_by_the_browser_and_opens_the_file(
    planted: Circle, visitor: Visitor
) -> None:
    visitor.sit("C1").get("/backup/")
    answer = visitor.post("/backup/", {"typed": str(planted.stick)})
    assert (visitor.status, read_page(visitor.page).judged()) == (200, [])
    assert answer.headers["Cache-Control"] == "no-store"
    (file,) = planted.stick.iterdir()
    words = visitor.words()
    facts = ("Recovery sheet", planted["C"].name, str(planted["C"].network_title), "2026-11-25", file.name)
    assert [fact for fact in facts if fact not in words] == []
    phrase = written_down(visitor.page)
    restore(file, planted.folder / "again", phrase=phrase)
    again = Site.open(planted.folder / "again")
    assert again.verify().set == planted["C"].verify().set
    again.close()
    visitor.get("/backup/")
    assert written_down(visitor.page) == ""


def test_every_page_of_a_site_that_was_put_back_says_so_until_its_next_exchange(
    planted: Circle, visitor: Visitor
) -> None:
    """What was recalled since the backup would else be trusted."""
    visitor.sit("C1").get("/backup/")
    visitor.post("/backup/", {"typed": str(planted.new_stick("safe"))})
    phrase, (file,) = written_down(visitor.page), planted.new_stick("safe").iterdir()
    planted.shut("C")
    shutil.rmtree(planted.place("C"))
    restore(file, planted.place("C"), phrase=phrase)
    planted.open("C")
    reader = visitor_of(planted)
    for path in ("/", "/practices"):
        reader.get(path)
        assert "put back from a backup of 2026-11-25. What was withdrawn since then is not known here" in reader.words()
        assert read_page(reader.page).judged() == []
    planted.carry("C")
    reader.get("/")
    assert "put back" not in reader.words()


def test_an_earlier_sheet_can_be_used_and_is_not_shown_again(planted: Circle, visitor: Visitor) -> None:
    phrase = invent_phrase(seeded("phrase"))
    visitor.sit("C1").get("/backup/")
    visitor.post("/backup/", {"typed": str(planted.stick), "phrase": phrase.upper()})
    assert "The recovery sheet that you have opens it." in visitor.words()
    assert written_down(visitor.page) == ""
    (file,) = planted.stick.iterdir()
    restore(file, planted.folder / "again", phrase=phrase)


def test_what_cannot_be_done_is_said_in_a_sentence_and_leaves_nothing(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1")
    for form, said in (
        ({}, "No folder was chosen."),
        ({"typed": "/nowhere/at/all"}, "There is no folder /nowhere/at/all."),
        ({"typed": str(planted.stick), "phrase": "lantern gravel"}, "A recovery phrase has 14 words"),
    ):
        visitor.get("/backup/")
        visitor.post("/backup/", form)
        assert visitor.status == 422
        assert said in visitor.words()
    assert list(planted.stick.iterdir()) == []
