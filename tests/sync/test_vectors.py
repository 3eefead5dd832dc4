"""The formats are frozen: the same seeds give the same bytes, and every vector keeps its verdict."""

from __future__ import annotations

import base64
import json
from typing import Any

import pytest

from sync.bundle import parse_bundle
from sync.errors import RemoteError, UnknownVersionError
from sync.network import parse_joining, parse_network
from sync.receipt import parse_receipt
from sync.statement import read_statement
from tests.sync import second_verifier
from tests.sync.freeze import DOCUMENTS, VECTORS, VERDICTS, as_value, bundles, packed
from tests.sync.scene import NETWORK

FROZEN: dict[str, dict[str, Any]] = {
    document: json.loads((VECTORS / f"{document}.json").read_text(encoding="utf-8")) for document in DOCUMENTS
}
EACH = [pytest.param(d, v, id=f"{d}: {v['name']}") for d, file in FROZEN.items() for v in file["vectors"]]


@pytest.mark.parametrize("document", DOCUMENTS)
def test_our_writers_give_the_frozen_bytes_again(document: str) -> None:
    assert as_value(document) == FROZEN[document]


def test_a_packed_bundle_holds_the_frozen_lines() -> None:
    for bundle in bundles().values():
        assert parse_bundle(bundle.to_bytes()) == parse_bundle(packed(bundle.lines())) == bundle


def read(document: str, data: bytes) -> str | None:
    """The id of a document that is accepted, where it has one."""
    if document == "network":
        return parse_network(data).id
    if document == "bundle":
        bundle = parse_bundle(packed(data))
        bundle.verify(NETWORK.id)
        for statement in bundle.statements:
            statement.verify(NETWORK.id)
        return bundle.id
    if document == "statement":
        return read_parts(json.loads(data))
    (parse_joining if document == "joining" else parse_receipt)(data, network_id=NETWORK.id)
    return None


def read_parts(parts: dict[str, Any]) -> str:
    body, salt = parts["body"], parts["salt"]
    statement = read_statement(
        parts["header"].encode(),
        None if body is None else body.encode(),
        None if salt is None else base64.b64decode(salt),
        base64.b64decode(parts["signature"]),
    )
    statement.verify(NETWORK.id)
    return statement.id


def verdict(document: str, data: bytes) -> tuple[str, str | None]:
    try:
        return "accepted", read(document, data)
    except UnknownVersionError:
        return "newer", None
    except RemoteError:
        return "refused", None


@pytest.mark.parametrize(("document", "vector"), EACH)
def test_every_vector_keeps_its_verdict_and_its_id(document: str, vector: dict[str, Any]) -> None:
    assert vector["verdict"] in VERDICTS
    assert verdict(document, vector["text"].encode()) == (vector["verdict"], vector["id"])


@pytest.mark.parametrize(("document", "vector"), [each for each in EACH if each.values[0] != "statement"])
def test_the_second_verifier_gives_every_vector_the_same_verdict(document: str, vector: dict[str, Any]) -> None:
    data = vector["text"].encode()
    try:
        if document == "network":
            second_verifier.check_network(data)
        elif document == "bundle":
            second_verifier.check_bundle(packed(data), NETWORK.id)
        else:
            {"joining": second_verifier.check_joining, "receipt": second_verifier.check_receipt}[document](
                data, NETWORK.id
            )
    except second_verifier.RefusedError:
        assert vector["verdict"] != "accepted"
    else:
        assert vector["verdict"] == "accepted"
