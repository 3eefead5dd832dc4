"""Bad days while pages are served: files go, are cut or overwritten under the program, sticks lie, two people send at once."""

from __future__ import annotations

import io
import os
import shutil
import threading
from typing import TYPE_CHECKING

import pytest

from fieldbook.web.here import EXTENSION
from sync.system_calls import SystemCalls
from tests.orrendal import practice
from tests.photos.pictures import photo, saved
from tests.web.gardens import Visitor, entry_with
from tests.web.test_exchange_pages import exchanged
from tests.web.test_writing_pages import PLAIN, sent

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.orrendal import Circle


def _remove(path: Path) -> None:
    path.unlink()


def _cut(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 3)


def _overwrite(path: Path) -> None:
    with path.open("r+b") as file:
        file.write(b"\x5a" * path.stat().st_size)


SPOILS = [_remove, _cut, _overwrite]


@pytest.mark.parametrize("spoil", SPOILS)
def test_readers_find_all_while_the_index_is_spoiled_under_the_pages(
    planted: Circle, visitor: Visitor, spoil: Callable[[Path], None]
) -> None:
    visitor.get("/search?q=aphids")
    for path in (planted.place("C") / "index" / "words").iterdir():
        spoil(path)
    visitor.get("/search?q=aphids")
    assert (visitor.status, entry_with(planted, "Aphids") in visitor.page) == (200, True)
    planted.write("C1", practice("Rows of onions"))
    visitor.get("/search?q=onions")
    assert (visitor.status, "Rows of onions" in visitor.page) == (200, True)


@pytest.mark.parametrize("spoil", SPOILS)
def test_readers_see_all_while_the_view_is_spoiled_under_the_pages(
    planted: Circle, visitor: Visitor, spoil: Callable[[Path], None]
) -> None:
    entry = entry_with(planted, "Aphids")
    for path in planted.place("C").glob("view.sqlite*"):
        spoil(path)
    planted["C"].view._db.execute("PRAGMA shrink_memory")  # as other reading does in time: pages held are let go
    for address, words in (
        ("/practices?language=en", "Aphids"),
        (f"/entry/{entry}?language=en", "soap"),
        ("/search?q=aphids", entry),
    ):
        visitor.get(address)
        assert (visitor.status, words in visitor.page) == (200, True), address
    visitor.sit("C3").get("/review/")
    assert visitor.status == 200
    planted["C"].mend_view()
    assert planted["C"].verify().ok


@pytest.mark.parametrize("whole", [True, False])
def test_a_view_that_fails_in_the_middle_of_a_page_is_made_anew_and_the_page_is_shown(
    planted: Circle, visitor: Visitor, *, whole: bool
) -> None:
    """Another program has put its own tables in place of ours; without a place for a new view one in memory serves."""
    planted["C"].view._db.executescript("DROP TABLE folded")
    if not whole:
        for path in planted.place("C").glob("view.sqlite*"):
            path.unlink()
        (planted.place("C") / "view.sqlite").mkdir()
    visitor.get("/practices?language=en")
    assert (visitor.status, "Aphids" in visitor.words()) == (200, True)
    assert planted["C"].view.lasts is whole


def test_what_is_sent_as_the_view_fails_is_told_so_and_can_be_looked_for(planted: Circle, visitor: Visitor) -> None:
    edition = planted.write("C1", practice("Rows of onions"))
    visitor.sit("C3").get(f"/review/{edition}")
    planted["C"].view._db.executescript("DROP TABLE folded")
    visitor.post(f"/review/{edition}/approve", {})
    assert visitor.status == 422
    assert "was made anew. Look whether what you sent is there, else send it again." in visitor.words()
    visitor.get(f"/review/{edition}")
    visitor.post(f"/review/{edition}/approve", {"sure": "yes"})
    assert visitor.status == 200, visitor.words()
    assert planted["C"].page(edition).state == "approved"


