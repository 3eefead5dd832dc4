"""Damage and mending by page: what rotted is told with who holds it, mended on one more yes, and what came back counted."""

from __future__ import annotations

import sqlite3
import threading
from typing import TYPE_CHECKING

import pytest

from fieldbook.ledger import DamagedLedgerError
from fieldbook.site import Site
from fieldbook.web.here import EXTENSION
from fieldbook.web.mend_run import MendRun
from tests.orrendal import PASSPHRASE, practice
from tests.web.gardens import Visitor, entry_with

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.orrendal import Circle

HEADER = "UPDATE statements SET header = x'ff' WHERE id = ?"
BODY = "UPDATE statements SET body = x'ff' WHERE id = ?"


def spoil(circle: Circle, sql: str, name: str, *, letter: str = "C") -> None:
    """Let the disk change a row of a store, open or not."""
    with sqlite3.connect(circle.place(letter) / "store.sqlite") as connection:
        assert connection.execute(sql, (bytes.fromhex(name),)).rowcount == 1
    connection.close()


def ended(visitor: Visitor) -> str:
    """What the page says when the long work is done."""
    visitor.app.extensions[EXTENSION]["work"].wait()
    visitor.get("/mend/now")
    return visitor.words()


@pytest.fixture
def carried(planted: Circle) -> tuple[str, str]:
    """Two editions at C: the first is known to be at T, the second never left."""
    first = planted.write("C1", practice("Onions in rows"))
    planted.open("T")
    planted.carry("CTC")
    return first, planted.write("C1", practice("Leeks in rows"))


def test_damage_is_told_mended_on_one_more_yes_and_comes_back_from_the_next_stick(
    planted: Circle, visitor: Visitor, carried: tuple[str, str]
) -> None:
    visitor.sit("C1").get("/mend/")
    assert "Looking changes nothing, but" in visitor.words()
    spoil(planted, HEADER, carried[0])
    spoil(planted, BODY, carried[1])
    visitor.post("/mend/look", {})
    found = ended(visitor)
    assert "Not known to be at any other site: 1" in found
    assert f"by C1 ({carried[1][:12]})" in found
    assert f"An edition of “Onions in rows”, by C1 ({carried[0][:12]}); known to be at T." in found
    visitor.post("/mend/", {})
    assert (visitor.status, "The box is not ticked, so nothing was changed." in visitor.words()) == (422, True)
    visitor.get("/mend/now")
    visitor.post("/mend/", {"sure": "yes"})
    done = ended(visitor)
    assert "The store is mended" in done
    assert "Still missing after the last mending: 1 signed word, 1 signed word without what it says" in done
    visitor.get("/")
    assert "2 signed words or photos are missing: exchange with every stick" in visitor.words()
    planted.carry("TC")
    visitor.get("/mend/")
    assert "1 came back already." in visitor.words()
    assert planted["C"].verify().ok
    visitor.get(f"/entry/{carried[0]}")
    assert "Onions in rows" in visitor.words()
    visitor.get("/mend/")
    visitor.post("/mend/old", {})
    assert "The old file is removed." in visitor.words()
    assert not list(planted.place("C").glob("*.damaged"))


def test_nothing_damaged_is_said_and_nothing_offered(visitor: Visitor) -> None:
    visitor.sit("C1").get("/mend/")
    visitor.post("/mend/look", {})
    assert "Nothing is damaged" in ended(visitor)
    assert "Mend the store" not in visitor.words()


def test_a_damaged_photo_alone_needs_no_mending_and_comes_back(planted: Circle, visitor: Visitor) -> None:
    planted.open("T")
    planted.carry("CTC")
    photo = next(path for path in (planted.place("C") / "attachments").rglob("*") if path.is_file())
    whole = photo.read_bytes()
    photo.write_bytes(whole[:-1])
    visitor.sit("C1").get("/mend/")
    visitor.post("/mend/look", {})
    found = ended(visitor)
    assert f"({photo.name[:12]}); most likely at T." in found
    assert "nothing has to be mended" in found
    planted.carry("TC")
    assert photo.read_bytes() == whole


def test_a_photo_that_stays_home_is_told_apart_since_no_site_has_it(planted: Circle, visitor: Visitor) -> None:
    photos = planted.place("C") / "home_photos"
    document = practice("With a face")
    from fieldbook.site import PhotoIn
    from tests.photos.pictures import photo, saved

    planted["C"].write(
        document, signer=planted.signer("C1"), photos=[PhotoIn("face", saved(photo(), "JPEG"), "")], draft=True
    )
    next(photos.iterdir()).write_bytes(b"")
    visitor.sit("C1").get("/mend/")
    visitor.post("/mend/look", {})
    assert "only a backup can bring it back" in ended(visitor)


def test_a_page_that_meets_damage_says_so_leads_to_the_mending_and_others_go_on(
    planted: Circle, visitor: Visitor
) -> None:
    """The bytes rot beneath an open store: what is read of it again fails, what is not goes on."""
    entry = entry_with(planted, "Aphids")
    edition = next(card.edition for card in planted["C"].cards() if card.entry == entry)
    spoil(planted, HEADER, edition)
    visitor.sit("C1").get(f"/entry/{entry}")
    assert visitor.status == 500
    assert "The store of this site is damaged" in visitor.words()
    assert 'href="/mend/"' in visitor.page
    for address in ("/sums", "/help", "/mend/"):
        visitor.get(address)
        assert (visitor.status, "spoiled on this laptop" in visitor.words()) == (200, True), address
    visitor.post("/write/form", {"action": "draft"})
    assert (visitor.status, "That was not done" in visitor.words()) in {(500, True), (422, True)}


