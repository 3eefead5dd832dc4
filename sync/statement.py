"""A statement: what one person says and signs, immutable, named by the hash of its header.

Not its authority: whether it counts is for the charter. The header holds only a salted commitment to the
body, so that a body can be erased and everything else still verifies. One rule: the bytes of the header are
what counts; names in it that are unknown here are kept.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass, field, replace
from functools import cached_property
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Literal

from sync.canonical import NAME, canonical_bytes, parse_canonical
from sync.errors import DamagedError, LocalError, RemoteError
from sync.keys import SigningKey, verify
from sync.limits import (
    AFTER_MAX,
    ATTACHMENTS_MAX,
    BODY_BYTES_MAX,
    BODY_BYTES_MIN,
    HEADER_BYTES_MAX,
)
from sync.shape import (
    SALT_BYTES,
    require_hex,
    require_hex_or_none,
    require_list,
    require_number,
    require_object,
    require_sorted,
    require_text,
    require_time,
    require_version,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from sync.usual import UsualHeader

VERSION = 1
HEADER_NAMES = frozenset(
    {"after", "attachments", "author", "body", "critical", "kind", "previous", "size", "time", "v"},
)
Lane = Literal["urgent", "text"]
Signer = Literal["site", "trainer", "reviewer", "steward", "volunteer"]
_DAMAGED = "look for another copy of the same bundle; this one is damaged or forged"


@dataclass(frozen=True)
class KindRule:
    """One row of the table of kinds, which whoever uses ``sync`` hands in.

    Attributes:
        name: For example ``fieldbook/edition``.
        lane: ``urgent`` travels and is applied before ``text``.
        signers: Roles that may sign it; with ``volunteer`` anyone vouched for may.
        stops: Whether it stops something; stewards say in heartbeats how many such there are.
    """

    name: str
    lane: Lane
    signers: frozenset[Signer]
    stops: bool = False


@dataclass(frozen=True)
class Statement:
    """One statement, with or without its body.

    Attributes:
        id: SHA-256 over the header, 64 hex.
        header_bytes: The canonical header.
        body_bytes: The canonical body, or None where it is absent.
        salt: 16 bytes, or None where the body is absent.
        signature: 64 bytes.
        author: The key that signed.
        kind: What is said, for example ``fieldbook/edition``.
        after: The ids that this statement answers, sorted.
        attachments: The ids of the files that belong to it, sorted.
        critical: Names of body fields that a reader must understand, sorted.
        previous: This author's previous statement.
        claimed: The time as claimed, of the right form but perhaps in no calendar.
        size: Length of the body, present or not [bytes].
    """

    id: str
    header_bytes: bytes = field(repr=False)
    body_bytes: bytes | None = field(repr=False)
    salt: bytes | None = field(repr=False)
    signature: bytes = field(repr=False)
    author: str
    kind: str
    after: tuple[str, ...]
    attachments: tuple[str, ...]
    critical: tuple[str, ...]
    previous: str | None
    claimed: str | None
    size: int

    def __hash__(self) -> int:
        """The id suffices."""
        return hash(self.id)

    @property
    def header(self) -> dict[str, Any]:
        """The header with the names unknown here; parsed anew each time, so that a batch stays small in memory."""
        value: dict[str, Any] = json.loads(self.header_bytes)
        return value

    @property
    def time(self) -> str | None:
        """The claimed time, for people; None where it is not stated or no calendar has it."""
        return self.claimed if self.claimed is not None and _in_calendar(self.claimed) else None

    @cached_property
    def body(self) -> dict[str, Any] | None:
        """The body as parsed, None where it is absent; not to be changed.

        Raises:
            DamagedError: It was verified when it came in, and has been damaged in the store since.
        """
        if self.body_bytes is None:
            return None
        try:
            value: dict[str, Any] = json.loads(self.body_bytes)
        except ValueError as error:
            raise DamagedError(
                f"the store of this site is damaged: the body of statement {self.id[:8]} cannot be read"
            ) from error
        return value

    def without_body(self) -> Statement:
        """The same statement with its body and salt erased; id and signature still hold."""
        return replace(self, body_bytes=None, salt=None)

    def verify(self, network_id: str) -> None:
        """Check the author's signature for this network.

        Raises:
            RemoteError: It does not hold.
        """
        if not verify(self.author, self.signature, signed_statement(network_id, self.header_bytes)):
            raise RemoteError(
                f"the signature of statement {self.id[:8]} ({self.kind}) by {self.author[:8]} does not hold",
                hint=_DAMAGED,
            )


def signed_statement(network_id: str, header_bytes: bytes) -> bytes:
    """The bytes that an author signs."""
    return b"sync 1 statement\n" + bytes.fromhex(network_id) + header_bytes


def statement_id(header_bytes: bytes) -> str:
    """The name of a statement, 64 hex."""
    return sha256(b"sync 1 statement id\n" + header_bytes).hexdigest()


def body_commitment(salt: bytes, body_bytes: bytes) -> str:
    """What a header holds in place of its body, 64 hex."""
    return sha256(b"sync 1 body\n" + salt + body_bytes).hexdigest()


def author_statement(
    *,
    key: SigningKey,
    network_id: str,
    kind: str,
    body: Mapping[str, Any],
    after: Iterable[str] = (),
    attachments: Iterable[str] = (),
    critical: Iterable[str] = (),
    previous: str | None = None,
    time: str | None = None,
    salt: bytes,
) -> Statement:
    """Say something and sign it.

    Args:
        key: The author's.
        network_id: 64 hex.
        kind: For example ``fieldbook/edition``.
        body: A JSON object within the profile.
        after: Ids answered, in any order.
        attachments: Ids of files, in any order.
        critical: Names of body fields that a reader must understand.
        previous: This author's previous statement.
        time: A claim of the form ``2026-11-25T10:02:00Z``.
        salt: 16 random bytes, never used twice.

    Raises:
        LocalError: The statement would not be accepted anywhere.
    """
    body_bytes = canonical_bytes(dict(body))
    header = {
        "after": sorted(set(after)),
        "attachments": sorted(set(attachments)),
        "author": key.public,
        "body": body_commitment(salt, body_bytes),
        "critical": sorted(set(critical)),
        "kind": kind,
        "previous": previous,
        "size": len(body_bytes),
        "time": time,
        "v": VERSION,
    }
    header_bytes = canonical_bytes(header)
    signature = key.sign(signed_statement(network_id, header_bytes))
    if time is not None and not _in_calendar(time):
        raise LocalError(
            f"{time!a} is not a time of the form 2026-11-25T10:02:00Z", hint="set the clock of this machine"
        )
    try:
        return read_statement(header_bytes, body_bytes, salt, signature)
    except RemoteError as error:
        raise LocalError(error.message, hint="say less at once: fewer words, or fewer photos") from error


def read_statement(header_bytes: bytes, body_bytes: bytes | None, salt: bytes | None, signature: bytes) -> Statement:
    """A statement from its four parts, all checked but the signature (`Statement.verify`).

    Raises:
        RemoteError: A part has not the form agreed, or the body is not the one committed to.
    """
    header = parse_canonical(header_bytes, limit_bytes=HEADER_BYTES_MAX)
    if body_bytes is not None and type(parse_canonical(body_bytes, limit_bytes=BODY_BYTES_MAX)) is not dict:
        raise RemoteError("the body of a statement is not an object")
    return assemble_statement(header, header_bytes, body_bytes, salt, signature)


def assemble_statement(
    header: Any, header_bytes: bytes, body_bytes: bytes | None, salt: bytes | None, signature: bytes
) -> Statement:
    """A statement from parts known to be canonical: shape of the header, size and commitment are checked.

    Raises:
        RemoteError: As `read_statement`.
    """
    require_header(header)
    if len(header_bytes) > HEADER_BYTES_MAX:
        raise RemoteError(f"a header has {len(header_bytes)} bytes where at most {HEADER_BYTES_MAX} are allowed")
    name = statement_id(header_bytes)
    if (salt is None) != (body_bytes is None) or (salt is not None and len(salt) != SALT_BYTES):
        raise RemoteError(f"statement {name[:8]} needs a salt of {SALT_BYTES} bytes where its body is, and only there")
    if body_bytes is not None and salt is not None:
        _require_body(name, header, body_bytes, salt)
    return Statement(name, header_bytes, body_bytes, salt, signature, **_fields(header))


def usual_statement(header: UsualHeader, body_bytes: bytes, salt: bytes, signature: bytes) -> Statement:
    """A statement whose header is of the usual form, beside a body that is known to be a canonical object.

    Args:
        header: As recognised.
        body_bytes: At most as many as a body may have.
        salt: 16 bytes.
        signature: 64 bytes, not checked here.
    """
    header_bytes = header.whole(body_commitment(salt, body_bytes), len(body_bytes))
    return Statement(
        statement_id(header_bytes),
        header_bytes,
        body_bytes,
        salt,
        signature,
        author=header.author,
        kind=header.kind,
        after=header.after,
        attachments=header.attachments,
        critical=(),
        previous=header.previous,
        claimed=header.claimed,
        size=len(body_bytes),
    )


def reopen_statement(
    name: str, header_bytes: bytes, body_bytes: bytes | None, salt: bytes | None, signature: bytes
) -> Statement:
    """A statement as our own store kept it, checked when it was taken in and not again.

    Args:
        name: Its id.
        header_bytes: Canonical.
        body_bytes: Canonical, or None.
        salt: 16 bytes, or None.
        signature: 64 bytes.
    """
    return Statement(name, header_bytes, body_bytes, salt, signature, **_fields(json.loads(header_bytes)))


def _fields(header: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "author": header["author"],
        "kind": header["kind"],
        "after": tuple(header["after"]),
        "attachments": tuple(header["attachments"]),
        "critical": tuple(header["critical"]),
        "previous": header["previous"],
        "claimed": header["time"],
        "size": header["size"],
    }


def require_header(header: Any) -> None:
    """Check the shape of a header, unknown names allowed.

    Raises:
        UnknownVersionError: Its ``v`` is not ours.
        RemoteError: A field is missing or has not the form agreed.
    """
    if type(header) is not dict:
        raise RemoteError("the header of a statement is not an object")
    require_version(header, "statement", VERSION)
    require_object(header, "the header of a statement", names=HEADER_NAMES, more=True)
    require_hex(header["author"], "the author")
    require_hex(header["body"], "the commitment to the body")
    require_text(header["kind"], "the kind")
    require_hex_or_none(header["previous"], "the previous statement")
    require_number(header["size"], "the size of the body", least=BODY_BYTES_MIN, most=BODY_BYTES_MAX)
    require_time(header["time"], "the time")
    _require_ids(header["after"], "after", most=AFTER_MAX)
    _require_ids(header["attachments"], "attachments", most=ATTACHMENTS_MAX)
    _require_critical(header["critical"])


def _require_ids(value: Any, where: str, *, most: int) -> None:
    ids = [require_hex(one, f"an id in {where}") for one in require_list(value, where)]
    require_sorted(ids, where, most=most)


def _require_critical(value: Any) -> None:
    names = [require_text(one, "a name in critical") for one in require_list(value, "critical")]
    if not all(NAME.fullmatch(name) for name in names):
        raise RemoteError("critical holds what is no name of a field")
    require_sorted(names, "critical")


def _require_body(name: str, header: Mapping[str, Any], body_bytes: bytes, salt: bytes) -> None:
    if len(body_bytes) != header["size"]:
        raise RemoteError(
            f"the body of statement {name[:8]} has {len(body_bytes)} bytes, its header says {header['size']}",
            hint=_DAMAGED,
        )
    if body_commitment(salt, body_bytes) != header["body"]:
        raise RemoteError(f"the body of statement {name[:8]} is not the one that its header commits to", hint=_DAMAGED)


def _in_calendar(time: str) -> bool:
    try:
        dt.datetime.strptime(time, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=dt.UTC)
    except ValueError:
        return False
    return len(time) == len("2026-11-25T10:02:00Z")
