"""What is recognised in one look reads as the general way reads it; everything else is left to that way."""

from __future__ import annotations

import base64
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync.bundle import parse_bundle, seal_bundle
from sync.canonical import canonical_bytes, parse_canonical
from sync.errors import RemoteError
from sync.limits import AFTER_MAX, HEADER_BYTES_MAX
from sync.shape import from_base64
from sync.statement import Statement, assemble_statement, body_commitment, usual_statement
from sync.usual import usual_header, usual_proof
from tests.sync.scene import LOG, NETWORK, SITE, TIME, say

BODY, SALT, SIGNATURE = b'{"weeks":3}', bytes(range(16)), bytes(range(64))

ids = st.binary(min_size=32, max_size=32).map(bytes.hex)
odd = st.one_of(st.none(), st.integers(-1, 2), st.text(max_size=3), st.lists(st.text(max_size=2), max_size=2))
headers = st.fixed_dictionaries(
    {
        "after": st.lists(ids, max_size=3).map(sorted) | st.lists(ids, max_size=3) | odd,
        "attachments": st.lists(ids, max_size=2).map(sorted) | odd,
        "author": ids | ids.map(str.upper) | odd,
        "critical": st.just([]) | st.just(["text"]) | odd,
        "kind": st.sampled_from(["garden/report", "sync/read-back", "Garden", "", 'a"b', "a\nb", "é"]) | odd,
        "previous": st.none() | ids | odd,
        "time": st.sampled_from([None, TIME, "2026-99-99T99:99:99Z", f"{TIME}\n", "٢٠٢٦-11-25T10:02:00Z"]) | odd,
        "v": st.just(1) | st.sampled_from([2, True]) | odd,
    },
    optional={"body": ids, "size": st.just(len(BODY)), "zone": odd},
)
slips = st.tuples(st.integers(0, 2**16), st.sampled_from(["", " ", '"', "0", "}", "[", "\n", ","]))


def general(text: str) -> Statement:
    """Read by the general way alone."""
    header = parse_canonical(text.encode(), limit_bytes=HEADER_BYTES_MAX)
    if type(header) is not dict or {"body", "size"} & header.keys():
        raise RemoteError("not what stands beside a body")
    whole: dict[str, Any] = {**header, "body": body_commitment(SALT, BODY), "size": len(BODY)}
    return assemble_statement(whole, canonical_bytes(whole), BODY, SALT, SIGNATURE)


def recognised(text: str) -> Statement | None:
    """Read in one look, where that is possible and takes the whole text."""
    found = usual_header(text, 0)
    if found is None or found[1] != len(text):
        return None
    assert found[0].text == text
    return usual_statement(found[0], BODY, SALT, SIGNATURE)


@given(headers, st.none() | slips)
def test_a_header_that_is_recognised_is_the_one_that_the_general_way_reads(
    header: dict[str, Any], slip: tuple[int, str] | None
) -> None:
    text = canonical_bytes(header).decode()
    if slip is not None:
        at, letter = slip[0] % len(text), slip[1]
        text = text[:at] + letter + text[at + 1 :]
    at_once = recognised(text)
    if at_once is not None:
        assert at_once == general(text)


@given(st.lists(ids, max_size=3, unique=True), st.lists(ids, max_size=2, unique=True), st.none() | ids)
def test_what_people_say_is_recognised(after: list[str], attachments: list[str], previous: str | None) -> None:
    said = say(1, after=after, attachments=attachments, previous=previous, time=TIME)
    header = {name: value for name, value in said.header.items() if name not in {"body", "size"}}
    found = usual_header(canonical_bytes(header).decode(), 0)
    assert found is not None
    assert said.body_bytes is not None
    assert said.salt is not None
    assert usual_statement(found[0], said.body_bytes, said.salt, said.signature) == said


@pytest.mark.parametrize("count", [AFTER_MAX, AFTER_MAX + 1])
def test_no_more_answers_are_recognised_than_are_allowed(count: int) -> None:
    header = {"after": [f"{number:064x}" for number in range(count)], "attachments": [], "author": "0" * 64}
    text = canonical_bytes({**header, "critical": [], "kind": "a", "previous": None, "time": None, "v": 1}).decode()
    assert (recognised(text) is not None) == (count <= AFTER_MAX)


@pytest.mark.parametrize("after", [["1" * 64, "0" * 64], ["1" * 64, "1" * 64]])
def test_answers_out_of_order_or_twice_are_left_to_the_general_way(after: list[str]) -> None:
    header = {"after": after, "attachments": [], "author": "0" * 64, "critical": [], "kind": "a"}
    assert recognised(canonical_bytes({**header, "previous": None, "time": None, "v": 1}).decode()) is None


@given(st.binary(min_size=16, max_size=16), st.binary(min_size=64, max_size=64), st.none() | slips)
def test_a_proof_that_is_recognised_is_the_one_that_the_general_way_reads(
    salt: bytes, signature: bytes, slip: tuple[int, str] | None
) -> None:
    text = canonical_bytes([base64.b64encode(each).decode() for each in (salt, signature)]).decode()
    assert usual_proof(text, 0) == ((salt, signature), len(text))
    if slip is not None:
        at, letter = slip[0] % len(text), slip[1]
        text = text[:at] + letter + text[at + 1 :]
    found = usual_proof(text, 0)
    if found is not None and found[1] == len(text):
        pair = parse_canonical(text.encode(), limit_bytes=256)
        assert found[0] == (from_base64(pair[0], "", length=16), from_base64(pair[1], "", length=64))


@pytest.mark.parametrize("end", ["Dw==", "Pw=="])
def test_a_last_letter_with_bits_left_over_is_not_recognised(end: str) -> None:
    text = canonical_bytes([base64.b64encode(each).decode() for each in (SALT, SIGNATURE)]).decode()
    assert end in text
    assert usual_proof(text.replace(end, f"{end[0]}x=="), 0) is None


def test_a_bundle_of_usual_and_other_statements_is_the_same_when_read_again() -> None:
    said = [say(1), say(2, critical=["weeks"]), say(3, kind="garden/Other-2"), say(4).without_body(), say(5, time=TIME)]
    place: dict[str, Any] = {"log": LOG, "lane": "text", "number": 1, "previous": None}
    bundle = seal_bundle(key=SITE, network_id=NETWORK.id, statements=said, **place)
    assert parse_bundle(bundle.to_bytes()) == bundle
