"""Documents spoiled at random from a seed, half of them signed anew, so that deep rules are reached too.

Not the judge: two verifiers are. One rule: a seed gives the same document for ever.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import zlib
from copy import deepcopy
from typing import TYPE_CHECKING, Any

from sync.bundle import assemble_bundle, seal_bundle
from sync.network import SiteName, Steward, ask_to_join, found_network
from sync.receipt import write_receipt
from tests.sync.scene import C1, C3, LOG, NETWORK, SITE, TIME, key_of, say

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from sync.keys import SigningKey

STEWARDS = sorted((C1, key_of("L1"), key_of("S1")), key=lambda key: key.public)
KEYS = {key.public: key for key in (SITE, C3, *STEWARDS)}
NETWORK_RAW = bytes.fromhex(NETWORK.id)
ODD: tuple[Any, ...] = (
    *(None, True, False, 0, 1, -1, 2, 99_999_999, 100_000_000, 2**53 - 1, 2**53, 0.5, "", "x", [], {}, [[]], {"a": {}}),
    *("\ud800", "é", "é", "a b", "ab" * 32, "AB" * 32, "00" * 32, LOG, TIME, "2026-99-99T99:99:99Z", "AA==", [None]),
    *([1, 1], ["b", "a"], ["ab" * 32] * 2, b"raw", json.loads("[" * 15 + "]" * 15), json.loads("[" * 17 + "]" * 17)),
)


def sound_documents() -> dict[str, bytes]:
    """One sound file of each document, and a bundle from which bodies are absent."""
    first = say(1, time=TIME, critical=["weeks"])
    said = (first, say(2, key=C3, kind="fieldbook/approval", after=[first.id], previous="cd" * 32), say(3, key=C3))
    whole = seal_bundle(
        key=SITE, network_id=NETWORK.id, log=LOG, lane="text", number=2, previous="ab" * 32, statements=said
    )
    bare = assemble_bundle(whole.header, whole.signature, [said[0].without_body(), said[1], said[2].without_body()])
    site = SiteName(SITE.public, "C", "Cloudstep Terrace")
    named = [Steward(key.public, "C1", SITE.public) for key in STEWARDS]
    network = found_network(title="Circle", site=site, stewards=named, threshold=2, keys=STEWARDS)
    receipt = write_receipt(
        key=SITE, network_id=NETWORK.id, log=LOG, counter=3, held={LOG: (0, 2)}, follows=["ff" * 8], fold=1,
        set_digest="ab" * 32, state_digest="cd" * 32,
    )  # fmt: skip
    joining = ask_to_join(key=C3, letter="T", name="Thornpan", network_id=NETWORK.id)
    return {
        "network": network.to_bytes(), "joining": joining.to_bytes(), "receipt": receipt.to_bytes(),
        "bundle": whole.to_bytes(), "bare bundle": bare.to_bytes(),
    }  # fmt: skip


def spoiled(document: str, data: bytes, random: Random) -> bytes:
    """The file with one or a few changes: of its bytes, of its text, or of a value in it."""
    packed = document.endswith("bundle")
    way = random.randrange(6)
    if way == 0:
        return change_bytes(data, random)
    text = gzip.decompress(data) if packed else data
    if way == 1:
        text = change_bytes(text, random)
    else:
        values = [json.loads(line) for line in text.splitlines()]
        for _ in range(random.choice((1, 1, 1, 2))):
            change_value(values, random)
        if way > 2:
            sign_anew(document, values)
        text = b"".join(spell(value) + b"\n" for value in values)
        text = text if text.endswith(b"\n") and document != "network" else text[:-1]
    return gzip.compress(text, mtime=0) if packed else text


def spell(value: Any) -> bytes:
    """Canonical, as far as the value allows."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=str)
    return text.encode(errors="surrogatepass")


