"""One picture, and each place in a file where something may be hidden beside its pixels, one at a time.

Layouts: JPEG by ITU-T T.81 B.2.4, JFIF by ITU-T T.871, EXIF by JEITA CP-3451, IPTC in Photoshop resources, MPF by CIPA
DC-007, PNG by W3C PNG, WebP by RFC 9649; all from memory, and each is held against exiftool where that is installed.
"""

from __future__ import annotations

import struct
import zlib
from typing import TYPE_CHECKING, Final

from tests.photos.pictures import SECRET, chunk, exif_block, iptc_block, photo, saved, segment, xmp_packet

if TYPE_CHECKING:
    from collections.abc import Callable

    from PIL import Image

LITTLE: Final = saved(photo((80, 60)), "JPEG", comment=SECRET)
_JFIF_BYTES: Final = 20  # start of image and the JFIF header that Pillow writes


def _jpeg(picture: Image.Image) -> bytes:
    return saved(picture, "JPEG", quality=90)


def _beside(marker: int, payload: bytes) -> Callable[[Image.Image], bytes]:
    """Make a JPEG with one more segment behind its header."""

    def made(picture: Image.Image) -> bytes:
        plain = _jpeg(picture)
        return plain[:_JFIF_BYTES] + segment(marker, payload) + plain[_JFIF_BYTES:]

    return made


def _behind(payload: bytes) -> Callable[[Image.Image], bytes]:
    return lambda picture: _jpeg(picture) + payload


def _jfif_thumbnail(picture: Image.Image) -> bytes:
    """A JFIF header whose own thumbnail, 16 by 16 uncompressed pixels, spells the secret."""
    pixels = (SECRET * 30)[: 16 * 16 * 3]
    return b"\xff\xd8" + segment(0xE0, b"JFIF\0\1\2\0\0\1\0\1\x10\x10" + pixels) + _jpeg(picture)[_JFIF_BYTES:]


def _exif_field(tag: int, kind: int, value: bytes) -> bytes:
    """EXIF whose Exif IFD holds one field of bytes."""
    inner = 8 + 2 + 12 + 4
    at = inner + 2 + 12 + 4
    first = struct.pack("<H", 1) + struct.pack("<HHII", 0x8769, 4, 1, inner) + struct.pack("<I", 0)
    second = struct.pack("<H", 1) + struct.pack("<HHII", tag, kind, len(value), at) + struct.pack("<I", 0)
    return b"Exif\0\0II*\0" + struct.pack("<I", 8) + first + second + value


def _photoshop(number: int, data: bytes) -> bytes:
    data += b"\0" * (len(data) % 2)
    return b"Photoshop 3.0\x008BIM" + struct.pack(">H", number) + b"\0\0" + struct.pack(">I", len(data)) + data


def _mpf(picture: Image.Image) -> bytes:
    """A second whole picture behind the first, named by an MPF index of two."""
    plain = _jpeg(picture)
    entries = struct.pack(">IIIHH", 0x20030000, len(plain), 0, 0, 0) + struct.pack(">IIIHH", 0, len(LITTLE), 1, 0, 0)
    index = b"MM\0*" + struct.pack(">I", 8) + struct.pack(">H", 3)
    index += struct.pack(">HHI4s", 0xB000, 7, 4, b"0100") + struct.pack(">HHII", 0xB001, 4, 1, 2)
    index += struct.pack(">HHII", 0xB002, 7, 32, 8 + 2 + 36 + 4) + struct.pack(">I", 0) + entries
    return plain[:_JFIF_BYTES] + segment(0xE2, b"MPF\0" + index) + plain[_JFIF_BYTES:] + LITTLE


def _between_scans(picture: Image.Image) -> bytes:
    """A progressive JPEG with a comment between two of its scans."""
    plain = saved(picture, "JPEG", quality=90, progressive=True)
    second = plain.index(b"\xff\xc4", plain.index(b"\xff\xda"))
    return plain[:second] + segment(0xFE, SECRET) + plain[second:]


def _png_with(kind: bytes, payload: bytes, *, last: bool = False) -> Callable[[Image.Image], bytes]:
    """Make a PNG with one more chunk behind its header, or before its end."""

    def made(picture: Image.Image) -> bytes:
        plain = saved(picture, "PNG")
        at = len(plain) - 12 if last else 8 + 25
        return plain[:at] + chunk(kind, payload) + plain[at:]

    return made


