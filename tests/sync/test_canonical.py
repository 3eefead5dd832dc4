"""One value has one spelling, and only that spelling is read."""

from __future__ import annotations

import json
import time
import tracemalloc
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from sync.canonical import canonical_bytes, parse_canonical, parse_elements
from sync.errors import LocalError, RemoteError
from sync.limits import INTEGER_MAX

LIMIT = 1 << 20
NAMES = st.text("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-", min_size=1, max_size=12)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
SCALARS = st.none() | st.booleans() | st.integers(-INTEGER_MAX, INTEGER_MAX) | TEXTS
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=5) | st.dictionaries(NAMES, inner, max_size=5), max_leaves=25
)


def parse(data: bytes, limit_bytes: int = LIMIT) -> Any:
    return parse_canonical(data, limit_bytes=limit_bytes)


@given(VALUES)
def test_any_value_of_the_profile_is_spelled_as_the_rfc8785_package_spells_it(value: Any) -> None:
    assert canonical_bytes(value) == rfc8785.dumps(value)


@given(VALUES)
def test_what_is_written_is_read_back_as_the_same_value(value: Any) -> None:
    assert parse(canonical_bytes(value)) == value


@given(st.dictionaries(NAMES, SCALARS, min_size=2, max_size=6))
def test_another_order_of_names_is_refused(value: dict[str, Any]) -> None:
    turned = dict(sorted(value.items(), reverse=True))
    text = json.dumps(turned, ensure_ascii=False, separators=(",", ":")).encode()
    with pytest.raises(RemoteError, match="canonical spelling"):
        parse(text)


@given(VALUES, st.data())
def test_a_space_anywhere_outside_a_text_is_refused(value: Any, data: st.DataObject) -> None:
    text = canonical_bytes(value)
    at = data.draw(st.integers(0, len(text)))
    changed = text[:at] + b" " + text[at:]
    try:
        read = parse(changed)
    except RemoteError:
        return
    assert canonical_bytes(read) == changed, "accepted, so the space stood inside a text"


# The test data published with RFC 8785 (its six input files). Those inside the profile, with the published output:
@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        ('[56,{"d":true,"10":null,"1":[]}]', '[56,{"1":[],"10":null,"d":true}]'),  # arrays
        ('{"Unnormalized-Unicode":"\\u1e0d\\u0307"}', '{"Unnormalized-Unicode":"\u1e0d\u0307"}'),  # unicode, renamed
        (  # values, without its numbers: RFC 8785, section 3.2.2
            r'{"string":"\u20ac$\u000F\u000aA' + "'" + r'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}',
            r'{"literals":[null,true,false],"string":"€$\u000f\nA' + "'" + r'B\"\\\\\"/"}',
        ),
    ],
)
def test_the_published_examples_within_the_profile_are_spelled_as_published(text: str, spelled: str) -> None:
    assert canonical_bytes(json.loads(text)) == spelled.encode()
    assert parse(spelled.encode()) == json.loads(text)
    with pytest.raises(RemoteError, match="canonical spelling"):
        parse(text.encode())


