"""The notebook: what stays at this site. Each fact is kept exactly, and nothing in it is made up where it is missing."""

from __future__ import annotations

import sqlite3
import stat
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.notebook import Notebook, NotebookError, Person, PhotoToKeep, write_private_file
from tests.orrendal import fast_folder

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

C1 = Person("C1", "ab" * 32, "trainer", '{"locked":"C1"}')


@pytest.fixture
def folder() -> Path:
    return fast_folder()


@pytest.fixture
def notebook(folder: Path) -> Iterator[Notebook]:
    book = Notebook.create(folder)
    yield book
    book.close()


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(), lambda inner: st.lists(inner, max_size=3)
)


@given(facts=st.dictionaries(st.text(min_size=1), JSON, max_size=4))
@settings(max_examples=30, deadline=None, derandomize=True, database=None)
def test_facts_are_kept_exactly_until_they_are_said_anew(facts: dict[str, Any]) -> None:
    folder = fast_folder()
    book = Notebook.create(folder)
    for name, value in facts.items():
        book.set_fact(name, "before")
        book.set_fact(name, value)
    book.close()
    again = Notebook.open(folder)
    assert {name: again.fact(name) for name in facts} == facts
    assert again.fact("a fact that nobody said") is None
    again.close()


def test_people_are_kept_by_label_and_a_label_is_given_once(notebook: Notebook) -> None:
    notebook.add_person(C1)
    with pytest.raises(NotebookError, match="there is already a C1 here") as refusal:
        notebook.add_person(Person("C1", "cd" * 32, "volunteer", "{}"))
    assert refusal.value.hint == "choose the next number"
    notebook.add_person(Person("C10", "ef" * 32, "volunteer", "{}"))
    assert notebook.person("C1") == C1
    assert notebook.person("C2") is None
    assert [person.label for person in notebook.people()] == ["C1", "C10"]


def test_drafts_have_numbers_that_are_never_used_again(notebook: Notebook) -> None:
    first = notebook.add_draft(author="C1", document={"title": {"sw": "Vitunguu"}}, parents=("ab" * 32,))
    assert (first.name, first.parents, first.document) == ("draft-1", ("ab" * 32,), {"title": {"sw": "Vitunguu"}})
    notebook.remove_draft(first)
    second = notebook.add_draft(author="C1", document={})
    assert second.name == "draft-2"
    assert notebook.drafts() == (second,)
    for name in ("draft-1", "draft-", "draft-x", "2x", "draft-99999999999", "draft-²", ""):
        with pytest.raises(NotebookError, match="there is no draft called"):
            notebook.draft(name)


def test_a_photo_is_kept_while_anything_needs_it(notebook: Notebook, folder: Path) -> None:
    drafts = [
        notebook.add_draft(author="C1", document={}, photos=[PhotoToKeep("drum", people, b"full", thumb)])
        for people, thumb in (("", b"thumb"), ("none", b"other thumb"))
    ]
    (first,), (second,) = (notebook.home_photos(draft.name) for draft in drafts)
    assert (first.about, second.about) == ("draft-1", "draft-2")
    assert notebook.home_photo_bytes(first.full) == b"full"
    notebook.remove_draft(drafts[0])
    assert notebook.home_photos("draft-1") == ()
    assert notebook.home_photo_bytes(first.thumb) is None
    assert notebook.home_photo_bytes(second.full) == b"full"
    notebook.remove_draft(drafts[1])
    assert not list((folder / "home_photos").iterdir())


@pytest.mark.parametrize("said", [True, False])
def test_what_an_offering_began_is_ended_one_way_or_the_other(notebook: Notebook, folder: Path, *, said: bool) -> None:
    photo = PhotoToKeep("drum", "", b"full", b"thumb")
    draft = notebook.add_draft(author="C1", document={"kind": "teaching"}, photos=[photo])
    with notebook.photos_kept([photo]) as files:
        notebook.begin_offering("ab" * 32, files, draft=draft)
    assert notebook.offering() == "ab" * 32
    notebook.end_offering(said=said)
    assert notebook.offering() is None
    assert [one.about for name in ("draft-1", "ab" * 32) for one in notebook.home_photos(name)] == [
        "ab" * 32 if said else "draft-1"
    ]
    assert notebook.drafts() == (() if said else (draft,))
    assert {path.read_bytes() for path in (folder / "home_photos").iterdir()} == {b"full", b"thumb"}


def test_photos_that_come_to_belong_to_nothing_leave_no_file(notebook: Notebook, folder: Path) -> None:
    with notebook.photos_kept([PhotoToKeep("drum", "", b"full", b"thumb")]):
        assert len(list((folder / "home_photos").iterdir())) == 2
    assert not list((folder / "home_photos").iterdir())


def test_a_photo_is_given_out_by_its_digest_alone(notebook: Notebook, folder: Path) -> None:
    (folder / "home_photos").mkdir()
    (folder / "home_photos" / "stray").write_bytes(b"nobody kept it")
    for name in ("stray", "../notebook.sqlite", "", "0" * 64):
        assert notebook.home_photo_bytes(name) is None


