"""Exchange by page: choose a stick, say yes, see what was done; reading goes on meanwhile."""

from __future__ import annotations

import re
import threading
from typing import TYPE_CHECKING

from fieldbook.site import SiteError
from fieldbook.web.here import EXTENSION
from fieldbook.web.sticks import plausible_sticks
from tests.orrendal import practice
from tests.web.gardens import Visitor, visitor_of
from tests.web.markup import read_page

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from fieldbook.ledger import ExchangeReport
    from fieldbook.web.work import Work
    from tests.orrendal import Circle


def exchanged(visitor: Visitor, folder: Path | str) -> Visitor:
    """Go through the pages of an exchange to its end."""
    visitor.get("/exchange/")
    visitor.post("/exchange/", {"typed": str(folder)})
    if visitor.status == 200:
        visitor.post("/exchange/begin", {"folder": str(folder)})
        visitor.app.extensions[EXTENSION]["work"].wait()
        visitor.get("/exchange/now")
    return visitor


def test_sticks_that_are_seen_are_offered_to_choose(planted: Circle, tmp_path: Path) -> None:
    (tmp_path / "media" / "anna" / "STICK" / "tried-ground-abc").mkdir(parents=True)
    (tmp_path / "media" / "anna" / "photos").mkdir()
    (tmp_path / "media" / "link").symlink_to(tmp_path / "media" / "anna")
    roots = (tmp_path / "media", tmp_path / "nowhere")
    assert plausible_sticks(roots) == (tmp_path / "media" / "anna" / "STICK",)
    visitor = visitor_of(planted, stick_roots=[str(root) for root in roots]).sit("C1")
    visitor.get("/exchange/")
    assert str(tmp_path / "media" / "anna" / "STICK") in visitor.words()
    assert "photos" not in visitor.words()


def test_what_leaves_is_said_and_confirmed_before_anything_leaves(planted: Circle, visitor: Visitor) -> None:
    """W9: a confirmation for anything that leaves the site."""
    visitor.sit("C1").get("/exchange/")
    visitor.post("/exchange/", {"typed": str(planted.stick)})
    assert "What leaves this site:" in visitor.words()
    assert "passphrases and keys" in visitor.words()
    assert list(planted.stick.iterdir()) == []


def test_the_report_says_safe_to_remove_only_when_it_is_proven(planted: Circle, visitor: Visitor) -> None:
    exchanged(visitor.sit("C1"), planted.stick)
    words = visitor.words()
    proven = visitor.app.extensions[EXTENSION]["work"].last.report.safe_to_remove
    assert ("Done. The stick is safe to remove." in words) == proven
    assert ("Written, not proven" in words) != proven
    assert re.search(r"Left on the stick: \d+ files?\.", words)
    assert read_page(visitor.page).judged() == []


def test_a_stick_brings_an_entry_to_another_site_by_page(planted: Circle, visitor: Visitor) -> None:
    exchanged(visitor.sit("C1"), planted.stick)
    planted.open("S")
    other = visitor_of(planted, "S")
    other.get("/search?q=aphids on kale")
    assert "Nothing found" in other.words()
    exchanged(other.sit("S1"), planted.stick)
    assert "Taken in and checked:" in other.words()
    other.get("/search?q=aphids on kale")
    assert "Checked once." in other.words()


def test_taking_a_stick_in_twice_changes_nothing(planted: Circle, visitor: Visitor) -> None:
    exchanged(visitor.sit("C1"), planted.stick)
    exchanged(visitor, planted.stick)
    assert "Nothing new was on the stick." in visitor.words()
    assert "The stick had all of ours already." in visitor.words()


def test_a_spoiled_file_is_named_with_the_reason(planted: Circle, visitor: Visitor) -> None:
    exchanged(visitor.sit("C1"), planted.stick)
    bundles = sorted(planted.stick.rglob("*.bundle"))
    for bundle in bundles:
        data = bytearray(bundle.read_bytes())
        data[len(data) // 2] ^= 1
        bundle.write_bytes(bytes(data))
    planted.open("S")
    other = exchanged(visitor_of(planted, "S").sit("S1"), planted.stick)
    assert "Refused" in other.words()
    assert any(bundle.name in other.words() for bundle in bundles)


def test_a_folder_that_is_not_there_is_said_in_a_sentence(visitor: Visitor) -> None:
    for typed, said in (("", "No folder was chosen."), ("/no/such/stick", "There is no folder /no/such/stick.")):
        exchanged(visitor.sit("C1"), typed)
        assert (visitor.status, said in visitor.words()) == (422, True)


def test_a_stick_is_not_exchanged_by_somebody_without_a_name(visitor: Visitor) -> None:
    visitor.get("/exchange/")
    assert "Sign in" in visitor.words()
    visitor.post("/exchange/begin", {"folder": "/"})
    assert "Passphrase" in visitor.words()


def test_while_an_exchange_runs_people_read_and_nobody_writes(planted: Circle, visitor: Visitor) -> None:
    """The exchange lets readers in between its pieces; what writes waits until it is done."""
    edition = planted.write("C1", practice("Rows of onions"))
    visitor.sit("C3").get(f"/review/{edition}")
    work: Work = visitor.app.extensions[EXTENSION]["work"]
    begun, go_on = threading.Event(), threading.Event()

    def slow(said: Callable[[str, int, int], None]) -> ExchangeReport:
        while not go_on.is_set():
            said("taking in", 3, 7)
            begun.set()
        return planted["C"].exchange(planted.stick, progress=said)

    with planted["C"].lock:
        work.begin("/stick", slow)
    try:
        assert begun.wait(5)
        reader = Visitor(visitor.app, planted)
        reader.get("/practices")
        assert reader.status == 200
        visitor.post(f"/review/{edition}/approve", {})
        assert (visitor.status, "An exchange is running on this laptop." in visitor.words()) == (422, True)
        visitor.get("/exchange/now")
        assert "Taking in. 3 of 7." in visitor.words()
        assert 'http-equiv="refresh"' in visitor.page
        visitor.get("/exchange/")
        assert "An exchange is running." in visitor.words()
    finally:
        go_on.set()
        work.wait()
    visitor.get("/exchange/now")
    assert "Left on the stick" in visitor.words()


def test_an_exchange_that_stops_says_why_and_lets_the_site_go(planted: Circle, visitor: Visitor) -> None:
    work: Work = visitor.app.extensions[EXTENSION]["work"]

    def failing(_said: object) -> ExchangeReport:
        raise SiteError("the stick was pulled out", hint="put it in again")

    with planted["C"].lock:
        work.begin("/stick", failing)
    work.wait()
    visitor.sit("C1").get("/exchange/now")
    assert "The exchange stopped The stick was pulled out. Put it in again." in visitor.words()
