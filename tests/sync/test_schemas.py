"""The JSON Schemas say the same of our documents as the readers do, as far as a schema can."""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sync.limits import (
    AFTER_MAX,
    ATTACHMENTS_MAX,
    BODY_BYTES_MAX,
    BODY_BYTES_MIN,
    BUNDLE_STATEMENTS_MAX,
    NUMBER_MAX,
)
from tests.sync.freeze import DOCUMENTS, VECTORS, bundles

SCHEMAS = Path(__file__).parents[2] / "schemas"
# What a vector is refused for that no schema can see: hashes, signatures, sums over several fields, spelling.
BEYOND_A_SCHEMA = {
    "a threshold of one of three", "one signature fewer than the threshold", "another title under the same signatures",
    "signed for another network", "another letter", "a space in the header", "another body", "the salt of another",
    "the signature of another", "another time", "another number", "another counter",
    "a newline at the end", "no newline at the end", "a fifth line",
}  # fmt: skip


def schema(document: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((SCHEMAS / f"{document}.schema.json").read_text(encoding="utf-8"))
    return found


def is_valid(document: str, value: Any) -> bool:
    return Draft202012Validator(schema(document)).is_valid(value)


def vectors() -> list[Any]:
    return [
        pytest.param(document, vector, id=f"{document}: {vector['name']}")
        for document in DOCUMENTS
        for vector in json.loads((VECTORS / f"{document}.json").read_text(encoding="utf-8"))["vectors"]
    ]


def value_of(document: str, text: str) -> Any:
    """The value to which the schema of a document applies."""
    if document == "bundle":
        return [json.loads(line) for line in text.splitlines() if line]
    if document != "statement":
        return json.loads(text)
    parts = json.loads(text)
    header = json.loads(parts["header"])
    if parts["body"] is None:
        return [header, None, [parts["salt"], parts["signature"]]]
    beside = {name: value for name, value in header.items() if name not in {"body", "size"}}
    return [beside, json.loads(parts["body"]), [parts["salt"], parts["signature"]]]


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_schema_is_a_schema_of_2020_12(document: str) -> None:
    Draft202012Validator.check_schema(schema(document))
    assert schema(document)["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize(("document", "vector"), vectors())
def test_a_schema_gives_every_vector_its_verdict_unless_it_takes_more_than_a_schema(
    document: str, vector: dict[str, Any]
) -> None:
    accepted = vector["verdict"] == "accepted" or vector["name"] in BEYOND_A_SCHEMA
    assert is_valid(document, value_of(document, vector["text"])) == accepted


def test_bundle_and_statement_speak_of_the_same_header_body_and_proof() -> None:
    bundle, statement = schema("bundle")["$defs"], schema("statement")["$defs"]
    assert {name: bundle[name] for name in statement} == statement


def test_the_bounds_in_the_schemas_are_those_of_the_limits() -> None:
    header = schema("statement")["$defs"]["header"]["properties"]
    assert header["after"]["maxItems"] == AFTER_MAX
    assert header["attachments"]["maxItems"] == ATTACHMENTS_MAX
    assert (header["size"]["minimum"], header["size"]["maximum"]) == (BODY_BYTES_MIN, BODY_BYTES_MAX)
    assert [line["maxItems"] for line in schema("bundle")["prefixItems"][1:]] == [BUNDLE_STATEMENTS_MAX] * 3
    assert schema("bundle")["$defs"]["bundle"]["properties"]["number"]["maximum"] == NUMBER_MAX
    assert schema("receipt")["properties"]["receipt"]["properties"]["counter"]["maximum"] == NUMBER_MAX


@pytest.mark.parametrize("last", range(256))
def test_the_patterns_of_base64_allow_its_one_spelling_and_no_other(last: int) -> None:
    salt = base64.b64encode(bytes(15) + bytes([last])).decode()
    lines = [json.loads(line) for line in bundles()["three statements"].lines().splitlines()]
    lines[3][0][0] = salt
    assert is_valid("bundle", lines)
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
    lines[3][0][0] = salt[:-3] + alphabet[alphabet.index(salt[-3]) ^ 1] + "=="
    assert not is_valid("bundle", lines)


@pytest.mark.parametrize(
    ("document", "path", "value"),
    [
        ("network", ["note"], 1), ("network", ["signatures", 0, "note"], 1), ("network", ["network", "v"], 2),
        ("network", ["network", "threshold"], 0), ("network", ["network", "stewards"], []),
        ("joining", ["note"], 1), ("joining", ["join", "key"], "x"), ("joining", ["join", "a b"], 1),
        ("receipt", ["receipt", "held", "x"], [0, 0]), ("receipt", ["receipt", "counter"], 0),
        ("receipt", ["receipt", "follows"], ["x"]), ("receipt", ["note"], 1),
        ("bundle", [0, "note"], 1), ("bundle", [0, "bundle", "lane"], "other"), ("bundle", [0, "bundle", "statements"], []),
        ("bundle", [1, 0, "size"], 2), ("bundle", [1, 0, "after"], ["x"]), ("bundle", [2, 0], 7), ("bundle", [3, 0], []),
    ],
)  # fmt: skip
def test_a_schema_refuses_what_the_readers_refuse(document: str, path: list[Any], value: Any) -> None:
    vector = json.loads((VECTORS / f"{document}.json").read_text(encoding="utf-8"))["vectors"][0]
    found = value_of(document, vector["text"])
    place = found
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    assert not is_valid(document, found)


@pytest.mark.parametrize("document", ["network", "joining", "receipt", "bundle"])
def test_a_schema_lets_names_under_a_signature_stand_that_are_unknown_here(document: str) -> None:
    vector = json.loads((VECTORS / f"{document}.json").read_text(encoding="utf-8"))["vectors"][0]
    found = value_of(document, vector["text"])
    if document == "bundle":
        found[0]["bundle"]["zone"] = found[1][0]["zone"] = [1]
    else:
        found[{"joining": "join"}.get(document, document)]["zone"] = {"a": 1}
    assert is_valid(document, found)
