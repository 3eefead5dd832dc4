"""The network file, which begins a network, and the file in which a site asks to join it.

Not the roles in force: those the charter folds from statements; this is the stewards' version 1 and the
founding site, which cannot be replaced. One rule: the hash of the signed value is the network's id, so
nothing in it can ever change.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sync.canonical import canonical_bytes, parse_canonical
from sync.errors import LocalError, RemoteError
from sync.keys import SigningKey, verify
from sync.limits import HEX_IN_NAMES, JOINING_BYTES_MAX, NETWORK_BYTES_MAX, WRAPPED_DEPTH_MAX
from sync.shape import (
    SIGNATURE_BYTES,
    from_base64,
    require_hex,
    require_list,
    require_object,
    require_sorted,
    require_text,
    require_version,
    to_base64,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

VERSION = 1
NETWORK_FILE = "network.json"
_NETWORK_TAG = b"sync 1 network\n"
_JOIN_TAG = b"sync 1 join\n"
JOINING_PATH = re.compile(rf"joining/(?P<key>[0-9a-f]{{{HEX_IN_NAMES}}})\.json")
_LETTER = re.compile(r"[A-Z]")
_BREAK = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")  # controls and line breaks; marks that scripts need may stand
_NAME_CHARACTERS_MAX = 100  # of a title or a name that we write; what others wrote is bounded by the file alone


@dataclass(frozen=True)
class SiteName:
    """A site as others see it: its key, its letter, its name."""

    key: str
    letter: str
    name: str


@dataclass(frozen=True)
class Steward:
    """A steward: key, name (role and letter, as ``C1``) and the key of their site."""

    key: str
    name: str
    site: str


@dataclass(frozen=True)
class Network:
    """A network as it was founded.

    Attributes:
        title: For people.
        site: The founding site.
        stewards: Version 1, sorted by key.
        threshold: How many of them must agree.
        signatures: By key of a steward, 64 bytes each; at least the threshold.
        signed: The canonical bytes under the signatures, with names unknown here.
    """

    title: str
    site: SiteName
    stewards: tuple[Steward, ...]
    threshold: int
    signatures: Mapping[str, bytes]
    signed: bytes = field(repr=False)

    @property
    def id(self) -> str:
        """The network id, 64 hex."""
        return sha256(_NETWORK_TAG + self.signed).hexdigest()

    @property
    def folder(self) -> str:
        """Name of the network's folder on a carrier."""
        return f"tried-ground-{self.id[:HEX_IN_NAMES]}"

    def to_bytes(self) -> bytes:
        """The network file."""
        signatures = [{"key": key, "signature": to_base64(self.signatures[key])} for key in sorted(self.signatures)]
        wrapped = canonical_bytes({"signatures": signatures})
        return b'{"network":' + self.signed + b"," + wrapped[1:]


def found_network(
    *, title: str, site: SiteName, stewards: Iterable[Steward], threshold: int, keys: Iterable[SigningKey]
) -> Network:
    """Found a network.

    Args:
        title: For people.
        site: The founding site.
        stewards: In any order.
        threshold: How many must agree; more than half.
        keys: Those of the stewards who sign now; at least the threshold.

    Raises:
        LocalError: A name is unfit, the rules for stewards are not met, or too few sign.
    """
    _require_name(title, "the title of a network")
    _require_site_name(site)
    value = {
        "site": {"key": site.key, "letter": site.letter, "name": site.name},
        "stewards": [{"key": s.key, "name": s.name, "site": s.site} for s in sorted(stewards, key=lambda s: s.key)],
        "threshold": threshold,
        "title": title,
        "v": VERSION,
    }
    signed = canonical_bytes(value)
    signatures = {key.public: key.sign(_NETWORK_TAG + signed) for key in keys}
    try:
        return parse_network(_network(value, signed, signatures).to_bytes())
    except RemoteError as error:
        raise LocalError(error.message, hint="check who is a signatory, how many must agree, and who signs") from error


def parse_network(data: bytes) -> Network:
    """A network from its file, with every signature checked.

    Raises:
        UnknownVersionError: Its ``v`` is not ours.
        RemoteError: It is damaged, breaks the rules for stewards, or a signature does not hold.
    """
    wrapper = parse_canonical(data, limit_bytes=NETWORK_BYTES_MAX, depth_max=WRAPPED_DEPTH_MAX)
    require_object(wrapper, "the network file", names={"network", "signatures"}, more=False)
    signed = canonical_bytes(wrapper["network"])
    signatures = _read_signatures(wrapper["signatures"])
    network = _network(wrapper["network"], signed, signatures)
    for key, signature in signatures.items():
        if not verify(key, signature, _NETWORK_TAG + signed):
            raise RemoteError(f"the signature of signatory {key[:8]} under the network file does not hold")
    return network


def _network(value: Any, signed: bytes, signatures: Mapping[str, bytes]) -> Network:
    if type(value) is not dict:
        raise RemoteError("the network is not an object")
    require_version(value, "network file", VERSION)
    require_object(value, "the network", names={"site", "stewards", "threshold", "title", "v"}, more=True)
    stewards = read_stewards(value["stewards"])
    threshold = require_threshold(value["threshold"], len(stewards))
    strangers = signatures.keys() - {steward.key for steward in stewards}
    if strangers:
        raise RemoteError(f"the network file is signed by {min(strangers)[:8]}, who is no signatory")
    if len(signatures) < threshold:
        raise RemoteError(f"the network file has {len(signatures)} signatures where its threshold is {threshold}")
    title = require_text(value["title"], "the title of the network")
    return Network(title, read_site_name(value["site"]), stewards, threshold, signatures, signed)


