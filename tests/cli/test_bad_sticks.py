"""Bad sticks at the command: what is damaged, foreign or odd is named, nothing is lost, and the next holder mends it."""

from __future__ import annotations

import gzip
import os
import shutil
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from fieldbook.shipped import shipped_text
from fieldbook.site import Site
from tests.cli.terminal import refused, type_words
from tests.orrendal import practice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from tests.cli.terminal import Terminal

NORMALS = shipped_text("seed_entries/demo/normals_saltreed.csv")
REFUSED = {"file", "reason", "hint"}


def bundles(terminal: Terminal) -> list[Path]:
    return sorted(terminal.stick().rglob("*.bundle"))


def new_bundles(terminal: Terminal) -> list[Path]:
    """The bundles that T leaves on a stick that C has had before."""
    terminal.carry("C")
    before = bundles(terminal)
    terminal.write("T1", practice("Onions in rows"))
    terminal.carry("T")
    return [path for path in bundles(terminal) if path not in before]


def report_of(terminal: Terminal, letter: str, *, code: int) -> dict[str, Any]:
    """An exchange at a site that does not end quietly, or that must."""
    answer = terminal.at(letter, "exchange", terminal.stick(), "--json")
    assert (answer.code, answer.err) == (code, "")
    return answer.json


def flip(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(bytes(data))


def bomb(path: Path) -> None:
    """A valid gzip member without flags and time, of 2 MiB packed or less, that unpacks to 100 MiB."""
    path.write_bytes(gzip.compress(b"[" + b" " * (100 << 20), 9, mtime=0))


def link(path: Path) -> None:
    real = path.with_suffix(".real")
    path.rename(real)
    path.symlink_to(real)


def folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


SPOILERS: dict[str, tuple[Callable[[Path], object], str]] = {
    "one flipped bit": (flip, ""),
    "cut to nothing": (lambda path: path.write_bytes(b""), ""),
    "cut in its head": (lambda path: path.write_bytes(path.read_bytes()[:9]), "cut short"),
    "cut in the middle": (lambda path: path.write_bytes(path.read_bytes()[: path.stat().st_size // 2]), "cut short"),
    "cut by one byte": (lambda path: path.write_bytes(path.read_bytes()[:-1]), "cut short"),
    "one byte too many": (lambda path: path.write_bytes(path.read_bytes() + b"\0"), "follow the end"),
    "two mebibytes": (lambda path: path.write_bytes(b"\x1f\x8b" + bytes(2 << 20)), "too many for a bundle"),
    "expanding to hundreds of mebibytes": (bomb, "unpack"),
    "a link": (link, "not a regular file"),
    "a folder": (folder, "not a regular file"),
    "a pipe": (pipe, "not a regular file"),
}
LEFT_UNOPENED = {"a link", "a folder", "a pipe"}


@pytest.mark.parametrize("name", SPOILERS)
def test_a_spoilt_bundle_is_named_and_the_next_holder_writes_it_again(terminal: Terminal, name: str) -> None:
    spoil, part = SPOILERS[name]
    new = new_bundles(terminal)
    for path in new:
        spoil(path)
    with terminal.nothing_lost("C"):
        report = report_of(terminal, "C", code=1)
        assert (report["accepted"], len(report["refused"])) == (0, len(new))
        for one in report["refused"]:
            assert one.keys() == REFUSED
            assert part in one["reason"]
            assert one["hint"]
            assert one["file"].endswith(".bundle")
    if name in LEFT_UNOPENED:
        shutil.rmtree(terminal.stick())
    terminal.carry("T")
    assert report_of(terminal, "C", code=0)["accepted"] == 1
    assert terminal.asked("C", "verify")["entries"] == 1
    assert terminal.asked("C", "verify")["ok"] is True


def test_a_refusal_is_said_to_people_with_what_to_do(terminal: Terminal) -> None:
    for path in new_bundles(terminal):
        path.write_bytes(path.read_bytes()[:-1])
    answer = terminal.at("C", "exchange", terminal.stick())
    assert answer.code == 1
    assert "Refused: " in answer.out
    assert "(nothing of it was taken; whoever holds a sound copy leaves it again)" in answer.out


def test_a_bundle_cut_anywhere_is_never_half_taken(terminal: Terminal) -> None:
    (path,) = new_bundles(terminal)
    whole = path.read_bytes()
    with terminal.nothing_lost("C"):
        for length in range(0, len(whole), len(whole) // 12):
            path.write_bytes(whole[:length])
            report_of(terminal, "C", code=1)
    path.write_bytes(whole)
    assert report_of(terminal, "C", code=0)["accepted"] == 1


def test_a_stick_of_another_network_is_left_alone(terminal: Terminal) -> None:
    normals = terminal.entry_file(NORMALS, "normals.csv")
    other = terminal.folder / "other"
    words = ("new", "--network", "Other Circle", "--steward", "X1", "--no-starters", "--name", "Other", "--letter", "X")
    place = ("--latitude", "1", "--elevation", "10", "--normals", normals)
    type_words("--site", other, *words, *place).done()
    type_words("--site", other, "exchange", terminal.stick()).done()
    before = {path: path.read_bytes() for path in terminal.stick().rglob("*") if path.is_file()}
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "exchange", terminal.stick()), "belongs to another network", "take the right stick")
    assert {path: path.read_bytes() for path in terminal.stick().rglob("*") if path.is_file()} == before
    (inner,) = terminal.stick().iterdir()
    bundle = next(inner.rglob("*.bundle"))
    terminal.carry("C", "ours")
    (ours,) = terminal.stick("ours").iterdir()
    planted = ours / bundle.relative_to(inner)
    planted.parent.mkdir(parents=True)
    shutil.copy(bundle, planted)
    with terminal.nothing_lost("C"):
        report = terminal.at("C", "exchange", terminal.stick("ours"), "--json").json
        assert [one["file"] for one in report["waiting_files"]] == [bundle.relative_to(inner).as_posix()]
    assert planted.read_bytes() == bundle.read_bytes()


def test_what_a_site_that_is_not_granted_left_waits_in_its_place(terminal: Terminal) -> None:
    normals, reed = terminal.entry_file(NORMALS, "normals.csv"), terminal.folder / "reed"
    words = ("new", "--name", "Reed Bank", "--letter", "R", "--latitude", "-6", "--elevation", "8")
    type_words("--site", reed, *words, "--normals", normals).done()
    type_words("--site", reed, "person", "R1", "--role", "trainer").done()
    terminal.carry("C")
    site = Site.open(reed)
    fingerprint = site.request_join(terminal.stick())
    site.close()
    refused(
        type_words("--site", reed, "write", terminal.entry_file(practice()), "--as", "R1"), "not known in the network"
    )
    type_words("--site", reed, "exchange", terminal.stick()).done()
    left = [path for path in bundles(terminal) if path.stat().st_nlink]
    with terminal.nothing_lost("C"):
        report = report_of(terminal, "C", code=0)
    assert (report["waiting"], report["refused"], report["accepted"]) == (1, [], 0)
    (waiting,) = report["waiting_files"]
    assert "no signatory has granted yet" in waiting["reason"]
    assert "leave it there" in waiting["hint"]
    assert bundles(terminal) == left
    spoken = terminal.at("C", "exchange", terminal.stick()).done().out
    assert f"Left to wait: {waiting['file']}" in spoken
    site = Site.open(terminal.place("C"))
    site.admit(fingerprint, signer=site.unlock("C1", os.environ["FIELDBOOK_PASSPHRASE"]))
    site.close()
    assert report_of(terminal, "C", code=0)["accepted"] > 0
    type_words("--site", reed, "exchange", terminal.stick()).done()
    edition = type_words("--site", reed, "write", terminal.entry_file(practice("Reeds")), "--as", "R1", "--json").json[
        "edition"
    ]
    type_words("--site", reed, "exchange", terminal.stick()).done()
    terminal.carry("C")
    terminal.approve("C3", edition)
    assert terminal.found("C", "reeds") == {edition: ("approved", "checked-once")}


@pytest.mark.parametrize("spoil", [flip, link, folder], ids=lambda spoil: spoil.__name__)
@pytest.mark.parametrize("of", ["network.json", "receipts/*.json"])
def test_a_spoilt_paper_is_named_and_the_bundles_are_taken_all_the_same(
    terminal: Terminal, spoil: Callable[[Path], object], of: str
) -> None:
    new_bundles(terminal)
    spoil(max(terminal.stick().glob(f"*/{of}"), key=lambda path: path.stat().st_mtime_ns))
    report = report_of(terminal, "C", code=1)
    assert report["accepted"] == 1
    assert len({one["file"].rpartition("/")[2] for one in report["refused"]}) == 1
    assert terminal.asked("C", "verify")["ok"] is True


@pytest.mark.parametrize("what", ["link", "file"])
def test_the_networks_folder_is_a_folder(terminal: Terminal, what: str) -> None:
    terminal.carry("T")
    (inner,) = terminal.stick().iterdir()
    inner.rename(terminal.folder / "elsewhere")
    if what == "link":
        inner.symlink_to(terminal.folder / "elsewhere")
    else:
        inner.write_text("no folder")
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "exchange", terminal.stick()), "not a regular file", "remove it")


def test_names_that_are_not_ours_are_never_opened_nor_removed(terminal: Terminal) -> None:
    terminal.write("T1", practice())
    terminal.carry("T")
    (inner,) = terminal.stick().iterdir()
    strangers = [
        terminal.stick() / "autorun.inf",
        inner / "readme.txt",
        inner / "sites" / "..%2f..%2fsite.key",
        inner / "attachments" / "zz" / "x.exe",
        inner / "receipts" / "receipt.json",
        next(inner.glob("sites/*/*/text")) / "00000001-..-0.bundle",
    ]
    for path in strangers:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"not ours")
    assert report_of(terminal, "C", code=0)["accepted"] == 1
    assert all(path.read_bytes() == b"not ours" for path in strangers)