def test_a_photo_whose_file_is_gone_is_none(notebook: Notebook, folder: Path) -> None:
    notebook.add_draft(author="C1", document={}, photos=[PhotoToKeep("drum", "", b"full", b"thumb")])
    (photo,) = notebook.home_photos("draft-1")
    (folder / "home_photos" / photo.full).unlink()
    assert notebook.home_photo_bytes(photo.full) is None


def test_several_writes_are_one_or_none(notebook: Notebook) -> None:
    def half() -> None:
        with notebook.together():
            notebook._db.execute("INSERT INTO fact VALUES ('half','1')")
            raise NotebookError("the light went out", hint="")

    with pytest.raises(NotebookError):
        half()
    assert notebook.fact("half") is None


@pytest.mark.parametrize("content", [b"", b"dear diary\n" * 400, b"SQLite format 3\0" + bytes(3000)])
def test_a_file_that_is_no_notebook_is_refused_and_left_as_it_is(folder: Path, content: bytes) -> None:
    path = folder / "notebook.sqlite"
    path.write_bytes(content)
    with pytest.raises(NotebookError) as refusal:
        Notebook.open(folder)
    assert refusal.value.hint
    assert path.read_bytes() == content


def test_a_missing_notebook_says_that_there_is_no_site(folder: Path) -> None:
    with pytest.raises(NotebookError, match="there is no site in"):
        Notebook.open(folder)
    assert list(folder.iterdir()) == []


def test_a_notebook_of_newer_software_is_refused_and_left_as_it_is(folder: Path) -> None:
    book = Notebook.create(folder)
    book.add_person(C1)
    book.close()
    with sqlite3.connect(folder / "notebook.sqlite") as db:
        db.execute("PRAGMA user_version=99")
    db.close()
    with pytest.raises(NotebookError, match=r"version 99") as refusal:
        Notebook.open(folder)
    assert "newer software" in refusal.value.hint


def test_a_private_file_is_written_whole_and_for_this_user_alone(folder: Path) -> None:
    path = folder / "site.key"
    write_private_file(path, b"first")
    write_private_file(path, b"second")
    assert path.read_bytes() == b"second"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in folder.iterdir()] == ["site.key"]


def test_a_notebook_whose_pages_are_spoiled_says_so_at_whatever_row_it_shows(folder: Path) -> None:
    book = Notebook.create(folder)
    for number in range(200):
        book.set_fact(f"fact {number}", "words " * 20)
    book.close()
    path = folder / "notebook.sqlite"
    data = bytearray(path.read_bytes())
    data[8192:] = b"\x5a" * (len(data) - 8192)
    path.write_bytes(data)
    again = Notebook.open(folder)
    with pytest.raises(NotebookError, match="cannot be read or written") as refusal:
        [again.fact(f"fact {number}") for number in range(200)]
    assert "backup" in refusal.value.hint
    again.close()


@pytest.mark.parametrize("replaced", [True, False])
def test_nothing_is_noted_in_a_notebook_that_was_taken_away_while_in_use(
    notebook: Notebook, folder: Path, *, replaced: bool
) -> None:
    notebook.add_person(C1)
    (folder / "notebook.sqlite").rename(folder / "elsewhere")
    if replaced:
        (folder / "notebook.sqlite").write_bytes(b"")
    with pytest.raises(NotebookError, match="was removed or replaced while it was in use") as refusal:
        notebook.set_fact("kept", "or lost")
    assert "put the site's folder back" in refusal.value.hint
    assert notebook.person("C1") == C1


RECORDS = st.dictionaries(st.text(min_size=1), JSON, max_size=3)


@given(documents=st.lists(RECORDS, min_size=2, max_size=5))
@settings(max_examples=20, deadline=None, derandomize=True, database=None)
def test_records_are_kept_exactly_by_kind_and_by_what_they_belong_to(documents: list[dict[str, Any]]) -> None:
    folder = fast_folder()
    book = Notebook.create(folder)
    kept = [book.add_record("bed", one, about=f"place-{index % 2}") for index, one in enumerate(documents)]
    book.add_record("can", {"name": "U2"})
    changed = book.change_record(kept[0], {"name": "B3"})
    book.remove_record(kept[1])
    book.close()
    again = Notebook.open(folder)
    assert again.records("bed") == (changed, *kept[2:])
    assert again.records("bed", about="place-1") == tuple(kept[3::2])
    assert [again.record("bed", one.number) for one in kept[:2]] == [changed, None]
    assert again.record("can", kept[2].number if len(kept) > 2 else kept[0].number) is None
    again.close()


def test_the_number_of_a_record_is_never_given_again(notebook: Notebook) -> None:
    first = notebook.add_record("slip", {"roof": "120 kg/m2"})
    notebook.remove_record(first)
    assert notebook.add_record("slip", {}).number > first.number