# The others, in their published canonical form: refused, with the reason.
@pytest.mark.parametrize(
    ("spelled", "reason"),
    [
        ('{"peach":"This sorting order","péché":"is wrong according to French"}', "no name of a field"),  # french
        ('{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}}}', "no name of a field"),  # structures
        ('{"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}', "no whole number"),  # values
        ('{"</script>":"Browser Challenge","€":"Euro Sign"}', "no name of a field"),  # weird
    ],
)
def test_the_published_examples_outside_the_profile_are_refused_with_the_reason(spelled: str, reason: str) -> None:
    assert rfc8785.dumps(json.loads(spelled)) == spelled.encode(), "the example is canonical as such"
    with pytest.raises(RemoteError, match=reason):
        parse(spelled.encode())


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b'{"a":1,"a":2}', "'a' stands twice"),
        (b'{"a":{"b":1,"b":1}}', "'b' stands twice"),
        (b'{"b":0,"a":1,"a":2}', "'a' stands twice"),
        (b"NaN", "'NaN' is no whole number"),
        (b"[-Infinity]", "'-Infinity' is no whole number"),
        (b"1e400", "'1e400' is no whole number"),
        (b"1.0", "'1.0' is no whole number"),
        (b"-0", "'-0' is not a whole number within 2.53-1"),
        (b"9007199254740992", "not a whole number within"),
        (b"-9007199254740992", "not a whole number within"),
        (b"[" + b"7" * 5000 + b"]", "'7777777777777777777777777777777777777777'. is not"),
        (b"01", "canonical spelling at character 1"),
        (b"\xef\xbb\xbf{}", "no JSON at character 0"),
        (b'{"a b":1}', "'a b' is no name of a field"),
        (b'{"":1}', "'' is no name"),
        (b'{"' + b" " * 40 + b'":1}', "'" + " " * 40 + "' is no name"),
        (b'{"' + b" " * 41 + b'":1}', "'" + " " * 40 + "'… is no name"),
        ('{"ä":1}'.encode(), "is no name"),
        (b'"\\ud800"', "canonical spelling at character 1"),
        (b'"\\ud83d\\ude02"', "canonical spelling at character 1"),
        (b'"\xed\xa0\x80"', "not valid UTF-8 at byte 1"),
        (b'"\xc0\x80"', "not valid UTF-8 at byte 1"),
        (b'"\\/"', "canonical spelling"),
        (b'"\\u0041"', "canonical spelling"),
        (b'"\\u000A"', "canonical spelling"),
        (b'"\x01"', "no JSON"),
        (b"", "no JSON at character 0"),
        (b"{}\n", "canonical spelling at character 2"),
        (b"{}{}", "canonical spelling at character 2"),
        (b" {}", "no JSON|canonical spelling"),
        (b'{"a": 1}', "canonical spelling at character 5"),
        (b'{"a":1', "no JSON at character 6"),
        (b"[1,]", "no JSON"),
        (b"['a']", "no JSON"),
        (b"True", "no JSON"),
    ],
)
def test_what_is_not_in_the_one_spelling_is_refused_with_what_and_where(data: bytes, reason: str) -> None:
    with pytest.raises(RemoteError, match=reason):
        parse(data)


@pytest.mark.parametrize("number", [INTEGER_MAX, -INTEGER_MAX])
def test_the_largest_and_the_smallest_number_are_written_and_read(number: int) -> None:
    """RFC 7493 (I-JSON), section 2.2: within +-(2^53 - 1) every reader keeps a number exactly."""
    assert canonical_bytes(number) == str(number).encode()
    assert parse(str(number).encode()) == number


def test_a_text_at_the_cap_is_read() -> None:
    assert parse(b'"1234567 "', limit_bytes=10) == "1234567 "


def test_a_text_above_the_cap_is_refused_unread() -> None:
    with pytest.raises(RemoteError, match="has 11 bytes where at most 10 are allowed"):
        parse(b'"' + b"\xff" * 9 + b'"', limit_bytes=10)


@pytest.mark.parametrize("opening", [b"[", b'{"a":'])
def test_a_hundred_thousand_levels_are_refused_cheaply(opening: bytes) -> None:
    started = time.process_time()
    with pytest.raises(RemoteError, match="nests deeper than 16 levels"):
        parse(opening * 100_000)
    assert time.process_time() - started < 1


def nested(levels: int) -> Any:
    value: Any = {}
    for _ in range(levels - 1):
        value = {"a": value}
    return value


def test_sixteen_levels_are_read_and_seventeen_are_not() -> None:
    text = canonical_bytes(nested(16))
    assert parse(text) == nested(16)
    with pytest.raises(LocalError, match="deeper than 16"):
        canonical_bytes(nested(17))
    with pytest.raises(RemoteError, match="deeper than 16"):
        parse(b'{"a":' + text + b"}")
    assert parse_canonical(b'{"a":' + text + b"}", limit_bytes=LIMIT, depth_max=17) == nested(17)