def test_a_stick_that_is_not_there_or_is_a_file_is_refused(terminal: Terminal) -> None:
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "exchange", terminal.folder / "no stick"), "there is no folder", "put the stick in")
        refused(terminal.at("C", "exchange", terminal.entry_file("x")), "there is no folder")


@contextmanager
def nobody_special(*owned: Path) -> Iterator[None]:
    """For a while not the one user whom rights do not bind; folders that must be written are given to whom it is."""
    if os.geteuid() != 0:
        yield
        return
    for place in owned:
        for path in (place, *place.rglob("*")):
            os.chown(path, 65_534, 65_534)
    os.seteuid(65_534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_stick_with_its_write_lock_on_is_read_and_it_is_said_that_nothing_was_left(terminal: Terminal) -> None:
    edition = terminal.write("T1", practice("Onions in rows"))
    terminal.carry("T")
    terminal.write("C1", practice("Leeks in rows"))
    terminal.folder.chmod(0o755)
    places = [terminal.stick(), *(path for path in terminal.stick().rglob("*") if path.is_dir())]
    for place in places:
        place.chmod(0o555)
    with nobody_special(terminal.place("C")):
        answer = terminal.at("C", "exchange", terminal.stick(), "--json")
        words = terminal.at("C", "exchange", terminal.stick())
    for place in places:
        place.chmod(0o755)
    report = answer.json
    assert answer.code == words.code == 1
    assert (report["accepted"], report["left"], report["safe_to_remove"]) == (1, 0, False)
    assert report["not_left"] > 0
    assert "do not rely on it alone" in words.out
    assert terminal.asked("C", "findings", edition)["edition"] == edition
    terminal.carry("CL")
    assert terminal.asked("L", "verify")["statements"] == terminal.asked("C", "verify")["statements"]


def test_a_stick_in_a_folder_of_any_name(terminal: Terminal) -> None:
    terminal.write("T1", practice())
    terminal.carry("TC", "fimbo ya شَبَكة — 1 $(x)")
    assert terminal.asked("C", "verify")["entries"] == 1


def test_taking_the_same_stick_twice_changes_nothing(terminal: Terminal) -> None:
    terminal.write("T1", practice())
    terminal.carry("TC")
    before = {path: path.read_bytes() for path in terminal.stick().rglob("*") if path.is_file()}
    with terminal.nothing_lost("C"):
        report = report_of(terminal, "C", code=0)
    assert (report["accepted"], report["left"]) == (0, 0)
    assert {path: path.read_bytes() for path in terminal.stick().rglob("*") if path.is_file()} == before
