"""A folder as a carrier: what it opens, what it writes, and what becomes of faults."""

from __future__ import annotations

import errno
import os
import socket
from typing import TYPE_CHECKING

import pytest

from sync import CarrierError, FolderCarrier
from tests.sync.media import Faulty, Forgetful, Uncached

if TYPE_CHECKING:
    from pathlib import Path

    from sync.carrier import Written

NAME = "tried-ground-00000000000000000000000000/receipts/a.json"


def failing(call: str, code: int) -> Faulty:
    return Faulty(fail=lambda _number, name: code if name == call else None)


def names(carrier: FolderCarrier, kind: str) -> list[str]:
    return sorted(each.name for each in carrier.look() if each.kind == kind)


def proven(carrier: FolderCarrier, *written: Written) -> tuple[bool, list[CarrierError]]:
    failed: list[CarrierError] = []
    return carrier.prove(written, failed=failed.append), failed


def test_what_is_written_is_read_and_proven(tmp_path: Path) -> None:
    carrier = FolderCarrier(tmp_path)
    assert proven(carrier, carrier.write(NAME, b"here")) == (True, [])
    assert FolderCarrier(tmp_path).read(NAME, limit_bytes=10) == b"here"


def test_a_file_replaces_another_at_one_stroke_and_nothing_half_written_stays(tmp_path: Path) -> None:
    carrier = FolderCarrier(tmp_path)
    carrier.write(NAME, b"old")
    carrier.write(NAME, b"new")
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == ["a.json"]
    assert carrier.read(NAME, limit_bytes=10) == b"new"


def test_short_writes_are_carried_on(tmp_path: Path) -> None:
    FolderCarrier(tmp_path, calls=Faulty()).write(NAME, bytes(range(256)) * 10)
    assert (tmp_path / NAME).read_bytes() == bytes(range(256)) * 10


def test_no_more_is_read_than_shows_that_a_file_is_too_large(tmp_path: Path) -> None:
    with (tmp_path / "large").open("wb") as file:
        file.truncate(10**12)
    assert FolderCarrier(tmp_path).read("large", limit_bytes=100) == bytes(101)


def test_a_network_folder_that_is_named_stands_for_the_folder_around_it(tmp_path: Path) -> None:
    folder = tmp_path / NAME.partition("/")[0].upper()
    folder.mkdir()
    assert FolderCarrier(folder).root == tmp_path


def test_a_carrier_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(CarrierError, match="no longer there") as caught:
        FolderCarrier(tmp_path / "missing")
    assert caught.value.cause == "gone"


def test_names_are_matched_without_case_and_small_letters_win(tmp_path: Path) -> None:
    (tmp_path / "SITES").mkdir()
    (tmp_path / "SITES" / "A.JSON").write_bytes(b"capitals")
    carrier = FolderCarrier(tmp_path)
    assert names(carrier, "folder") == ["sites"]
    assert carrier.read("sites/a.json", limit_bytes=100) == b"capitals"
    carrier.write("sites/a.json", b"again")
    assert (tmp_path / "SITES" / "A.JSON").read_bytes() == b"again"
    (tmp_path / "SITES" / "a.json").write_bytes(b"small")
    assert FolderCarrier(tmp_path).read("sites/a.json", limit_bytes=100) == b"small"


def test_only_plain_names_are_seen(tmp_path: Path) -> None:
    for name in ("good.json", ".hidden", "two words", "é.json", "a:b", "..json", "x" * 101):
        (tmp_path / name).write_bytes(b"")
    assert names(FolderCarrier(tmp_path), "file") == ["good.json"]


def test_links_pipes_and_sockets_are_named_and_never_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # the name of a socket is short
    (tmp_path / "secret").write_bytes(b"secret")
    (tmp_path / "link.json").symlink_to(tmp_path / "secret")
    os.mkfifo(tmp_path / "pipe.json")
    with socket.socket(socket.AF_UNIX) as door:
        door.bind("door.json")
        carrier = FolderCarrier(tmp_path)
        assert names(carrier, "file") == ["secret"]
        assert names(carrier, "odd") == ["door.json", "link.json", "pipe.json"]
        for name in names(carrier, "odd"):
            with pytest.raises(CarrierError) as caught:
                carrier.read(name, limit_bytes=100)
            assert caught.value.cause == "odd"


def test_writing_replaces_a_link_and_never_what_it_points_to(tmp_path: Path) -> None:
    (tmp_path / "secret").write_bytes(b"secret")
    (tmp_path / "link.json").symlink_to(tmp_path / "secret")
    carrier = FolderCarrier(tmp_path)
    carrier.write("link.json", b"mine")
    assert (tmp_path / "secret").read_bytes() == b"secret"
    assert not (tmp_path / "link.json").is_symlink()


