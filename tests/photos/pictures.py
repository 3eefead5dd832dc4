"""Pictures made in code, and the things that phones hide in them, spliced in byte by byte.

Nothing here uses the code under test; the layouts are those of the JPEG (ITU-T T.81), EXIF (JEITA CP-3451), PNG
(W3C PNG) and WebP (RFC 9649) documents, from memory where no clause is named.
"""

from __future__ import annotations

import io
import random
import struct
import zlib
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

if TYPE_CHECKING:
    from collections.abc import Callable

SECRET = b"Longshade-block-14-phone-0700555014"


def photo(size: tuple[int, int] = (640, 480), *, mode: str = "RGB", seed: int = 1) -> Image.Image:
    """A picture like a photo: soft shapes under grain, so that it neither compresses well nor looks drawn."""
    grain = random.Random(seed)
    small = Image.frombytes("RGB", (40, 30), grain.randbytes(40 * 30 * 3)).resize(size, Image.Resampling.BICUBIC)
    noise = Image.frombytes("RGB", size, grain.randbytes(size[0] * size[1] * 3))
    return Image.blend(small, noise, 0.2).convert(mode)


def drawing(size: tuple[int, int] = (900, 700), *, ink: str = "black") -> Image.Image:
    """A line drawing: ink on white."""
    sheet = Image.new("RGB", size, "white")
    pen = ImageDraw.Draw(sheet)
    for step in range(0, min(size), 60):
        pen.rectangle((step // 2, step // 2, size[0] - step // 2 - 1, size[1] - step // 2 - 1), outline=ink, width=3)
    pen.line((0, 0, *size), fill=ink, width=4)
    return sheet


def saved(picture: Image.Image, kind: str, **options: object) -> bytes:
    file = io.BytesIO()
    picture.save(file, kind, **options)
    return file.getvalue()


def exif_block(*, orientation: int = 1, thumbnail: bytes = b"") -> bytes:
    """A TIFF block with a maker, an orientation, a place (GPS) and, behind it, a thumbnail in IFD1."""
    gps_at = 8 + 2 + 3 * 12 + 4
    next_at = gps_at + 2 + 3 * 12 + 4
    text_at = next_at + 2 + 2 * 12 + 4
    place_at = text_at + len(SECRET) + 1
    thumb_at = place_at + 24
    ifd0 = struct.pack("<H", 3)
    ifd0 += struct.pack("<HHII", 0x010F, 2, len(SECRET) + 1, text_at)
    ifd0 += struct.pack("<HHIHH", 0x0112, 3, 1, orientation, 0)
    ifd0 += struct.pack("<HHII", 0x8825, 4, 1, gps_at) + struct.pack("<I", next_at)
    gps = struct.pack("<H", 3) + struct.pack("<HHI4s", 1, 2, 2, b"S\0\0\0")
    gps += struct.pack("<HHII", 2, 5, 3, place_at) + struct.pack("<HHI4s", 0, 1, 4, b"\2\3\0\0") + struct.pack("<I", 0)
    ifd1 = struct.pack("<H", 2) + struct.pack("<HHII", 0x0201, 4, 1, thumb_at)
    ifd1 += struct.pack("<HHII", 0x0202, 4, 1, len(thumbnail)) + struct.pack("<I", 0)
    place = struct.pack("<6I", 25, 1, 24, 1, 1234, 100)
    return b"II*\0" + struct.pack("<I", 8) + ifd0 + gps + ifd1 + SECRET + b"\0" + place + thumbnail


def xmp_packet() -> bytes:
    return (
        b'<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        b'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" '
        b'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator><rdf:Seq><rdf:li>'
        + SECRET
        + b'</rdf:li></rdf:Seq></dc:creator></rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
    )


def iptc_block() -> bytes:
    record = b"\x1c\x02\x50" + struct.pack(">H", len(SECRET)) + SECRET  # 2:80 by-line
    record += b"\0" * (len(record) % 2)
    return b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(record)) + record


def segment(marker: int, payload: bytes) -> bytes:
    return bytes((0xFF, marker)) + struct.pack(">H", len(payload) + 2) + payload


def telltale_jpeg(picture: Image.Image, *, orientation: int = 1, profile: bytes = b"") -> bytes:
    """A JPEG that carries all that a phone can put beside the pixels, a second picture behind the end included."""
    plain = saved(picture, "JPEG", quality=90, icc_profile=profile or None)
    inner = saved(picture.resize((80, 60)), "JPEG", comment=SECRET)
    hidden = segment(0xE0, b"JFXX\0\x10" + inner)
    hidden += segment(0xE1, b"Exif\0\0" + exif_block(orientation=orientation, thumbnail=inner))
    hidden += segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp_packet())
    hidden += segment(0xE2, b"MPF\0" + SECRET) + segment(0xED, iptc_block()) + segment(0xFE, SECRET)
    return plain[:2] + hidden + plain[2:] + inner + b"\0\0\0\x18ftypmp42" + SECRET


def chunk(kind: bytes, payload: bytes) -> bytes:
    return struct.pack(">I", len(payload)) + kind + payload + struct.pack(">I", zlib.crc32(kind + payload))


def telltale_png(picture: Image.Image, *, orientation: int = 1) -> bytes:
    """A PNG with every kind of text, EXIF, a time, a private chunk, and bytes behind its end."""
    plain = saved(picture, "PNG")
    after_header = 8 + 25
    hidden = chunk(b"tEXt", b"Author\0" + SECRET)
    hidden += chunk(b"zTXt", b"Comment\0\0" + zlib.compress(SECRET))
    hidden += chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + xmp_packet())
    hidden += chunk(b"eXIf", exif_block(orientation=orientation)) + chunk(
        b"tIME", struct.pack(">H5B", 2024, 5, 6, 7, 8, 9)
    )
    hidden += chunk(b"prVt", SECRET)
    return plain[:after_header] + hidden + plain[after_header:] + SECRET


def telltale_webp(picture: Image.Image, *, orientation: int = 1) -> bytes:
    """A WebP with EXIF and XMP chunks, and bytes behind its end."""
    data = saved(picture, "WEBP", exif=b"Exif\0\0" + exif_block(orientation=orientation), xmp=xmp_packet(), quality=90)
    return data + SECRET


TELLTALE: dict[str, Callable[..., bytes]] = {"jpg": telltale_jpeg, "png": telltale_png, "webp": telltale_webp}
