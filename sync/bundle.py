"""A bundle: an immutable, numbered batch of statements, sealed and signed by a site.

Not the site's right to seal, nor the statements' authority: intake and charter judge those. A file is one
gzip member of four lines (bundle, headers, bodies, salts with signatures); what can be recomputed is not
sent, bodies are not under the site's signature. One rule: a copy is read whole or not at all, and what is
wrong in it accuses the copy, never the site.
"""

from __future__ import annotations

import json
import re
import zlib
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any, cast

from sync.canonical import canonical_bytes, parse_canonical, parse_elements, respelled
from sync.errors import LocalError, RemoteError, UnknownVersionError
from sync.keys import SigningKey, verify
from sync.limits import (
    BODY_BYTES_MAX,
    BUNDLE_LINES,
    BUNDLE_PACKED_BYTES_MAX,
    BUNDLE_STATEMENTS_MAX,
    BUNDLE_UNPACKED_BYTES_MAX,
    HEADER_BYTES_MAX,
    HEX_IN_NAMES,
    LOG_HEX,
    NUMBER_MAX,
    WRAPPED_DEPTH_MAX,
)
from sync.shape import (
    SALT_BYTES,
    SIGNATURE_BYTES,
    from_base64,
    require_hex,
    require_hex_or_none,
    require_list,
    require_log,
    require_number,
    require_object,
    require_text,
    require_version,
    to_base64,
)
from sync.statement import Lane, Statement, assemble_statement, body_commitment, usual_statement
from sync.usual import UsualHeader, usual_header, usual_proof

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

VERSION = 1
BUNDLE_PATH = re.compile(
    rf"sites/(?P<site>[0-9a-f]{{{HEX_IN_NAMES}}})/(?P<log>[0-9a-f]{{{LOG_HEX}}})/(?P<lane>urgent|text)/"
    rf"(?P<number>[0-9]{{8}})-(?P<id>[0-9a-f]{{{HEX_IN_NAMES}}})-(?P<absent>0|[1-9][0-9]{{0,3}})\.bundle"
)
_HEADER_NAMES = frozenset({"lane", "log", "number", "previous", "site", "v"})
_RECOMPUTED = ("body", "size")
_GZIP_HEAD = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff"  # RFC 1952: deflate, no flags, time 0, best, system unknown
_GZIP_FIXED = 8  # the last two of the ten bytes are hints of the packer and are not looked at
_OWN_CODES_BYTES = 3072  # from here on each line gains more by codes of its own (ids, words, base64) than they take
_ELEMENT_BYTES_MAX = 256  # a salt and a signature take 120
_SEAL_FEWER = "seal 1 to 1,000 statements at once, none of them twice"
_DAMAGED = "nothing of it was taken; whoever holds a sound copy leaves it again"


