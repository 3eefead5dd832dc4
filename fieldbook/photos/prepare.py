"""From a foreign picture to the two small ones that are kept.

What it is: decode, shrink, turn upright, bring to plain sRGB on white, paint anew, encode under a byte limit. What it
is not: an editor; nothing is cropped or improved.

Its one rule: the same file gives the same bytes, and no byte of the file's own is copied.
"""

from __future__ import annotations

import io
import math
import struct
import warnings
import zlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from PIL import Image, ImageChops, ImageCms

from fieldbook.photos.formats import Format, PhotoError, check_pixels, judge_format, moving_picture

if TYPE_CHECKING:
    from collections.abc import Iterator

FULL_PX: Final = 1600
FULL_BYTES: Final = 200_000
THUMB_PX: Final = 320
THUMB_BYTES: Final = 20_000

_QUALITIES: Final = (82, 76, 70, 64, 58, 52, 46)  # below 46 leaf spots drown in blocks: then fewer pixels serve better
_SHRINK: Final = 0.85
_ART_COLOURS: Final = 16
_ART_SHARE: Final = 0.85  # a drawing is nearly all ink and paper; a photo's 16 commonest colours cover far less
_ORIENTATION_TAG: Final = 0x0112
_UPRIGHT: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# what decoders raise on bytes that are not what they seem
_BROKEN: Final = (OSError, SyntaxError, ValueError, EOFError, IndexError, TypeError, struct.error, zlib.error)


@dataclass(frozen=True)
class Prepared:
    """A picture that may be kept: nothing but pixels, twice.

    Attributes:
        full: The picture, at most 1600 px on its longer side and 200,000 bytes.
        thumb: The same, at most 320 px and 20,000 bytes.
        format: Of both.
        width_px: Of `full` [px].
        height_px: Of `full` [px].
    """

    full: bytes
    thumb: bytes
    format: Literal["jpeg", "png"]
    width_px: int
    height_px: int


def prepare_photo(data: bytes, *, name: str | None = None) -> Prepared:
    """Make a picture small, upright and silent about where it was taken.

    Line art in a PNG stays PNG; all else becomes JPEG.

    Args:
        data: A JPEG, PNG or WebP file.
        name: Its name, if known; an ending that contradicts the content is refused.

    Raises:
        PhotoError: Not such a file, broken, moving, or too large.
    """
    found = judge_format(data, name=name)
    picture = _decoded(data, found)
    drawing = found == "PNG" and _is_line_art(picture)
    full, size = _encoded(picture, FULL_BYTES, drawing=drawing)
    small = picture.copy()
    small.thumbnail((THUMB_PX, THUMB_PX), Image.Resampling.LANCZOS)
    thumb, _ = _encoded(small, THUMB_BYTES, drawing=drawing)
    return Prepared(full, thumb, "png" if drawing else "jpeg", *size)


def _decoded(data: bytes, found: Format) -> Image.Image:
    """Return the upright picture as grey or RGB pixels of at most `FULL_PX`, without anything attached."""
    try:
        # what the decoder warns of (odd metadata, many pixels) is thrown away or checked here
        with warnings.catch_warnings(action="ignore"), Image.open(io.BytesIO(data), formats=(found,)) as opened:
            check_pixels(*opened.size)
            if found == "PNG" and getattr(opened, "n_frames", 1) > 1:
                raise moving_picture()
            return _plain(opened)
    except Image.DecompressionBombError as error:
        raise PhotoError(
            "the picture has far more pixels than are taken", hint="take the photo again at a lower resolution"
        ) from error
    except _BROKEN as error:
        raise PhotoError("the picture is broken or cut short", hint="copy it from the camera again") from error


