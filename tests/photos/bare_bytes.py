"""A second opinion on what a finished picture holds: its parts, counted off byte by byte, without Pillow.

JPEG: a marker, then a length that counts itself (ITU-T T.81, B.1.1). PNG: length, type, data, CRC (W3C PNG, 5.3).
Both from memory; a wrong memory would make these readers fail on every picture.
"""

from __future__ import annotations

import struct
import zlib


def jpeg_parts(data: bytes) -> list[tuple[int, bytes]]:
    """Return (marker, payload) of each segment; the entropy-coded scan and all behind it belong to SOS."""
    assert data[:2] == b"\xff\xd8"
    parts, at = [], 2
    while True:
        assert data[at] == 0xFF
        marker = data[at + 1]
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        parts.append((marker, data[at + 4 : at + 2 + length]))
        at += 2 + length
        if marker == 0xDA:
            parts.append((0, data[at:]))
            return parts


def png_parts(data: bytes) -> list[tuple[bytes, bytes]]:
    """Return (type, payload) of each chunk; bytes behind the last are an error."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    parts, at = [], 8
    while at < len(data):
        (length,) = struct.unpack_from(">I", data, at)
        kind, payload = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        assert data[at + 8 + length : at + 12 + length] == struct.pack(">I", zlib.crc32(kind + payload))
        parts.append((kind, payload))
        at += 12 + length
    assert parts[-1] == (b"IEND", b"")
    return parts


def assert_nothing_but_pixels(data: bytes) -> None:
    """Fail if a picture holds any part that is not needed to draw it."""
    if data.startswith(b"\x89PNG"):
        assert {kind for kind, _ in png_parts(data)} <= {b"IHDR", b"PLTE", b"IDAT", b"IEND"}
        return
    parts = jpeg_parts(data)
    tables_frame_and_scan = {0xDB, 0xC4, 0xC0, 0xDA, 0}
    assert {marker for marker, _ in parts} <= tables_frame_and_scan | {0xE0}
    headers = [payload for marker, payload in parts if marker == 0xE0]
    # the one JFIF header: version, no unit, density 1:1, and a thumbnail of 0 by 0
    assert headers == [b"JFIF\0\1\1\0\0\1\0\1\0\0"]
    scan = parts[-1][1]
    assert scan.index(b"\xff\xd9") == len(scan) - 2, "bytes behind the end of the picture"