def test_a_folder_that_is_a_link_is_neither_listed_nor_written_into(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "a.json").write_bytes(b"theirs")
    (tmp_path / "sites").symlink_to(tmp_path / "elsewhere")
    carrier = FolderCarrier(tmp_path)
    with pytest.raises(CarrierError, match="not a regular file"):
        list(carrier.look("sites"))
    with pytest.raises(CarrierError):
        carrier.write("sites/b.json", b"mine")
    assert sorted(path.name for path in (tmp_path / "elsewhere").iterdir()) == ["a.json"]


@pytest.mark.parametrize(
    ("call", "code", "cause"),
    [
        ("write", errno.ENOSPC, "full"),
        ("make_folder", errno.ENOSPC, "full"),
        ("open", errno.EROFS, "read-only"),
        ("open", errno.EACCES, "read-only"),
        ("sync", errno.EIO, "fault"),
        ("rename", errno.EIO, "fault"),
        ("open", errno.ENODEV, "gone"),
    ],
)
def test_each_fault_of_writing_is_one_sentence_and_leaves_the_old_file(
    tmp_path: Path, call: str, code: int, cause: str
) -> None:
    folder = tmp_path if call == "make_folder" else (tmp_path / NAME).parent
    folder.mkdir(parents=True, exist_ok=True)
    if call != "make_folder":
        (tmp_path / NAME).write_bytes(b"old")
    with pytest.raises(CarrierError) as caught:
        FolderCarrier(tmp_path, calls=failing(call, code)).write(NAME, b"new")
    assert caught.value.cause == cause
    assert NAME in caught.value.message
    assert caught.value.hint
    assert [path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()] == ([b"old"] * (call != "make_folder"))


def test_a_stick_smaller_than_it_says_is_found_when_it_is_read_back(tmp_path: Path) -> None:
    carrier = FolderCarrier(tmp_path, calls=Forgetful())
    _, (error,) = proven(carrier, carrier.write(NAME, b"here"))
    assert (error.file, error.cause) == (NAME, "fault")
    assert "not what was written" in error.message


def test_where_the_cache_cannot_be_passed_by_nothing_is_proven(tmp_path: Path) -> None:
    carrier = FolderCarrier(tmp_path, calls=Uncached())
    assert proven(carrier, carrier.write(NAME, b"here")) == (False, [])


def test_a_file_that_vanishes_before_it_is_read_back_is_named(tmp_path: Path) -> None:
    carrier = FolderCarrier(tmp_path)
    written = carrier.write(NAME, b"here")
    (tmp_path / NAME).unlink()
    assert [error.cause for error in proven(carrier, written)[1]] == ["gone"]


def test_a_folder_whose_names_cannot_be_synced_is_named(tmp_path: Path) -> None:
    calls = Faulty()
    carrier = FolderCarrier(tmp_path, calls=calls)
    written = carrier.write("a.json", b"here")
    calls._fail = lambda _number, call: errno.EIO if call == "sync" else None
    assert [error.cause for error in proven(carrier, written)[1]] == ["fault"]


def test_a_file_system_that_cannot_sync_folders_leaves_it_unproven(tmp_path: Path) -> None:
    calls = Faulty()
    carrier = FolderCarrier(tmp_path, calls=calls)
    written = carrier.write("a.json", b"here")
    calls._fail = lambda _number, call: errno.EINVAL if call == "sync" else None
    assert proven(carrier, written) == (False, [])


def test_removing_what_is_gone_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(b"")
    carrier = FolderCarrier(tmp_path)
    list(carrier.look())
    (tmp_path / "a.json").unlink()
    carrier.remove("a.json")
    carrier.remove("never.json")


def test_a_removal_that_fails_is_said(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(b"")
    with pytest.raises(CarrierError) as caught:
        FolderCarrier(tmp_path, calls=failing("remove", errno.EROFS)).remove("a.json")
    assert caught.value.cause == "read-only"


def test_a_carrier_that_cannot_be_listed_is_said(tmp_path: Path) -> None:
    with pytest.raises(CarrierError, match="failed at") as caught:
        list(FolderCarrier(tmp_path, calls=failing("scan", errno.EIO)).look())
    assert caught.value.cause == "fault"


def test_a_read_that_fails_is_said_and_a_missing_file_is_gone(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(b"here")
    with pytest.raises(CarrierError) as caught:
        FolderCarrier(tmp_path, calls=failing("read", errno.EIO)).read("a.json", limit_bytes=10)
    assert caught.value.cause == "fault"
    with pytest.raises(CarrierError) as caught:
        FolderCarrier(tmp_path).read("b.json", limit_bytes=10)
    assert caught.value.cause == "gone"


def test_a_file_turned_into_something_else_after_it_was_listed_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(b"here")
    carrier = FolderCarrier(tmp_path)
    list(carrier.look())
    (tmp_path / "a.json").unlink()
    os.mkfifo(tmp_path / "a.json")
    with pytest.raises(CarrierError) as caught:
        carrier.read("a.json", limit_bytes=10)
    assert caught.value.cause == "odd"
