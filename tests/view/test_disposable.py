"""View and search index may be lost, cut, spoiled or swapped at any time: nothing that was said hangs on them."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from fieldbook.site import Site
from fieldbook.view import View
from tests.orrendal import practice
from tests.view.histories import assert_whole

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.orrendal import Circle


@pytest.fixture
def told(circle: Circle) -> tuple[Circle, str]:
    """Cloudstep and Thornpan hold one approved entry, and one that was withdrawn."""
    approved, withdrawn = (circle.write("L2", practice(f"Onions {title}")) for title in ("near", "far"))
    circle.carry("LC")
    circle.approve("C3", approved)
    circle.recall("C3", withdrawn)
    circle.carry("CT")
    return circle, approved


def assert_all_there(circle: Circle, letter: str = "C") -> None:
    site = circle[letter]
    assert {(card.state, card.title["en"]) for card in site.cards()} == {
        ("approved", "Onions near"),
        ("recalled", "Onions far"),
    }
    assert {(hit.state, hit.title) for hit in site.search("onions")} == {
        ("approved", "Onions near"),
        ("recalled", "Onions far"),
    }
    assert site.verify().ok
    assert_whole(site)


def _remove(path: Path) -> None:
    path.unlink()


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2 + 100])


def _cut_to_nothing(path: Path) -> None:
    path.write_bytes(b"")


def _no_database(path: Path) -> None:
    path.write_bytes(b"dear diary\n" * 500)


def _of_an_older_fold(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("PRAGMA user_version=0")
        db.execute("UPDATE folded SET value='{}'")
    db.close()


def _of_other_tables(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("PRAGMA application_id=7")
        db.execute("DROP TABLE answer")
    db.close()


def _without_a_table(path: Path) -> None:
    with sqlite3.connect(path) as db:
        db.execute("DROP TABLE folded")
    db.close()


@pytest.mark.parametrize(
    "spoil", [_remove, _cut, _cut_to_nothing, _no_database, _of_an_older_fold, _of_other_tables, _without_a_table]
)
def test_a_spoiled_view_is_made_anew_when_the_site_opens(
    told: tuple[Circle, str], spoil: Callable[[Path], None]
) -> None:
    circle, _ = told
    circle.shut("C")
    spoil(circle.place("C") / "view.sqlite")
    circle.open("C")
    assert_all_there(circle)
    assert circle["C"].view.lasts


def test_the_view_of_another_site_is_not_believed(told: tuple[Circle, str]) -> None:
    circle, _ = told
    circle.write("T1", practice("Only here"))
    for letter in "TC":
        circle.shut(letter)
    shutil.copy(circle.place("T") / "view.sqlite", circle.place("C") / "view.sqlite")
    circle.open("C")
    assert_all_there(circle)


def test_a_view_that_knows_more_than_the_store_is_made_anew(told: tuple[Circle, str]) -> None:
    """The store is put back from a backup, the view is not."""
    circle, _ = told
    circle.shut("C")
    backup = (circle.place("C") / "store.sqlite").read_bytes()
    circle.open("C")
    circle.write("C1", practice("Lost again"))
    circle.shut("C")
    (circle.place("C") / "store.sqlite").write_bytes(backup)
    circle.open("C")
    assert_all_there(circle)


def test_a_view_with_a_changed_value_is_found_by_verify_and_mended_by_rebuild(told: tuple[Circle, str]) -> None:
    circle, approved = told
    circle.shut("C")
    with sqlite3.connect(circle.place("C") / "view.sqlite") as db:
        db.execute("UPDATE folded SET digest=replace(digest, substr(digest,1,1), 'x') WHERE entry=?", (approved,))
    db.close()
    site = circle.open("C")
    (problem,) = site.verify().problems
    assert approved[:12] in problem
    assert "rebuild" in problem
    assert site.rebuild() == 2
    assert_all_there(circle)


def test_a_site_without_its_view_goes_on_while_it_is_open(told: tuple[Circle, str]) -> None:
    circle, _ = told
    for path in circle.place("C").glob("view.sqlite*"):
        path.unlink()
    circle.write("C1", practice("Onions own"))
    assert len(circle["C"].search("onions")) == 3
    circle.open("C")
    assert len(circle["C"].cards()) == 3
    assert_whole(circle["C"])


def _no_index(folder: Path) -> None:
    shutil.rmtree(folder)


def _empty_index(folder: Path) -> None:
    shutil.rmtree(folder)
    folder.mkdir()


def _flipped_index(folder: Path) -> None:
    path = max((folder / "words").iterdir(), key=lambda one: one.stat().st_size)
    data = path.read_bytes()
    path.write_bytes(data[:-1] + bytes((data[-1] ^ 1,)))


def _index_without_stamp(folder: Path) -> None:
    (folder / "stamp.json").unlink()


def _left_by_a_cut(folder: Path) -> None:
    (folder / "words" / "MAIN.tmp").mkdir()
    (folder / "words" / "MAIN.tmp" / "half").write_bytes(b"written")


SPOILS = [_left_by_a_cut, _no_index, _empty_index, _flipped_index, _index_without_stamp]


@pytest.mark.parametrize("spoil", SPOILS)
def test_a_spoiled_index_is_made_anew_when_the_site_opens(
    told: tuple[Circle, str], spoil: Callable[[Path], None]
) -> None:
    circle, _ = told
    circle.shut("C")
    spoil(circle.place("C") / "index")
    circle.open("C")
    assert_all_there(circle)


@pytest.mark.parametrize("spoil", SPOILS)
def test_an_index_spoiled_under_an_open_site_is_made_anew_at_the_next_word(
    told: tuple[Circle, str], spoil: Callable[[Path], None]
) -> None:
    circle, _ = told
    spoil(circle.place("C") / "index")
    circle.write("C1", practice("Onions own"))
    assert len(circle["C"].search("onions")) == 3
    circle.open("C")
    assert len(circle["C"].search("onions")) == 3


def _cut_in_place(path: Path, *, keep: int = 3) -> None:
    """Cut a file under whoever has it open; the engine of the search maps its files into memory."""
    os.truncate(path, path.stat().st_size // keep)


def _overwritten_in_place(path: Path) -> None:
    with path.open("r+b") as file:
        file.write(b"\x5a" * path.stat().st_size)


def _files_of_index(folder: Path) -> list[Path]:
    return [path for path in (folder / "index" / "words").iterdir() if path.stat().st_size]


@pytest.mark.parametrize("spoil", [_remove, _cut_in_place, _overwritten_in_place, _cut_to_nothing])
def test_an_index_spoiled_under_an_open_searcher_answers_on_and_is_made_anew_at_the_next_word(
    told: tuple[Circle, str], spoil: Callable[[Path], None]
) -> None:
    circle, _ = told
    assert len(circle["C"].search("onions")) == 2
    for path in _files_of_index(circle.place("C")):
        spoil(path)
    assert len(circle["C"].search("onions")) == 2
    circle.write("C1", practice("Onions own"))
    assert len(circle["C"].search("onions")) == 3
    assert_whole(circle["C"])


@pytest.mark.parametrize("spoil", [_remove, _cut_in_place, _overwritten_in_place, _cut_to_nothing])
def test_a_view_spoiled_under_an_open_site_is_made_anew_when_it_is_noticed(
    told: tuple[Circle, str], spoil: Callable[[Path], None]
) -> None:
    circle, _ = told
    for path in circle.place("C").glob("view.sqlite*"):
        spoil(path)
    edition = circle.write("C1", practice("Onions own"))
    assert circle["C"].page(edition).state == "offered"
    assert len(circle["C"].cards()) == 3
    assert len(circle["C"].search("onions")) == 3
    circle["C"].mend_view()
    assert circle["C"].view.lasts
    assert_whole(circle["C"])


def test_the_index_of_another_site_is_not_believed(told: tuple[Circle, str]) -> None:
    circle, _ = told
    circle.write("T1", practice("Only here"))
    for letter in "TC":
        circle.shut(letter)
    shutil.rmtree(circle.place("C") / "index")
    shutil.copytree(circle.place("T") / "index", circle.place("C") / "index")
    circle.open("C")
    assert_all_there(circle)


def test_an_older_index_of_the_same_site_never_hides_a_withdrawal(told: tuple[Circle, str]) -> None:
    circle, approved = told
    circle.shut("C")
    shutil.copytree(circle.place("C") / "index", circle.folder / "older")
    circle.open("C")
    circle.recall("C3", approved)
    circle.shut("C")
    shutil.rmtree(circle.place("C") / "index")
    shutil.move(circle.folder / "older", circle.place("C") / "index")
    circle.open("C")
    assert {hit.state for hit in circle["C"].search("onions")} == {"recalled"}


def test_a_view_asked_for_what_it_does_not_hold_says_so(tmp_path: Path) -> None:
    view = View.open(tmp_path / "view.sqlite")
    try:
        for ask, words in (
            (view.folded, "there is no entry"),
            (view.edition_named, "no edition here begins with"),
        ):
            with pytest.raises(Exception, match=words) as refusal:
                ask("0123456789ab")
            assert type(refusal.value).__name__ == "ViewError"
        for text in ("0123456", "xyzxyzxyz", ""):
            with pytest.raises(Exception, match="is no id of an edition"):
                view.edition_named(text)
    finally:
        view.close()


def test_a_store_that_lost_its_journal_is_found_out_and_the_site_says_so_until_the_next_stick(circle: Circle) -> None:
    """What a tidy person removes after a crash: without its journal the file is an older one."""
    site, crashed = circle["C"], circle.folder / "crashed"
    edition = circle.write("C1", practice("Chives in a tin"))
    circle.carry("C")
    shutil.copytree(circle.place("C"), crashed)
    assert (crashed / "store.sqlite-wal").stat().st_size > 0
    for name in ("store.sqlite-wal", "store.sqlite-shm"):
        (crashed / name).unlink()
    before = site.ledger.count() if site.ledger else 0
    circle.shut("C")
    with closing(Site.open(crashed)) as short:
        assert short.ledger is not None
        gone = before - short.ledger.count()
        assert gone > 0
        assert short.lost_words is not None
        assert f"{gone} signed words are gone" in short.lost_words
        assert "lost_words" in short.notices
        short.exchange(circle.stick)
        assert short.ledger.said(edition) is not None
        assert short.lost_words is None
