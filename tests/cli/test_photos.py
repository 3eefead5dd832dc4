"""Photos at the command: what leaves is bare pixels that somebody spoke for; everything else stays home."""

from __future__ import annotations

import gzip
import hashlib
import io
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tests.cli.terminal import refused
from tests.orrendal import practice

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.terminal import Terminal

GPS, MADE_BY, WHERE, DATE_TIME = 0x8825, 0x010F, "Secret-Water-Point", 0x0132


def stamped(path: Path, shade: int) -> Path:
    """A photo with a place, a maker, a comment and something after its end, as phones write them."""
    image = Image.radial_gradient("L").resize((640, 480)).convert("RGB")
    image.putpixel((0, 0), (shade, shade, shade))
    exif = Image.Exif()
    exif[MADE_BY], exif[DATE_TIME] = WHERE, "2026:11:25 10:00:00"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (1.0, 12.0, 0.0)
    data = io.BytesIO()
    image.save(data, "JPEG", exif=exif, comment=WHERE.encode())
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data.getvalue() + WHERE.encode())
    return path


def bytes_on(stick: Path) -> bytes:
    """Everything on a stick, bundles unpacked."""
    files = [path.read_bytes() for path in stick.rglob("*") if path.is_file()]
    return b"\n".join(gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data for data in files)


def test_a_photo_that_nobody_spoke_for_is_in_no_bundle(terminal: Terminal) -> None:
    desk = terminal.folder / "desk"
    bed, crowd = stamped(desk / "bed.jpg", 10), stamped(desk / "crowd.jpg", 200)
    document = practice("Onions in rows", photos=[{"name": "beside", "file": "beside.jpg", "alt": {"en": "Rows"}}])
    stamped(desk / "beside.jpg", 100)
    said = terminal.asked(
        "C", "write", terminal.entry_file(document), "--photo", bed, "--people", "none", "--photo", crowd, "--as", "C1"
    )
    assert said["kept_home"] == ["beside", "crowd"]
    terminal.approve("C3", said["edition"])
    terminal.carry("CL")
    everything = bytes_on(terminal.stick())
    home = list((terminal.place("C") / "home_photos").iterdir())
    assert len(home) == 4
    for path in home:
        assert path.name.encode() not in everything
        assert path.read_bytes() not in everything
    assert b"crowd" not in everything
    photos = terminal.asked("L", "show", said["edition"])["document"]["photos"]
    assert [(photo["name"], photo["people"], photo["alt"]) for photo in photos] == [("bed", "none", {})]
    assert hashlib.sha256(path_of(terminal, "L", photos[0]["ref"]).read_bytes()).hexdigest() == photos[0]["ref"]


def path_of(terminal: Terminal, letter: str, name: str) -> Path:
    """The file of an attachment at a site."""
    return next((terminal.place(letter) / "attachments").rglob(name))


@pytest.mark.parametrize("people", ["none", "covered", "agreed"])
def test_of_a_photo_that_leaves_only_pixels_leave(terminal: Terminal, people: str) -> None:
    photo = stamped(terminal.folder / "desk" / "bed.jpg", 10)
    assert WHERE.encode() in photo.read_bytes()
    terminal.write("C1", practice(), "--photo", photo, "--people", people)
    terminal.carry("C")
    everything = bytes_on(terminal.stick())
    assert WHERE.encode() not in everything
    assert b"Exif\0\0" not in everything
    full = max((terminal.stick().rglob("attachments/*/*")), key=lambda path: path.stat().st_size)
    with Image.open(full) as image:
        assert not image.getexif()
        assert max(image.size) <= 1600
    assert full.stat().st_size <= 200 * 1024