@dataclass(frozen=True)
class Bundle:
    """A bundle, or a copy of it from which bodies are absent.

    Attributes:
        header: The bundle header without the list of statements, with the names unknown here.
        id: SHA-256 over the whole header, 64 hex.
        signature: 64 bytes, by the site.
        statements: In the order sealed.
    """

    header: Mapping[str, Any]
    id: str
    signature: bytes
    statements: tuple[Statement, ...]

    @property
    def site(self) -> str:
        """Key of the site that sealed it."""
        return str(self.header["site"])

    @property
    def log(self) -> str:
        """Random id of that site's log, 16 hex."""
        return str(self.header["log"])

    @property
    def lane(self) -> Lane:
        """``urgent`` or ``text``."""
        return cast("Lane", self.header["lane"])

    @property
    def number(self) -> int:
        """Place in its log and lane, from 1."""
        return int(self.header["number"])

    @property
    def previous(self) -> str | None:
        """Id of the bundle before it."""
        value: str | None = self.header["previous"]
        return value

    @property
    def absent(self) -> int:
        """How many bodies this copy lacks: the ``k`` of its file name."""
        return sum(statement.body_bytes is None for statement in self.statements)

    @property
    def path(self) -> str:
        """Where this copy lies in the network's folder on a carrier."""
        return (
            f"sites/{self.site[:HEX_IN_NAMES]}/{self.log}/{self.lane}/"
            f"{self.number:08d}-{self.id[:HEX_IN_NAMES]}-{self.absent}.bundle"
        )

    def verify(self, network_id: str) -> None:
        """Check the site's signature for this network; the statements are checked by `Statement.verify`.

        Raises:
            RemoteError: It does not hold.
        """
        signed = signed_bundle(network_id, _signed_header(self.header, self.statements))
        if not verify(self.site, self.signature, signed):
            raise RemoteError(f"the signature of site {self.site[:8]} under its bundle does not hold", hint=_DAMAGED)

    def to_bytes(self) -> bytes:
        """The file of this copy."""
        return _pack(self.lines())

    def lines(self) -> bytes:
        """The four lines, unpacked."""
        first = canonical_bytes(
            {"bundle": dict(self.header), "signature": to_base64(self.signature)}, depth_max=WRAPPED_DEPTH_MAX
        )
        headers = [_sent_header(statement) for statement in self.statements]
        bodies = [statement.body_bytes or b"null" for statement in self.statements]
        proofs = [_sent_proof(statement) for statement in self.statements]
        return b"".join([first, b"\n", _array(headers), _array(bodies), _array(proofs)])


def signed_bundle(network_id: str, header_bytes: bytes) -> bytes:
    """The bytes that a site signs."""
    return b"sync 1 bundle\n" + bytes.fromhex(network_id) + header_bytes


def bundle_id(header_bytes: bytes) -> str:
    """The name of a bundle, 64 hex."""
    return sha256(b"sync 1 bundle id\n" + header_bytes).hexdigest()


def seal_bundle(
    *,
    key: SigningKey,
    network_id: str,
    log: str,
    lane: Lane,
    number: int,
    previous: str | None,
    statements: Iterable[Statement],
) -> Bundle:
    """Seal statements into a bundle and sign it.

    Args:
        key: The site's.
        network_id: 64 hex.
        log: The site's present log, 16 hex.
        lane: ``urgent`` or ``text``.
        number: One more than the last of this log and lane.
        previous: Id of that last bundle.
        statements: 1 to 1,000, in the order to be sealed.

    Raises:
        LocalError: The bundle would not be accepted anywhere.
    """
    header = {"lane": lane, "log": log, "number": number, "previous": previous, "site": key.public, "v": VERSION}
    sealed = tuple(statements)
    signature = key.sign(signed_bundle(network_id, _signed_header(header, sealed)))
    try:
        bundle = assemble_bundle(header, signature, sealed)
    except RemoteError as error:
        raise LocalError(error.message, hint=_SEAL_FEWER) from error
    if len(bundle.lines()) > BUNDLE_UNPACKED_BYTES_MAX or len(bundle.to_bytes()) > BUNDLE_PACKED_BYTES_MAX:
        raise LocalError(f"{len(sealed)} statements are too many bytes for one bundle", hint=_SEAL_FEWER)
    return bundle


def assemble_bundle(header: Any, signature: bytes, statements: Iterable[Statement]) -> Bundle:
    """A bundle from its parts, all checked but the signature.

    Args:
        header: As `Bundle.header`.
        signature: 64 bytes.
        statements: In the order sealed, with or without bodies.

    Raises:
        UnknownVersionError: The ``v`` of the header is not ours.
        RemoteError: A part has not the form agreed.
    """
    _require_header(header)
    kept = tuple(statements)
    if not 1 <= len(kept) <= BUNDLE_STATEMENTS_MAX:
        raise RemoteError(f"a bundle of {len(kept)} statements; there may be 1 to {BUNDLE_STATEMENTS_MAX}")
    if len({statement.id for statement in kept}) != len(kept):
        raise RemoteError("a bundle holds one statement twice")
    return Bundle(header, bundle_id(_signed_header(header, kept)), signature, kept)


