"""A bundle is read whole in its one form, or not at all; a copy may lack bodies and still hold."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import zlib
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync.bundle import BUNDLE_PATH, Bundle, assemble_bundle, parse_bundle, seal_bundle, signed_bundle
from sync.errors import LocalError, RemoteError, UnknownVersionError
from sync.limits import BUNDLE_PACKED_BYTES_MAX
from sync.statement import signed_statement
from tests.sync.scene import C1, C3, LOG, NETWORK, SITE, TIME, say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from sync.statement import Statement

FIRST = say(1, time=TIME)
SECOND = say(2, key=C3, kind="fieldbook/approval", after=[FIRST.id])
THIRD = say(3, body={"title": {"sw": "Mistari ya vitunguu — é"}})


def sealed(statements: Iterable[Statement] = (FIRST, SECOND, THIRD), **parts: Any) -> Bundle:
    said: dict[str, Any] = {"log": LOG, "lane": "text", "number": 1, "previous": None}
    return seal_bundle(key=SITE, network_id=NETWORK.id, statements=statements, **{**said, **parts})


def stripped(bundle: Bundle, *absent: int) -> Bundle:
    kept = [s.without_body() if n in absent else s for n, s in enumerate(bundle.statements)]
    return assemble_bundle(bundle.header, bundle.signature, kept)


def check(data: bytes) -> Bundle:
    """Read a file as the intake does, with every signature."""
    bundle = parse_bundle(data)
    bundle.verify(NETWORK.id)
    for statement in bundle.statements:
        statement.verify(NETWORK.id)
    return bundle


def packed(*lines: Any) -> bytes:
    """A file from four lines, given as text or as values, by another packer than ours."""
    texts = [line if isinstance(line, bytes) else compact(line) for line in lines]
    return gzip.compress(b"".join(text + b"\n" for text in texts), mtime=0)


def compact(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def lines_of(bundle: Bundle) -> list[Any]:
    return [json.loads(line) for line in bundle.lines().splitlines()]


@pytest.mark.parametrize("absent", [(), (0,), (1, 2), (0, 1, 2)])
def test_a_copy_is_read_back_as_it_was_written_whatever_bodies_it_lacks(absent: tuple[int, ...]) -> None:
    copy = stripped(sealed(), *absent)
    read = check(copy.to_bytes())
    assert read == copy
    assert read.id == sealed().id
    assert read.absent == len(absent)


def test_the_four_lines_are_those_of_the_format() -> None:
    copy = stripped(sealed(), 1)
    first, headers, bodies, proofs = lines_of(copy)
    signature = base64.b64encode(copy.signature).decode()
    assert first == {
        "bundle": {"lane": "text", "log": LOG, "number": 1, "previous": None, "site": SITE.public, "v": 1},
        "signature": signature,
    }
    assert [sorted(set(SECOND.header) - set(header)) for header in headers] == [["body", "size"], [], ["body", "size"]]
    assert bodies == [FIRST.body, None, THIRD.body]
    assert [proof[0] is None for proof in proofs] == [False, True, False]
    assert [base64.b64decode(proof[1]) for proof in proofs] == [s.signature for s in (FIRST, SECOND, THIRD)]
    assert copy.lines() == b"".join(compact(line) + b"\n" for line in (first, headers, bodies, proofs))


def test_id_and_signature_are_over_the_header_with_the_ids_in_their_order() -> None:
    bundle = sealed((THIRD, FIRST), number=8, previous="ab" * 32)
    header = compact({**bundle.header, "statements": [THIRD.id, FIRST.id]})
    assert bundle.id == hashlib.sha256(b"sync 1 bundle id\n" + header).hexdigest()
    assert (bundle.number, bundle.previous, bundle.lane, bundle.log) == (8, "ab" * 32, "text", LOG)
    assert bundle.signature == SITE.sign(b"sync 1 bundle\n" + bytes.fromhex(NETWORK.id) + header)
    assert bundle.id != sealed((FIRST, THIRD), number=8, previous="ab" * 32).id


def test_its_name_on_a_carrier_tells_site_log_lane_number_and_absent_bodies() -> None:
    copy = stripped(sealed(number=42), 0, 2)
    assert copy.path == f"sites/{SITE.public[:26]}/{LOG}/text/00000042-{copy.id[:26]}-2.bundle"
    assert BUNDLE_PATH.fullmatch(copy.path)


@pytest.mark.parametrize(
    "path",
    [
        "sites/../../etc/passwd", "/sites/x", sealed().path.upper(), sealed().path + "~", sealed().path + "\n",
        sealed().path.replace("-0.b", "-00.b"), sealed().path.replace("text", "other"), "sites/" + sealed().path,
    ],
)  # fmt: skip
def test_no_other_name_is_a_name_of_a_bundle(path: str) -> None:
    assert not BUNDLE_PATH.fullmatch(path)


def test_the_file_is_one_gzip_member_without_name_or_time_that_any_reader_unpacks() -> None:
    data = sealed().to_bytes()
    assert data[:8] == b"\x1f\x8b\x08\x00\x00\x00\x00\x00"
    assert gzip.decompress(data) == sealed().lines()
    assert data == sealed().to_bytes()


@pytest.mark.parametrize("level", [0, 1, 6, 9])
def test_a_file_packed_by_another_packer_is_the_same_bundle(level: int) -> None:
    assert check(gzip.compress(sealed().lines(), compresslevel=level, mtime=0)) == sealed()


def test_names_unknown_in_the_bundle_header_are_kept_under_the_signature() -> None:
    header = {**sealed().header, "zone": {"a": [1]}}
    whole = compact({**header, "statements": [FIRST.id]})
    signature = SITE.sign(b"sync 1 bundle\n" + bytes.fromhex(NETWORK.id) + whole)
    bundle = assemble_bundle(header, signature, [FIRST])
    assert check(bundle.to_bytes()) == bundle


# --- one form only


def test_a_file_cut_at_any_byte_is_refused() -> None:
    data = sealed().to_bytes()
    for length in range(len(data)):
        with pytest.raises(RemoteError):
            parse_bundle(data[:length])


@given(st.integers(0, len(sealed().to_bytes()) * 8 - 1))
def test_a_flipped_bit_is_refused_or_lies_where_nothing_is_read(bit: int) -> None:
    data = bytearray(sealed().to_bytes())
    data[bit // 8] ^= 1 << bit % 8
    try:
        read = check(bytes(data))
    except RemoteError:
        return
    assert read == sealed()
    assert gzip.decompress(data) == sealed().lines(), "a bit that no unpacker reads"


SOUND = sealed().lines()
GZIP = gzip.compress(SOUND, mtime=0)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (GZIP + b"\0", "1 bytes follow the end"),
        (GZIP + GZIP, "bytes follow the end"),
        (gzip.compress(SOUND[:10], mtime=0) + gzip.compress(SOUND[10:], mtime=0), "bytes follow the end"),
        (gzip.compress(SOUND, mtime=1), "without flags and time"),
        (GZIP[:3] + b"\x08" + GZIP[4:10] + b"name\0" + GZIP[10:], "without flags and time"),
        (zlib.compress(SOUND), "without flags and time"),
        (SOUND, "without flags and time"),
        (b"", "without flags and time"),
        (GZIP[:-8] + b"\0\0\0\0" + GZIP[-4:], "cannot be unpacked"),
        (GZIP[:-4] + b"\0\0\0\0", "cannot be unpacked"),
        (gzip.compress(SOUND[:-1], mtime=0), "exactly 4 lines"),
        (gzip.compress(SOUND + b"\n", mtime=0), "exactly 4 lines"),
        (gzip.compress(SOUND + b"x", mtime=0), "exactly 4 lines"),
        (gzip.compress(SOUND.replace(b"\n", b"\r\n"), mtime=0), "canonical spelling"),
        (b"\0" * BUNDLE_PACKED_BYTES_MAX, "without flags and time"),
        (b"\0" * (BUNDLE_PACKED_BYTES_MAX + 1), "too many for a bundle"),
    ],
    ids=range(16),
)
def test_another_packing_of_the_same_lines_is_refused(data: bytes, reason: str) -> None:
    with pytest.raises(RemoteError, match=reason):
        parse_bundle(data)


CHANGES: dict[str, Callable[[Any, Any, Any, Any], Any]] = {
    "an unsigned name beside the bundle": lambda f, h, b, p: [{**f, "note": ""}, h, b, p],
    "the list of statements sent along": lambda f, h, b, p: [
        {**f, "bundle": {**f["bundle"], "statements": []}}, h, b, p
    ],
    "no signature of the site": lambda f, h, b, p: [{"bundle": f["bundle"]}, h, b, p],
    "a bundle that is no object": lambda f, h, b, p: [{**f, "bundle": []}, h, b, p],
    "a first line that is a list": lambda f, h, b, p: [[f], h, b, p],
    "a header fewer": lambda f, h, b, p: [f, h[1:], b, p],
    "a body fewer": lambda f, h, b, p: [f, h, b[1:], p],
    "a signature fewer": lambda f, h, b, p: [f, h, b, p[1:]],
    "a body more": lambda f, h, b, p: [f, h, [*b, {}], p],
    "nothing at all": lambda f, _h, _b, _p: [f, [], [], []],
    "headers that are no list": lambda f, _h, b, p: [f, {}, b, p],
    "the size stated beside its body": lambda f, h, b, p: [f, [{**h[0], "size": len(compact(b[0]))}, *h[1:]], b, p],
    "the commitment stated beside its body": lambda f, h, b, p: [
        f, [{**h[0], "body": FIRST.header["body"]}, *h[1:]], b, p
    ],
    "a body taken out, its header left short": lambda f, h, b, p: [
        f, h, [None, *b[1:]], [[None, p[0][1]], *p[1:]]
    ],
    "a body taken out, its salt left": lambda f, h, b, p: [f, [FIRST.header, *h[1:]], [None, *b[1:]], p],
    "a salt taken out, its body left": lambda f, h, b, p: [f, h, b, [[None, p[0][1]], *p[1:]]],
    "a body that is a list": lambda f, h, b, p: [f, h, [[], *b[1:]], p],
    "a body that is false": lambda f, h, b, p: [f, h, [False, *b[1:]], p],
    "a header that is null": lambda f, h, b, p: [f, [None, *h[1:]], b, p],
    "a pair of three": lambda f, h, b, p: [f, h, b, [[*p[0], 0], *p[1:]]],
    "a pair that is an object": lambda f, h, b, p: [f, h, b, [{}, *p[1:]]],
    "a salt of 15 bytes": lambda f, h, b, p: [f, h, b, [[b64(bytes(15)), p[0][1]], *p[1:]]],
    "a salt without padding": lambda f, h, b, p: [f, h, b, [[p[0][0].rstrip("="), p[0][1]], *p[1:]]],
    "the last character of a salt altered unseen": lambda f, h, b, p: [f, h, b, [[altered(p[0][0]), p[0][1]], *p[1:]]],
    "the last character of a signature altered unseen": lambda f, h, b, p: [
        f, h, b, [[p[0][0], altered(p[0][1])], *p[1:]]
    ],
    "the last character of the seal altered unseen": lambda f, h, b, p: [
        {**f, "signature": altered(f["signature"])}, h, b, p
    ],
    "another body": lambda f, h, b, p: [f, h, [{**b[0], "weeks": 2}, *b[1:]], p],
    "two statements exchanged": lambda f, h, b, p: [f, h[1::-1] + h[2:], b[1::-1] + b[2:], p[1::-1] + p[2:]],
    "two bodies exchanged": lambda f, h, b, p: [f, h, b[1::-1] + b[2:], p],
    "a statement left out": lambda f, h, b, p: [f, h[1:], b[1:], p[1:]],
    "a statement twice": lambda f, h, b, p: [f, h[:1] + h, b[:1] + b, p[:1] + p],
    "another number": lambda f, h, b, p: [{**f, "bundle": {**f["bundle"], "number": 2}}, h, b, p],
}  # fmt: skip


def b64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def altered(text: str) -> str:
    """Another spelling of the same bytes: the unused bits of the last character changed."""
    place = text.index("=") - 1
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
    changed = text[:place] + alphabet[alphabet.index(text[place]) ^ 1] + text[place + 1 :]
    assert base64.b64decode(changed) == base64.b64decode(text)
    return changed


def test_the_same_lines_packed_by_the_tests_are_accepted() -> None:
    assert check(packed(*lines_of(sealed()))) == sealed()


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_lines_that_were_changed_are_refused(change: Callable[[Any, Any, Any, Any], Any]) -> None:
    with pytest.raises(RemoteError):
        check(packed(*change(*lines_of(sealed()))))


@pytest.mark.parametrize("body", ["[]", "null", "7", '"{}"'])
@pytest.mark.parametrize("more", [{}, {"zone": 1}], ids=["the usual header", "a name more in the header"])
def test_a_body_that_is_no_object_is_refused_though_author_and_site_signed_it(body: str, more: dict[str, Any]) -> None:
    """Else one site would hold what another refuses."""
    header = {**FIRST.header, **more, "size": len(body)}
    header["body"] = hashlib.sha256(b"sync 1 body\n" + (FIRST.salt or b"") + body.encode()).hexdigest()
    whole = compact(header)
    proof = [b64(FIRST.salt or b""), b64(C1.sign(signed_statement(NETWORK.id, whole)))]
    name = hashlib.sha256(b"sync 1 statement id\n" + whole).hexdigest()
    signed = compact({**sealed().header, "statements": [name]})
    first = {"bundle": sealed().header, "signature": b64(SITE.sign(signed_bundle(NETWORK.id, signed)))}
    del header["body"], header["size"]
    with pytest.raises(RemoteError):
        parse_bundle(packed(first, [header], [json.loads(body)], [proof]))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("lane", "other"), ("lane", None), ("lane", ["text"]), ("log", LOG.upper()), ("log", LOG[:-1]), ("number", 0),
        ("number", 100_000_000), ("number", "1"), ("number", True), ("previous", ""), ("previous", 0),
        ("site", SITE.public.upper()), ("v", None), ("v", "1"), ("v", True),
    ],
)  # fmt: skip
def test_a_bundle_header_that_breaks_a_rule_is_refused(field: str, value: object) -> None:
    with pytest.raises(RemoteError):
        assemble_bundle({**sealed().header, field: value}, sealed().signature, [FIRST])


@pytest.mark.parametrize("name", sorted(sealed().header))
def test_a_bundle_header_without_one_of_its_fields_is_refused(name: str) -> None:
    header = {field: value for field, value in sealed().header.items() if field != name}
    with pytest.raises(RemoteError, match=r"lacks|states no version"):
        assemble_bundle(header, sealed().signature, [FIRST])


def test_a_bundle_of_another_network_does_not_hold() -> None:
    with pytest.raises(RemoteError, match=f"site {SITE.public[:8]} under its bundle does not hold"):
        sealed().verify("00" * 32)


# --- versions to come


@pytest.mark.parametrize("lines", [4, 1, 9])
def test_a_newer_bundle_is_told_apart_whatever_follows_its_first_line(lines: int) -> None:
    first = {"bundle": {"v": 2, "else": [[[]]]}, "signature": 7, "more": 0.5}
    data = packed(first, *([b"\xff not json"] * (lines - 1)))
    for file in (data, data + b"trailing", data[:-9], data + bytes(BUNDLE_PACKED_BYTES_MAX)):
        with pytest.raises(UnknownVersionError, match="bundle is of version 2"):
            parse_bundle(file)


def test_a_newer_statement_in_a_bundle_is_told_apart_from_damage() -> None:
    first, headers, bodies, proofs = lines_of(sealed())
    with pytest.raises(UnknownVersionError, match="statement is of version 2"):
        parse_bundle(packed(first, [{**headers[0], "v": 2}, *headers[1:]], bodies, proofs))


# --- sealing


@pytest.mark.parametrize("parts", [{"lane": "other"}, {"log": "x"}, {"number": 0}, {"previous": "x"}])
def test_what_nobody_would_accept_is_not_sealed(parts: dict[str, Any]) -> None:
    with pytest.raises(LocalError):
        sealed(**parts)
