"""A second verifier of carriers, written from the description of the formats alone.

Shares no code with ``sync``: another Ed25519 library, its own spelling of JSON, its own curve arithmetic for
the strict rule. Not fast and not a judge of roles. One rule: it imports nothing of this project.

Run: ``python -m tests.sync.second_verifier CARRIER`` prints one line a problem, or the counts of what held.
"""

from __future__ import annotations

import base64
import binascii
import functools
import hashlib
import json
import re
import stat
import sys
import zlib
from pathlib import Path
from typing import Any

import nacl.exceptions
import nacl.signing

P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
HEX64 = re.compile("[0-9a-f]{64}")
HEX16 = re.compile("[0-9a-f]{16}")
FIELD = re.compile("[A-Za-z0-9_-]+")
MOMENT = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z")
ESCAPES = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}
NAMES = {
    "bundle": re.compile(r"sites/([0-9a-f]{26})/([0-9a-f]{16})/(urgent|text)/([0-9]{8})-([0-9a-f]{26})-([0-9]{1,4})\.bundle"),
    "receipt": re.compile(r"receipts/([0-9a-f]{26})-([0-9a-f]{16})-([0-9]{8})-([0-9a-f]{8})\.json"),
    "joining": re.compile(r"joining/([0-9a-f]{26})\.json"),
    "attachment": re.compile(r"attachments/([0-9a-f]{2})/([0-9a-f]{64})"),
    "network": re.compile(r"network\.json"),
}  # fmt: skip


class RefusedError(Exception):
    """A document is not what the format says."""


def demand(condition: object, words: str) -> None:
    """Refuse unless the condition holds."""
    if not condition:
        raise RefusedError(words)


# --- JSON


def spell(value: Any, levels: int) -> str:
    """RFC 8785 within the profile; ``levels`` is how many may still be opened."""
    if value is None or value is True or value is False:
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, str):
        return '"' + "".join(spell_character(ord(c), c) for c in value) + '"'
    if isinstance(value, int):
        demand(abs(value) <= 2**53 - 1, "a number beyond 2^53-1")
        return str(value)
    demand(levels > 0, "too many levels")
    if isinstance(value, list):
        return "[" + ",".join(spell(item, levels - 1) for item in value) + "]"
    demand(isinstance(value, dict), "a value of no kind of the profile")
    demand(all(FIELD.fullmatch(name) for name in value), "a name outside the profile")
    names = sorted(value, key=lambda name: name.encode("utf-16-be"))
    return "{" + ",".join(f'"{name}":{spell(value[name], levels - 1)}' for name in names) + "}"


def spell_character(code: int, character: str) -> str:
    """One character of a text, escaped as RFC 8785 section 3.2.2.2 says."""
    demand(not 0xD800 <= code <= 0xDFFF, "half of a surrogate pair")
    if code in ESCAPES:
        return ESCAPES[code]
    return f"\\u{code:04x}" if code < 0x20 else character


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object, each name once."""
    demand(len({name for name, _ in pairs}) == len(pairs), "a name twice")
    return dict(pairs)


def no_number(text: str) -> Any:
    """Refuse what is no whole number."""
    raise RefusedError(f"{text[:20]} is no whole number")


def whole(text: str) -> int:
    """A whole number, never a huge one."""
    demand(len(text) <= 17, "a huge number")
    return int(text)


def read_json(data: bytes, levels: int) -> Any:
    """The value of a canonical text."""
    try:
        value = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=once,
            parse_float=no_number,
            parse_constant=no_number,
            parse_int=whole,
        )
    except (ValueError, RecursionError) as error:
        raise RefusedError(f"no JSON: {error}") from error
    demand(spell(value, levels).encode() == data, "not the canonical spelling")
    return value


def fields(value: Any, needed: str, words: str, *, exactly: bool) -> dict[str, Any]:
    """An object with the fields needed."""
    demand(isinstance(value, dict), f"{words}: no object")
    demand(set(needed.split()) <= set(value), f"{words}: a field is missing")
    demand(not exactly or set(needed.split()) == set(value), f"{words}: a field too many")
    found: dict[str, Any] = value
    return found


def matches(pattern: re.Pattern[str], value: Any, words: str) -> str:
    """A text of a pattern."""
    demand(isinstance(value, str) and pattern.fullmatch(value), f"{words}: not the form")
    return str(value)


def between(value: Any, low: int, high: int, words: str) -> int:
    """A whole number within bounds; true is no number."""
    demand(type(value) is int and low <= value <= high, f"{words}: not {low} to {high}")
    return int(value)


def decode64(value: Any, length: int, words: str) -> bytes:
    """Base64 in its one spelling."""
    demand(isinstance(value, str), f"{words}: no text")
    try:
        data = base64.b64decode(value, validate=True)
    except (ValueError, binascii.Error) as error:
        raise RefusedError(f"{words}: no base64") from error
    demand(len(data) == length and base64.b64encode(data).decode() == value, f"{words}: another spelling")
    return data


# --- Ed25519: the second library, and the strict rule by the curve itself


@functools.lru_cache(maxsize=4096)
def sound_point(encoded: bytes) -> bool:
    """Whether an encoding is canonical, on the curve, and of an order that does not divide 8."""
    number = int.from_bytes(encoded, "little")
    y, sign = number & (2**255 - 1), number >> 255
    if y >= P:
        return False
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(x2, (P + 3) // 8, P)
    if x * x % P != x2:
        x = x * pow(2, (P - 1) // 4, P) % P
    if x * x % P != x2 or (x == 0 and sign):
        return False
    point = (x, y)
    for _ in range(3):
        point = double(point)
    return point != (0, 1)


def double(point: tuple[int, int]) -> tuple[int, int]:
    """Twice a point, by the affine addition law of RFC 8032 section 5.1.4's curve."""
    x, y = point
    t = D * x * x * y * y % P
    return 2 * x * y * pow(1 + t, P - 2, P) % P, (y * y + x * x) * pow(1 - t, P - 2, P) % P