def parse_bundle(data: bytes) -> Bundle:
    """A bundle from its file; neither its signature nor its statements' are checked here.

    Args:
        data: The file, or its first bytes where it is longer than any bundle may be.

    Raises:
        UnknownVersionError: A newer version: never remove the file.
        RemoteError: The copy is damaged, too large, or not in its one form.
    """
    _refuse_newer(data)
    if len(data) > BUNDLE_PACKED_BYTES_MAX:
        raise RemoteError(
            f"the file has more than {BUNDLE_PACKED_BYTES_MAX} bytes, too many for a bundle", hint=_DAMAGED
        )
    text = _unpack(data)
    if text.count(b"\n") != BUNDLE_LINES or text[-1:] != b"\n":
        raise RemoteError(f"the file does not hold exactly {BUNDLE_LINES} lines", hint=_DAMAGED)
    first, headers, bodies, proofs, _ = text.split(b"\n")
    del text
    header, signature = _read_first(first)
    return assemble_bundle(header, signature, _read_statements(headers, bodies, proofs))


def _read_first(line: bytes) -> tuple[Any, bytes]:
    wrapper = parse_canonical(line, limit_bytes=HEADER_BYTES_MAX, depth_max=WRAPPED_DEPTH_MAX)
    require_object(wrapper, "the first line", names={"bundle", "signature"}, more=False)
    return wrapper["bundle"], from_base64(wrapper["signature"], "the signature of the site", length=SIGNATURE_BYTES)


def _read_statements(headers: bytes, bodies: bytes, proofs: bytes) -> list[Statement]:
    rows = zip(
        parse_elements(headers, limit_bytes=HEADER_BYTES_MAX, usual=usual_header),
        parse_elements(bodies, limit_bytes=BODY_BYTES_MAX),
        parse_elements(proofs, limit_bytes=_ELEMENT_BYTES_MAX, usual=usual_proof),
        strict=True,
    )
    statements: list[Statement] = []
    try:
        for (header, _), (body, body_bytes), (proof, _) in rows:
            statements.append(_read_statement(header, body, body_bytes, proof))
            if len(statements) > BUNDLE_STATEMENTS_MAX:
                raise RemoteError(f"a bundle of more than {BUNDLE_STATEMENTS_MAX} statements")
    except ValueError as error:
        raise RemoteError("the lines of the bundle hold unequal numbers of elements", hint=_DAMAGED) from error
    return statements


def _read_statement(header: Any, body: Any, body_bytes: bytes, proof: Any) -> Statement:
    if type(header) is UsualHeader:
        if type(body) is dict and type(proof) is tuple:
            return usual_statement(header, body_bytes, *proof)
        header = parse_canonical(header.text.encode(), limit_bytes=HEADER_BYTES_MAX)
    if type(header) is not dict or not (body is None or type(body) is dict):
        raise RemoteError("a bundle holds a header or a body that is not an object")
    salt, signature = _read_proof(proof, absent=body is None)
    if salt is None:
        return assemble_statement(header, respelled(header), None, None, signature)
    if any(name in header for name in _RECOMPUTED):
        raise RemoteError("a header beside its body states what is recomputed from it (body, size)")
    header["body"] = body_commitment(salt, body_bytes)
    header["size"] = len(body_bytes)
    return assemble_statement(header, respelled(header), body_bytes, salt, signature)


def _read_proof(value: Any, *, absent: bool) -> tuple[bytes | None, bytes]:
    pair = value if type(value) is tuple else require_list(value, "a salt with its signature")
    if len(pair) != 2 or (pair[0] is None) != absent:
        raise RemoteError("the last line pairs a salt, null where the body is absent, with a signature")
    if type(pair) is tuple:
        return pair
    salt = None if absent else from_base64(pair[0], "a salt", length=SALT_BYTES)
    return salt, from_base64(pair[1], "a signature", length=SIGNATURE_BYTES)


