"""A network file names itself by its hash, and its stewards are more than half agreed."""

from __future__ import annotations

import base64
import hashlib
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sync.errors import LocalError, RemoteError, UnknownVersionError
from sync.limits import NETWORK_BYTES_MAX
from sync.network import (
    JOINING_PATH,
    Network,
    SiteName,
    Steward,
    ask_to_join,
    found_network,
    parse_joining,
    parse_network,
)
from tests.sync.scene import C1, C3, NETWORK, SITE, key_of

FIVE = sorted((key_of(f"steward {n}") for n in range(5)), key=lambda key: key.public)
NAMED = SiteName(SITE.public, "C", "Cloudstep Terrace")


def founded(*, stewards: int = 5, threshold: int = 3, signing: int = 5) -> Network:
    named = [Steward(key.public, f"C{n}", SITE.public) for n, key in enumerate(FIVE[:stewards], 1)]
    return found_network(title="Circle", site=NAMED, stewards=named, threshold=threshold, keys=FIVE[:signing])


def refounded(changes: dict[str, Any], *, without: str = "", signers: int = 5) -> bytes:
    """A network file of five stewards with other contents, signed as the stewards would."""
    value = {**json.loads(founded().signed), **changes}
    value.pop(without, None)
    signed = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    signatures = [signature_of(key, b"sync 1 network\n" + signed) for key in FIVE[:signers]]
    return b'{"network":' + signed + b',"signatures":' + compact(signatures) + b"}"


def signature_of(key: Any, message: bytes) -> dict[str, str]:
    return {"key": key.public, "signature": base64.b64encode(key.sign(message)).decode()}


def compact(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":")).encode()


def test_a_network_file_is_read_back_as_it_was_founded() -> None:
    network = founded()
    assert parse_network(network.to_bytes()) == network
    assert parse_network(refounded({})) == network
    assert network.to_bytes() == refounded({}), "and an independent writing of the format gives the same bytes"


def test_the_id_is_the_hash_of_what_is_signed_and_not_of_who_signed() -> None:
    network = founded()
    signed = json.dumps(json.loads(network.to_bytes())["network"], sort_keys=True, separators=(",", ":")).encode()
    assert network.id == hashlib.sha256(b"sync 1 network\n" + signed).hexdigest()
    assert founded(signing=3).id == network.id
    assert network.folder == f"tried-ground-{network.id[:26]}"


def test_stewards_may_be_named_in_any_order() -> None:
    stewards = [Steward(key.public, "C1", SITE.public) for key in reversed(FIVE)]
    network = found_network(title="Circle", site=NAMED, stewards=stewards, threshold=3, keys=FIVE)
    assert [steward.key for steward in network.stewards] == [key.public for key in FIVE]


@given(st.integers(1, 5), st.integers(-1, 7))
def test_a_threshold_is_more_than_half_and_at_most_all(stewards: int, threshold: int) -> None:
    if stewards / 2 < threshold <= stewards:
        assert founded(stewards=stewards, threshold=threshold, signing=threshold).threshold == threshold
    else:
        with pytest.raises(LocalError, match=f"a threshold over {stewards} signatories"):
            founded(stewards=stewards, threshold=threshold, signing=stewards)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"threshold": 2}, "a whole number from 3 to 5"),
        ({"threshold": 6}, "a whole number from 3 to 5"),
        ({"threshold": True}, "a whole number from 3 to 5"),
        ({"threshold": "3"}, "a whole number from 3 to 5"),
        ({"stewards": []}, "a whole number from 1 to 0"),
        ({"stewards": {}}, "list of signatories is not a list"),
        ({"stewards": json.loads(founded().signed)["stewards"][::-1]}, "is not sorted"),
        ({"stewards": [json.loads(founded().signed)["stewards"][0]] * 5}, "holds something twice"),
        ({"stewards": [{"key": FIVE[0].public, "name": "C1"}]}, "a signatory lacks site"),
        ({"stewards": [7]}, "a signatory is not an object"),
        ({"site": {"key": SITE.public, "letter": "C"}}, "a site lacks name"),
        ({"site": {"key": "x", "letter": "C", "name": "x"}}, "key of a site is not 64"),
        ({"site": {"key": SITE.public, "letter": 3, "name": "x"}}, "letter of a site is not a text"),
        ({"title": None}, "title of the network is not a text"),
        ({"v": "1"}, "states no version"),
        ({"x": "a" * NETWORK_BYTES_MAX}, "where at most 65536"),
    ],
)
def test_a_network_that_breaks_a_rule_is_refused_though_all_stewards_signed_it(
    changes: dict[str, Any], reason: str
) -> None:
    with pytest.raises(RemoteError, match=reason):
        parse_network(refounded(changes))


@pytest.mark.parametrize("name", ["site", "stewards", "threshold", "title", "v"])
def test_a_network_without_one_of_its_fields_is_refused(name: str) -> None:
    with pytest.raises(RemoteError, match=r"lacks|states no version"):
        parse_network(refounded({}, without=name))


