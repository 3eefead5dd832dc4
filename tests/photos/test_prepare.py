"""Size, uprightness, colour and kind of the pictures that are kept."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from fieldbook.photos import Prepared, prepare_photo
from tests.photos.pictures import TELLTALE, drawing, photo, saved

# JEITA CP-3451 (Exif 2.2), tag 274 Orientation, page 18: side of the upright picture where row 0 and column 0 lie
SIDES = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
CORNERS = {"red": (0, 0), "green": (1, 0), "blue": (0, 1), "black": (1, 1)}  # colour -> right half?, lower half?


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def flag(width: int = 120, height: int = 80) -> Image.Image:
    """Four quarters of different colours, wider than high."""
    sheet = Image.new("RGB", (width, height))
    for colour, (right, lower) in CORNERS.items():
        sheet.paste(
            colour, (right * width // 2, lower * height // 2, (right + 1) * width // 2, (lower + 1) * height // 2)
        )
    return sheet


def as_stored(upright: Image.Image, orientation: int) -> Image.Image:
    """Lay out the upright picture as a camera stores it, straight from the words of the standard."""
    row0, column0 = SIDES[orientation]
    width, height = upright.size
    sideways = row0 in {"left", "right"}
    stored = Image.new("RGB", (height, width) if sideways else (width, height))
    for row in range(stored.height):
        for column in range(stored.width):
            place = {}
            for side, steps in ((row0, row), (column0, column)):
                axis, length = ("x", width) if side in {"left", "right"} else ("y", height)
                place[axis] = steps if side in {"left", "top"} else length - 1 - steps
            stored.putpixel((column, row), upright.getpixel((place["x"], place["y"])) or 0)
    return stored


def quarters(picture: Image.Image) -> dict[str, tuple[int, ...]]:
    small = picture.convert("RGB")
    middles = ((x * small.width // 4, y * small.height // 4) for y in (1, 3) for x in (1, 3))
    return dict(zip(("red", "green", "blue", "black"), (_rgb(small, at) for at in middles), strict=True))


def _rgb(picture: Image.Image, at: tuple[int, int]) -> tuple[int, ...]:
    value = picture.getpixel(at)
    assert isinstance(value, tuple)
    return value


def near(one: tuple[int, ...], other: tuple[int, ...], *, by: int = 12) -> bool:
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("ending", TELLTALE)
@pytest.mark.parametrize("orientation", SIDES)
def test_a_picture_taken_sideways_or_mirrored_stands_upright(orientation: int, ending: str) -> None:
    stored = as_stored(flag(), orientation)
    prepared = prepare_photo(TELLTALE[ending](stored, orientation=orientation))
    assert (prepared.width_px, prepared.height_px) == (120, 80)
    for data in (prepared.full, prepared.thumb):
        found = quarters(opened(data))
        wanted = quarters(flag())
        assert all(near(found[colour], wanted[colour], by=40) for colour in wanted), found


def assert_within_limits(prepared: Prepared) -> None:
    for data, longest_px, limit_bytes in ((prepared.full, 1600, 200_000), (prepared.thumb, 320, 20_000)):
        assert len(data) <= limit_bytes
        picture = opened(data)
        assert max(picture.size) <= longest_px
        assert picture.format == prepared.format.upper()
    assert opened(prepared.full).size == (prepared.width_px, prepared.height_px)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_large_grainy_photo_comes_under_both_limits_as_jpeg(kind: str) -> None:
    prepared = prepare_photo(saved(photo((2600, 1900)), kind))
    assert prepared.format == "jpeg"
    assert_within_limits(prepared)
    assert prepared.width_px >= 800, "grain must not cost all detail"
    assert prepared.width_px / prepared.height_px == pytest.approx(2600 / 1900, rel=0.01)


def test_a_small_photo_is_not_blown_up() -> None:
    prepared = prepare_photo(saved(photo((200, 90)), "JPEG"))
    assert (prepared.width_px, prepared.height_px) == (200, 90)
    assert opened(prepared.thumb).size == (200, 90)


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "RGBA", "LA"])
def test_line_art_stays_png(mode: str) -> None:
    prepared = prepare_photo(saved(drawing((2400, 1800)).convert(mode), "PNG"))
    assert prepared.format == "png"
    assert_within_limits(prepared)
    assert (prepared.width_px, prepared.height_px) == (1600, 1200)


def test_a_drawing_in_ink_keeps_every_pixel_and_one_bit_of_each() -> None:
    ink = drawing((800, 600)).convert("1")
    full = opened(prepare_photo(saved(ink, "PNG")).full)
    assert full.mode == "1"
    assert full.tobytes() == ink.tobytes()


def test_a_coloured_drawing_keeps_its_colour() -> None:
    picture = opened(prepare_photo(saved(drawing(ink="purple"), "PNG")).full).convert("RGB")
    assert (128, 0, 128) in {colour for _, colour in picture.getcolors() or []}


def test_crowded_hatching_is_made_smaller_rather_than_heavier() -> None:
    hatching = Image.effect_noise((1600, 1600), 90).point(lambda shade: 255 * (shade > 128)).convert("1")
    assert len(saved(hatching, "PNG", optimize=True)) > 200_000
    prepared = prepare_photo(saved(hatching, "PNG"))
    assert prepared.format == "png"
    assert_within_limits(prepared)


def test_what_is_transparent_becomes_white_paper() -> None:
    clear = Image.new("RGBA", (60, 40), (200, 0, 0, 0))
    clear.paste((0, 0, 200, 255), (0, 0, 30, 40))
    for kind in ("PNG", "WEBP"):
        picture = opened(prepare_photo(saved(clear, kind)).full).convert("RGB")
        assert near(_rgb(picture, (50, 20)), (255, 255, 255))
        assert near(_rgb(picture, (10, 20)), (0, 0, 200), by=30)


def test_a_palette_with_one_clear_colour_lies_on_white() -> None:
    sheet = Image.new("P", (40, 40), 0)
    sheet.putpalette([10, 200, 10, 0, 0, 0])
    sheet.paste(1, (0, 0, 20, 40))
    picture = opened(prepare_photo(saved(sheet, "PNG", transparency=0)).full).convert("L")
    assert (picture.getpixel((30, 20)), picture.getpixel((10, 20))) == (255, 0)


def test_sixteen_bits_of_grey_keep_their_shades() -> None:
    ramp = Image.new("I;16", (256, 8))
    for x in range(256):
        ramp.paste(x * 257, (x, 0, x + 1, 8))
    picture = opened(prepare_photo(saved(ramp, "PNG")).full).convert("L")
    assert all(abs(_grey(picture, x) - x) <= 6 for x in range(256))


def _grey(picture: Image.Image, x: int) -> float:
    value = picture.getpixel((x, 4))
    assert isinstance(value, (int, float))
    return value


def test_four_printing_inks_become_screen_colours() -> None:
    inks = Image.new("CMYK", (64, 48), (0, 255, 255, 0))  # magenta and yellow in full: red
    assert near(_rgb(opened(prepare_photo(saved(inks, "JPEG")).full), (30, 20)), (255, 0, 0), by=8)


def test_colours_of_a_wider_space_are_brought_to_srgb() -> None:
    swapped = _profile_with_red_and_green_swapped()
    red = Image.new("RGB", (64, 48), (230, 20, 20))
    picture = opened(prepare_photo(saved(red, "JPEG", icc_profile=swapped, quality=95)).full)
    assert near(_rgb(picture, (30, 20)), (20, 230, 20), by=25)


def _profile_with_red_and_green_swapped() -> bytes:
    """An sRGB profile whose tags rXYZ and gXYZ point at each other's values (ICC.1, tag table; from memory)."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return profile.replace(b"rXYZ", b"tmpX", 1).replace(b"gXYZ", b"rXYZ", 1).replace(b"tmpX", b"gXYZ", 1)


def test_an_unreadable_colour_profile_costs_the_profile_and_not_the_photo() -> None:
    picture = opened(prepare_photo(saved(flag(), "JPEG", icc_profile=b"no profile at all" * 9)).full)
    assert near(quarters(picture)["blue"], (0, 0, 255), by=40)


def test_a_grey_photo_is_kept_as_one_channel() -> None:
    assert opened(prepare_photo(saved(photo(mode="L").convert("RGB"), "PNG")).full).mode == "L"


@settings(max_examples=25, deadline=None)
@given(
    width=st.integers(1, 2200),
    height=st.integers(1, 300),
    mode=st.sampled_from(["1", "L", "P", "RGB", "RGBA", "LA"]),
    seed=st.integers(0, 3),
)
def test_any_size_and_mode_comes_out_within_the_limits(width: int, height: int, mode: str, seed: int) -> None:
    assert_within_limits(prepare_photo(saved(photo((width, height), seed=seed).convert(mode), "PNG", compress_level=1)))
