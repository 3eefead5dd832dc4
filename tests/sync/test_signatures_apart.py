"""A signature says what it signs: that of one kind of thing never passes for another, nor in another network.

Source: DEVELOPERS.md, the table of what is signed. The words before each are written here anew, apart from the code.
"""

from __future__ import annotations

import base64
import json
from typing import TYPE_CHECKING

import pytest
from nacl.exceptions import BadSignatureError
from nacl.signing import VerifyKey

from sync import RemoteError, ask_to_join, parse_joining, parse_network
from sync.bundle import parse_bundle, seal_bundle
from sync.receipt import parse_receipt, write_receipt
from sync.statement import read_statement
from tests.sync.scene import C1, LOG, NETWORK, SITE, say

if TYPE_CHECKING:
    from collections.abc import Callable

    from sync import SigningKey
    from sync.bundle import Bundle

HERE = bytes.fromhex(NETWORK.id)
BEFORE = {
    "network": b"sync 1 network\n",
    "join": b"sync 1 join\n" + HERE,
    "statement": b"sync 1 statement\n" + HERE,
    "bundle": b"sync 1 bundle\n" + HERE,
    "receipt": b"sync 1 receipt\n" + HERE,
}


def read_anew(kind: str, signed: bytes, signature: bytes) -> None:
    """Give a signed value with a signature to whoever reads things of its kind.

    Raises:
        RemoteError: It is not accepted.
    """
    text = base64.b64encode(signature).decode()
    if kind == "network":
        signatures = json.dumps([{"key": C1.public, "signature": text}], separators=(",", ":")).encode()
        parse_network(b'{"network":' + signed + b',"signatures":' + signatures + b"}")
    elif kind == "join":
        parse_joining(b'{"join":' + signed + b',"signature":"' + text.encode() + b'"}\n', network_id=NETWORK.id)
    elif kind == "receipt":
        parse_receipt(b'{"receipt":' + signed + b',"signature":"' + text.encode() + b'"}\n', network_id=NETWORK.id)
    elif kind == "statement":
        read_statement(signed, None, None, signature).verify(NETWORK.id)
    else:
        whole = seal_one()
        type(whole)(whole.header, whole.id, signature, whole.statements).verify(NETWORK.id)


def seal_one() -> Bundle:
    return seal_bundle(
        key=SITE, network_id=NETWORK.id, log=LOG, lane="text", number=1, previous=None, statements=[say(1)]
    )


def bundle_header() -> bytes:
    """The header of that bundle as its site signs it, by the words of the format."""
    bundle = parse_bundle(seal_one().to_bytes())
    return json.dumps(
        {**bundle.header, "statements": [one.id for one in bundle.statements]}, sort_keys=True, separators=(",", ":")
    ).encode()


def receipt_signed() -> bytes:
    made = write_receipt(
        key=SITE, network_id=NETWORK.id, log=LOG, counter=1, held={LOG: (0, 1)}, follows=[], fold=1,
        set_digest="0" * 64, state_digest="0" * 64,
    )  # fmt: skip
    return made.signed


SIGNED: dict[str, tuple[Callable[[], bytes], SigningKey]] = {
    "network": (lambda: NETWORK.signed, C1),
    "join": (lambda: ask_to_join(key=SITE, letter="C", name="Cloudstep", network_id=NETWORK.id).signed, SITE),
    "statement": (lambda: say(1).header_bytes, C1),
    "bundle": (bundle_header, SITE),
    "receipt": (receipt_signed, SITE),
}
PAIRS = [(kind, other) for kind in SIGNED for other in SIGNED]


@pytest.mark.parametrize(("kind", "other"), PAIRS)
def test_only_the_signature_of_its_own_kind_holds(kind: str, other: str) -> None:
    signed, key = SIGNED[kind][0](), SIGNED[kind][1]
    signature = key.sign(BEFORE[other] + signed)
    if kind == other:
        read_anew(kind, signed, signature)
        return
    with pytest.raises(RemoteError, match="does not hold"):
        read_anew(kind, signed, signature)
    with pytest.raises(BadSignatureError):  # nor by another library
        VerifyKey(bytes.fromhex(key.public)).verify(BEFORE[kind] + signed, signature)


@pytest.mark.parametrize("kind", [kind for kind in SIGNED if kind != "network"])
def test_what_was_signed_for_another_network_does_not_hold_here(kind: str) -> None:
    signed, key = SIGNED[kind][0](), SIGNED[kind][1]
    with pytest.raises(RemoteError, match="does not hold"):
        read_anew(kind, signed, key.sign(BEFORE[kind].replace(HERE, bytes(32)) + signed))


def test_no_words_before_a_signature_begin_those_of_another() -> None:
    assert not [(a, b) for a, one in BEFORE.items() for b, two in BEFORE.items() if a != b and two.startswith(one)]
