"""Bad picture files: one clear sentence each, and never a decoder's own words."""

from __future__ import annotations

import contextlib
import struct
import tracemalloc
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from fieldbook.photos import PhotoError, prepare_photo
from tests.photos.pictures import TELLTALE, chunk, photo, saved


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few hundred bytes whose header promises any number of pixels."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"\0" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def jpeg_that_claims(width: int, height: int) -> bytes:
    data = bytearray(saved(photo((64, 48)), "JPEG"))
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data)


def webp_that_claims(width: int, height: int) -> bytes:
    size = (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = b"WEBPVP8X" + struct.pack("<I", 10) + b"\0\0\0\0" + size + saved(photo((16, 16)), "WEBP")[12:]
    return b"RIFF" + struct.pack("<I", len(body)) + body


BOMBS = {
    "a PNG of 6,400 million pixels": png_that_claims(80_000, 80_000),
    "a PNG just over the limit": png_that_claims(40_001, 1_000),
    "a JPEG of 4,225 million pixels": jpeg_that_claims(65_000, 65_000),
    "a JPEG of 49 million pixels": jpeg_that_claims(7_000, 7_000),
    "a WebP of 268 million pixels": webp_that_claims(16_383, 16_383),
    "a WebP of 281 million million pixels": webp_that_claims(16_777_216, 16_777_216),
}


@pytest.mark.parametrize("bomb", BOMBS.values(), ids=BOMBS)
def test_a_bomb_is_refused_before_it_is_decoded(bomb: bytes) -> None:
    tracemalloc.start()
    with pytest.raises(PhotoError, match="pixels") as refusal:
        prepare_photo(bomb)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 8_000_000
    assert refusal.value.hint


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_picture_cut_short_is_refused(kind: str, share: float) -> None:
    whole = saved(photo((300, 200)), kind)
    with pytest.raises(PhotoError, match="broken or cut short"):
        prepare_photo(whole[: int(len(whole) * share)])


FOREIGN = {
    "nothing": (b"", "empty"),
    "a word": (b"tomatoes", "not a picture"),
    "a web page": (b"<!doctype html><title>Sign in</title>", "SVG or a web page"),
    "a GIF": (saved(Image.new("P", (8, 8)), "GIF"), "GIF"),
    "a TIFF": (saved(Image.new("L", (8, 8)), "TIFF"), "TIFF"),
    "a BMP": (saved(Image.new("L", (8, 8)), "BMP"), "BMP"),
    "a HEIC": (b"\0\0\0\x18ftypheic\0\0\0\0" + bytes(40), "HEIC"),
    "a film": (b"\0\0\0\x18ftypisom\0\0\0\0" + bytes(40), "film"),
    "an archive": (b"PK\3\4" + bytes(40), "archive"),
    "a document": (b"%PDF-1.7 " + bytes(40), "PDF"),
    "a stump of a WebP": (b"RIFF\x08\0\0\0WEBPVP8X", "broken"),
}


@pytest.mark.parametrize(("data", "words"), FOREIGN.values(), ids=FOREIGN)
def test_what_is_no_picture_of_ours_is_named_and_refused(data: bytes, words: str) -> None:
    with pytest.raises(PhotoError, match=words) as refusal:
        prepare_photo(data)
    assert refusal.value.hint
    assert refusal.value.message[0].islower()
    assert not refusal.value.message.endswith(".")


@pytest.mark.parametrize("name", ["bed.png", "bed.webp", "bed.gif", "bed.jpg.exe"])
def test_an_ending_that_lies_is_refused(name: str) -> None:
    with pytest.raises(PhotoError, match="holds a JPEG picture"):
        prepare_photo(saved(photo(), "JPEG"), name=name)


@pytest.mark.parametrize("name", ["bed.jpg", "BED.JPG", "bed.jpeg", "bed", None])
def test_an_honest_ending_or_none_is_taken(name: str | None) -> None:
    assert prepare_photo(saved(photo(), "JPEG"), name=name).format == "jpeg"


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_a_moving_picture_is_refused_because_nobody_can_say_which_part_is_meant(kind: str) -> None:
    frames = [photo((40, 30), seed=seed) for seed in (1, 2)]
    with pytest.raises(PhotoError, match="moves"):
        prepare_photo(saved(frames[0], kind, save_all=True, append_images=frames[1:], duration=100))


def test_of_a_phone_photo_with_a_second_picture_inside_only_the_first_is_kept() -> None:
    first, second = photo((400, 300), seed=1), photo((400, 300), seed=2)
    double = saved(first, "MPO", save_all=True, append_images=[second], quality=80)
    assert prepare_photo(double) == prepare_photo(saved(first, "JPEG", quality=80))


def test_a_file_too_large_for_a_photo_is_refused_unread() -> None:
    with pytest.raises(PhotoError, match="32,000,000"):
        prepare_photo(saved(photo((16, 16)), "PNG") + bytes(32_000_000))


def test_broken_camera_notes_do_not_cost_the_photo() -> None:
    data = TELLTALE["jpg"](photo(), orientation=1)
    torn = data.replace(b"II*\0\x08\0\0\0\x03\0", b"II*\0\x08\0\0\0\xff\xff", 1)
    assert torn != data
    assert prepare_photo(torn).format == "jpeg"


@settings(max_examples=150, deadline=None)
@given(
    ending=st.sampled_from(sorted(TELLTALE)),
    wounds=st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=12),
)
def test_a_damaged_file_gives_a_picture_or_one_refusal(ending: str, wounds: list[tuple[float, int]]) -> None:
    data = bytearray(TELLTALE[ending](photo((32, 24))))
    for place, value in wounds:
        data[int(place * len(data))] = value
    with contextlib.suppress(PhotoError):
        assert len(prepare_photo(bytes(data)).full) <= 200_000