def change_bytes(data: bytes, random: Random) -> bytes:
    """Flip, drop, add, repeat, cut or swap."""
    at, other = sorted(random.randrange(len(data)) for _ in range(2))
    flipped = bytes([data[at] ^ 1 << random.randrange(8)])
    return random.choice(
        (
            data[:at] + flipped + data[at + 1 :],
            data[:at] + data[at + 1 :],
            data[:at] + bytes([random.randrange(256)]) + data[at:],
            data[:at] + data[at : at + 8] + data[at:],
            data[:at],
            data[:at] + data[other:],
            data[:at] + data[other : other + 1] + data[at + 1 : other] + data[at : at + 1] + data[other + 1 :],
        )
    )


def change_value(values: list[Any], random: Random) -> None:
    """Change one place somewhere in the values."""
    holder, name = random.choice([place for value in enumerate(values) for place in places(values, value[0])])
    found = holder[name]
    ways: list[Callable[[], Any]] = [lambda: random.choice(ODD), lambda: [found, found]]
    if isinstance(found, str) and found:
        ways += [found.upper, lambda: found[:-1], lambda: found + "\n", lambda: altered(found, random)]
    if isinstance(found, list):
        ways += [lambda: found[::-1], lambda: found + found[:1], lambda: found[1:], lambda: found * 40]
    if isinstance(found, dict):
        added = random.choice(("zz", "a b", "statements", "body", "size", "v", ""))
        ways += [lambda: {**found, added: random.choice(ODD)}] * 3 + [lambda: dict(list(found.items())[1:])]
    if type(found) is int:
        ways += [lambda: found + 1, lambda: -found, lambda: str(found), lambda: found * 1.0]
    holder[name] = deepcopy(random.choice(ways)())


def altered(text: str, random: Random) -> str:
    """Another character somewhere, often the last before the padding."""
    at = random.choice((random.randrange(len(text)), len(text.rstrip("=")) - 1, 0))
    return text[:at] + random.choice("AB01abfg+/=") + text[at + 1 :]


def places(holder: Any, name: Any) -> list[tuple[Any, Any]]:
    """The place itself and all that lie in it."""
    value = holder[name]
    inner = value.keys() if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    return [(holder, name), *(place for key in inner for place in places(value, key))]


# --- signing what was changed, as a hostile insider would


def sign_anew(document: str, values: list[Any]) -> None:
    """Put sound signatures where there is still a place for them."""
    try:
        if document.endswith("bundle"):
            sign_bundle(*values)
        elif document == "network":
            sign_network(values[0])
        else:
            name = {"joining": "join", "receipt": "receipt"}[document]
            inner = values[0][name]
            tag = f"sync 1 {name}\n".encode()
            values[0]["signature"] = sign(inner["key" if name == "join" else "site"], tag + NETWORK_RAW + spell(inner))
    except (KeyError, TypeError, AttributeError, ValueError, IndexError):
        return  # the change took away what would be signed


def sign_network(value: Any) -> None:
    """Every signer that is listed, over the value as it now is."""
    for entry in value["signatures"]:
        entry["signature"] = sign(entry["key"], b"sync 1 network\n" + spell(value["network"]))


def sign_bundle(first: Any, headers: Any, bodies: Any, proofs: Any) -> None:
    """Every statement by its author, then the bundle by its site."""
    ids = []
    for header, body, proof in zip(headers, bodies, proofs, strict=True):
        whole = dict(header)
        if body is not None:
            salt = base64.b64decode(proof[0])
            whole["body"] = hashlib.sha256(b"sync 1 body\n" + salt + spell(body)).hexdigest()
            whole["size"] = len(spell(body))
        text = spell(whole)
        proof[1:2] = [sign(whole["author"], b"sync 1 statement\n" + NETWORK_RAW + text)]
        ids.append(hashlib.sha256(b"sync 1 statement id\n" + text).hexdigest())
    header = {**first["bundle"], "statements": ids}
    first["signature"] = sign(header["site"], b"sync 1 bundle\n" + NETWORK_RAW + spell(header))


def sign(public: str, message: bytes) -> str:
    """A signature of one of the keys of the tests."""
    key: SigningKey = KEYS[public]
    return base64.b64encode(key.sign(message)).decode()


def repacked(data: bytes, level: int) -> bytes:
    """The same lines deflated anew."""
    deflate = zlib.compressobj(level, zlib.DEFLATED, 31)
    return deflate.compress(gzip.decompress(data)) + deflate.flush()
