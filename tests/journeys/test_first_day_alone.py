"""One site, alone, on its first day: a volunteer with aphids gets something to do that harms nobody, and no paper lies."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from fieldbook.web import create_app
from fieldbook.web.here import EXTENSION
from tests.lone import lone_site
from tests.orrendal import PASSPHRASE
from tests.site.test_standing import POISON
from tests.web.gardens import Visitor

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fieldbook.site import Signer

pytestmark = pytest.mark.xdist_group("first day")  # its site is begun once in each process that asks for it

SPRAYING = re.compile(r"\b(spray(?!ing)|chilli|soap|tobacco|ash)\b", re.IGNORECASE)


@pytest.fixture(scope="module")
def volunteer() -> Iterator[Visitor]:
    """A reader without a name at the pages of a site on its first day."""
    site = lone_site()
    app = create_app(site)
    app.testing = True
    yield Visitor(app, None)  # type: ignore[arg-type]  # no circle: nobody else is there
    site.close()


@pytest.mark.parametrize("question", ["aphids on my kale", "vidukari kwenye sukuma", "pucerons"])
def test_a_volunteer_with_aphids_finds_a_first_action_that_harms_nobody(volunteer: Visitor, question: str) -> None:
    volunteer.get(f"/search?q={question}")
    words = volunteer.words()
    assert "Do this first Look under the leaves first. Wipe or pick off with a gloved hand what you find" in words
    found = re.findall(r'<a class="title" href="/entry/([0-9a-f]{64})', volunteer.page)[:3]
    documents = [volunteer.site.page(entry).document for entry in found]
    (remedy,) = [document for document in documents if "chilli-garlic-spray" in document["topics"]]
    first_day = [step["say"]["en"] for step in remedy["steps"] if step["day_offset"] == 0]
    assert len(first_day) == 3
    assert not any(SPRAYING.search(said) for said in first_day)
    volunteer.get(f"/entry/{found[documents.index(remedy)]}")
    assert "Ours, and nobody has checked it yet." in volunteer.words()
    assert "Day 0" in volunteer.words()


def test_no_first_action_is_invented_where_no_pest_is_asked_for(volunteer: Visitor) -> None:
    volunteer.get("/search?q=compost+smells")
    assert "Do this first" not in volunteer.words()


def test_every_page_that_a_reader_can_print_says_that_nobody_has_checked_it(volunteer: Visitor) -> None:
    cards = volunteer.site.cards()
    assert len(cards) > 10
    for card in cards:
        volunteer.get(f"/entry/{card.entry}")
        assert volunteer.status == 200
        assert "Not for a sheet to take home: nobody has checked it." in volunteer.words()
        assert not any(finding.result == "stop" for finding in volunteer.site.findings(card.edition))


def test_what_a_rule_stops_reaches_no_reader_of_that_site_by_any_way(volunteer: Visitor) -> None:
    site = volunteer.site
    trainer: Signer = site.unlock("C1", PASSPHRASE)
    edition = site.write(POISON, signer=trainer).edition
    assert edition is not None
    assert edition not in {card.edition for card in site.cards()}
    assert edition not in {hit.edition for hit in site.search("onions tins")}
    for path in (f"/entry/{edition}", f"/entry/{edition}?edition={edition}"):
        volunteer.get(path)
        assert (volunteer.status, "the safety rules stop it" in volunteer.words()) == (404, True)
    page = site.page(edition, reader=trainer)
    assert site.second_words.lacks_for_home(page) == ("unchecked",)
    sitting = volunteer.app.extensions[EXTENSION]["sittings"].begin(trainer)
    assert sitting
