"""Files sealed in pieces: opened by another reader from the description alone, and by nobody once they were touched."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from random import Random
from typing import TYPE_CHECKING, Any

import nacl.bindings
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sync.errors import LocalError, RemoteError, SyncError, UnknownVersionError
from sync.limits import SEALED_PIECE_BYTES
from sync.phrase import invent_phrase
from sync.sealed import SealedReader, SealedWriter
from tests.sync.scene import seeded

if TYPE_CHECKING:
    from collections.abc import Sequence

PHRASE = invent_phrase(seeded("phrase"))
TAG_BYTES = 16
LENGTHS = (0, 1, SEALED_PIECE_BYTES - 1, SEALED_PIECE_BYTES, SEALED_PIECE_BYTES + 1, 2 * SEALED_PIECE_BYTES)


def sealed(*parts: bytes) -> bytes:
    out = io.BytesIO()
    writer = SealedWriter(out.write, PHRASE, random=seeded("seal"))
    for part in parts:
        assert writer.write(part) == len(part)
    writer.finish()
    return out.getvalue()


def opened(data: bytes, phrase: str = PHRASE, *, steps: Sequence[int] = (100_000,)) -> bytes:
    reader = SealedReader(io.BytesIO(data).read, phrase)
    found, turn = b"", 0
    while part := reader.read(steps[turn % len(steps)]):
        found, turn = found + part, turn + 1
    return found


def opened_by_another(data: bytes) -> bytes:
    """Open a file by DEVELOPERS.md alone: scrypt of hashlib (RFC 7914), ChaCha20-Poly1305 of libsodium (RFC 8439)."""
    head, _, rest = data.partition(b"\n")
    head += b"\n"
    terms: dict[str, Any] = json.loads(head)["sealed"]
    key = hashlib.scrypt(
        PHRASE.encode(), salt=base64.b64decode(terms["salt"]), n=terms["n"], r=terms["r"], p=terms["p"],
        maxmem=2**27, dklen=32,
    )  # fmt: skip
    pieces = [rest[:TAG_BYTES]]
    pieces += [rest[at : at + 262_160] for at in range(TAG_BYTES, len(rest), 262_160)]
    found = b""
    for number, piece in enumerate(pieces):
        nonce = base64.b64decode(terms["prefix"]) + number.to_bytes(4, "big") + bytes([number == len(pieces) - 1])
        found += nacl.bindings.crypto_aead_chacha20poly1305_ietf_decrypt(piece, head, nonce, key)
    return found


@pytest.mark.parametrize("length", LENGTHS)
def test_what_was_sealed_is_read_back_by_us_and_by_another_library(length: int) -> None:
    data = Random(7).randbytes(length)
    file = sealed(data[: length // 3], data[length // 3 :])
    assert opened(file) == opened_by_another(file) == data
    assert data[:40] not in file or not data[:40]


@settings(max_examples=3, deadline=None)
@given(st.lists(st.integers(0, 300_000), max_size=4), st.lists(st.integers(1, 300_000), min_size=1, max_size=4))
def test_how_it_is_written_and_read_in_steps_changes_nothing(sizes: list[int], steps: list[int]) -> None:
    parts = [Random(place).randbytes(size) for place, size in enumerate(sizes)]
    file = sealed(*parts)
    assert file == sealed(b"".join(parts))
    assert opened(file, steps=steps) == b"".join(parts)


def test_the_words_may_be_typed_in_another_spelling_and_other_words_open_nothing() -> None:
    file = sealed(b"exact climate")
    assert opened(file, PHRASE.upper().replace(" ", "\n")) == b"exact climate"
    with pytest.raises(LocalError, match="these words do not open this file"):
        opened(file, invent_phrase(seeded("another phrase")))
    with pytest.raises(LocalError, match="has 14 words"):
        opened(file, "lantern gravel mango rope")


def test_a_file_cut_anywhere_is_never_taken_for_whole() -> None:
    file = sealed(Random(7).randbytes(2 * SEALED_PIECE_BYTES + 77))
    head = file.index(b"\n") + 1
    edges = [head + TAG_BYTES + count * (SEALED_PIECE_BYTES + TAG_BYTES) for count in range(3)]
    for at in sorted({0, 1, head - 1, head, head + 15, len(file) - 1, *edges, *(edge + 1 for edge in edges)}):
        with pytest.raises(SyncError):
            opened(file[:at])


def test_a_flipped_bit_a_swapped_piece_and_bytes_at_the_end_are_noticed() -> None:
    file = sealed(Random(7).randbytes(2 * SEALED_PIECE_BYTES + 77))
    start = file.index(b"\n") + 1 + TAG_BYTES
    size = SEALED_PIECE_BYTES + TAG_BYTES
    first, second, last = file[start : start + size], file[start + size : start + 2 * size], file[start + 2 * size :]
    spoiled = [
        file + b"\0",
        file + last,
        file[:start] + second + first + last,
        file[:start] + first + last,
        file[:start] + first + first + last,
        *(file[:at] + bytes([file[at] ^ 1]) + file[at + 1 :] for at in (start, start + size, len(file) - 1)),
    ]
    for bad in spoiled:
        with pytest.raises(RemoteError, match="cut or damaged"):
            opened(bad)


def test_every_flipped_byte_of_a_small_file_is_noticed() -> None:
    file = sealed(b"keys")
    for at in range(0, len(file), 17):
        with pytest.raises(SyncError):
            opened(file[:at] + bytes([file[at] ^ 4]) + file[at + 1 :])


@pytest.mark.parametrize(
    "foreign", [b"", b"\n", b"PK\x03\x04" + bytes(5000), b"{}\n", b'{"sealed":{}}\n', b"[]", b"\xff" * 2000]
)
def test_a_foreign_file_is_called_so(foreign: bytes) -> None:
    with pytest.raises(RemoteError, match="no sealed file, or its beginning is damaged"):
        opened(foreign)


def changed_head(**fields: object) -> bytes:
    head, _, rest = sealed(b"keys").partition(b"\n")
    terms = json.loads(head)["sealed"] | fields
    return json.dumps({"sealed": terms}, sort_keys=True, separators=(",", ":")).encode() + b"\n" + rest


def test_a_newer_version_is_named_and_not_called_damaged() -> None:
    with pytest.raises(UnknownVersionError, match="version 2"):
        opened(changed_head(v=2, more="names"))


@pytest.mark.parametrize(
    ("field", "value"), [("n", 2**40), ("n", 3), ("r", 9), ("p", 99), ("kdf", "none"), ("cipher", 1)]
)
def test_a_head_that_would_take_all_memory_is_refused_before_it_does(field: str, value: object) -> None:
    with pytest.raises(RemoteError):
        opened(changed_head(**{field: value}))


def test_a_file_that_was_never_finished_is_not_whole() -> None:
    out = io.BytesIO()
    writer = SealedWriter(out.write, PHRASE, random=seeded("seal"))
    writer.write(bytes(3 * SEALED_PIECE_BYTES))
    with pytest.raises(RemoteError, match="cut or damaged"):
        opened(out.getvalue())
