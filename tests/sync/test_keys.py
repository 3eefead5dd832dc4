"""Signatures are judged by one pinned rule, whatever library lies underneath."""

from __future__ import annotations

import base64
import hashlib
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import nacl.bindings
import nacl.exceptions
import nacl.signing
import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from hypothesis import given, settings
from hypothesis import strategies as st

from sync import keys
from sync.errors import LocalError, RemoteError
from sync.keys import (
    FIELD_PRIME,
    GROUP_ORDER,
    SMALL_ORDER,
    PieceSeal,
    SigningKey,
    fingerprint_words,
    is_fingerprint_of,
    lock_key,
    self_test,
    unlock_key,
    verify,
)
from sync.words import WORDS
from tests.sync.scene import C1, C3, key_of, seeded

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

VECTORS = Path(__file__).parent / "vectors"
SEEDS = st.binary(min_size=32, max_size=32)


def vectors(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((VECTORS / name).read_text())["vectors"]
    return found


def libsodium_accepts(public: str, signature: bytes, message: bytes) -> bool:
    try:
        nacl.signing.VerifyKey(bytes.fromhex(public)).verify(message, signature)
    except (nacl.exceptions.BadSignatureError, ValueError):
        return False
    return True


def openssl_accepts(public: str, signature: bytes, message: bytes) -> bool:
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public)).verify(signature, message)
    except InvalidSignature:
        return False
    return True


@pytest.mark.parametrize("vector", vectors("ed25519_rfc8032.json"), ids=lambda vector: vector["test"])
def test_keys_and_signatures_are_those_of_rfc_8032_section_7_1(vector: dict[str, str]) -> None:
    key = SigningKey.from_seed(bytes.fromhex(vector["seed"]))
    message = bytes.fromhex(vector["message"])
    assert key.public == vector["public"]
    assert key.sign(message).hex() == vector["signature"]
    assert verify(key.public, bytes.fromhex(vector["signature"]), message)


# Chalkias, Garillot, Nikolaenko, "Taming the many EdDSAs" (eprint 2020/1244): the authors' twelve published cases
@pytest.mark.parametrize("vector", vectors("ed25519_edge_cases.json"), ids=lambda vector: f"case {vector['case']}")
def test_of_the_twelve_edge_cases_only_case_three_is_accepted(vector: dict[str, Any]) -> None:
    case = (vector["public"], bytes.fromhex(vector["signature"]), bytes.fromhex(vector["message"]))
    accepted = vector["verdict"] == "accepted"
    assert accepted == (vector["case"] == 3)
    assert verify(*case) == accepted
    assert libsodium_accepts(*case) == accepted, "the second library pins the same rule"


def test_the_library_underneath_alone_would_accept_more_so_the_rule_is_needed() -> None:
    cases = vectors("ed25519_edge_cases.json")
    accepted = {
        vector["case"]
        for vector in cases
        if openssl_accepts(vector["public"], bytes.fromhex(vector["signature"]), bytes.fromhex(vector["message"]))
    }
    assert accepted > {3}


@given(SEEDS, st.binary(max_size=200))
def test_two_libraries_sign_alike_and_accept_each_other(seed: bytes, message: bytes) -> None:
    ours, second = SigningKey.from_seed(seed), nacl.signing.SigningKey(seed)
    signature = ours.sign(message)
    assert signature == second.sign(message).signature
    assert verify(ours.public, signature, message)
    assert libsodium_accepts(ours.public, signature, message)


