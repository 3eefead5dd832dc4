"""A receipt: a site's signed word on what it holds.

Not evidence and not a command: it tells people who holds what, and steers order where a carrier is full.
One rule: it may be old, lost or a lie without harm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import islice
from typing import TYPE_CHECKING, Any, Literal

from sync.canonical import canonical_bytes, parse_canonical
from sync.errors import LocalError, RemoteError, TooManyValuesError
from sync.keys import SigningKey, verify
from sync.limits import HEX_IN_NAMES, LOG_HEX, NUMBER_MAX, RECEIPT_BYTES_MAX, RECEIPT_VALUES_MAX, WRAPPED_DEPTH_MAX
from sync.numbers import Numbers, numbers_taken_out
from sync.shape import (
    SIGNATURE_BYTES,
    from_base64,
    require_hex,
    require_list,
    require_log,
    require_number,
    require_object,
    require_version,
    to_base64,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

VERSION = 1
RECEIPT_PATH = re.compile(
    rf"receipts/(?P<site>[0-9a-f]{{{HEX_IN_NAMES}}})-(?P<log>[0-9a-f]{{{LOG_HEX}}})-"
    r"(?P<counter>[0-9]{8})-(?P<digest>[0-9a-f]{8})\.json"
)
Holding = Literal["lacking", "body", "redacted"]
_HOLDING_BYTE: Mapping[Holding, bytes] = {"lacking": b"\0", "body": b"\1", "redacted": b"\2"}
_OPENING = b'{"receipt":'
_LONG_BYTES = 64 * 1024
_IDS_AT_ONCE = 1024  # hashed in one go
_NAMES = frozenset({"counter", "fold", "follows", "held", "log", "set", "site", "state", "v"})


@dataclass(frozen=True)
class Receipt:
    """A receipt whose signature held.

    Attributes:
        site: Key of the site that wrote it.
        log: Its present log, 16 hex.
        counter: Grows with each receipt of that log, from 1.
        held: For each log the numbers up to which nothing is missing, (urgent, text); 0 is none.
        follows: The logs of this site that the present one follows.
        fold: Version of the fold that gave ``state``.
        set: Hash of the set of statements, 64 hex.
        state: Hash of the state, 64 hex.
        signature: 64 bytes.
        signed: The canonical bytes under it, with names unknown here.
    """

    site: str
    log: str
    counter: int
    held: Numbers
    follows: tuple[str, ...]
    fold: int
    set: str
    state: str
    signature: bytes
    signed: bytes = field(repr=False)

    @property
    def path(self) -> str:
        """Where it lies in the network's folder on a carrier."""
        return receipt_path(self.site, self.log, self.counter, self.to_bytes())

    def to_bytes(self) -> bytes:
        """The receipt file."""
        return _OPENING + self.signed + _closing(self.signature)


def receipt_path(site: str, log: str, counter: int, file: bytes) -> str:
    """Where a receipt lies in the network's folder on a carrier, from its site, log and counter and its file."""
    return f"receipts/{site[:HEX_IN_NAMES]}-{log}-{counter:08d}-{sha256(file).hexdigest()[:8]}.json"


def set_hash(ids: Iterable[bytes], *, otherwise: Mapping[bytes, Holding]) -> str:
    """The hash of a set of statements: equal exactly where two sites hold the same.

    Args:
        ids: Each statement id, 32 bytes, in any order.
        otherwise: What is held of a body, by id, where it is not simply here.
    """
    return set_hash_in_order(sorted(ids), otherwise=sorted(otherwise.items()))


def set_hash_in_order(ids: Iterable[bytes], *, otherwise: Iterable[tuple[bytes, Holding]]) -> str:
    """The same, where all comes in ascending order of the ids, and need not lie in memory together.

    Of one id that is told of twice the later word counts.
    """
    digest = sha256(b"sync 1 set\n")
    here = _HOLDING_BYTE["body"]
    coming, marking = iter(ids), iter(otherwise)
    mark = next(marking, None)
    while portion := list(islice(coming, _IDS_AT_ONCE)):
        marks: dict[bytes, bytes] = {}
        while mark is not None and mark[0] <= portion[-1]:
            marks[mark[0]] = _HOLDING_BYTE[mark[1]]
            mark = next(marking, None)
        digest.update(b"".join([name + marks.get(name, here) for name in portion]))
    return digest.hexdigest()


def state_hash(lines: Iterable[str]) -> str:
    """The hash of the folded state.

    Args:
        lines: Without their newlines, in the order agreed.
    """
    digest = sha256(b"fieldbook state 1\n")
    for line in lines:
        digest.update(line.encode() + b"\n")
    return digest.hexdigest()