def read_site_name(value: Any) -> SiteName:
    """A site from ``{"key", "letter", "name"}``, unknown names allowed.

    Raises:
        RemoteError: It has not that form.
    """
    require_object(value, "a site", names={"key", "letter", "name"}, more=True)
    return SiteName(
        require_hex(value["key"], "the key of a site"),
        require_text(value["letter"], "the letter of a site"),
        require_text(value["name"], "the name of a site"),
    )


def read_stewards(value: Any) -> tuple[Steward, ...]:
    """Stewards from a list of ``{"key", "name", "site"}``, sorted by key, unknown names allowed.

    Raises:
        RemoteError: It has not that form, or a key stands twice.
    """
    stewards = tuple(_read_steward(one) for one in require_list(value, "the list of signatories"))
    require_sorted([steward.key for steward in stewards], "the list of signatories")
    return stewards


def _read_steward(value: Any) -> Steward:
    require_object(value, "a signatory", names={"key", "name", "site"}, more=True)
    return Steward(
        require_hex(value["key"], "the key of a signatory"),
        require_text(value["name"], "the name of a signatory"),
        require_hex(value["site"], "the site of a signatory"),
    )


def require_threshold(value: Any, stewards: int) -> int:
    """How many stewards must agree: more than half of them, at most all.

    Raises:
        RemoteError: It is not that.
    """
    least = stewards // 2 + 1
    if type(value) is not int or not least <= value <= stewards:
        raise RemoteError(f"a threshold over {stewards} signatories is a whole number from {least} to {stewards}")
    return value


def _read_signatures(value: Any) -> dict[str, bytes]:
    entries = require_list(value, "the list of signatures")
    for entry in entries:
        require_object(entry, "a signature of the network file", names={"key", "signature"}, more=False)
    keys = require_sorted([require_hex(entry["key"], "the key of a signature") for entry in entries], "signatures")
    return {
        key: from_base64(entry["signature"], "a signature of the network file", length=SIGNATURE_BYTES)
        for key, entry in zip(keys, entries, strict=True)
    }


@dataclass(frozen=True)
class Joining:
    """A site's signed wish to join.

    Attributes:
        site: Who asks.
        signature: 64 bytes, by the site's own key.
        signed: The canonical bytes under it, with names unknown here.
    """

    site: SiteName
    signature: bytes
    signed: bytes = field(repr=False)

    @property
    def path(self) -> str:
        """Where it lies in the network's folder on a carrier."""
        return f"joining/{self.site.key[:HEX_IN_NAMES]}.json"

    def to_bytes(self) -> bytes:
        """The joining file."""
        return b'{"join":' + self.signed + b',"signature":"' + to_base64(self.signature).encode() + b'"}\n'


def ask_to_join(*, key: SigningKey, letter: str, name: str, network_id: str) -> Joining:
    """Write and sign a joining file.

    Raises:
        LocalError: The letter or the name is unfit.
    """
    site = SiteName(key.public, letter, name)
    _require_site_name(site)
    signed = canonical_bytes({"key": key.public, "letter": letter, "name": name, "v": VERSION})
    return Joining(site, key.sign(_signed_join(network_id, signed)), signed)


def parse_joining(data: bytes, *, network_id: str) -> Joining:
    """A joining file, with its signature checked.

    Raises:
        UnknownVersionError: Its ``v`` is not ours.
        RemoteError: It is damaged, or its signature does not hold for this network.
    """
    value, signature, signed = _read_wrapped(data)
    require_version(value, "joining file", VERSION)
    require_object(value, "the joining file", names={"key", "letter", "name", "v"}, more=True)
    site = read_site_name(value)
    if not verify(site.key, signature, _signed_join(network_id, signed)):
        raise RemoteError(f"the signature of the joining file of {site.key[:8]} does not hold for this network")
    return Joining(site, signature, signed)


def _read_wrapped(data: bytes) -> tuple[Any, bytes, bytes]:
    if len(data) > JOINING_BYTES_MAX or data[-1:] != b"\n":
        raise RemoteError(f"a joining file has at most {JOINING_BYTES_MAX} bytes and ends in a newline")
    wrapper = parse_canonical(data[:-1], limit_bytes=JOINING_BYTES_MAX, depth_max=WRAPPED_DEPTH_MAX)
    require_object(wrapper, "the joining file", names={"join", "signature"}, more=False)
    require_object(wrapper["join"], "the joining file", names=(), more=True)
    signature = from_base64(wrapper["signature"], "the signature of the joining file", length=SIGNATURE_BYTES)
    return wrapper["join"], signature, canonical_bytes(wrapper["join"])


def _require_site_name(site: SiteName) -> None:
    if not _LETTER.fullmatch(site.letter):
        raise LocalError(f"{site.letter!a} is not the letter of a site", hint="choose one letter from A to Z")
    _require_name(site.name, "the name of a site")


def _require_name(text: str, where: str) -> None:
    if not 0 < len(text) <= _NAME_CHARACTERS_MAX or _BREAK.search(text):
        raise LocalError(f"{where} has 1 to {_NAME_CHARACTERS_MAX} characters on one line", hint="choose another one")


def _signed_join(network_id: str, signed: bytes) -> bytes:
    return _JOIN_TAG + bytes.fromhex(network_id) + signed