def _plain(opened: Image.Image) -> Image.Image:
    turn = _UPRIGHT.get(_orientation(opened))
    profile = opened.info.get("icc_profile")
    picture = _resizable(opened)
    # before all else, and with the picture's own proportions: a large JPEG is then decoded at a part of its size
    share = min(1, FULL_PX / max(opened.size))
    width, height = (math.ceil(side * share) for side in opened.size)
    picture.thumbnail((width, height), Image.Resampling.LANCZOS)
    picture.load()  # so that a file cut short is found here, and not taken for a bad colour profile below
    picture = _grey_if_grey(_in_srgb(_on_white(picture), profile))
    if turn is not None:
        picture = picture.transpose(turn)
    clean = Image.new(picture.mode, picture.size)
    clean.paste(picture)
    return clean


def _orientation(opened: Image.Image) -> int:
    """Return the EXIF orientation; a note too broken to read turns nothing, for it is thrown away anyway."""
    try:
        value = opened.getexif().get(_ORIENTATION_TAG, 1)
    except _BROKEN:
        return 1
    return value if isinstance(value, int) else 1


def _resizable(opened: Image.Image) -> Image.Image:
    """Return the picture in a mode that shrinks smoothly; a JPEG stays undecoded, to be decoded small."""
    if opened.mode in {"L", "RGB", "RGBA", "LA", "CMYK"} and "transparency" not in opened.info:
        return opened
    if opened.mode.startswith("I"):
        # sixteen bits of grey: converting alone would cut every shade above 255 to white
        return opened.point(lambda value: value * (1 / 257)).convert("L")
    if opened.mode == "1":
        return opened.convert("L")
    return opened.convert("RGBA")


def _on_white(picture: Image.Image) -> Image.Image:
    if picture.mode not in {"RGBA", "LA"}:
        return picture
    plain = picture.mode.removesuffix("A")
    paper = Image.new(plain, picture.size, "white")
    paper.paste(picture.convert(plain), mask=picture.getchannel("A"))
    return paper


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Return grey or RGB pixels; a colour profile that cannot be read is left out, which shifts tints at most."""
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            turned = None
        if turned is not None:
            return turned
    return picture if picture.mode in {"L", "RGB"} else picture.convert("RGB")


def _grey_if_grey(picture: Image.Image) -> Image.Image:
    if picture.mode == "L":
        return picture
    red, green, blue = picture.split()
    same = all(ImageChops.difference(red, other).getbbox() is None for other in (green, blue))
    return red if same else picture


def _is_line_art(picture: Image.Image) -> bool:
    colours = picture.getcolors(maxcolors=65_536)
    if colours is None:
        return False
    counts = sorted((count for count, _ in colours), reverse=True)
    return sum(counts[:_ART_COLOURS]) >= _ART_SHARE * picture.width * picture.height


def _encoded(picture: Image.Image, limit_bytes: int, *, drawing: bool) -> tuple[bytes, tuple[int, int]]:
    """Return the file and its size in pixels: first less fidelity, then fewer pixels, until it fits."""
    while True:
        for data in _as_png(picture) if drawing else _as_jpeg(picture):
            if len(data) <= limit_bytes:
                return data, picture.size
        width, height = (max(1, int(side * _SHRINK)) for side in picture.size)
        picture = picture.resize((width, height), Image.Resampling.LANCZOS)


def _as_jpeg(picture: Image.Image) -> Iterator[bytes]:
    for quality in _QUALITIES:
        yield _saved(picture, "JPEG", quality=quality)


def _as_png(picture: Image.Image) -> Iterator[bytes]:
    shades = {shade for _, shade in picture.getcolors(maxcolors=2) or [(0, None)]}
    yield _saved(picture.convert("1") if shades <= {0, 255} else picture, "PNG")
    for colours in (64, _ART_COLOURS):
        yield _saved(picture.quantize(colours, dither=Image.Dither.NONE), "PNG")


def _saved(picture: Image.Image, kind: Literal["JPEG", "PNG"], *, quality: int = 75) -> bytes:
    file = io.BytesIO()
    picture.save(file, kind, optimize=True, quality=quality)
    return file.getvalue()
