"""The frozen vectors of the formats, made again from their seeds.

Run ``python -m tests.sync.freeze`` to write ``vectors/<document>.json`` anew: only ever to add a vector, since
a vector that changes is a format that changed. Verdicts are of a closed list: ``accepted``, ``refused``,
``newer`` (a version unknown here: left where it lies).
"""

from __future__ import annotations

import base64
import gzip
import json
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sync.bundle import Bundle, assemble_bundle, seal_bundle
from sync.network import SiteName, Steward, ask_to_join, found_network
from sync.receipt import set_hash, state_hash, write_receipt
from tests.sync.scene import C1, C3, LOG, NETWORK, SITE, TIME, key_of, say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sync.statement import Statement

VECTORS = Path(__file__).parent / "vectors"
DOCUMENTS = ("network", "joining", "statement", "bundle", "receipt")
VERDICTS = ("accepted", "refused", "newer")
LABELS = ("site C", "C1", "L1", "S1", "C3")
FIRST = say(1, time=TIME, critical=["weeks"], attachments=["ab" * 32])
SECOND = say(2, key=C3, kind="fieldbook/approval", after=[FIRST.id], body={"findings": [], "words": "é – سلام"})
THIRD = say(3, previous=FIRST.id, body={"title": {"sw": "Mistari ya vitunguu"}, "share": "0.25", "beds": 3})


@dataclass(frozen=True)
class Vector:
    """One document as it lies in a file, and what must be said of it.

    Attributes:
        name: What is special about it, in words.
        verdict: One of `VERDICTS`.
        file: The bytes; of a statement its parts as one object; of a bundle its lines unpacked.
        id: The id that it has, where it is accepted and has one.
    """

    name: str
    verdict: str
    file: bytes
    id: str | None = None

    def as_value(self) -> dict[str, Any]:
        """The JSON value of the vector file."""
        return {"name": self.name, "verdict": self.verdict, "id": self.id, "text": self.file.decode()}


def vectors(document: str) -> list[Vector]:
    """All vectors of one document."""
    return list(
        {
            "network": _networks,
            "joining": _joinings,
            "statement": _statements,
            "bundle": _bundles,
            "receipt": _receipts,
        }[document]()
    )


def as_value(document: str) -> dict[str, Any]:
    """The whole vector file of one document."""
    return {
        "document": document,
        "seeds": 'seed of a key = SHA-256("tried ground test key\\n" ‖ label); salt n = first 16 bytes of '
        'SHA-256("tried ground test salt\\n" ‖ n in decimal)',
        "keys": {label: key_of(label).public for label in LABELS},
        "network": NETWORK.id,
        "verdicts": list(VERDICTS),
        "vectors": [vector.as_value() for vector in vectors(document)],
    }


def _networks() -> Iterator[Vector]:
    yield Vector("one steward", "accepted", NETWORK.to_bytes(), NETWORK.id)
    keys = [key_of(label) for label in ("C1", "L1", "S1")]
    stewards = [Steward(key.public, name, SITE.public) for key, name in zip(keys, ("C1", "L1", "S1"), strict=True)]
    site = SiteName(SITE.public, "C", "Cloudstep Terrace")
    three = found_network(title="Orrendal", site=site, stewards=stewards, threshold=2, keys=keys[1:])
    data = three.to_bytes()
    yield Vector("two of three stewards sign", "accepted", data, three.id)
    yield Vector("a newline at the end", "refused", data + b"\n")
    yield Vector("a threshold of one of three", "refused", data.replace(b'"threshold":2', b'"threshold":1'))
    yield Vector("one signature fewer than the threshold", "refused", _less(data, "signatures"))
    yield Vector("another title under the same signatures", "refused", data.replace(b"Orrendal", b"Orrendel"))
    yield Vector("version 2", "newer", data.replace(b'"v":1', b'"v":2'))


def _less(data: bytes, name: str) -> bytes:
    value = json.loads(data)
    value[name] = value[name][1:]
    return _spell(value)


