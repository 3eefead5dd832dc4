"""A receipt is a site's word; it is read strictly and believed by no machine."""

from __future__ import annotations

import base64
import hashlib
import json
import tracemalloc
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sync import receipt as receipts
from sync.errors import LocalError, RemoteError, TooManyValuesError, UnknownVersionError
from sync.limits import RECEIPT_BYTES_MAX
from sync.numbers import Numbers, numbers_taken_out
from sync.receipt import RECEIPT_PATH, Holding, Receipt, parse_receipt, set_hash, state_hash, write_receipt
from tests.sync.mutations import spoiled
from tests.sync.scene import LOG, NETWORK, SITE

OTHER_LOG = "ff" * 8
SET, STATE = "ab" * 32, "cd" * 32


def written(**parts: Any) -> Receipt:
    said: dict[str, Any] = {
        "log": LOG, "counter": 7, "held": {LOG: (2, 3), OTHER_LOG: (0, 99_999_999)}, "follows": [OTHER_LOG],
        "fold": 1, "set_digest": SET, "state_digest": STATE,
    }  # fmt: skip
    return write_receipt(key=SITE, network_id=NETWORK.id, **{**said, **parts})


def rewritten(changes: dict[str, Any], *, without: str = "") -> bytes:
    """A receipt with other contents, signed as its site would."""
    value = {**json.loads(written().signed), **changes}
    value.pop(without, None)
    signed = json.dumps(value, sort_keys=True, separators=(",", ":")).encode()
    signature = SITE.sign(b"sync 1 receipt\n" + bytes.fromhex(NETWORK.id) + signed)
    return b'{"receipt":' + signed + b',"signature":"' + base64.b64encode(signature) + b'"}\n'


def parse(data: bytes) -> Receipt:
    return parse_receipt(data, network_id=NETWORK.id)


def test_a_receipt_is_read_back_as_it_was_written() -> None:
    receipt = written()
    assert parse(receipt.to_bytes()) == receipt
    assert receipt.to_bytes() == rewritten({}), "and an independent writing of the format gives the same bytes"
    assert receipt.held == {LOG: (2, 3), OTHER_LOG: (0, 99_999_999)}
    assert receipt.follows == (OTHER_LOG,)


def test_its_name_on_a_carrier_tells_site_log_and_counter_and_the_digest_of_the_file() -> None:
    receipt = written()
    digest = hashlib.sha256(receipt.to_bytes()).hexdigest()[:8]
    assert receipt.path == f"receipts/{SITE.public[:26]}-{LOG}-00000007-{digest}.json"
    assert RECEIPT_PATH.fullmatch(receipt.path)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"counter": 0}, "the counter"), ({"counter": 100_000_000}, "the counter"), ({"counter": "7"}, "the counter"),
        ({"fold": -1}, "version of the fold"), ({"fold": None}, "version of the fold"),
        ({"follows": {}}, "follows is not a list"), ({"follows": ["x"]}, "a log followed"),
        ({"held": []}, "not an object"), ({"held": {"x": [0, 0]}}, "a log held"), ({"held": {LOG: [0]}}, "two numbers"),
        ({"held": {LOG: [0, -1]}}, "a number held"), ({"held": {LOG: [0, True]}}, "a number held"),
        ({"held": {LOG: 0}}, "is not a list"), ({"log": LOG.upper()}, "16 lower-case hex"), ({"set": ""}, "the set"),
        ({"site": "x"}, "the site"), ({"state": None}, "the state"), ({"v": None}, "states no version"),
    ],
)  # fmt: skip
def test_a_receipt_that_breaks_a_rule_is_refused_though_its_site_signed_it(
    changes: dict[str, Any], reason: str
) -> None:
    with pytest.raises(RemoteError, match=reason):
        parse(rewritten(changes))


@pytest.mark.parametrize("name", sorted(json.loads(written().signed)))
def test_a_receipt_without_one_of_its_fields_is_refused(name: str) -> None:
    with pytest.raises(RemoteError, match=r"lacks|states no version"):
        parse(rewritten({}, without=name))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data[:-1], lambda data: data + b"\n", lambda data: data.replace(b'"counter":7', b'"counter":8'),
        lambda data: data.replace(b'{"receipt"', b'{"a":0,"receipt"'), lambda _: b"[]\n", lambda _: b"",
        lambda _: b'{"receipt":0,"signature":"' + b"A" * 86 + b'=="}\n',
        lambda data: data.replace(b'"counter"', b' "counter"'),
    ],
)  # fmt: skip
def test_a_receipt_that_was_touched_is_refused(spoil: Any) -> None:
    with pytest.raises(RemoteError):
        parse(spoil(written().to_bytes()))


def test_a_receipt_of_another_network_is_refused_and_a_newer_one_told_apart() -> None:
    with pytest.raises(RemoteError, match="does not hold for this network"):
        parse_receipt(written().to_bytes(), network_id="00" * 32)
    with pytest.raises(UnknownVersionError, match="receipt is of version 2"):
        parse(rewritten({"v": 2, "held": None}))


def test_names_unknown_under_the_signature_are_kept() -> None:
    data = rewritten({"zone": [1]})
    assert parse(data).to_bytes() == data


