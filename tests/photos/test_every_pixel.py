"""Pixel for pixel: pictures stored in any of the eight ways, the smallest there is, and 16 bits a colour."""

from __future__ import annotations

import struct
import zlib

import pytest
from PIL import Image, ImageChops

from fieldbook.photos import prepare_photo
from tests.photos.pictures import TELLTALE, chunk, saved
from tests.photos.test_prepare import SIDES, as_stored, opened


def lopsided() -> Image.Image:
    """Eight inks, nothing the same from any two sides, so that no turn or mirror image is equal to it."""
    inks = [
        (0, 0, 0),
        (255, 255, 255),
        (255, 0, 0),
        (0, 255, 0),
        (0, 0, 255),
        (255, 255, 0),
        (0, 255, 255),
        (90, 90, 90),
    ]
    sheet = Image.new("RGB", (37, 23))
    sheet.putdata([inks[(x * x + 3 * y + (x > 2 * y)) % len(inks)] for y in range(23) for x in range(37)])
    return sheet


@pytest.mark.parametrize("orientation", SIDES)
def test_every_pixel_of_a_drawing_stands_where_it_was_however_it_was_stored(orientation: int) -> None:
    """JEITA CP-3451 (Exif 2.2), tag 274 Orientation; line art is kept without loss, so nothing may differ."""
    stored = as_stored(lopsided(), orientation)
    prepared = prepare_photo(TELLTALE["png"](stored, orientation=orientation))
    assert prepared.format == "png"
    assert ImageChops.difference(opened(prepared.full).convert("RGB"), lopsided()).getbbox() is None


def test_the_eight_ways_of_storing_one_picture_are_eight_different_files() -> None:
    assert len({as_stored(lopsided(), orientation).tobytes() for orientation in SIDES}) == 8


@pytest.mark.parametrize("ending", TELLTALE)
def test_a_picture_of_one_pixel_keeps_it(ending: str) -> None:
    prepared = prepare_photo(TELLTALE[ending](Image.new("RGB", (1, 1), "white")))
    assert (prepared.width_px, prepared.height_px) == (1, 1)
    assert opened(prepared.full).convert("L").getpixel((0, 0)) in range(250, 256)


def test_sixteen_bits_a_colour_come_out_as_their_upper_eight() -> None:
    """PNG (Portable Network Graphics), ISO/IEC 15948, 11.2.2: colour type 2 at bit depth 16, most significant first."""
    width, height = 64, 8
    shades = [(x * 1028, 65535 - x * 1028, 32768) for x in range(width)]  # 1028 = 4 * 257: four steps of eight bits
    row = b"\0" + b"".join(struct.pack(">3H", *shade) for shade in shades)
    head = struct.pack(">2I5B", width, height, 16, 2, 0, 0, 0)
    file = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(row * height)) + chunk(b"IEND", b"")
    )
    picture = opened(prepare_photo(file).full).convert("RGB")
    assert picture.size == (width, height)
    for x in (0, 21, 63):
        found = picture.getpixel((x, 4))
        assert isinstance(found, tuple)
        assert all(abs(one - shade // 257) <= 12 for one, shade in zip(found, shades[x], strict=True)), (x, found)


def test_a_picture_just_below_the_cap_is_taken_and_one_just_above_is_not() -> None:
    """One bit a pixel, so that forty million of them cost little."""
    from fieldbook.photos import PhotoError

    below = saved(Image.new("1", (8000, 4999), 1), "PNG")
    assert prepare_photo(below).width_px == 1600
    with pytest.raises(PhotoError):
        prepare_photo(saved(Image.new("1", (8000, 5001), 1), "PNG"))