def test_brackets_inside_a_text_are_no_levels() -> None:
    assert parse(canonical_bytes({"a": "[{" * 100})) == {"a": "[{" * 100}


@pytest.mark.parametrize(
    "value",
    [0.5, 2**53, -(2**53), b"bytes", {1: "a"}, {"a b": 1}, {"": 1}, {"a": {2, 3}}, [float("nan")], "\ud800", object()],
)
def test_a_value_of_ours_outside_the_profile_is_our_error(value: Any) -> None:
    with pytest.raises(LocalError):
        canonical_bytes(value)


@settings(max_examples=40)
@given(st.lists(st.dictionaries(NAMES, VALUES, max_size=3), max_size=6))
def test_the_elements_of_an_array_come_one_by_one_with_their_own_bytes(values: list[Any]) -> None:
    found = list(parse_elements(canonical_bytes(values, depth_max=40), limit_bytes=LIMIT))
    assert [value for value, _ in found] == values
    assert [raw for _, raw in found] == [canonical_bytes(value) for value in values]


@pytest.mark.parametrize(
    "data",
    [
        b"{}",
        b"[",
        b"[{}",
        b"[{},]",
        b"[,{}]",
        b"[{}{}]",
        b"[{},",
        b"[{}x",
        b"[{}]x",
        b"[{}]]",
        b"[{}] ",
        b"[ {}]",
        b"[{} ]",
        b"[{},\n{}]",
        b'[{"a": 1}]',
        b'[{},{"b":1,"a":2}]',
        b'["\\u0041"]',
        b"",
        b"[1e400]",
    ],
)
def test_an_array_in_another_spelling_is_refused(data: bytes) -> None:
    with pytest.raises(RemoteError):
        list(parse_elements(data, limit_bytes=LIMIT))


def test_an_element_above_its_cap_is_refused_and_one_at_the_cap_is_read() -> None:
    element = canonical_bytes("é" * 20_000)
    assert list(parse_elements(b"[" + element + b"]", limit_bytes=len(element))) == [("é" * 20_000, element)]
    with pytest.raises(RemoteError):
        list(parse_elements(b"[" + element + b"]", limit_bytes=len(element) - 1))


def test_an_element_of_as_many_characters_as_bytes_is_read_at_the_cap_though_it_is_longer_than_a_window() -> None:
    element = canonical_bytes("a" * 20_000)
    assert list(parse_elements(b"[" + element + b"]", limit_bytes=len(element))) == [("a" * 20_000, element)]


def test_an_element_nests_as_deep_as_a_text_of_its_own() -> None:
    assert [value for value, _ in parse_elements(b"[" + canonical_bytes(nested(16)) + b"]", limit_bytes=LIMIT)] == [
        nested(16)
    ]
    with pytest.raises(RemoteError, match="deeper than 16"):
        list(parse_elements(b"[" + canonical_bytes(nested(17), depth_max=17) + b"]", limit_bytes=LIMIT))


def test_an_array_of_millions_of_empty_lists_stays_within_little_memory() -> None:
    hostile = b"[[" + b"[]," * 2_700_000 + b"[]]]"
    tracemalloc.start()
    with pytest.raises(RemoteError):
        list(parse_elements(hostile, limit_bytes=256 * 1024))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 32 * 1024 * 1024


@pytest.mark.parametrize(
    ("cut", "cause"), [(b'{"a":"b', "unterminated string"), (b'{"a":"\n"}', "invalid control character")]
)
def test_what_is_no_json_is_told_in_a_whole_sentence(cut: bytes, cause: str) -> None:
    with pytest.raises(RemoteError, match=rf"at character \d+: {cause}$"):
        parse_canonical(cut, limit_bytes=100)
