"""Ed25519 (RFC 8032, pure) by one pinned strict rule, and keys under a passphrase.

Libraries differ on hostile edge cases, which would make one change valid at one site and not at another.
One rule: a signature holds only if S < L, A and R are canonical and of no small order, and the equation
holds without the cofactor.

Source: RFC 8032, sections 5.1.3, 5.1.7; Chalkias, Garillot, Nikolaenko, 'Taming the many EdDSAs'
(eprint 2020/1244), whose case 3 alone is accepted.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from sync.canonical import canonical_bytes, parse_canonical
from sync.errors import LocalError, RemoteError
from sync.limits import KEY_CACHE_MAX, LOCKED_KEY_BYTES_MAX
from sync.shape import (
    SALT_BYTES,
    from_base64,
    require_hex,
    require_number,
    require_object,
    require_version,
    to_base64,
)
from sync.spoken import heard
from sync.words import WORDS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

FIELD_PRIME = 2**255 - 19
GROUP_ORDER = 2**252 + 27742317777372353535851937790883648493
SEED_BYTES = 32
FINGERPRINT_WORDS = 8  # of 256 words: 64 bits, so about 2^64 keys must be made to meet a given fingerprint

# y of the points whose order divides 8, sign bit cleared, little-endian; computed from the curve in the tests
SMALL_ORDER = frozenset(
    bytes.fromhex(text)
    for text in (
        "0000000000000000000000000000000000000000000000000000000000000000",
        "0100000000000000000000000000000000000000000000000000000000000000",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    )
)


@dataclass(frozen=True)
class SigningKey:
    """A private key; its text form never shows the seed.

    Attributes:
        seed: 32 bytes.
    """

    seed: bytes = field(repr=False)

    @classmethod
    def from_seed(cls, seed: bytes) -> SigningKey:
        """The key of a seed.

        Args:
            seed: 32 random bytes.

        Raises:
            LocalError: There are not 32.
        """
        if len(seed) != SEED_BYTES:
            raise LocalError(
                f"a key is made from {SEED_BYTES} bytes, here are {len(seed)}", hint="bring the key back from a backup"
            )
        return cls(seed)

    @cached_property
    def _private(self) -> Ed25519PrivateKey:
        return Ed25519PrivateKey.from_private_bytes(self.seed)

    @cached_property
    def public(self) -> str:
        """The public key, 64 hex."""
        return self._private.public_key().public_bytes_raw().hex()

    def sign(self, message: bytes) -> bytes:
        """The signature of a message, 64 bytes."""
        return self._private.sign(message)


def verify(public_hex: str, signature: bytes, message: bytes) -> bool:
    """Whether a signature holds by the pinned rule.

    Args:
        public_hex: The key, 64 lower-case hex.
        signature: 64 bytes, R then S; of another length it does not hold.
        message: What was signed.

    Raises:
        RemoteError: The key is not 64 lower-case hex digits.
    """
    key = _public_key(public_hex)
    if key is None or len(signature) != 64:
        return False
    if int.from_bytes(signature[32:], "little") >= GROUP_ORDER or not _is_sound_point(signature[:32]):
        return False
    try:
        key.verify(signature, message)
    except InvalidSignature:
        return False
    return True


@lru_cache(maxsize=KEY_CACHE_MAX)
def _public_key(public_hex: str) -> Ed25519PublicKey | None:
    encoded = bytes.fromhex(require_hex(public_hex, "a public key"))
    if not _is_sound_point(encoded):
        return None
    return Ed25519PublicKey.from_public_bytes(encoded)


def _is_sound_point(encoded: bytes) -> bool:
    """Whether an encoding has y below the prime and no small order (which leaves x = 0 out as well)."""
    y = encoded[:31] + bytes((encoded[31] & 0x7F,))
    return y not in SMALL_ORDER and int.from_bytes(y, "little") < FIELD_PRIME


def self_test() -> None:
    """Check at start that the library underneath signs and judges as the pinned rule demands.

    Source: RFC 8032, section 7.1, test 3; the other cases are that signature altered.

    Raises:
        LocalError: It does not; nothing may be signed or taken in with it.
    """
    key = SigningKey.from_seed(bytes.fromhex("c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7"))
    message = bytes.fromhex("af82")
    published = bytes.fromhex(
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"
    )
    raised = int.from_bytes(published[32:], "little") + GROUP_ORDER
    refused = (
        (key.public, published, b"\xaf\x83"),
        (key.public, published[:32] + raised.to_bytes(32, "little"), message),
        (bytes([1]).ljust(32, b"\0").hex(), bytes([1]).ljust(64, b"\0"), message),
    )
    sound = key.sign(message) == published and verify(key.public, published, message)
    if not sound or any(verify(*case) for case in refused):
        raise LocalError(
            "the cryptographic library of this machine does not sign and verify as RFC 8032 says",
            hint="install the package 'cryptography' anew; until then nothing can be signed or taken in",
        )


def fingerprint_words(public_hex: str) -> str:
    """A key as eight plain words (64 bits), to be compared by voice before a site is granted.

    Args:
        public_hex: The key, 64 hex.
    """
    digest = sha256(b"sync 1 fingerprint\n" + bytes.fromhex(public_hex)).digest()
    return " ".join(WORDS[number] for number in digest[:FINGERPRINT_WORDS])


def is_fingerprint_of(typed: str, public_hex: str) -> bool:
    """Whether words typed by a person are the fingerprint of a key.

    Case, spaces and punctuation do not matter; of each word that stands apart its first three letters do, as in a
    recovery phrase: no two words of the list share them.
    """
    words = fingerprint_words(public_hex)
    letters = "".join(letter for letter in typed.lower() if letter.isalpha())
    return letters == words.replace(" ", "") or heard(typed) == heard(words)


# --- keys under a passphrase -----------------------------------------------------------------------------

_LOCK_VERSION = 1
_LOCK_NAMES = {"cipher", "kdf", "key", "n", "nonce", "p", "r", "salt", "sealed", "v"}
_KDF, _CIPHER = "scrypt", "chacha20-poly1305"
_NONCE_BYTES, TAG_BYTES = 12, 16
_SCRYPT_N, _SCRYPT_R, _SCRYPT_P = 2**15, 8, 1  # 32 MiB and about 0.1 s: bearable on a 1 GB board
_SCRYPT_N_MAX = 2**17  # 128 MiB: a damaged file must not take all memory


def lock_key(key: SigningKey, passphrase: str, *, random: Callable[[int], bytes]) -> str:
    """A private key sealed under a passphrase, as canonical JSON text.

    Source: scrypt, RFC 7914; ChaCha20-Poly1305, RFC 8439; the parameters are authenticated with the seed.

    Args:
        key: What to seal.
        passphrase: Any text but an empty one.
        random: Gives so many random bytes.

    Raises:
        LocalError: The passphrase is empty.
    """
    if not passphrase:
        raise LocalError("a key cannot be locked with an empty passphrase", hint="choose a passphrase")
    lock: dict[str, Any] = {
        "key": key.public,
        "nonce": to_base64(random(_NONCE_BYTES)),
        "v": _LOCK_VERSION,
        **_fresh_terms(random),
    }
    nonce = from_base64(lock["nonce"], "nonce", length=_NONCE_BYTES)
    sealed = ChaCha20Poly1305(_stretch(passphrase, lock)).encrypt(nonce, key.seed, canonical_bytes(lock))
    return canonical_bytes({**lock, "sealed": to_base64(sealed)}).decode()


def unlock_key(text: str, passphrase: str) -> SigningKey:
    """The private key that `lock_key` sealed.

    Raises:
        LocalError: The passphrase is wrong, or the text is damaged.
    """
    try:
        lock, nonce, sealed = _read_lock(text)
    except RemoteError as error:
        raise LocalError(
            f"the locked key is damaged: {error.message}", hint="restore the notebook from a backup"
        ) from error
    try:
        seed = ChaCha20Poly1305(_stretch(passphrase, lock)).decrypt(nonce, sealed, canonical_bytes(lock))
    except InvalidTag as error:
        raise LocalError(
            "the passphrase does not open this key", hint="try again; capitals and spaces count"
        ) from error
    return SigningKey.from_seed(seed)


def _read_lock(text: str) -> tuple[dict[str, Any], bytes, bytes]:
    value = parse_canonical(text.encode(errors="replace"), limit_bytes=LOCKED_KEY_BYTES_MAX)
    lock = dict(require_object(value, "the locked key", names=_LOCK_NAMES, more=False))
    require_version(lock, "locked key", _LOCK_VERSION)
    require_hex(lock["key"], "its public key")
    _require_terms(lock, "the locked key")
    nonce = from_base64(lock["nonce"], "its nonce", length=_NONCE_BYTES)
    sealed = from_base64(lock.pop("sealed"), "its sealed part", length=SEED_BYTES + TAG_BYTES)
    return lock, nonce, sealed


def _require_terms(terms: Mapping[str, Any], where: str) -> None:
    """Check how a key was stretched, before any memory is taken for it."""
    if (terms["kdf"], terms["cipher"]) != (_KDF, _CIPHER):
        raise RemoteError(f"{where} names another method")
    n = require_number(terms["n"], "its n", least=2**14, most=_SCRYPT_N_MAX)
    if n & (n - 1):
        raise RemoteError("its n is no power of two")
    require_number(terms["r"], "its r", least=_SCRYPT_R, most=_SCRYPT_R)
    require_number(terms["p"], "its p", least=1, most=4)
    from_base64(terms["salt"], "its salt", length=SALT_BYTES)


def _fresh_terms(random: Callable[[int], bytes]) -> dict[str, Any]:
    return {
        "cipher": _CIPHER,
        "kdf": _KDF,
        "n": _SCRYPT_N,
        "p": _SCRYPT_P,
        "r": _SCRYPT_R,
        "salt": to_base64(random(SALT_BYTES)),
    }


def _stretch(passphrase: str, terms: Mapping[str, Any]) -> bytes:
    salt = from_base64(terms["salt"], "salt", length=SALT_BYTES)
    scrypt = Scrypt(salt=salt, length=32, n=terms["n"], r=terms["r"], p=terms["p"])
    return scrypt.derive(unicodedata.normalize("NFC", passphrase).encode(errors="surrogatepass"))


# --- many pieces under a passphrase ----------------------------------------------------------------------


class PieceSeal:
    """ChaCha20-Poly1305 under a key that scrypt stretched from a passphrase; the caller never uses a nonce twice.

    Attributes:
        terms: How the key is stretched: ``cipher``, ``kdf``, ``n``, ``p``, ``r``, ``salt``.
    """

    def __init__(self, passphrase: str, terms: Mapping[str, Any]) -> None:
        """Stretch the key.

        Raises:
            RemoteError: The terms are unlawful; no memory was taken.
        """
        _require_terms(terms, "the sealed file")
        self.terms = terms
        self._cipher = ChaCha20Poly1305(_stretch(passphrase, terms))

    @classmethod
    def fresh(cls, passphrase: str, *, random: Callable[[int], bytes]) -> PieceSeal:
        """A seal with a new salt, hence a key that was never used before."""
        return cls(passphrase, _fresh_terms(random))

    def close(self, piece: bytes, *, nonce: bytes, beside: bytes) -> bytes:
        """Seal a piece, 16 bytes longer than it was.

        Args:
            piece: What nobody else shall read.
            nonce: 12 bytes, never used twice under one seal.
            beside: What the seal also vouches for.
        """
        return self._cipher.encrypt(nonce, piece, beside)

    def open(self, sealed: bytes, *, nonce: bytes, beside: bytes) -> bytes | None:
        """The piece, or None where seal, nonce or what is beside differ from when it was closed."""
        try:
            return self._cipher.decrypt(nonce, sealed, beside)
        except InvalidTag:
            return None
