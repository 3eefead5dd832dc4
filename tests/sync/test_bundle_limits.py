"""The caps on a bundle: what reaches them is sealed and read, what goes beyond is neither, all within little memory."""

from __future__ import annotations

import gzip
import time
import tracemalloc
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from sync import bundle
from sync.bundle import Bundle, assemble_bundle, parse_bundle
from sync.errors import LocalError, RemoteError
from sync.limits import BUNDLE_PACKED_BYTES_MAX, BUNDLE_UNPACKED_BYTES_MAX
from sync.statement import read_statement, signed_statement
from tests.sync.scene import C1, NETWORK, say
from tests.sync.test_bundle import FIRST, b64, check, compact, lines_of, packed, sealed

if TYPE_CHECKING:
    from sync.statement import Statement


def test_a_bundle_holds_one_to_a_thousand_statements_none_twice() -> None:
    thousand = [say(n) for n in range(1000)]
    assert check(sealed(thousand).to_bytes()).statements == tuple(thousand)
    for statements in ([], [*thousand, say(1000)], [FIRST, FIRST]):
        with pytest.raises(LocalError):
            sealed(statements)


def test_a_file_of_more_than_a_thousand_statements_is_refused() -> None:
    thousand = [say(n) for n in range(1001)]
    lines = Bundle(sealed().header, sealed().id, sealed().signature, tuple(thousand)).lines()
    with pytest.raises(RemoteError, match="more than 1000 statements"):
        parse_bundle(gzip.compress(lines, mtime=0))


def test_a_header_that_grows_beyond_its_cap_by_what_is_recomputed_is_refused() -> None:
    first, headers, bodies, proofs = lines_of(sealed())
    headers[0]["zone"] = "a" * (16_384 - len(compact({**headers[0], "zone": ""})))
    assert len(compact(headers[0])) == 16_384
    with pytest.raises(RemoteError, match="where at most 16384 are allowed"):
        parse_bundle(packed(first, headers, bodies, proofs))


def test_statements_that_unpack_beyond_the_cap_are_not_sealed_and_those_that_reach_it_are_read() -> None:
    many = [say(n, body={"x": "a" * 253_700}) for n in range(33)]
    room = BUNDLE_UNPACKED_BYTES_MAX - len(assemble_bundle(sealed().header, bytes(64), many).lines())
    with pytest.raises(LocalError, match="too many bytes for one bundle"):
        sealed([*many[1:], say(0, body={"x": "a" * (253_700 + room + 1)})])
    full = sealed([*many[1:], say(0, body={"x": "a" * (253_700 + room)})])
    assert len(full.lines()) == BUNDLE_UNPACKED_BYTES_MAX
    assert parse_bundle(full.to_bytes()).id == full.id


def test_statements_that_stay_too_large_when_packed_are_not_sealed() -> None:
    """Texts in base64 of bytes without a pattern pack to about three quarters, so to more than a mebibyte here."""
    noise = [b64(Random(n).randbytes(180_000)) for n in range(7)]
    with pytest.raises(LocalError, match="too many bytes for one bundle"):
        sealed(say(n, body={"x": text}) for n, text in enumerate(noise))
    assert check(sealed(say(n, body={"x": text}) for n, text in enumerate(noise[:5])).to_bytes())


def test_a_bundle_that_packs_to_just_the_cap_is_sealed(monkeypatch: pytest.MonkeyPatch) -> None:
    size = len(sealed().to_bytes())
    monkeypatch.setattr(bundle, "BUNDLE_PACKED_BYTES_MAX", size)
    assert len(sealed().to_bytes()) == size
    monkeypatch.setattr(bundle, "BUNDLE_PACKED_BYTES_MAX", size - 1)
    with pytest.raises(LocalError, match="too many bytes for one bundle"):
        sealed()


def test_a_bundle_stuffed_with_empty_lists_is_read_within_bounded_memory() -> None:
    """A signed, lawful bundle whose headers and bodies are as costly to hold as values as JSON allows."""
    zone: list[list[int]] = [[]] * 5_000
    stuffed = [resaid(n, zone=zone, body={"x": [[]] * 80_000 if n == 30 else n}) for n in range(60)]
    data = sealed(stuffed).to_bytes()
    tracemalloc.start()
    assert len(check(data).statements) == 60
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 12 * 1024 * 1024, "kept as values, the headers alone would take 18 MiB"


def resaid(number: int, *, zone: Any, body: Any) -> Statement:
    """A statement with a name that is unknown here in its header."""
    said = say(number, body=body)
    header = compact({**said.header, "zone": zone})
    return read_statement(header, said.body_bytes, said.salt, C1.sign(signed_statement(NETWORK.id, header)))


def test_a_bundle_just_below_the_cap_is_read_within_bounded_memory() -> None:
    bundle = sealed(say(n, key=C1, body={"x": "é😀" * 40_000, "n": n}) for n in range(33))
    assert len(bundle.lines()) > 0.9 * BUNDLE_UNPACKED_BYTES_MAX
    data = bundle.to_bytes()
    tracemalloc.start()
    assert parse_bundle(data).id == bundle.id
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 64 * 1024 * 1024


def test_a_file_that_unpacks_without_end_is_stopped_at_the_cap_within_little_memory() -> None:
    bomb = gzip.compress(bytes(256 * 1024 * 1024), mtime=0)
    assert len(bomb) < BUNDLE_PACKED_BYTES_MAX
    tracemalloc.start()
    started = time.process_time()
    with pytest.raises(RemoteError, match=f"unpacks to more than {BUNDLE_UNPACKED_BYTES_MAX}"):
        parse_bundle(bomb)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 4 * BUNDLE_UNPACKED_BYTES_MAX
    assert time.process_time() - started < 2
