"""A statement is what one person signed, to the byte; its body can go and the rest still holds."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync.canonical import canonical_bytes
from sync.errors import DamagedError, LocalError, RemoteError, UnknownVersionError
from sync.limits import BODY_BYTES_MAX, HEADER_BYTES_MAX
from sync.statement import (
    KindRule,
    Statement,
    assemble_statement,
    author_statement,
    body_commitment,
    read_statement,
    reopen_statement,
    signed_statement,
)
from tests.sync.scene import C1, C3, NETWORK, TIME, key_of, salt_of, say

IDS = sorted(hashlib.sha256(str(n).encode()).hexdigest() for n in range(65))
SOUND = say(1, after=IDS[:3], attachments=IDS[3:5], critical=["weeks", "title"], previous=IDS[9], time=TIME)


def resaid(changes: dict[str, Any], *, without: str = "") -> Statement:
    """The sound statement with another header, signed as its author would."""
    header = {**SOUND.header, **changes}
    header.pop(without, None)
    data = json.dumps(header, sort_keys=True, separators=(",", ":")).encode()
    statement = read_statement(data, SOUND.body_bytes, SOUND.salt, C1.sign(signed_statement(NETWORK.id, data)))
    statement.verify(NETWORK.id)
    return statement


def test_a_statement_says_what_was_put_in() -> None:
    SOUND.verify(NETWORK.id)
    assert (SOUND.author, SOUND.kind, SOUND.previous, SOUND.time) == (C1.public, "fieldbook/edition", IDS[9], TIME)
    assert (SOUND.after, SOUND.attachments, SOUND.critical) == (tuple(IDS[:3]), tuple(IDS[3:5]), ("title", "weeks"))
    assert SOUND.body == {"title": {"en": "Rows of onions, 1"}, "weeks": 1}
    assert SOUND.body_bytes is not None
    assert SOUND.size == len(SOUND.body_bytes)


def test_id_commitment_and_signature_are_over_the_bytes_that_the_format_names() -> None:
    assert SOUND.body_bytes is not None
    assert SOUND.salt is not None
    assert SOUND.id == hashlib.sha256(b"sync 1 statement id\n" + SOUND.header_bytes).hexdigest()
    commitment = hashlib.sha256(b"sync 1 body\n" + SOUND.salt + SOUND.body_bytes).hexdigest()
    assert SOUND.header["body"] == commitment
    assert SOUND.signature == C1.sign(b"sync 1 statement\n" + bytes.fromhex(NETWORK.id) + SOUND.header_bytes)


def test_without_its_body_id_and_signature_still_hold_and_the_text_cannot_be_guessed_from_the_header() -> None:
    bare = SOUND.without_body()
    bare.verify(NETWORK.id)
    assert (bare.id, bare.size, bare.body, bare.salt) == (SOUND.id, SOUND.size, None, None)
    assert bare != SOUND
    other_salt = say(2, body=SOUND.body)
    assert other_salt.header["body"] != SOUND.header["body"], "the same body under another salt"


def test_lists_are_sorted_and_freed_of_doubles_for_the_author() -> None:
    assert say(3, after=[IDS[2], IDS[1], IDS[2]], critical=["b", "a", "b"]).header["after"] == [IDS[1], IDS[2]]


def test_a_statement_of_another_network_or_author_does_not_hold() -> None:
    with pytest.raises(RemoteError, match="does not hold"):
        SOUND.verify("00" * 32)
    forged = reopen_statement(SOUND.id, SOUND.header_bytes, None, None, C3.sign(SOUND.header_bytes))
    with pytest.raises(RemoteError, match="does not hold"):
        forged.verify(NETWORK.id)


def test_names_unknown_in_header_and_body_are_kept_to_the_byte() -> None:
    statement = resaid({"zone": {"deep": [1, None]}})
    assert statement.header["zone"] == {"deep": [1, None]}
    again = reopen_statement(*parts(statement))
    assert again == statement
    assert hash(again) == hash(statement)


def parts(statement: Statement) -> tuple[str, bytes, bytes | None, bytes | None, bytes]:
    return statement.id, statement.header_bytes, statement.body_bytes, statement.salt, statement.signature


@given(st.dictionaries(st.text("abc", min_size=1), st.text(max_size=20), max_size=4), st.integers(0, 99))
def test_any_body_is_read_back_as_it_was_said(body: dict[str, str], number: int) -> None:
    said = author_statement(key=key_of("any"), network_id=NETWORK.id, kind="a/b", body=body, salt=salt_of(number))
    read = read_statement(said.header_bytes, said.body_bytes, said.salt, said.signature)
    read.verify(NETWORK.id)
    assert read == said
    assert read.body == body


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"after": IDS[:2][::-1]}, "after is not sorted"),
        ({"after": [IDS[0], IDS[0]]}, "holds something twice"),
        ({"after": IDS[:65]}, "after holds 65 where at most 64"),
        ({"after": [IDS[0].upper()]}, "an id in after is not 64 lower-case hex"),
        ({"after": None}, "after is not a list"),
        ({"after": [None]}, "an id in after"),
        ({"attachments": IDS[:65]}, "attachments holds 65"),
        ({"attachments": {}}, "attachments is not a list"),
        ({"author": C1.public[:-1]}, "the author is not 64"),
        ({"author": C1.public + "\n"}, "the author is not 64"),
        ({"body": 1}, "the commitment to the body is not 64"),
        ({"body": "00" * 32}, "is not the one that its header commits to"),
        ({"critical": ["b", "a"]}, "critical is not sorted"),
        ({"critical": [1]}, "a name in critical is not a text"),
        ({"critical": ["a b"]}, "no name of a field"),
        ({"kind": None}, "the kind is not a text"),
        ({"previous": ""}, "the previous statement is not 64"),
        ({"size": SOUND.size + 1}, "its header says"),
        ({"size": -1}, "the size of the body"),
        ({"size": BODY_BYTES_MAX + 1}, "the size of the body"),
        ({"size": True}, "the size of the body"),
        ({"size": "65"}, "the size of the body"),
        ({"time": "2026-11-25T10:02:00+00:00"}, "the time is neither null nor"),
        ({"time": "2026-11-25T10:02:00.5Z"}, "the time is neither"),
        ({"time": "2026-11-25 10:02:00Z"}, "the time is neither"),
        ({"time": "٢٠٢٦-11-25T10:02:00Z"}, "canonical spelling"),
        ({"time": 0}, "the time is neither"),
        ({"time": "2026-11-25T10:02:00Z\n"}, "the time is neither"),
        ({"v": "1"}, "states no version"),
        ({"v": True}, "states no version"),
        ({"x": "a" * 16_384}, "at most 16384 are allowed"),
    ],
)  # fmt: skip
def test_a_header_that_breaks_a_rule_is_refused_though_its_author_signed_it(
    changes: dict[str, Any], reason: str
) -> None:
    with pytest.raises(RemoteError, match=reason):
        resaid(changes)


def test_a_header_that_its_caller_put_together_is_read_at_its_cap_and_refused_above() -> None:
    header = {**SOUND.header, "x": ""}
    header["x"] = "a" * (HEADER_BYTES_MAX - len(canonical_bytes(header)))
    longer = {**header, "x": header["x"] + "a"}
    assert assemble_statement(header, canonical_bytes(header), None, None, bytes(64)).header == header
    with pytest.raises(RemoteError, match="has 16385 bytes where at most 16384 are allowed"):
        assemble_statement(longer, canonical_bytes(longer), None, None, bytes(64))


@pytest.mark.parametrize("name", sorted(SOUND.header))
def test_a_header_without_one_of_its_fields_is_refused(name: str) -> None:
    with pytest.raises(RemoteError, match=r"lacks|states no version"):
        resaid({}, without=name)


@pytest.mark.parametrize("header", [b"[]", b"null", b'"header"', b"1"])
def test_a_header_that_is_no_object_is_refused(header: bytes) -> None:
    with pytest.raises(RemoteError, match="not an object"):
        read_statement(header, None, None, bytes(64))


def test_a_newer_header_is_told_apart_from_a_damaged_one() -> None:
    with pytest.raises(UnknownVersionError, match="of version 2") as caught:
        resaid({"v": 2})
    assert caught.value.version == 2
    assert caught.value.hint


@pytest.mark.parametrize(
    ("body", "salt"),
    [
        (SOUND.body_bytes, None), (None, SOUND.salt), (SOUND.body_bytes, bytes(15)), (SOUND.body_bytes, salt_of(2)),
        (b"[]", SOUND.salt), (b"{}", SOUND.salt), (b'{"a":1.0}', SOUND.salt), (b" {}", SOUND.salt),
    ],
)  # fmt: skip
def test_a_body_and_a_salt_that_do_not_belong_are_refused(body: bytes | None, salt: bytes | None) -> None:
    with pytest.raises(RemoteError):
        read_statement(SOUND.header_bytes, body, salt, SOUND.signature)


@pytest.mark.parametrize("body", [b"[]", b"null", b'"{}"', b"12"])
def test_a_body_that_is_no_object_is_refused_though_its_author_committed_to_it(body: bytes) -> None:
    assert SOUND.salt is not None
    header = {**SOUND.header, "body": body_commitment(SOUND.salt, body), "size": len(body)}
    data = canonical_bytes(header)
    with pytest.raises(RemoteError, match="body of a statement is not an object"):
        read_statement(data, body, SOUND.salt, C1.sign(signed_statement(NETWORK.id, data)))


def test_a_body_that_has_been_damaged_in_the_store_is_said_to_be() -> None:
    statement = reopen_statement(SOUND.id, SOUND.header_bytes, b"\xff", SOUND.salt, SOUND.signature)
    with pytest.raises(DamagedError, match=f"the body of statement {SOUND.id[:8]} cannot be read"):
        _ = statement.body


def test_the_text_form_of_a_statement_names_it_and_repeats_nothing_that_was_said_or_signed() -> None:
    shown = repr(SOUND)
    assert SOUND.id in shown
    for part in (SOUND.header_bytes, SOUND.body_bytes, SOUND.salt, SOUND.signature):
        assert repr(part) not in shown


def test_a_kind_stops_nothing_unless_its_rule_says_so() -> None:
    assert not KindRule("garden/edition", "text", frozenset({"trainer"})).stops


@pytest.mark.parametrize(
    ("claimed", "shown"),
    [
        ("1970-01-01T00:00:00Z", "1970-01-01T00:00:00Z"), ("9999-12-31T23:59:59Z", "9999-12-31T23:59:59Z"),
        ("2026-02-30T10:02:00Z", None), ("0000-00-00T99:99:99Z", None), (None, None),
    ],
)  # fmt: skip
def test_a_time_of_the_right_form_is_a_claim_and_an_impossible_one_is_read_as_none(
    claimed: str | None, shown: str | None
) -> None:
    statement = resaid({"time": claimed})
    assert statement.header["time"] == claimed
    assert statement.time == shown


@pytest.mark.parametrize(
    "parts_said",
    [
        {"body": {"x": "a" * BODY_BYTES_MAX}}, {"body": {"x": 0.5}}, {"after": IDS[:65]}, {"after": ["x"]},
        {"time": "2026-02-30T10:02:00Z"}, {"time": "now"}, {"previous": "x"}, {"critical": ["a b"]}, {"kind": 7},
    ],
)  # fmt: skip
def test_what_nobody_would_accept_cannot_be_said(parts_said: dict[str, Any]) -> None:
    with pytest.raises(LocalError):
        say(4, **parts_said)


def test_a_salt_of_another_length_cannot_be_used() -> None:
    with pytest.raises(LocalError, match="salt of 16 bytes"):
        author_statement(key=C1, network_id=NETWORK.id, kind="a/b", body={}, salt=bytes(8))


def test_the_largest_lawful_statement_is_read() -> None:
    filling = "a" * (BODY_BYTES_MAX - len(canonical_bytes({"x": ""})))
    statement = say(5, body={"x": filling}, after=IDS[:64], attachments=IDS[:64])
    assert statement.size == BODY_BYTES_MAX
    assert read_statement(*parts(statement)[1:]) == statement