@pytest.mark.parametrize("parts", [{"counter": 0}, {"log": "x"}, {"held": {LOG: (0, -1)}}, {"set_digest": ""}])
def test_what_nobody_would_accept_is_not_written(parts: dict[str, Any]) -> None:
    with pytest.raises(LocalError):
        written(**parts)


IDS = st.binary(min_size=32, max_size=32)
HOLDINGS = st.dictionaries(IDS, st.sampled_from(["lacking", "body", "redacted"]), max_size=8)


@given(HOLDINGS, st.randoms())
def test_the_hash_of_a_set_depends_on_what_is_held_and_not_on_the_order(
    held: dict[bytes, Holding], random: Any
) -> None:
    ids = list(held)
    random.shuffle(ids)
    otherwise = {name: holding for name, holding in held.items() if holding != "body"}
    codes = {"lacking": 0, "body": 1, "redacted": 2}
    data = b"".join(name + bytes([codes[held[name]]]) for name in sorted(held))
    assert set_hash(ids, otherwise=otherwise) == hashlib.sha256(b"sync 1 set\n" + data).hexdigest()


def test_the_hash_of_the_state_is_over_lines_each_ending_in_a_newline() -> None:
    assert (
        state_hash(["charter aa", "é bb"])
        == hashlib.sha256("fieldbook state 1\ncharter aa\né bb\n".encode()).hexdigest()
    )


HELD = st.dictionaries(
    st.integers(0, 2**64 - 1).map("{:016x}".format), st.tuples(st.integers(0, 99_999_999), st.integers(0, 99_999_999))
)


@given(held=HELD, asked=st.integers(0, 2**64 - 1).map("{:016x}".format))
def test_numbers_are_the_mapping_that_they_were_made_of(held: dict[str, tuple[int, int]], asked: str) -> None:
    numbers = Numbers.of(held)
    assert list(numbers.items()) == sorted(held.items())
    assert [numbers.get(log) for log in (*held, asked)] == [held.get(log) for log in (*held, asked)]
    assert numbers == held
    assert numbers == Numbers.of(dict(reversed(held.items())))
    assert numbers != {**held, asked: (1, 100_000_000)}


@given(held=HELD, seed=st.none() | st.integers(0, 2**32))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_long_receipt_is_read_as_a_short_one_is(
    held: dict[str, tuple[int, int]], seed: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = written(held=held).to_bytes()
    if seed is not None:
        data = spoiled("receipt", data, Random(seed))

    def read(long_bytes: int) -> Receipt | type[Exception]:
        monkeypatch.setattr(receipts, "_LONG_BYTES", long_bytes)
        try:
            return parse(data)
        except RemoteError as error:
            return type(error)

    assert read(0) == read(RECEIPT_BYTES_MAX)


@pytest.mark.parametrize("written_so", [b"[1,02]", b"[1,2] ", b"[1,100000000]", b"[1,-2]", b"[1,2,3]", b'"12"'])
def test_what_is_held_is_taken_out_only_as_it_must_be_spelled(written_so: bytes) -> None:
    file = written(held={"00" * 8: (1, 2), "11" * 8: (1, 2)}).to_bytes()
    taken = numbers_taken_out(file)
    assert taken == (
        Numbers.of({"00" * 8: (1, 2), "11" * 8: (1, 2)}),
        file.replace(b'"' + b"00" * 8 + b'":[1,2],"' + b"11" * 8 + b'":[1,2]', b""),
    )
    assert numbers_taken_out(file.replace(b"[1,2]", written_so)) is None
    assert numbers_taken_out(file.replace(b"11" * 8, b"00" * 8)) is None, "twice"


@pytest.mark.parametrize("stuffing", [b"[]", b'""', b"{}", b"0", b'"ab"', b"12345"])
def test_a_stuffed_receipt_takes_little_memory_and_is_not_taken_apart(stuffing: bytes) -> None:
    """Whoever holds a stick can write one: its signature is looked at only after it was taken apart."""
    count = (RECEIPT_BYTES_MAX - 2_000) // (len(stuffing) + 1)
    opening, before, closing = written().to_bytes().partition(b'"log":')
    file = opening + b'"in":[' + b",".join([stuffing] * count) + b"]," + before + closing
    assert len(file) <= RECEIPT_BYTES_MAX
    tracemalloc.start()
    try:
        with pytest.raises(TooManyValuesError, match="single values"):
            parse(file)
        assert tracemalloc.get_traced_memory()[1] < 3 * RECEIPT_BYTES_MAX
    finally:
        tracemalloc.stop()


def test_a_receipt_as_long_as_may_be_takes_three_times_its_length() -> None:
    file = written(held={f"{number:016x}": (99_999_999, number) for number in range(105_000)}).to_bytes()
    assert RECEIPT_BYTES_MAX * 0.85 < len(file) <= RECEIPT_BYTES_MAX
    tracemalloc.start()
    try:
        assert len(parse(file).held) == 105_000
        assert tracemalloc.get_traced_memory()[1] < 3 * RECEIPT_BYTES_MAX
    finally:
        tracemalloc.stop()