def test_signatures_below_the_threshold_twice_by_one_key_or_by_a_stranger_do_not_suffice() -> None:
    with pytest.raises(RemoteError, match="has 2 signatures where its threshold is 3"):
        parse_network(refounded({}, signers=2))
    with pytest.raises(LocalError, match="has 2 signatures"):
        founded(signing=2)
    value = json.loads(refounded({}, signers=1))
    value["signatures"] *= 3
    with pytest.raises(RemoteError, match="holds something twice"):
        parse_network(compact(value))
    value = json.loads(refounded({}))
    value["signatures"] = sorted([*value["signatures"], signature_of(C1, b"any")], key=lambda entry: str(entry["key"]))
    with pytest.raises(RemoteError, match=f"signed by {C1.public[:8]}, who is no signatory"):
        parse_network(compact(value))


def test_one_unsound_signature_spoils_the_file_even_above_the_threshold() -> None:
    value = json.loads(refounded({}))
    value["signatures"][4] = signature_of(FIVE[4], b"sync 1 network\nanother")
    with pytest.raises(RemoteError, match="does not hold"):
        parse_network(compact(value))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data + b"\n",
        lambda data: data[:-1],
        lambda data: data[:-1] + b',"x":1}',
        lambda data: data.replace(b'","signature":"', b'","note":"","signature":"', 1),
        lambda data: data.replace(b'=="}', b'="}', 1),
        lambda data: data.replace(b"[", b"[ ", 1),
        lambda _: b"null",
        lambda _: b"",
    ],
)
def test_a_network_file_in_another_form_is_refused(spoil: Any) -> None:
    with pytest.raises(RemoteError):
        parse_network(spoil(NETWORK.to_bytes()))


def test_names_unknown_under_the_signature_are_kept() -> None:
    data = refounded({"zone": {"a": [1]}})
    assert parse_network(data).to_bytes() == data


def test_a_newer_network_file_is_told_apart() -> None:
    with pytest.raises(UnknownVersionError, match="network file is of version 2"):
        parse_network(refounded({"v": 2, "stewards": "another form"}))


@pytest.mark.parametrize(
    ("title", "letter", "name"),
    [("", "C", "x"), ("a\nb", "C", "x"), ("a" * 101, "C", "x"), ("a", "c", "x"), ("a", "CC", "x"), ("a", "C", "")],
)
def test_names_that_would_break_a_page_are_not_founded(title: str, letter: str, name: str) -> None:
    with pytest.raises(LocalError):
        found_network(
            title=title, site=SiteName(SITE.public, letter, name),
            stewards=[Steward(C1.public, "C1", SITE.public)], threshold=1, keys=[C1],
        )  # fmt: skip


# --- joining


def test_a_joining_file_is_read_back_and_lies_under_the_key_of_its_site() -> None:
    joining = ask_to_join(key=C3, letter="T", name="Thornpan", network_id=NETWORK.id)
    assert parse_joining(joining.to_bytes(), network_id=NETWORK.id) == joining
    assert joining.path == f"joining/{C3.public[:26]}.json"
    assert JOINING_PATH.fullmatch(joining.path)
    inner = compact({"key": C3.public, "letter": "T", "name": "Thornpan", "v": 1})
    signature = C3.sign(b"sync 1 join\n" + bytes.fromhex(NETWORK.id) + inner)
    assert joining.to_bytes() == compact(
        {"join": json.loads(inner), "signature": base64.b64encode(signature).decode()}
    ) + b"\n"  # fmt: skip


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data[:-1],
        lambda data: data + b"\n",
        lambda data: data.replace(b"Thornpan", b"Thornpam"),
        lambda data: data.replace(b'"letter":"T"', b'"letter":5'),
        lambda data: data.replace(b'{"join":', b'{"a":1,"join":'),
        lambda _: b'{"join":7,"signature":""}\n',
        lambda data: data.replace(b'=="}', b'=="}' + b" " * 4096),
        lambda _: b"",
    ],
)
def test_a_joining_file_that_was_touched_is_refused(spoil: Any) -> None:
    data = ask_to_join(key=C3, letter="T", name="Thornpan", network_id=NETWORK.id).to_bytes()
    with pytest.raises(RemoteError):
        parse_joining(spoil(data), network_id=NETWORK.id)


def test_a_joining_file_of_another_network_is_refused_and_a_newer_one_told_apart() -> None:
    data = ask_to_join(key=C3, letter="T", name="Thornpan", network_id="00" * 32).to_bytes()
    with pytest.raises(RemoteError, match="does not hold for this network"):
        parse_joining(data, network_id=NETWORK.id)
    with pytest.raises(UnknownVersionError):
        parse_joining(data.replace(b'"v":1', b'"v":3'), network_id=NETWORK.id)


@pytest.mark.parametrize(("letter", "name"), [("TT", "x"), ("", "x"), ("T", ""), ("T", "a\tb"), ("T", "a" * 101)])
def test_a_site_asks_with_one_letter_and_a_name_on_one_line(letter: str, name: str) -> None:
    with pytest.raises(LocalError):
        ask_to_join(key=C3, letter=letter, name=name, network_id=NETWORK.id)