def _require_header(header: Any) -> None:
    if type(header) is not dict:
        raise RemoteError("the bundle header is not an object")
    require_version(header, "bundle", VERSION)
    require_object(header, "the bundle header", names=_HEADER_NAMES, more=True)
    if "statements" in header:
        raise RemoteError("the first line names the statements, which are recomputed")
    if require_text(header["lane"], "the lane of the bundle") not in {"urgent", "text"}:
        raise RemoteError("the lane of the bundle is neither urgent nor text")
    require_log(header["log"], "the log of the bundle")
    require_number(header["number"], "the number of the bundle", most=NUMBER_MAX)
    require_hex_or_none(header["previous"], "the bundle before")
    require_hex(header["site"], "the site of the bundle")


def _signed_header(header: Mapping[str, Any], statements: Iterable[Statement]) -> bytes:
    return respelled({**header, "statements": [statement.id for statement in statements]})


def _sent_header(statement: Statement) -> bytes:
    if statement.body_bytes is None:
        return statement.header_bytes
    return respelled({name: value for name, value in statement.header.items() if name not in _RECOMPUTED})


def _sent_proof(statement: Statement) -> bytes:
    salt = b"null" if statement.salt is None else b'"' + to_base64(statement.salt).encode() + b'"'
    return b"[" + salt + b',"' + to_base64(statement.signature).encode() + b'"]'


def _array(elements: list[bytes]) -> bytes:
    return b"[" + b",".join(elements) + b"]\n"


def _pack(text: bytes) -> bytes:
    """One gzip member (RFC 1952) without name or time."""
    deflate = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    packed = b""
    if len(text) >= _OWN_CODES_BYTES:
        for line in text.splitlines(keepends=True):
            packed += deflate.compress(line) + deflate.flush(zlib.Z_BLOCK)
    else:
        packed += deflate.compress(text)
    packed += deflate.flush()
    return _GZIP_HEAD + packed + zlib.crc32(text).to_bytes(4, "little") + len(text).to_bytes(4, "little")


def _unpack(data: bytes) -> bytes:
    if data[:_GZIP_FIXED] != _GZIP_HEAD[:_GZIP_FIXED]:
        raise RemoteError("the file is no gzip member without flags and time", hint=_DAMAGED)
    inflate = zlib.decompressobj(16 + zlib.MAX_WBITS)
    try:
        text = inflate.decompress(data, BUNDLE_UNPACKED_BYTES_MAX + 1)
    except zlib.error as error:
        raise RemoteError(f"the file cannot be unpacked: {error}", hint=_DAMAGED) from error
    if len(text) > BUNDLE_UNPACKED_BYTES_MAX:
        raise RemoteError(f"the file unpacks to more than {BUNDLE_UNPACKED_BYTES_MAX} bytes", hint=_DAMAGED)
    if not inflate.eof:
        raise RemoteError("the file is cut short", hint=_DAMAGED)
    if inflate.unused_data:
        raise RemoteError(f"{len(inflate.unused_data)} bytes follow the end of the bundle", hint=_DAMAGED)
    return text


def _refuse_newer(data: bytes) -> None:
    """Look at the first line alone, since a newer version may differ in everything that follows."""
    try:
        text = zlib.decompressobj(16 + zlib.MAX_WBITS).decompress(data, HEADER_BYTES_MAX)
        first = json.loads(text.split(b"\n", 1)[0])
    except (zlib.error, ValueError, RecursionError):
        return  # no first line to be read: damaged, which the caller will say better
    version = first["bundle"].get("v") if isinstance(first, dict) and isinstance(first.get("bundle"), dict) else VERSION
    if type(version) is int and version > VERSION:
        raise UnknownVersionError("bundle", version)