def test_nothing_is_taken_into_a_site_whose_folder_was_moved_away_under_the_pages(
    planted: Circle, visitor: Visitor
) -> None:
    visitor.sit("C1").get("/write/form?language=en")
    folder = planted.place("C")
    folder.rename(folder.with_name("moved"))
    said = "The notebook of this site was removed or replaced while it was in use."  # an edition is announced there too
    for action, sure in (("draft", {}), ("offer", {"sure": "yes"})):
        visitor.post("/write/form", sent(visitor.page, **PLAIN, **sure, action=action))
        assert (visitor.status, said in visitor.words()) == (422, True), visitor.words()
        visitor.get("/write/form?language=en")
    folder.with_name("moved").rename(folder)
    visitor.get("/write/form?language=en")
    visitor.post("/write/form", sent(visitor.page, **PLAIN, action="draft"))
    assert visitor.status == 200
    assert len(planted["C"].notebook.drafts()) == 1


def test_two_photos_sent_at_once_are_both_kept_each_with_its_own_draft(planted: Circle, visitor: Visitor) -> None:
    people = [visitor.sit("C1"), Visitor(visitor.app, planted).sit("C1")]
    for person in people:
        person.get("/write/form?language=en")
    together = threading.Barrier(2)

    def send(number: int) -> None:
        file = (io.BytesIO(saved(photo(seed=number), "JPEG")), f"tin{number}.jpg")
        boxes = sent(people[number].page, **{**PLAIN, "title": f"Mint {number}"}, action="draft")
        together.wait(10)
        people[number].post("/write/form", boxes | {"photo.0.file": file})

    threads = [threading.Thread(target=send, args=(number,)) for number in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [person.status for person in people] == [200, 200]
    drafts = planted["C"].notebook.drafts()
    assert sorted(draft.document["title"]["en"] for draft in drafts) == ["Mint 0", "Mint 1"]
    kept = {draft.document["title"]["en"]: planted["C"].notebook.home_photos(draft.name) for draft in drafts}
    assert {title: [one.name for one in photos] for title, photos in kept.items()} == {
        "Mint 0": ["tin0"],
        "Mint 1": ["tin1"],
    }
    digests = {one.full for photos in kept.values() for one in photos}
    assert len(digests) == 2
    assert all(planted["C"].notebook.home_photo_bytes(digest) for digest in digests)


def test_a_stick_that_lies_about_what_was_written_is_not_called_safe_and_a_true_one_is(
    planted: Circle, visitor: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It holds less than it says: what is read back from the medium is noughts."""
    visitor.sit("C1")
    with monkeypatch.context() as lying:
        true_read = SystemCalls.read
        lying.setattr(SystemCalls, "read", lambda calls, file, count: bytes(len(true_read(calls, file, count))))
        exchanged(visitor, planted.new_stick("liar"))
    words = visitor.words()
    assert "Written, not proven" in words
    assert "safe to remove" not in words
    assert not [path for path in planted.new_stick("liar").rglob("*.bundle") if path.stat().st_size]
    exchanged(visitor, planted.new_stick("true"))
    assert "Done. The stick is safe to remove." in visitor.words()


def test_a_disk_that_fails_under_an_exchange_is_a_sentence_on_its_page(planted: Circle, visitor: Visitor) -> None:
    def failing(_said: object) -> None:
        raise OSError(28, os.strerror(28))

    work = visitor.app.extensions[EXTENSION]["work"]
    with planted["C"].lock:
        work.begin("/stick", failing)
    work.wait()
    visitor.sit("C1").get("/exchange/now")
    assert "This laptop could not do it (No space left on device). Look whether its disk is full" in visitor.words()


def test_a_disk_that_fails_under_a_page_is_a_sentence_too(
    planted: Circle, visitor: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(planted.place("C") / "attachments")
    (planted.place("C") / "attachments").write_text("a file where a folder should be")
    visitor.sit("C1").get("/write/form?language=en")
    file = (io.BytesIO(saved(photo(), "JPEG")), "tin.jpg")
    marked = {"photo.0.file": file, "photo.0.people": "none", "photo.0.alt": "A tin."}
    visitor.post("/write/form", sent(visitor.page, **PLAIN, sure="yes", action="offer") | marked)
    assert "photo or file cannot be kept at this site" in visitor.words()
    visitor.get("/practices?language=en")
    assert (visitor.status, "Aphids" in visitor.words()) == (200, True)
