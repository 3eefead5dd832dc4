"""A lost laptop, by pages alone: the backup, the words from paper, and a sentence for whatever is wrong."""

from __future__ import annotations

import shutil
import threading
from typing import TYPE_CHECKING

import pytest

from fieldbook.ledger import invent_phrase
from fieldbook.site import back_up, restoring
from fieldbook.web import first_run
from fieldbook.web.sticks import sealed_files
from tests.orrendal import PASSPHRASE, copy_of_circle, fast_folder, practice
from tests.sync.scene import seeded
from tests.web.markup import read_page
from tests.web.test_first_run import Beginner

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fieldbook.site import BackedUp
    from tests.orrendal import Circle

OTHER = invent_phrase(seeded("another sheet"))


@pytest.fixture(scope="module")
def circle() -> Iterator[Circle]:
    with copy_of_circle(fast_folder()) as one:
        one.write("C1", practice("Rows of onions"))
        yield one


@pytest.fixture(scope="module")
def backup(circle: Circle) -> BackedUp:
    """A backup of C; its laptop is not needed any more."""
    return back_up(circle["C"], circle.new_stick("safe") / "c.sealed")


@pytest.fixture
def place() -> Iterator[Path]:
    folder = fast_folder()
    yield folder / "again"
    shutil.rmtree(folder)


@pytest.fixture
def beginner(place: Path) -> Iterator[Beginner]:
    one = Beginner(place)
    yield one
    one.run.close()


def put_back(beginner: Beginner, file: object, phrase: str) -> str:
    beginner.get("/put-back/")
    return beginner.send("/put-back/", {"typed": str(file), "phrase": phrase})


def test_the_first_page_offers_both_and_a_site_comes_back_by_pages_alone(
    beginner: Beginner, circle: Circle, backup: BackedUp, place: Path
) -> None:
    first = beginner.get("/")
    assert 'href="/set-up/who"' in first
    assert 'href="/put-back/"' in first
    assert read_page(beginner.get("/put-back/")).judged() == []
    put_back(beginner, backup.file, backup.phrase.upper().replace(" ", "  "))
    assert (beginner.went, beginner.status) == ("/", 200)
    assert "put back from a backup of 2026-11-25" in beginner.page
    site = beginner.run.site
    assert site is not None
    assert (site.folder, site.site_key.public) == (place, circle["C"].site_key.public)
    assert site.verify().set == circle["C"].verify().set
    assert site.has_backup
    beginner.get("/people/sign-in")
    beginner.send("/people/sign-in", {"label": "C1", "passphrase": PASSPHRASE})
    assert "There is no backup of this site yet" not in beginner.page
    assert [one.name for one in place.parent.iterdir()] == ["again"]


def test_wrong_words_are_said_beside_their_box_and_can_be_mended(
    beginner: Beginner, backup: BackedUp, place: Path
) -> None:
    typed = backup.phrase.split()
    for phrase, said in (
        ("", "A recovery phrase has 14 words, here are 0."),
        (" ".join(["qqqq", *typed[1:]]), "Word 1 of the recovery phrase is none of the list."),
        (" ".join([typed[1], typed[0], *typed[2:]]), "one is wrong, or two changed places"),
        (OTHER, "These words do not open this file."),
    ):
        page = put_back(beginner, backup.file, phrase)
        assert (beginner.status, set(beginner.faults()), read_page(page).judged()) == (422, {"phrase"}, [])
        assert said in beginner.faults()["phrase"]
        assert f">{phrase}</textarea>" in page
        assert list(place.parent.iterdir()) == []
    put_back(beginner, backup.file, backup.phrase)
    assert beginner.run.site is not None