def test_somebody_can_sign_in_while_the_store_cannot_be_read(planted: Circle, visitor: Visitor) -> None:
    spoil(planted, HEADER, planted["C"].cards()[0].edition)
    visitor.get("/people/sign-in")
    visitor.post("/people/sign-in", {"label": "C1", "passphrase": PASSPHRASE})
    visitor.get("/mend/")
    assert (visitor.status, "Look everything through" in visitor.words()) == (200, True)


def test_only_who_keeps_the_laptop_looks_or_mends(planted: Circle, visitor: Visitor) -> None:
    visitor.get("/mend/")
    assert "Sign in" in visitor.words()
    planted["C"].add_person("C8", role="volunteer", passphrase=PASSPHRASE)
    planted.keys["C8"] = planted["C"].unlock("C8", PASSPHRASE).key
    visitor.sit("C8").get("/mend/")
    assert visitor.status == 403


def test_while_a_site_is_mended_people_read_and_nobody_writes(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1").get("/mend/")
    work, seen = visitor.app.extensions[EXTENSION]["work"], []

    def slow(said: object) -> None:
        planted["C"].lock.release()
        seen.append(visitor.get("/practices").status_code)
        visitor.get("/mend/now")
        seen.append("looks again by itself" in visitor.words())
        visitor.post("/mend/look", {})
        seen.append("This site is being looked through or mended." in visitor.words())
        planted["C"].lock.acquire()

    with planted["C"].lock:
        work.begin("/site", slow, errand="mend")
    work.wait()
    assert seen == [200, True, True]


def test_a_mending_that_stops_says_why_and_leaves_the_store(planted: Circle, visitor: Visitor) -> None:
    visitor.sit("C1").get("/mend/")
    before = (planted.place("C") / "store.sqlite").read_bytes()
    (planted.place("C") / "store.sqlite.mended").mkdir()
    (planted.place("C") / "store.sqlite.mended" / "in the way").touch()
    visitor.post("/mend/", {"sure": "yes"})
    assert "It stopped" in ended(visitor)
    assert (planted.place("C") / "store.sqlite").read_bytes() == before
    assert planted["C"].verify().ok


# where the store does not open at all


@pytest.fixture
def closed(planted: Circle, carried: tuple[str, str]) -> Iterator[MendRun]:
    """The pages at C, whose store cannot be opened."""
    planted.close()
    spoil(planted, HEADER, carried[0])
    with pytest.raises(DamagedLedgerError) as caught:
        Site.open(planted.place("C"))
    run = MendRun(planted.place("C"), caught.value)
    run.app.testing = True
    yield run
    run.close()


def test_a_site_that_does_not_open_is_mended_by_page_and_shown(
    closed: MendRun, planted: Circle, carried: tuple[str, str]
) -> None:
    closed.work.wait()
    visitor = Visitor(closed.app, planted)
    visitor.get("/practices")
    assert "This site's store is damaged" in visitor.words().replace("’", "'")
    assert f"An edition of “Onions in rows”, by C1 ({carried[0][:12]}); known to be at T." in visitor.words()
    visitor.post("/mend", {"label": "C1", "passphrase": "wrong", "sure": "yes"})
    assert visitor.status == 422
    visitor.get("/")
    visitor.post("/mend", {"label": "C1", "passphrase": PASSPHRASE})
    assert "The box is not ticked" in visitor.words()
    visitor.get("/")
    visitor.post("/mend", {"label": "", "passphrase": PASSPHRASE, "sure": "yes"})
    assert "Choose who you are." in visitor.words()
    visitor.get("/")
    visitor.post("/mend", {"label": "C1", "passphrase": PASSPHRASE, "sure": "yes"})
    closed.work.wait()
    reader = Visitor(closed.app, planted)
    reader.get("/practices")
    assert (reader.status, "1 signed words or photos are missing" in reader.words()) == (200, True)


def test_nobody_but_who_sits_at_the_laptop_mends(closed: MendRun, planted: Circle) -> None:
    closed.work.wait()
    visitor = Visitor(closed.app, planted)
    visitor.get("/", environ_base={"REMOTE_ADDR": "192.168.4.7"})
    assert "These pages are for whoever sits at the laptop." in visitor.words()
    assert "Onions" not in visitor.words()


def test_a_store_of_which_nothing_can_be_read_says_so_and_what_is_left_to_do(closed: MendRun, planted: Circle) -> None:
    closed.work.wait()
    (planted.place("C") / "store.sqlite").write_bytes(b"\x5a" * 8192)
    visitor = Visitor(closed.app, planted)
    visitor.get("/")
    visitor.post("/look", {})
    closed.work.wait()
    visitor.get("/")
    assert "put the site back from its backup into another folder" in visitor.words()


def test_an_old_file_that_cannot_be_removed_is_said(planted: Circle, visitor: Visitor) -> None:
    (planted.place("C") / "store.sqlite.damaged").mkdir()
    visitor.sit("C1").get("/mend/")
    visitor.post("/mend/old", {})
    assert visitor.status == 422
    assert "store.sqlite.damaged cannot be removed (" in visitor.words()


def test_a_mending_that_breaks_by_a_fault_of_ours_says_what_to_do(planted: Circle, visitor: Visitor) -> None:
    def breaking(_said: object) -> None:
        raise ZeroDivisionError

    work, hook = visitor.app.extensions[EXTENSION]["work"], threading.excepthook
    threading.excepthook = lambda _told: None
    try:
        with planted["C"].lock:
            work.begin("/site", breaking, errand="mend")
        work.wait()
    finally:
        threading.excepthook = hook
    visitor.sit("C1").get("/mend/now")
    assert "Something broke in the middle. Begin once more; the store is as it was, or as it was mended." in (
        visitor.words()
    )