@settings(max_examples=300)
@given(SEEDS, st.binary(max_size=40), st.integers(0, 511), st.sampled_from(["signature", "key", "message"]))
def test_one_flipped_bit_anywhere_is_judged_alike_by_two_libraries(
    seed: bytes, message: bytes, bit: int, part: str
) -> None:
    key = SigningKey.from_seed(seed)
    parts = {"key": bytes.fromhex(key.public), "signature": key.sign(message), "message": message + b"."}
    if part != "message":
        parts["message"] = message
    changed = bytearray(parts[part])
    changed[bit // 8 % len(changed)] ^= 1 << bit % 8
    parts[part] = bytes(changed)
    case = (parts["key"].hex(), parts["signature"], parts["message"])
    assert not verify(*case)
    assert not libsodium_accepts(*case)


@given(SEEDS, st.binary(max_size=40))
def test_the_same_signature_with_s_raised_by_the_group_order_is_refused(seed: bytes, message: bytes) -> None:
    key = SigningKey.from_seed(seed)
    signature = key.sign(message)
    raised = int.from_bytes(signature[32:], "little") + GROUP_ORDER
    assert not verify(key.public, signature[:32] + raised.to_bytes(32, "little"), message)


class Lenient:
    """A library that takes every key and every signature."""

    @classmethod
    def from_public_bytes(cls, _encoded: bytes) -> Lenient:
        return cls()

    def verify(self, _signature: bytes, _message: bytes) -> None:
        """Find nothing wrong."""


@pytest.fixture
def lenient(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    keys._public_key.cache_clear()
    monkeypatch.setattr(keys, "Ed25519PublicKey", Lenient)
    yield
    keys._public_key.cache_clear()


SOUND_POINT, FIRST_OF_S = bytes.fromhex(C1.public), bytes(32)
UNSOUND_POINTS = sorted(SMALL_ORDER) + [n.to_bytes(32, "little") for n in (FIELD_PRIME, FIELD_PRIME + 1, 2**255 - 1)]


@pytest.mark.usefixtures("lenient")
def test_s_is_below_the_group_order_whatever_the_library_takes() -> None:
    """RFC 8032, section 5.1.7, step 1."""
    lawful, raised = (0, 1, GROUP_ORDER - 1), (GROUP_ORDER, GROUP_ORDER + 1, 2 * GROUP_ORDER, 2**256 - 1)
    for s in (*lawful, *raised):
        assert verify(C1.public, SOUND_POINT + s.to_bytes(32, "little"), b"any") is (s in lawful)


@pytest.mark.usefixtures("lenient")
@pytest.mark.parametrize("sign", [0, 0x80])
def test_key_and_r_are_spelled_below_the_prime_and_of_no_small_order_whatever_the_library_takes(sign: int) -> None:
    """Eprint 2020/1244; 3 and p - 2 are the y of no point of small order."""
    lawful = [n.to_bytes(32, "little") for n in (3, FIELD_PRIME - 2)]
    for y in (*lawful, *UNSOUND_POINTS):
        point = y[:31] + bytes([y[31] | sign])
        assert verify(point.hex(), SOUND_POINT + FIRST_OF_S, b"any") is (y in lawful)
        assert verify(C1.public, point + FIRST_OF_S, b"any") is (y in lawful)


# RFC 8032, section 5.1: -x^2 + y^2 = 1 + d x^2 y^2 over the prime field; addition of section 5.1.4
CURVE_D = -121665 * pow(121666, -1, FIELD_PRIME) % FIELD_PRIME


def points_of_small_order() -> set[bytes]:
    """Encodings, sign bit cleared, of the points P with 8P = 0: solved from the doubling formulas."""
    root = pow(2, (FIELD_PRIME - 1) // 4, FIELD_PRIME)  # a square root of -1
    ys = {0, 1, FIELD_PRIME - 1}  # orders 4, 1 and 2
    # order 8: doubling gives y = 0, so x^2 = -y^2, and the curve gives 2 y^2 = 1 - d y^4
    for sign in (1, -1):
        discriminant = square_root((1 + CURVE_D) % FIELD_PRIME)
        assert discriminant is not None
        y_squared = (-1 + sign * discriminant) * pow(CURVE_D, -1, FIELD_PRIME) % FIELD_PRIME
        y = square_root(y_squared)
        if y is not None:
            ys |= {y, FIELD_PRIME - y}
    assert root * root % FIELD_PRIME == FIELD_PRIME - 1
    return {y.to_bytes(32, "little") for y in ys}


def square_root(value: int) -> int | None:
    candidate = pow(value, (FIELD_PRIME + 3) // 8, FIELD_PRIME)
    for root in (candidate, candidate * pow(2, (FIELD_PRIME - 1) // 4, FIELD_PRIME) % FIELD_PRIME):
        if root * root % FIELD_PRIME == value % FIELD_PRIME:
            return root
    return None


def test_the_points_of_small_order_are_those_of_the_curve() -> None:
    assert points_of_small_order() == SMALL_ORDER


@pytest.mark.parametrize("sign", [0, 0x80])
@pytest.mark.parametrize("y", sorted(SMALL_ORDER) + [(FIELD_PRIME + n).to_bytes(32, "little") for n in (0, 1, 3, 18)])
def test_a_key_of_small_order_or_in_another_spelling_verifies_nothing(y: bytes, sign: int) -> None:
    encoded = y[:31] + bytes([y[31] | sign])
    zero = bytes([1]).ljust(32, b"\0") + bytes(32)
    assert not verify(encoded.hex(), zero, b"any")
    assert not verify(C1.public, encoded + C1.sign(b"any")[32:], b"any")


@pytest.mark.parametrize("length", [0, 63, 65, 128])
def test_a_signature_of_another_length_does_not_hold(length: int) -> None:
    assert not verify(C1.public, (C1.sign(b"any") * 2)[:length], b"any")


@pytest.mark.parametrize("public", ["", C1.public.upper(), C1.public[:-2], C1.public + "00", "zz" * 32])
def test_a_key_in_another_spelling_is_refused_rather_than_read(public: str) -> None:
    with pytest.raises(RemoteError, match="64 lower-case hex"):
        verify(public, bytes(64), b"any")


def test_a_seed_of_another_length_is_our_error_and_no_text_of_a_key_shows_the_seed() -> None:
    with pytest.raises(LocalError, match="32 bytes, here are 31"):
        SigningKey.from_seed(bytes(31))
    assert C1.seed.hex() not in repr(C1)
    assert repr(C1.seed) not in repr(C1)


def test_the_self_test_passes_on_a_sound_library_and_stops_on_an_unsound_one(monkeypatch: pytest.MonkeyPatch) -> None:
    self_test()
    monkeypatch.setattr(keys, "verify", lambda *_: True)
    with pytest.raises(LocalError, match="RFC 8032"):
        self_test()


def openssl_accepts_with_s_reduced(public: str, signature: bytes, message: bytes) -> bool:
    """A library that takes an S of the group order or more, modulo the group order."""
    s = int.from_bytes(signature[32:], "little")
    if len(signature) != 64 or s < GROUP_ORDER:
        return False
    return openssl_accepts(public, signature[:32] + (s % GROUP_ORDER).to_bytes(32, "little"), message)


SLIPS: dict[str, Callable[[bool, str, bytes, bytes], bool]] = {
    "takes any message": lambda holds, _key, signature, message: (
        holds or (len(signature) == 64 and message != b"\xaf\x82")
    ),
    "takes S raised by the group order": lambda holds, key, signature, message: (
        holds or openssl_accepts_with_s_reduced(key, signature, message)
    ),
    "takes a key of small order": lambda _holds, key, signature, message: openssl_accepts(key, signature, message),
    "refuses what is sound": lambda _holds, _key, _signature, _message: False,
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_library_that_errs_in_one_respect_alone_is_found_by_the_self_test(
    slip: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each respect is one in which libraries differ (eprint 2020/1244), or would be of no use."""
    true = keys.verify
    monkeypatch.setattr(
        keys,
        "verify",
        lambda key, signature, message: SLIPS[slip](true(key, signature, message), key, signature, message),
    )
    with pytest.raises(LocalError, match="RFC 8032"):
        self_test()


# --- keys under a passphrase


def test_a_locked_key_opens_with_its_passphrase_only() -> None:
    text = lock_key(C1, "wet sacks drip", random=seeded("lock"))
    assert unlock_key(text, "wet sacks drip") == C1
    assert C1.seed.hex() not in text
    with pytest.raises(LocalError, match="does not open this key"):
        unlock_key(text, "wet sacks drop")


def test_one_passphrase_typed_in_two_unicode_forms_opens_the_same_key() -> None:
    assert unlock_key(lock_key(C3, "caf\u00e9", random=seeded("lock")), "cafe\u0301") == C3


def test_an_empty_passphrase_locks_nothing() -> None:
    with pytest.raises(LocalError, match="empty passphrase"):
        lock_key(C1, "", random=seeded("lock"))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("n", 2**31), ("n", 2**18), ("n", 2**13), ("n", 2), ("n", 2**15 + 1), ("p", 1000), ("p", 5), ("p", 0),
        ("r", 4096), ("r", 9), ("r", 7), ("kdf", "none"), ("cipher", "none"), ("more", 1), ("v", 2), ("key", "00"), ("salt", "AA=="), ("nonce", "AA=="), ("sealed", "AA=="), ("sealed", 7),
    ],
)  # fmt: skip
def test_a_locked_key_with_unlawful_parameters_is_called_damaged_before_any_memory_is_taken(
    field: str, value: object
) -> None:
    lock = json.loads(lock_key(C1, "words", random=seeded("lock")))
    lock[field] = value
    text = json.dumps(lock, sort_keys=True, separators=(",", ":"))
    with pytest.raises(LocalError, match="the locked key is damaged"):
        unlock_key(text, "words")


def test_a_locked_key_is_opened_by_another_reader_from_what_the_text_says() -> None:
    """Scrypt of hashlib (RFC 7914), ChaCha20-Poly1305 of libsodium (RFC 8439); the rest is authenticated with it."""
    lock = json.loads(lock_key(C1, "wet sacks drip", random=seeded("lock")))
    n, r, p = lock["n"], lock["r"], lock["p"]
    assert (128 * n * r, p) == (32 * 1024 * 1024, 1), "RFC 7914, section 2: so much memory, once: bearable on 1 GB"
    salt, nonce, sealed = (base64.b64decode(lock[name]) for name in ("salt", "nonce", "sealed"))
    key = hashlib.scrypt(b"wet sacks drip", salt=salt, n=n, r=r, p=p, maxmem=2**27, dklen=32)
    del lock["sealed"]
    beside = json.dumps(lock, sort_keys=True, separators=(",", ":")).encode()
    assert nacl.bindings.crypto_aead_chacha20poly1305_ietf_decrypt(sealed, beside, nonce, key) == C1.seed


@pytest.mark.parametrize(("field", "value"), [("n", 2**14), ("n", 2**17), ("p", 4)])
def test_the_lawful_parameters_reach_from_sixteen_to_a_hundred_and_twenty_eight_mebibytes(
    field: str, value: int
) -> None:
    lock = json.loads(lock_key(C1, "words", random=seeded("lock")))
    lock[field] = value
    with pytest.raises(LocalError, match="does not open"):
        unlock_key(json.dumps(lock, sort_keys=True, separators=(",", ":")), "words")


def test_a_piece_opens_under_its_passphrase_nonce_and_what_stands_beside_it_and_nothing_else() -> None:
    seal = PieceSeal.fresh("wet sacks drip", random=seeded("seal"))
    closed = seal.close(b"a piece", nonce=bytes(12), beside=b"one")
    again = PieceSeal("wet sacks drip", seal.terms)
    assert again.open(closed, nonce=bytes(12), beside=b"one") == b"a piece"
    assert again.open(closed, nonce=bytes([1] * 12), beside=b"one") is None
    assert again.open(closed, nonce=bytes(12), beside=b"two") is None
    assert PieceSeal("wet sacks drop", seal.terms).open(closed, nonce=bytes(12), beside=b"one") is None
    with pytest.raises(RemoteError, match="its n"):
        PieceSeal("wet sacks drip", {**seal.terms, "n": 2**18})


def test_a_locked_key_is_bound_to_its_parameters() -> None:
    lock = json.loads(lock_key(C1, "words", random=seeded("lock")))
    lock["key"] = C3.public
    with pytest.raises(LocalError, match="does not open"):
        unlock_key(json.dumps(lock, sort_keys=True, separators=(",", ":")), "words")


@pytest.mark.parametrize("text", ["", "{}", "null", "\ud800", "x" * 5000])
def test_a_text_that_is_no_locked_key_is_called_damaged(text: str) -> None:
    with pytest.raises(LocalError, match="damaged"):
        unlock_key(text, "words")


# --- fingerprints


def distance(first: str, second: str) -> int:
    """How many letters must be changed, added or left out (Levenshtein)."""
    row = list(range(len(second) + 1))
    for i, a in enumerate(first, 1):
        above, row = row, [i]
        for j, b in enumerate(second, 1):
            row.append(min(above[j] + 1, row[-1] + 1, above[j - 1] + (a != b)))
    return row[-1]


def test_no_two_words_of_the_list_are_easily_confused() -> None:
    assert len(WORDS) == len(set(WORDS)) == 256
    assert all(word.isascii() and word.isalpha() and word.islower() and 4 <= len(word) <= 9 for word in WORDS)
    assert len({word[:3] for word in WORDS}) == 256
    assert min(distance(a, b) for i, a in enumerate(WORDS) for b in WORDS[:i]) >= 3


def test_a_fingerprint_is_eight_words_that_never_change() -> None:
    assert fingerprint_words(C1.public).count(" ") == 7
    assert fingerprint_words("00" * 32) == FROZEN


def test_a_fingerprint_typed_back_is_recognised_and_another_is_not() -> None:
    words = fingerprint_words(C1.public)
    assert is_fingerprint_of(words, C1.public)
    assert is_fingerprint_of("  " + words.upper().replace(" ", ",  ") + ".\n", C1.public)
    assert not is_fingerprint_of(words, C3.public)
    assert not is_fingerprint_of(words.rsplit(" ", 1)[0], C1.public)
    assert not is_fingerprint_of("", C1.public)
    assert len({fingerprint_words(key_of(f"key {n}").public) for n in range(500)}) == 500


FROZEN = "envelope field tomato brush amber cradle thirty seagull"