def _spell(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def _joinings() -> Iterator[Vector]:
    data = ask_to_join(key=key_of("site T"), letter="T", name="Thornpan", network_id=NETWORK.id).to_bytes()
    other = ask_to_join(key=key_of("site T"), letter="T", name="Thornpan", network_id="00" * 32).to_bytes()
    yield Vector("a site asks", "accepted", data)
    yield Vector("no newline at the end", "refused", data[:-1])
    yield Vector("signed for another network", "refused", other)
    yield Vector("another letter", "refused", data.replace(b'"letter":"T"', b'"letter":"S"'))
    yield Vector("version 2", "newer", data.replace(b'"v":1', b'"v":2'))


def parts_of(statement: Statement) -> bytes:
    """A statement as one object: header and body as text, salt and signature in base64."""
    return _spell(
        {
            "header": statement.header_bytes.decode(),
            "body": None if statement.body_bytes is None else statement.body_bytes.decode(),
            "salt": None if statement.salt is None else base64.b64encode(statement.salt).decode(),
            "signature": base64.b64encode(statement.signature).decode(),
        }
    )


def _statements() -> Iterator[Vector]:
    for name, statement in (("an edition", FIRST), ("an approval", SECOND), ("a later edition", THIRD)):
        yield Vector(name, "accepted", parts_of(statement), statement.id)
        yield Vector(f"{name}, its body absent", "accepted", parts_of(statement.without_body()), statement.id)
    sound = json.loads(parts_of(FIRST))
    changes = {
        "a space in the header": {"header": sound["header"].replace(",", ", ", 1)},
        "another body": {"body": sound["body"].replace("onions", "leeks")},
        "the salt of another": {"salt": json.loads(parts_of(THIRD))["salt"]},
        "the signature of another": {"signature": json.loads(parts_of(THIRD))["signature"]},
        "a body without its salt": {"salt": None},
        "another time": {"header": sound["header"].replace("10:02", "10:03")},
        "a time of another form": {"header": sound["header"].replace("10:02:00Z", "10:02:00+0")},
    }
    for name, change in changes.items():
        yield Vector(name, "refused", _spell({**sound, **change}))
    yield Vector("version 2", "newer", _spell({**sound, "header": sound["header"].replace('"v":1', '"v":2')}))


def bundles() -> dict[str, Bundle]:
    """The sound bundles, by name."""
    said: dict[str, Any] = {"key": SITE, "network_id": NETWORK.id, "log": LOG}
    whole = seal_bundle(**said, lane="text", number=2, previous="ab" * 32, statements=[FIRST, SECOND, THIRD])
    bare = [FIRST.without_body(), SECOND, THIRD.without_body()]
    return {
        "three statements": whole,
        "the same, two bodies absent": assemble_bundle(whole.header, whole.signature, bare),
        "the first of the urgent lane": seal_bundle(
            **said, lane="urgent", number=1, previous=None,
            statements=[say(4, key=C1, kind="fieldbook/recall", after=[FIRST.id], body={"harm": "burns", "instead": ""})],
        ),
    }  # fmt: skip


def _bundles() -> Iterator[Vector]:
    """Unpacked, since packers differ in the bytes of a sound file."""
    for name, bundle in bundles().items():
        yield Vector(name, "accepted", bundle.lines(), bundle.id)
    sound = bundles()["three statements"].lines()
    yield Vector("a fifth line", "refused", sound + b"\n")
    yield Vector("no newline at the end", "refused", sound[:-1])
    yield Vector("another number", "refused", sound.replace(b'"number":2', b'"number":3'))
    yield Vector("an unsigned name", "refused", sound.replace(b',"signature":', b',"note":"","signature":', 1))
    yield Vector("another body", "refused", sound.replace(b"onions", b"leeks"))
    yield Vector("an empty list more", "refused", sound.replace(b'"]]\n', b'"],[]]\n'))
    yield Vector("version 2", "newer", sound.replace(b'"v":1},"signature"', b'"v":2},"signature"', 1))


def packed(lines: bytes) -> bytes:
    """A bundle file from its lines, by the packer of the standard library."""
    return gzip.compress(lines, mtime=0)


def _receipts() -> Iterator[Vector]:
    ids = [bytes.fromhex(one.id) for one in (FIRST, SECOND, THIRD)]
    said: dict[str, Any] = {
        "key": SITE, "network_id": NETWORK.id, "log": LOG, "fold": 1,
        "set_digest": set_hash(ids, otherwise={ids[1]: "lacking", ids[2]: "redacted"}),
        "state_digest": state_hash([f"charter {'ab' * 32}", f"{FIRST.id} {'cd' * 32}"]),
    }  # fmt: skip
    held = {LOG: (1, 2), "ff" * 8: (0, 0)}
    receipt = write_receipt(**said, counter=3, held=held, follows=["ff" * 8])
    yield Vector("two logs", "accepted", receipt.to_bytes())
    yield Vector("nothing held", "accepted", write_receipt(**said, counter=1, held={}, follows=[]).to_bytes())
    yield Vector("no newline at the end", "refused", receipt.to_bytes()[:-1])
    yield Vector("another counter", "refused", receipt.to_bytes().replace(b'"counter":3', b'"counter":4'))
    yield Vector("version 2", "newer", receipt.to_bytes().replace(b'"v":1', b'"v":2'))


if __name__ == "__main__":
    for kind in DOCUMENTS:
        text = json.dumps(as_value(kind), indent=1, ensure_ascii=False)
        (VECTORS / f"{kind}.json").write_text(text + "\n", encoding="utf-8")
