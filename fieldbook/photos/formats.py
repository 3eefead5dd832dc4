"""What a file holds, judged by its first bytes and never by its name.

What it is: a few looks at magic numbers and headers, before any decoder is trusted. What it is not: a decoder.

Its one rule: what is not surely a still JPEG, PNG or WebP picture of a bearable size is refused here, in one sentence.
"""

from __future__ import annotations

from pathlib import PurePath
from typing import Final, Literal

from fieldbook.errors import FieldbookError

Format = Literal["JPEG", "PNG", "WEBP"]

FILE_BYTES: Final = 32_000_000  # a 40-megapixel phone photo has 10 to 15 MB; twice that is no honest photo
PIXELS: Final = 40_000_000  # decoded as RGB this is 120 MB, the most that a 1 GB board can spare

_SUFFIXES: Final[dict[str, Format]] = {
    ".jpg": "JPEG",
    ".jpeg": "JPEG",
    ".png": "PNG",
    ".webp": "WEBP",
}
_STRANGERS: Final = (
    (4, b"ftyphei", "a HEIC picture"),
    (4, b"ftypmif", "a HEIC picture"),
    (4, b"ftypavi", "an AVIF picture"),
    (4, b"ftyp", "a film"),
    (0, b"GIF8", "a GIF picture"),
    (0, b"II*\0", "a TIFF picture"),
    (0, b"MM\0*", "a TIFF picture"),
    (0, b"BM", "a BMP picture"),
    (0, b"%PDF", "a PDF document"),
    (0, b"PK\3\4", "an archive"),
    (0, b"<", "text, such as SVG or a web page"),
)
_TAKEN: Final = "set the camera to JPEG, or open the picture and save it as JPEG; PNG and WebP are taken too"


class PhotoError(FieldbookError):
    """A picture cannot be taken in; nothing of it is kept."""


def judge_format(data: bytes, *, name: str | None = None) -> Format:
    """Return the format of a picture by its content.

    Args:
        data: The whole file.
        name: The file's name, if there is one; an ending that says something else than the content is refused.

    Raises:
        PhotoError: Empty, too large, no picture that we take, a moving picture, or a name that lies.
    """
    if not data:
        raise PhotoError("the picture file is empty", hint="copy it from the camera again")
    if len(data) > FILE_BYTES:
        raise PhotoError(
            f"the picture file has {len(data):,} bytes and at most {FILE_BYTES:,} are taken",
            hint="take the photo again at a lower resolution",
        )
    found = _by_content(data)
    suffix = PurePath(name).suffix if name else ""
    if suffix and _SUFFIXES.get(suffix.lower()) != found:
        raise PhotoError(
            f"the file is named {suffix} but holds a {found} picture",
            hint="ask where the file comes from; if it is right, rename it to what it is",
        )
    return found


def check_pixels(width_px: int, height_px: int) -> None:
    """Refuse more pixels than a small machine can decode.

    Raises:
        PhotoError: Too many pixels.
    """
    if width_px * height_px > PIXELS:
        raise PhotoError(
            f"the picture has {width_px} × {height_px} pixels and at most {PIXELS // 1_000_000} million are taken",
            hint="take the photo again at a lower resolution",
        )


def _by_content(data: bytes) -> Format:
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        _check_webp(data)
        return "WEBP"
    for offset, magic, words in _STRANGERS:
        if data.startswith(magic, offset):
            raise PhotoError(f"the file holds {words}, which is not taken", hint=_TAKEN)
    raise PhotoError("the file is not a picture that can be read", hint=_TAKEN)


def _check_webp(data: bytes) -> None:
    """Look at size and movement before the decoder does, which reserves memory for the whole canvas on opening."""
    chunk, body = data[12:16], data[20:30]
    if len(body) < 10:
        raise PhotoError("the picture is broken or cut short", hint="copy it from the camera again")
    if chunk == b"VP8X":
        if body[0] & 0x02:
            raise moving_picture()
        check_pixels(1 + int.from_bytes(body[4:7], "little"), 1 + int.from_bytes(body[7:10], "little"))
    elif chunk == b"VP8L":
        bits = int.from_bytes(body[1:5], "little")
        check_pixels(1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF))
    else:
        check_pixels(int.from_bytes(body[6:8], "little") & 0x3FFF, int.from_bytes(body[8:10], "little") & 0x3FFF)


def moving_picture() -> PhotoError:
    """Return the refusal of an animation: which of its pictures is meant only a person can say."""
    return PhotoError("the picture moves, and only still pictures are taken", hint="save the one picture that is meant")
