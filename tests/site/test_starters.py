"""The starter entries at a founding site: ours, unchecked, whole or not at all, and of use on the first day."""

from __future__ import annotations

import errno
import multiprocessing
import os
import signal
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.errors import FieldbookError
from fieldbook.practices import read_entry
from fieldbook.site import Founding, Site, begin_site, starters
from fieldbook.site.beginning import is_vacant
from fieldbook.site.showing import has_stop
from fieldbook.site.starters import StarterEntry, starter_entries
from tests.lone import PROGRESS, lone_site
from tests.orrendal import PASSPHRASE, fast_folder, site_facts
from tests.site.test_standing import POISON
from tests.starters import FOLDERS

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.xdist_group("first day")  # its site is begun once in each process that asks for it

FOUNDING = Founding("Circle of one", "C1", PASSPHRASE, starters=True)
FEW = ("aphid-soap", "leaf-box", "tobacco-warning")
PICTURE_STARTS = (b"\x89PNG", b"\xff\xd8\xff")


@pytest.fixture(scope="module")
def lone() -> Iterator[Site]:
    """A site on its first day; only read here."""
    site = lone_site()
    yield site
    site.close()


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let three starter entries come with the program, for speed."""
    monkeypatch.setattr(starters, "starter_names", lambda: FEW)


def test_every_starter_entry_is_ours_offered_and_unchecked_and_said_by_the_first_person(lone: Site) -> None:
    cards = lone.cards()
    assert len(cards) == len(FOLDERS) == 18
    assert {(card.state, card.standing, card.own, card.site_letter) for card in cards} == {
        ("offered", "unchecked", True, "C")
    }
    assert {lone.page(card.entry).line.author for card in cards} == {"C1"}
    assert lone.unlock("C1", PASSPHRASE).roles == {"trainer", "steward"}
    assert lone.verify().ok


def test_each_says_exactly_what_was_shipped_in_all_its_languages_with_its_drawings(lone: Site) -> None:
    shipped = {starter.document["title"]["en"]: starter for starter in starter_entries()}
    for card in lone.cards():
        document = dict(lone.page(card.entry).document)
        starter = shipped.pop(card.title["en"])
        photos = document.pop("photos")
        said = dict(read_entry(starter.document).document)
        names = [photo["name"] for photo in said.pop("photos")]
        assert document == said
        assert len(card.title) >= 2
        assert [photo["name"] for photo in photos] == names
        for photo in photos:
            for part in ("ref", "thumb"):
                found = lone.attachment(photo[part])
                assert found is not None
                assert found[0].startswith(PICTURE_STARTS)
    assert shipped == {}


def test_no_rule_stops_one_so_a_reader_sees_them_all(lone: Site) -> None:
    assert lone.ledger is not None
    assert [card.title["en"] for card in lone.cards() if has_stop(card.edition, lone.ledger)] == []


def test_a_title_is_shown_in_the_sites_first_language_where_that_answers_as_well(lone: Site) -> None:
    assert lone.languages == ("fr", "sw")
    assert {hit.language for hit in lone.search("vidukari kwenye sukuma", limit=2)} <= {"fr", "sw"}


def test_how_far_it_is_was_told_to_the_end(lone: Site) -> None:
    assert lone.letter == "C"
    writing = [(done, of) for what, done, of in PROGRESS if what == "writing the starter entries"]
    assert writing == [(number, 18) for number in range(1, 19)]
    assert PROGRESS[-1] == ("making the search index", 1, 1)


@pytest.mark.parametrize(
    "words",
    [
        "aphids",
        "help, small green insects under the leaves of my kale",
        "sticky leaves",
        "vidukari kwenye sukuma",
        "wadudu wadogo wa kijani",
        "pucerons sur le chou",
        "pulgones en la col",
        "المن على الكرنب",
    ],
)
def test_a_volunteer_with_aphids_finds_a_harmless_first_deed(lone: Site, words: str) -> None:
    """What is found first begins with hands and water or a plant beside it, and nothing found says to spray tobacco."""
    hits = lone.search(words, limit=5)
    assert hits
    documents = [lone.page(hit.entry).document for hit in hits]
    aphids = [number for number, hit in enumerate(hits) if "aphids" in hit.topics]
    assert aphids[:1] == [0]
    first = [step["say"]["en"] for step in documents[0]["steps"][:3]]
    assert not [words for words in first if "spray" in words.lower() and not words.lower().startswith("mark a bed")]
    sprays = [one for one in documents if one["kind"] == "pest-deterrent" and "Aphids on kale" in one["title"]["en"]]
    assert sprays
    said = [step["say"]["en"] for step in sprays[0]["steps"]]
    assert said[1].startswith("Wipe them off")
    assert said[2].startswith("Wash the undersides")


@pytest.mark.usefixtures("few")
def test_a_starter_that_a_rule_stops_reaches_no_reader(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(starters, "_starter", lambda name: StarterEntry(name, POISON, (), "C1", ()))
    folder = fast_folder() / "site"
    begin_site(folder, site_facts("C"), founding=FOUNDING)
    site = Site.open(folder)
    signer = site.unlock("C1", PASSPHRASE)
    assert site.ledger is not None
    (first, *_) = site.cards(reader=signer)
    assert has_stop(first.edition, site.ledger)
    assert (site.cards(), site.search("onions in tins")) == ((), ())
    with pytest.raises(FieldbookError, match="the safety rules stop it"):
        site.page(first.entry)
    site.close()


@pytest.mark.parametrize("founding", [Founding("Circle of one", "C1", PASSPHRASE), None], ids=["not wished", "joins"])
def test_a_site_that_did_not_ask_for_them_or_founds_no_network_has_none(founding: Founding | None) -> None:
    folder = fast_folder() / "site"
    begin_site(folder, site_facts("C"), founding=founding)
    site = Site.open(folder)
    assert site.cards() == ()
    site.close()


def _begin_until(folder: Path, cut: int) -> None:
    """Begin a site, and let the power go after so many starter entries (after the last: with the index half made)."""

    def progress(what: str, done: int, _of: int) -> None:
        if (done == cut and what.startswith("writing")) or (cut > len(FEW) and what.startswith("making")):
            os.kill(os.getpid(), signal.SIGKILL)

    starters.starter_names = lambda: FEW  # in a process of its own
    begin_site(folder, site_facts("C"), founding=FOUNDING, progress=progress)


@pytest.mark.usefixtures("few")
def test_a_power_cut_in_between_leaves_no_site_and_the_next_try_is_whole() -> None:
    folder = fast_folder() / "site"
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.site.test_starters"])
    for cut in (1, len(FEW) + 1):
        child = context.Process(target=_begin_until, args=(folder, cut))
        child.start()
        child.join()
        assert child.exitcode == -signal.SIGKILL
        assert is_vacant(folder)
        with pytest.raises(FieldbookError, match="there is no site in"):
            Site.open(folder)
    begin_site(folder, site_facts("C"), founding=FOUNDING)
    assert [path.name for path in folder.parent.iterdir()] == ["site"]
    site = Site.open(folder)
    assert (len(site.cards()), site.verify().problems) == (len(FEW), ())
    site.close()


@pytest.mark.usefixtures("few")
def test_a_disk_that_fills_up_in_between_leaves_nothing_and_says_so() -> None:
    folder = fast_folder() / "site"

    def full(_what: str, done: int, _of: int) -> Any:
        if done == 2:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with pytest.raises(FieldbookError, match="No space left on device") as refusal:
        begin_site(folder, site_facts("C"), founding=FOUNDING, progress=full)
    assert refusal.value.hint
    assert list(folder.parent.iterdir()) == []