def test_a_file_that_is_not_there_cut_flipped_or_foreign_is_told_apart(
    beginner: Beginner, backup: BackedUp, place: Path, tmp_path: Path
) -> None:
    sealed = backup.file.read_bytes()
    cut, flipped, foreign = (tmp_path / f"{name}.sealed" for name in ("cut", "flipped", "foreign"))
    cut.write_bytes(sealed[:-40])
    flipped.write_bytes(sealed[:-40] + bytes([sealed[-40] ^ 1]) + sealed[-39:])
    foreign.write_bytes(b"not ours" * 100)
    for file, said in (
        ("", "No backup was chosen."),
        ("c.sealed", "Type its whole path"),
        (tmp_path / "none.sealed", "There is no file"),
        (cut, "The file is cut or damaged. Use another copy of it."),
        (flipped, "The file is cut or damaged. Use another copy of it."),
        (foreign, "This is no sealed file"),
    ):
        put_back(beginner, file, backup.phrase)
        assert beginner.status == 422
        assert said in " ".join(beginner.faults().values())
        assert list(place.parent.iterdir()) == []
        assert beginner.run.site is None


def test_too_little_room_is_said_before_anything_is_written(backup: BackedUp, place: Path) -> None:
    one = Beginner(place, free_bytes=lambda _folder: backup.size_bytes)
    put_back(one, backup.file, backup.phrase)
    assert (one.status, "There is too little room" in one.page) == (422, True)
    assert "MB are free" in one.page
    assert list(place.parent.iterdir()) == []
    one.run.close()


def test_a_folder_that_was_filled_meanwhile_is_left_alone(beginner: Beginner, backup: BackedUp, place: Path) -> None:
    place.mkdir()
    (place / "letters.txt").write_text("not ours")
    put_back(beginner, backup.file, backup.phrase)
    assert (beginner.status, "There is already something in" in beginner.page) == (422, True)
    assert [one.name for one in place.iterdir()] == ["letters.txt"]


def test_long_work_shows_how_far_it_is_and_leads_on(
    beginner: Beginner, backup: BackedUp, monkeypatch: pytest.MonkeyPatch
) -> None:
    told, go_on = threading.Event(), threading.Event()

    def slowly(*args: object, **options: object) -> object:
        options["progress"]("opening the backup, in MB", 40, 105)  # type: ignore[operator]
        told.set()
        go_on.wait(60)
        return restoring.restore(*args, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(first_run, "restore", slowly)
    monkeypatch.setattr(first_run, "AT_ONCE_SECONDS", 0.1)
    monkeypatch.setattr(beginner.run.work, "wait", lambda seconds=None: told.wait(seconds))
    put_back(beginner, backup.file, backup.phrase)
    assert (beginner.went, read_page(beginner.page).judged()) == ("/set-up/now", [])
    assert "Opening the backup, in MB: 40 of 105." in beginner.page
    assert backup.phrase not in beginner.page
    monkeypatch.undo()
    go_on.set()
    beginner.run.work.wait()
    beginner.get("/set-up/now")
    assert (beginner.went, beginner.status) == ("/", 200)


def test_the_backups_on_a_stick_are_offered_and_nothing_else(tmp_path: Path) -> None:
    stick = tmp_path / "media" / "stick"
    (stick / "tried-ground-00").mkdir(parents=True)
    (stick / "kept").mkdir()
    for name in ("a.sealed", "kept/b.sealed", "notes.txt", "tried-ground-00/network.json"):
        (stick / name).write_text("x")
    (stick / "link.sealed").symlink_to(stick / "a.sealed")
    assert sealed_files([tmp_path / "media"]) == (stick / "a.sealed", stick / "kept" / "b.sealed")
    assert sealed_files([tmp_path / "none"]) == ()


def test_a_backup_that_is_seen_is_chosen_already(backup: BackedUp, place: Path, tmp_path: Path) -> None:
    stick = tmp_path / "media" / "stick"
    (stick / "tried-ground-00").mkdir(parents=True)
    shutil.copy(backup.file, stick / "c.sealed")
    one = Beginner(place, stick_roots=[str(tmp_path / "media")])
    page = one.get("/put-back/")
    assert f'value="{stick / "c.sealed"}" checked' in page
    one.send("/put-back/", {"file": str(stick / "c.sealed"), "typed": "", "phrase": backup.phrase})
    assert one.run.site is not None
    one.run.close()