def test_a_draft_keeps_its_photos_home_until_it_is_offered(terminal: Terminal) -> None:
    bed, crowd = (stamped(terminal.folder / "desk" / name, 10 * len(name)) for name in ("bed.jpg", "crowd.jpg"))
    said = terminal.asked(
        "C",
        *("write", terminal.entry_file(practice("Onions")), "--draft", "--as", "C1"),
        *("--photo", bed, "--people", "covered", "--photo", crowd),
    )
    assert said == {"draft": "draft-1", "kept_home": ["bed", "crowd"], "alike": []}
    terminal.carry("C")
    assert not list(terminal.stick().rglob("attachments/*/*"))
    refused(terminal.at("C", "offer", "draft-1", "--as", "C3"), "draft-1 is C1's")
    offered = terminal.asked("C", "offer", "draft-1", "--as", "C1")
    assert offered["kept_home"] == ["crowd"]
    assert terminal.found("C", "onions") == {offered["edition"]: ("offered", "unchecked")}
    refused(terminal.at("C", "offer", "draft-1", "--as", "C1"), "there is no draft called draft-1")
    terminal.carry("C")
    assert len(list(terminal.stick().rglob("attachments/*/*"))) == 2


def test_the_next_edition_carries_its_photos_over(terminal: Terminal) -> None:
    bed = stamped(terminal.folder / "desk" / "bed.jpg", 10)
    first = terminal.write("C1", practice("Onions"), "--photo", bed, "--people", "none")
    document = terminal.asked("C", "show", first)["document"]
    second = terminal.write("C1", {**document, "title": {"en": "Onions, wider"}}, "--after", first)
    assert terminal.asked("C", "show", second)["document"]["photos"] == document["photos"]
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "write", terminal.entry_file(document), "--as", "C1"), "the photo bed has no file")


def test_a_step_shows_only_what_leaves_with_it(terminal: Terminal) -> None:
    bed = stamped(terminal.folder / "desk" / "bed.jpg", 10)
    document = practice(
        steps=[{"say": {"en": "Look."}, "picture": "bed"}], photos=[{"name": "bed", "file": "bed.jpg", "alt": {}}]
    )
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "write", terminal.entry_file(document), "--as", "C1"), "stays at this site")
    document["photos"][0]["people"] = "none"
    edition = terminal.write("C1", document)
    assert terminal.asked("C", "show", edition)["document"]["steps"] == document["steps"]
    assert bed.exists()


def test_a_tiny_picture_is_its_own_thumbnail(terminal: Terminal) -> None:
    path = terminal.folder / "desk" / "dot.png"
    path.parent.mkdir(exist_ok=True)
    Image.new("L", (3, 3), 255).save(path)
    terminal.write("C1", practice(), "--photo", path, "--people", "none")
    terminal.carry("CL")


PICTURES = {
    "empty.jpg": b"",
    "words.jpg": b"This is no picture.",
    "script.png": b"#!/bin/sh\n",
    "page.webp": b"<html>" * 100,
}


@pytest.mark.parametrize("name", [*PICTURES, "cut.jpg", "lying.png", "folder", "gone.jpg", "link.jpg", "huge.png"])
def test_what_is_no_sound_picture_is_one_clear_error_and_leaves_nothing(terminal: Terminal, name: str) -> None:
    desk = terminal.folder / "desk"
    real = stamped(desk / "real.jpg", 10)
    path = desk / name
    if name in PICTURES:
        path.write_bytes(PICTURES[name])
    elif name == "cut.jpg":
        path.write_bytes(real.read_bytes()[:700])
    elif name == "lying.png":
        path.write_bytes(real.read_bytes())
    elif name == "folder":
        path.mkdir()
    elif name == "link.jpg":
        path.symlink_to(real)
    elif name == "huge.png":
        Image.new("1", (9_000, 9_000)).save(path)
    (terminal.place("C") / "urgent.reserve").touch()  # as any opening leaves it
    before = sorted(terminal.place("C").rglob("*"))
    with terminal.nothing_lost("C"):
        for people in (("--people", "none"), ()):
            answer = terminal.at("C", "write", terminal.entry_file(practice()), "--photo", path, *people, "--as", "C1")
            refused(answer, name)
    assert sorted(terminal.place("C").rglob("*")) == before


@pytest.mark.parametrize("file", ["../real.jpg", "/etc/passwd", "a/b.jpg", "..", "", "a\\b.jpg", "a\0b.jpg"])
def test_a_file_named_in_an_entry_lies_beside_it(terminal: Terminal, file: str) -> None:
    stamped(terminal.folder / "real.jpg", 10)
    document = practice(photos=[{"name": "bed", "file": file, "people": "none"}])
    with terminal.nothing_lost("C"):
        refused(terminal.at("C", "write", terminal.entry_file(document), "--as", "C1"), "is a path")