def signed(key: str, signature: bytes, message: bytes, words: str) -> None:
    """Refuse unless the signature holds by the strict rule."""
    demand(int.from_bytes(signature[32:], "little") < L, f"{words}: S is not below L")
    demand(sound_point(bytes.fromhex(key)) and sound_point(signature[:32]), f"{words}: an unsound point")
    try:
        nacl.signing.VerifyKey(bytes.fromhex(key)).verify(message, signature)
    except nacl.exceptions.BadSignatureError as error:
        raise RefusedError(f"{words}: the signature does not hold") from error


# --- documents


def check_network(data: bytes) -> str:
    """The id of a sound network file."""
    demand(len(data) <= 65536, "network: too large")
    wrapper = fields(read_json(data, 17), "network signatures", "network file", exactly=True)
    network = fields(wrapper["network"], "site stewards threshold title v", "network", exactly=False)
    between(network["v"], 1, 1, "network v")
    site = fields(network["site"], "key letter name", "site", exactly=False)
    matches(HEX64, site["key"], "site key")
    demand(all(isinstance(text, str) for text in (network["title"], site["letter"], site["name"])), "a text is none")
    demand(isinstance(network["stewards"], list), "stewards: no list")
    keys = [check_steward(steward) for steward in network["stewards"]]
    demand(keys == sorted(set(keys)), "stewards: not sorted or twice")
    between(network["threshold"], len(keys) // 2 + 1, len(keys), "threshold")
    message = b"sync 1 network\n" + spell(network, 16).encode()
    check_signatures(wrapper["signatures"], keys, network["threshold"], message)
    return hashlib.sha256(message).hexdigest()


def check_steward(value: Any) -> str:
    """The key of a steward."""
    steward = fields(value, "key name site", "steward", exactly=False)
    matches(HEX64, steward["site"], "steward site")
    demand(isinstance(steward["name"], str), "steward name: no text")
    return matches(HEX64, steward["key"], "steward key")


def check_signatures(value: Any, stewards: list[str], threshold: int, message: bytes) -> None:
    """At least the threshold of stewards, sorted, each once, each sound."""
    demand(isinstance(value, list), "signatures: no list")
    signers = []
    for entry in value:
        fields(entry, "key signature", "signature", exactly=True)
        signers.append(matches(HEX64, entry["key"], "signature key"))
        demand(entry["key"] in stewards, "signed by no steward")
        signed(entry["key"], decode64(entry["signature"], 64, "signature"), message, "network")
    demand(signers == sorted(set(signers)) and len(signers) >= threshold, "signatures: unsorted, twice or too few")


def check_joining(data: bytes, network_id: str) -> str:
    """The key of the site that asks to join."""
    demand(len(data) <= 4096 and data.endswith(b"\n"), "joining: too large, or no newline")
    wrapper = fields(read_json(data[:-1], 17), "join signature", "joining file", exactly=True)
    join = fields(wrapper["join"], "key letter name v", "join", exactly=False)
    between(join["v"], 1, 1, "join v")
    demand(isinstance(join["letter"], str) and isinstance(join["name"], str), "join: a text is none")
    key = matches(HEX64, join["key"], "join key")
    message = b"sync 1 join\n" + bytes.fromhex(network_id) + spell(join, 16).encode()
    signed(key, decode64(wrapper["signature"], 64, "signature"), message, "join")
    return key


def check_receipt(data: bytes, network_id: str) -> dict[str, Any]:
    """The contents of a sound receipt."""
    demand(len(data) <= 4 * 2**20 and data.endswith(b"\n"), "receipt: too large, or no newline")
    wrapper = fields(read_json(data[:-1], 17), "receipt signature", "receipt file", exactly=True)
    receipt = fields(wrapper["receipt"], "counter fold follows held log set site state v", "receipt", exactly=False)
    between(receipt["v"], 1, 1, "receipt v")
    between(receipt["counter"], 1, 99_999_999, "counter")
    between(receipt["fold"], 0, 99_999_999, "fold")
    for name in ("set", "site", "state"):
        matches(HEX64, receipt[name], name)
    demand(isinstance(receipt["follows"], list) and isinstance(receipt["held"], dict), "receipt: a form is wrong")
    for log in [receipt["log"], *receipt["follows"], *receipt["held"]]:
        matches(HEX16, log, "log")
    for numbers in receipt["held"].values():
        demand(isinstance(numbers, list) and len(numbers) == 2, "held: not two numbers")
        for number in numbers:
            between(number, 0, 99_999_999, "held")
    message = b"sync 1 receipt\n" + bytes.fromhex(network_id) + spell(receipt, 16).encode()
    signed(receipt["site"], decode64(wrapper["signature"], 64, "signature"), message, "receipt")
    return receipt


def inflate(data: bytes) -> bytes:
    """The one member of a gzip file (RFC 1952), within the caps."""
    demand(len(data) <= 2**20, "bundle: too large")
    demand(data[:4] == b"\x1f\x8b\x08\x00" and data[4:8] == bytes(4), "bundle: another gzip header")
    raw = zlib.decompressobj(-15)
    try:
        text = raw.decompress(data[10:], 8 * 2**20 + 1)
    except zlib.error as error:
        raise RefusedError(f"bundle: {error}") from error
    demand(len(text) <= 8 * 2**20, "bundle: unpacks to too much")
    trailer = zlib.crc32(text).to_bytes(4, "little") + len(text).to_bytes(4, "little")
    demand(raw.eof and raw.unused_data == trailer, "bundle: cut, followed by something, or its sum is wrong")
    return text


def check_bundle(data: bytes, network_id: str) -> dict[str, Any]:
    """The header of a sound bundle, with its ``id``, its ``statements`` and ``absent``."""
    lines = inflate(data).split(b"\n")
    demand(len(lines) == 5 and lines[4] == b"" and len(lines[0]) <= 16384, "bundle: not four lines, or line 1 too long")
    first = fields(read_json(lines[0], 17), "bundle signature", "line 1", exactly=True)
    header = fields(first["bundle"], "lane log number previous site v", "bundle", exactly=False)
    check_bundle_header(header)
    headers, bodies, proofs = (read_json(line, 17 if n < 2 else 2) for n, line in enumerate(lines[1:4]))
    demand(all(isinstance(line, list) for line in (headers, bodies, proofs)), "bundle: a line is no list")
    demand(len(headers) == len(bodies) == len(proofs), "bundle: unequal lines")
    demand(1 <= len(headers) <= 1000, "bundle: not 1 to 1,000 statements")
    ids = [check_statement(*parts, network_id) for parts in zip(headers, bodies, proofs, strict=True)]
    demand(len(set(ids)) == len(ids), "bundle: a statement twice")
    whole_header = spell({**header, "statements": ids}, 16).encode()
    message = b"sync 1 bundle\n" + bytes.fromhex(network_id) + whole_header
    signed(header["site"], decode64(first["signature"], 64, "signature"), message, "bundle")
    name = hashlib.sha256(b"sync 1 bundle id\n" + whole_header).hexdigest()
    return {**header, "id": name, "statements": ids, "absent": bodies.count(None)}


def check_bundle_header(header: dict[str, Any]) -> None:
    """The form of a bundle header as line 1 has it."""
    between(header["v"], 1, 1, "bundle v")
    demand("statements" not in header, "bundle: the statements are recomputed")
    demand(isinstance(header["lane"], str) and header["lane"] in {"urgent", "text"}, "bundle: no lane")
    matches(HEX16, header["log"], "log")
    between(header["number"], 1, 99_999_999, "number")
    matches(HEX64, header["site"], "site")
    demand(header["previous"] is None or matches(HEX64, header["previous"], "previous"), "previous")


def check_statement(header: Any, body: Any, proof: Any, network_id: str) -> str:
    """The id of a sound statement."""
    demand(isinstance(header, dict) and (body is None or isinstance(body, dict)), "statement: no object")
    demand(isinstance(proof, list) and len(proof) == 2, "statement: no pair of salt and signature")
    header = dict(header)
    if body is None:
        demand(proof[0] is None, "statement: a salt without a body")
    else:
        demand("body" not in header and "size" not in header, "statement: what is recomputed is stated")
        data = spell(body, 16).encode()
        salt = decode64(proof[0], 16, "salt")
        header["body"] = hashlib.sha256(b"sync 1 body\n" + salt + data).hexdigest()
        header["size"] = len(data)
    check_header(header)
    text = spell(header, 16).encode()
    demand(len(text) <= 16 * 1024, "header: too large")
    message = b"sync 1 statement\n" + bytes.fromhex(network_id) + text
    signed(header["author"], decode64(proof[1], 64, "signature"), message, "statement")
    return hashlib.sha256(b"sync 1 statement id\n" + text).hexdigest()


def check_header(header: dict[str, Any]) -> None:
    """The form of a whole statement header."""
    fields(header, "after attachments author body critical kind previous size time v", "header", exactly=False)
    between(header["v"], 1, 1, "header v")
    between(header["size"], 2, 256 * 1024, "size")
    matches(HEX64, header["author"], "author")
    matches(HEX64, header["body"], "body")
    demand(isinstance(header["kind"], str), "kind: no text")
    demand(header["previous"] is None or matches(HEX64, header["previous"], "previous"), "previous")
    demand(header["time"] is None or matches(MOMENT, header["time"], "time"), "time")
    for name, pattern, most in (("after", HEX64, 64), ("attachments", HEX64, 64), ("critical", FIELD, 16384)):
        values = header[name]
        demand(isinstance(values, list) and len(values) <= most, f"{name}: no list, or too long")
        texts = [matches(pattern, value, name) for value in values]
        demand(texts == sorted(set(texts)), f"{name}: not sorted, or twice")


# --- carriers


def check_carrier(folder: Path) -> list[str]:
    """All problems of the networks on a carrier, one line each; a carrier without a network is a problem."""
    networks = sorted(path for path in folder.glob("tried-ground-*") if path.is_dir() and not path.is_symlink())
    problems = [f"{folder}: no network"] if not networks else []
    for network in networks:
        problems += check_network_folder(network)
    return problems


def check_network_folder(folder: Path) -> list[str]:
    """All problems of one network's folder."""
    try:
        network_id = check_network((folder / "network.json").read_bytes())
        demand(folder.name == f"tried-ground-{network_id[:26]}", "the folder's name is not the network's")
    except (RefusedError, OSError) as error:
        return [f"{folder.name}/network.json: {error}"]
    problems = []
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        kind = next((kind for kind, pattern in NAMES.items() if pattern.fullmatch(name)), None)
        if kind and stat.S_ISREG(path.lstat().st_mode):
            try:
                check_file(kind, name, path.read_bytes(), network_id)
            except RefusedError as error:
                problems.append(f"{name}: {error}")
    return problems


def check_file(kind: str, name: str, data: bytes, network_id: str) -> None:
    """Refuse a file whose contents, or whose name for these contents, are wrong."""
    if kind == "bundle":
        found = check_bundle(data, network_id)
        place = f"sites/{found['site'][:26]}/{found['log']}/{found['lane']}"
        file = f"{found['number']:08d}-{found['id'][:26]}-{found['absent']}.bundle"
        demand(name == f"{place}/{file}", "the name is not that of the bundle")
    elif kind == "receipt":
        receipt = check_receipt(data, network_id)
        start = f"receipts/{receipt['site'][:26]}-{receipt['log']}-{receipt['counter']:08d}"
        demand(name == f"{start}-{hashlib.sha256(data).hexdigest()[:8]}.json", "the name is not that of the receipt")
    elif kind == "joining":
        demand(name == f"joining/{check_joining(data, network_id)[:26]}.json", "the name is not that of the site")
    elif kind == "attachment":
        digest = hashlib.sha256(data).hexdigest()
        demand(len(data) <= 2 * 2**20 and name == f"attachments/{digest[:2]}/{digest}", "not what its name says")


if __name__ == "__main__":
    found_problems = check_carrier(Path(sys.argv[1]))
    print("\n".join(found_problems) or "every document holds")
    sys.exit(1 if found_problems else 0)
