"""The least that any reader of bundles has to do: unpack, parse, hash, verify and insert, and nothing besides.

Not a reader to use: it trusts the form of everything. One rule: no check but the signatures, no lookup, no judgement;
the rows go into the same tables as the store's, a thousand statements a transaction, on one thread.
"""

from __future__ import annotations

import base64
import json
import zlib
from collections import defaultdict
from functools import cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from sync.store.database import Database

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sync import Network

TRANSACTION_STATEMENTS = 1000
_scan = json.JSONDecoder().raw_decode
_write = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode
_INSERT = {
    "bundles": "INSERT INTO bundles VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    "statements": "INSERT INTO statements VALUES (?, ?, ?, ?, ?, 0, 1, ?, ?, ?, ?)",
    "answers": "INSERT INTO answers VALUES (?, ?)",
    "contents": "INSERT INTO contents VALUES (?, ?, ?)",
}


def read_least(files: list[bytes], network: Network, path: Path) -> Iterator[None]:
    """Read bundles into a new store's tables; pauses after each of them."""
    database = Database.create(path, network.to_bytes())
    rows: defaultdict[str, list[tuple[Any, ...]]] = defaultdict(list)
    number = 0
    for place, file in enumerate(files, start=1):
        first, *lines = zlib.decompress(file, 31).decode().split("\n")
        names = []
        for index, (header, parts) in enumerate(_statements(*lines[:3])):
            number += 1
            names.append(_add(rows, number, header, parts, network.id))
            rows["contents"].append((place, index, number))
        rows["bundles"].append(_bundle_row(place, json.loads(first), names, network.id))
        if len(rows["statements"]) >= TRANSACTION_STATEMENTS or place == len(files):
            with database.transaction():
                for table, question in _INSERT.items():
                    database.run_many(question, iter(rows[table]))
            rows.clear()
        yield
    database.close()


def _statements(headers: str, bodies: str, proofs: str) -> Iterator[tuple[dict[str, Any], tuple[bytes, ...]]]:
    """Each header, and its bytes with body, salt and signature."""
    at = 1
    for header, (salt_text, signature) in zip(json.loads(headers), json.loads(proofs), strict=True):
        _, end = _scan(bodies, at)
        body = bodies[at:end].encode()
        at = end + 1
        salt = base64.b64decode(salt_text)
        header["body"] = sha256(b"sync 1 body\n" + salt + body).hexdigest()
        header["size"] = len(body)
        yield header, (_write(header).encode(), body, salt, base64.b64decode(signature))


def _add(
    rows: dict[str, list[tuple[Any, ...]]], number: int, header: dict[str, Any], parts: tuple[bytes, ...], network: str
) -> str:
    """Verify a statement and put its rows by; its id."""
    name = sha256(b"sync 1 statement id\n" + parts[0])
    _key(header["author"]).verify(parts[3], b"sync 1 statement\n" + bytes.fromhex(network) + parts[0])
    previous = header["previous"] and bytes.fromhex(header["previous"])
    rows["statements"].append(
        (number, name.digest(), bytes.fromhex(header["author"]), previous, header["kind"], *parts)
    )
    rows["answers"].extend((bytes.fromhex(answered), number) for answered in header["after"])
    return name.hexdigest()


def _bundle_row(place: int, first: dict[str, Any], names: list[str], network: str) -> tuple[Any, ...]:
    """Verify a bundle; its row."""
    header = first["bundle"]
    signature = base64.b64decode(first["signature"])
    signed = _write({**header, "statements": names}).encode()
    _key(header["site"]).verify(signature, b"sync 1 bundle\n" + bytes.fromhex(network) + signed)
    name = sha256(b"sync 1 bundle id\n" + signed).digest()
    where = bytes.fromhex(header["site"]), header["log"], header["lane"], header["number"]
    return place, name, *where, _write(header).encode(), signature


@cache
def _key(public: str) -> Ed25519PublicKey:
    return Ed25519PublicKey.from_public_bytes(bytes.fromhex(public))