def _webp_with(kind: bytes, payload: bytes, flag: int) -> Callable[[Image.Image], bytes]:
    """Make a WebP of the extended form with one more chunk (RFC 9649, 2.7)."""

    def made(picture: Image.Image) -> bytes:
        simple = saved(picture, "WEBP", quality=90)[12:]
        sides = b"".join((side - 1).to_bytes(3, "little") for side in picture.size)
        extended = b"VP8X" + struct.pack("<I", 10) + bytes((flag, 0, 0, 0)) + sides
        hidden = kind + struct.pack("<I", len(payload)) + payload + b"\0" * (len(payload) % 2)
        before = kind == b"ICCP"
        body = b"WEBP" + extended + (hidden + simple if before else simple + hidden)
        return b"RIFF" + struct.pack("<I", len(body)) + body

    return made


_PROFILE: Final = b"no profile that can be read " + SECRET
_FILM: Final = b"\0\0\0\x18ftypmp42" + SECRET
_EXTENDED_XMP: Final = b"http://ns.adobe.com/xmp/extension/\0" + b"0" * 32 + struct.pack(">II", len(SECRET), 0) + SECRET

CARRIERS: Final[dict[str, Callable[[Image.Image], bytes]]] = {
    "jpg EXIF maker and place": _beside(0xE1, b"Exif\0\0" + exif_block()),
    "jpg EXIF thumbnail": _beside(0xE1, b"Exif\0\0" + exif_block(thumbnail=LITTLE)),
    "jpg EXIF maker note": _beside(0xE1, _exif_field(0x927C, 7, b"CAMERA\0" + SECRET)),
    "jpg EXIF user comment": _beside(0xE1, _exif_field(0x9286, 7, b"ASCII\0\0\0" + SECRET)),
    "jpg XMP": _beside(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp_packet()),
    "jpg extended XMP": _beside(0xE1, _EXTENDED_XMP),
    "jpg IPTC": _beside(0xED, iptc_block()),
    "jpg Photoshop caption": _beside(0xED, _photoshop(0x03F0, SECRET)),
    "jpg Photoshop thumbnail": _beside(0xED, _photoshop(0x040C, bytes(28) + LITTLE)),
    "jpg colour profile": _beside(0xE2, b"ICC_PROFILE\0\1\1" + _PROFILE),
    "jpg JFIF thumbnail": _jfif_thumbnail,
    "jpg JFXX thumbnail": _beside(0xE0, b"JFXX\0\x10" + LITTLE),
    "jpg comment": _beside(0xFE, SECRET),
    "jpg comment between scans": _between_scans,
    "jpg second picture": _mpf,
    "jpg second picture, bare": _behind(LITTLE),
    "jpg film behind the end": _behind(_FILM),
    "jpg bytes behind the end": _behind(SECRET),
    **{
        f"jpg APP{number}": _beside(0xE0 + number, b"Hidden\0" + SECRET)
        for number in (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15)
    },
    "png tEXt": _png_with(b"tEXt", b"Author\0" + SECRET),
    "png tEXt before the end": _png_with(b"tEXt", b"Author\0" + SECRET, last=True),
    "png zTXt": _png_with(b"zTXt", b"Comment\0\0" + zlib.compress(SECRET, 0)),
    "png zTXt raw EXIF": _png_with(b"zTXt", b"Raw profile type exif\0\0" + zlib.compress(SECRET, 0)),
    "png iTXt": _png_with(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + xmp_packet()),
    "png eXIf": _png_with(b"eXIf", exif_block()),
    "png iCCP": _png_with(b"iCCP", b"profile\0\0" + zlib.compress(_PROFILE, 0)),
    "png sPLT": _png_with(b"sPLT", SECRET + b"\0\x08" + bytes(6)),
    "png private chunk": _png_with(b"prVt", SECRET),
    "png private chunk before the end": _png_with(b"prVt", SECRET, last=True),
    "png bytes behind the end": lambda picture: saved(picture, "PNG") + SECRET,
    "webp EXIF": _webp_with(b"EXIF", exif_block(), 0x08),
    "webp XMP": _webp_with(b"XMP ", xmp_packet(), 0x04),
    "webp ICCP": _webp_with(b"ICCP", _PROFILE, 0x20),
    "webp unknown chunk": _webp_with(b"hide", SECRET, 0),
    "webp bytes behind the end": lambda picture: saved(picture, "WEBP", quality=90) + SECRET,
}


def bare(name: str, picture: Image.Image) -> bytes:
    """The same picture without what is hidden."""
    if name.startswith("png"):
        return saved(picture, "PNG")
    if name.startswith("webp"):
        return saved(picture, "WEBP", quality=90)
    return saved(picture, "JPEG", quality=90, progressive="scans" in name)