def write_receipt(
    *,
    key: SigningKey,
    network_id: str,
    log: str,
    counter: int,
    held: Mapping[str, tuple[int, int]],
    follows: Iterable[str],
    fold: int,
    set_digest: str,
    state_digest: str,
) -> Receipt:
    """Write and sign a receipt; the arguments are as the attributes of `Receipt`.

    Raises:
        LocalError: It would not be accepted anywhere.
    """
    signed = canonical_bytes(
        {
            "counter": counter,
            "fold": fold,
            "follows": sorted(set(follows)),
            "held": {name: list(numbers) for name, numbers in held.items()},
            "log": log,
            "set": set_digest,
            "site": key.public,
            "state": state_digest,
            "v": VERSION,
        }
    )
    signature = key.sign(_signed_receipt(network_id, signed))
    try:
        return parse_receipt(_OPENING + signed + _closing(signature), network_id=network_id)
    except RemoteError as error:
        raise LocalError(error.message, hint="go on without a receipt; an exchange can do without") from error


def parse_receipt(data: bytes, *, network_id: str) -> Receipt:
    """A receipt from its file, with its signature checked.

    What a long one says is held, which may be of a hundred thousand logs, is taken out before it becomes values.

    Raises:
        UnknownVersionError: Its ``v`` is not ours.
        TooManyValuesError: What else is in it would take too much of the memory.
        RemoteError: It is damaged, or its signature does not hold for this network.
    """
    if len(data) > RECEIPT_BYTES_MAX or data[-1:] != b"\n":
        raise RemoteError(f"a receipt has at most {RECEIPT_BYTES_MAX} bytes and ends in a newline")
    held, rest = (numbers_taken_out(data) if len(data) > _LONG_BYTES else None) or (None, data)
    if sum(map(rest.count, (b",", b"[", b"{"))) > RECEIPT_VALUES_MAX:
        raise TooManyValuesError("receipt", RECEIPT_VALUES_MAX)
    wrapper = parse_canonical(rest[:-1], limit_bytes=RECEIPT_BYTES_MAX, depth_max=WRAPPED_DEPTH_MAX)
    require_object(wrapper, "the receipt file", names={"receipt", "signature"}, more=False)
    signature = from_base64(wrapper["signature"], "the signature of the receipt", length=SIGNATURE_BYTES)
    signed = data[len(_OPENING) : -len(_closing(signature))]  # the file is canonical, so these are the bytes signed
    receipt = _read(wrapper["receipt"], held, signature, signed)
    if not verify(receipt.site, signature, _signed_receipt(network_id, receipt.signed)):
        raise RemoteError(f"the signature of the receipt of site {receipt.site[:8]} does not hold for this network")
    return receipt


def _read(value: Any, held: Numbers | None, signature: bytes, signed: bytes) -> Receipt:
    if type(value) is not dict:
        raise RemoteError("the receipt is not an object")
    require_version(value, "receipt", VERSION)
    require_object(value, "the receipt", names=_NAMES, more=True)
    return Receipt(
        site=require_hex(value["site"], "the site of the receipt"),
        log=require_log(value["log"], "the log of the receipt"),
        counter=require_number(value["counter"], "the counter of the receipt"),
        held=_read_held(value["held"]) if held is None else held,
        follows=tuple(require_log(one, "a log followed") for one in require_list(value["follows"], "follows")),
        fold=require_number(value["fold"], "the version of the fold", least=0),
        set=require_hex(value["set"], "the hash of the set"),
        state=require_hex(value["state"], "the hash of the state"),
        signature=signature,
        signed=signed,
    )


def _read_held(value: Any) -> Numbers:
    if type(value) is not dict:
        raise RemoteError("what the receipt says is held is not an object")
    return Numbers.of({require_log(log, "a log held"): _read_numbers(each) for log, each in value.items()})


def _read_numbers(value: Any) -> tuple[int, int]:
    pair = require_list(value, "what is held of a log")
    if len(pair) != 2:
        raise RemoteError("what is held of a log is two numbers, urgent and text")
    urgent, text = (require_number(one, "a number held", least=0, most=NUMBER_MAX) for one in pair)
    return urgent, text


def _closing(signature: bytes) -> bytes:
    return b',"signature":"' + to_base64(signature).encode() + b'"}\n'


def _signed_receipt(network_id: str, signed: bytes) -> bytes:
    return b"sync 1 receipt\n" + bytes.fromhex(network_id) + signed
