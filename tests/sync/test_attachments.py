"""A file is known by its digest; what does not match it is not held."""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING

import pytest

from sync.attachments import Attachments, attachment_id, attachment_path
from sync.errors import LocalError, RemoteError
from sync.limits import ATTACHMENT_BYTES_MAX

if TYPE_CHECKING:
    from pathlib import Path

DATA = b"a photo of onions"
NAME = hashlib.sha256(DATA).hexdigest()


@pytest.fixture
def attachments(tmp_path: Path) -> Attachments:
    return Attachments(tmp_path)


def test_a_file_is_kept_under_its_digest_and_given_back(attachments: Attachments, tmp_path: Path) -> None:
    assert attachments.put(DATA) == NAME == attachment_id(DATA)
    assert (tmp_path / "attachments" / NAME[:2] / NAME).read_bytes() == DATA
    assert attachment_path(NAME) == f"attachments/{NAME[:2]}/{NAME}"
    assert attachments.get(NAME) == DATA
    assert attachments.has(NAME)
    assert attachments.ids() == (NAME,)


def test_what_was_never_put_is_not_held_and_asking_makes_nothing(attachments: Attachments, tmp_path: Path) -> None:
    assert attachments.get(NAME) is None
    assert not attachments.has(NAME)
    assert attachments.ids() == attachments.damaged() == ()
    assert list(tmp_path.iterdir()) == []


def test_putting_a_file_twice_changes_nothing(attachments: Attachments, tmp_path: Path) -> None:
    attachments.put(DATA)
    before = (tmp_path / attachment_path(NAME)).stat()
    attachments.put(DATA)
    assert (tmp_path / attachment_path(NAME)).stat() == before


@pytest.mark.parametrize("damage", [b"", DATA[:-1], DATA + b".", b"A" + DATA[1:]])
def test_a_damaged_file_is_not_held_and_is_mended_by_putting_it_again(
    attachments: Attachments, tmp_path: Path, damage: bytes
) -> None:
    attachments.put(DATA)
    (tmp_path / attachment_path(NAME)).write_bytes(damage)
    assert attachments.get(NAME) is None
    assert not attachments.has(NAME)
    assert attachments.damaged() == (NAME,)
    attachments.put(DATA)
    assert attachments.get(NAME) == DATA
    assert attachments.damaged() == ()


def test_links_folders_pipes_and_oversized_files_are_never_opened(attachments: Attachments, tmp_path: Path) -> None:
    path = tmp_path / attachment_path(NAME)
    path.parent.mkdir(parents=True)
    (tmp_path / "elsewhere").write_bytes(DATA)
    path.symlink_to(tmp_path / "elsewhere")
    assert attachments.get(NAME) is None
    path.unlink()
    os.mkfifo(path)
    assert attachments.get(NAME) is None
    path.unlink()
    with path.open("wb") as file:
        file.truncate(ATTACHMENT_BYTES_MAX + 1)
    assert attachments.get(NAME) is None
    path.unlink()
    path.mkdir()
    assert attachments.get(NAME) is None


def test_only_names_that_are_ids_are_listed(attachments: Attachments, tmp_path: Path) -> None:
    attachments.put(DATA)
    folder = tmp_path / "attachments"
    (folder / "zz").mkdir()
    (folder / "zz" / NAME).write_bytes(DATA)
    (folder / NAME[:2] / "Thumbs.db").write_bytes(b"")
    (folder / NAME[:2] / NAME.upper()).write_bytes(DATA)
    assert attachments.ids() == (NAME,)


@pytest.mark.parametrize("name", ["", "../../x", NAME.upper(), NAME + "\n", NAME[:-1], "/etc/passwd"])
def test_a_name_that_is_no_id_reaches_no_file(attachments: Attachments, name: str) -> None:
    with pytest.raises(RemoteError, match="is not the id of an attachment"):
        attachments.get(name)


def test_the_largest_lawful_file_is_kept_and_one_byte_more_is_not(attachments: Attachments) -> None:
    assert attachments.has(attachments.put(bytes(ATTACHMENT_BYTES_MAX)))
    with pytest.raises(LocalError, match="at most 2097152 are allowed"):
        attachments.put(bytes(ATTACHMENT_BYTES_MAX + 1))


def test_a_full_disk_leaves_no_file_and_no_remains(
    attachments: Attachments, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(LocalError, match="No space left"):
        attachments.put(DATA)
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_what_a_power_cut_left_half_written_is_swept_away_and_never_listed(
    attachments: Attachments, tmp_path: Path
) -> None:
    attachments.put(DATA)
    left = tmp_path / "attachments" / NAME[:2] / "incoming-x1"
    left.write_bytes(DATA[:3])
    assert attachments.ids() == (NAME,)
    attachments.sweep()
    assert not left.exists()
    assert attachments.has(NAME)


def test_a_redacted_file_is_removed_and_removing_it_twice_is_harmless(attachments: Attachments) -> None:
    attachments.put(DATA)
    attachments.remove(NAME)
    attachments.remove(NAME)
    assert not attachments.has(NAME)
