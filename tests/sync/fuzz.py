"""Parsers of foreign bytes, fed with whatever grows out of a corpus.

``python -m tests.sync.fuzz --seconds N --seed S [--keep]`` mutates, by bytes and by structure, and follows what reaches
lines that nothing reached before; ``--keep`` adds that to the corpus in the tree. One rule: a parser gives a value that
spells the same bytes again, or one refusal; never another error.
"""

from __future__ import annotations

import argparse
import gzip
import json
import stat
import sys
import time
import zlib
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, cast

from sync import carrier as carriers
from sync.bundle import parse_bundle
from sync.canonical import canonical_bytes, parse_canonical
from sync.carrier import PLAIN_NAME, FolderCarrier
from sync.errors import RemoteError
from sync.exchange.layout import survey
from sync.limits import WRAPPED_DEPTH_MAX
from sync.network import parse_joining, parse_network
from sync.receipt import parse_receipt
from sync.statement import read_statement
from sync.store.scratch import Scratch
from sync.system_calls import SystemCalls
from tests.sync.mutations import change_bytes, change_value, sign_anew, sound_documents, spell
from tests.sync.scene import NETWORK, say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from types import FrameType

    from sync.exchange.report import Carrier

CORPUS = Path(__file__).with_name("corpus")
TRACED_EVERY = 4  # inputs: to follow the lines of one takes ten times as long as to feed it
KEPT_BYTES_MAX = 4096  # of one kept input: the corpus lies in the tree
LINE_BYTES_MAX = 300_000
SYNC = str(Path(parse_bundle.__code__.co_filename).parent)


class BrokenError(Exception):
    """A parser took something that it does not spell the same again."""


def _same(one: object, other: object) -> None:
    if one != other:
        raise BrokenError(f"{one!r:.200} is not {other!r:.200}")


def _bundle(data: bytes) -> None:
    bundle = parse_bundle(data)
    _same(bundle.lines(), gzip.decompress(data))
    _same(parse_bundle(bundle.to_bytes()).id, bundle.id)


def _network(data: bytes) -> None:
    _same(parse_network(data).to_bytes(), data)


def _joining(data: bytes) -> None:
    _same(parse_joining(data, network_id=NETWORK.id).to_bytes(), data)


def _receipt(data: bytes) -> None:
    _same(parse_receipt(data, network_id=NETWORK.id).to_bytes(), data)


def _canonical(data: bytes) -> None:
    value = parse_canonical(data, limit_bytes=LINE_BYTES_MAX, depth_max=WRAPPED_DEPTH_MAX)
    _same(canonical_bytes(value, depth_max=WRAPPED_DEPTH_MAX), data)


def _statement(data: bytes) -> None:
    """Header, body, salt and signature, a line each; an empty line is None."""
    header, body, salt, signature, *_ = [*data.split(b"\n"), b"", b"", b"", b""]
    statement = read_statement(header, body or None, salt or None, signature)
    _same(statement.header_bytes, header)
    _same(canonical_bytes(statement.header), header)


class _Names(SystemCalls):
    """A folder of which only names exist."""

    def __init__(self, names: list[str]) -> None:
        self._names = names

    def scan(self, folder: Path) -> Iterator[tuple[str, int]]:  # noqa: ARG002 - every folder holds the same
        yield from ((name, stat.S_IFREG) for name in self._names)


def _names(data: bytes) -> None:
    """Names in a folder, and whole paths: what is seen is plain, and reads back as the parts that it was made of."""
    names = [line for line in data.decode(errors="surrogateescape").split("\n") if line and "\0" not in line]
    listed = FolderCarrier(Path(), calls=_Names([name for name in names if "/" not in name])).look()
    _same([each.name for each in listed if not PLAIN_NAME.fullmatch(each.name)], [])
    found = survey(cast("Carrier", _Paths(names)), "", Scratch(Path("none.sqlite")))
    copies = list(found.copies.of_others(frozenset()))
    seen = [*(copy.file for copy in copies), *found.leftovers, *(receipt.file for receipt in found.receipts)]
    seen += [f"joining/{site}.json" for site in found.joinings]
    for file in seen:
        _same([part for part in file.split("/") if not PLAIN_NAME.fullmatch(part)], [])
        _same(file in names, True)
    for copy in copies:
        _same(copy in found.copies, True)


class _Paths:
    """Whole paths as a carrier that lists them in their folders."""

    def __init__(self, names: list[str]) -> None:
        self._names = names

    def look(self, folder: str = "", *, wanted: Callable[[str], object] = bool) -> Iterator[carriers.Found]:
        start = f"{folder}/" if folder else ""
        for path in {name.removeprefix(start) for name in self._names if name.startswith(start)}:
            name, slash, _ = path.partition("/")
            if wanted(name):
                yield carriers.Found(name, "folder" if slash else "file", name)


TARGETS: dict[str, Callable[[bytes], None]] = {
    "bundle": _bundle, "statement": _statement, "receipt": _receipt, "network": _network, "joining": _joining,
    "canonical": _canonical, "names": _names,
}  # fmt: skip


def seeds_of(target: str) -> list[bytes]:
    """What everything grows out of: sound inputs, and what was kept."""
    sound = sound_documents()
    bundle = parse_bundle(sound["bundle"])
    receipt, joining = (sound[name] for name in ("receipt", "joining"))
    one = say(1, time="2026-11-25T10:02:00Z")
    own = {
        "bundle": [sound["bundle"], sound["bare bundle"]],
        "statement": [b"\n".join((one.header_bytes, one.body_bytes or b"", one.salt or b"", one.signature)), one.header_bytes],
        "canonical": [b'{"a":[1,true,null,"\\u0001\xc3\xa9"],"b":{"c":-5}}', *bundle.lines().split(b"\n")[:3]],
        "names": [
            "\n".join((
                bundle.path, f"{bundle.path}.part", "network.json", "attachments/ab/" + "ab" * 32,
                parse_receipt(receipt, network_id=NETWORK.id).path, parse_joining(joining, network_id=NETWORK.id).path,
                "CON", "é.json", ".trash",
            )).encode()
        ],
    }  # fmt: skip
    kept = sorted((CORPUS / target).glob("*"))
    return [*own.get(target, [sound.get(target, b"")]), *(path.read_bytes() for path in kept)]


def mutated(target: str, data: bytes, random: Random) -> bytes:
    """One to three changes, of bytes or, where the input still has a structure, of that."""
    for _ in range(random.choice((1, 1, 2, 3))):
        changed = _restructured(target, data, random) if random.random() < 0.6 else None
        data = (change_bytes(data, random) if data else b"{}") if changed is None else changed
    return data


def _restructured(target: str, data: bytes, random: Random) -> bytes | None:
    """The same with a value changed and, now and then, signed anew; None where nothing can be read in it."""
    try:
        text = gzip.decompress(data) if target == "bundle" else data
        lines = text.split(b"\n")
        values = [json.loads(line) for line in lines[: 2 if target == "statement" else 4] if line]
        change_value(values, random)
        if target in {"bundle", "network", "joining", "receipt"} and random.random() < 0.5:
            sign_anew(target, values)
        changed = b"\n".join([*map(spell, values), *lines[len(values) :]])
    except (ValueError, OSError, EOFError, RecursionError, LookupError, TypeError, zlib.error):
        return None
    return gzip.compress(changed, mtime=0) if target == "bundle" else changed


@dataclass(frozen=True)
class Found:
    """An input on which a parser did what it must not."""

    target: str
    data: bytes
    error: str


def try_one(target: str, data: bytes) -> Found | None:
    """Feed one input."""
    try:
        TARGETS[target](data)
    except RemoteError:
        return None
    except Exception as error:  # noqa: BLE001 - what is looked for: it is reported, and the command ends with 1
        return Found(target, data, f"{type(error).__name__}: {error}")
    return None


def lines_reached(target: str, data: bytes) -> frozenset[tuple[str, int, int]]:
    """Which step from line to line of ``sync`` an input takes, with the step before."""
    reached: set[tuple[str, int, int]] = set()

    def trace(frame: FrameType, event: str, _argument: object) -> Any:
        if not frame.f_code.co_filename.startswith(SYNC):
            return None
        last = 0

        def follow(inner: FrameType, happened: str, _value: object) -> Any:
            nonlocal last
            if happened == "line":
                reached.add((inner.f_code.co_name, last, inner.f_lineno))
                last = inner.f_lineno
            return follow

        return follow if event == "call" else None

    sys.settrace(trace)
    try:
        try_one(target, data)
    finally:
        sys.settrace(None)
    return frozenset(reached)


def grow(target: str, random: Random, *, seconds: float, tries: int, keep: bool) -> tuple[int, list[Found]]:
    """Fuzz one parser until the time is over or so many inputs are tried; how many were, and what was found."""
    pool = seeds_of(target)
    reached = frozenset[tuple[str, int, int]]().union(*(lines_reached(target, data) for data in pool))
    end = time.monotonic() + seconds
    failures: list[Found] = []
    for tried in range(1, tries + 1):
        data = mutated(target, random.choice(pool), random)
        found = try_one(target, data)
        if found is not None:
            failures.append(found)
        if tried % TRACED_EVERY == 0 and (new := lines_reached(target, data) - reached):
            reached |= new
            pool.append(data)
            if keep and len(data) <= KEPT_BYTES_MAX:
                keep_input(target, data)
        if time.monotonic() > end:
            break
    return tried, failures


def keep_input(target: str, data: bytes) -> Path:
    """Put an input into the corpus in the tree."""
    path = CORPUS / target / sha256(data).hexdigest()[:16]
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def main(arguments: list[str] | None = None) -> int:
    """Read the options, fuzz every parser for its share of the time, print the figures; 0 where nothing was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.sync.fuzz", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--seconds", type=float, default=60, help="for all parsers together")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", action="store_true", help="add what reaches new lines to the corpus in the tree")
    options = parser.parse_args(arguments)
    failures = 0
    for number, target in enumerate(TARGETS):
        seconds = options.seconds / len(TARGETS)
        tried, found = grow(
            target, Random(options.seed + number), seconds=seconds, tries=sys.maxsize, keep=options.keep
        )
        for each in found:
            print(f"{target}: {each.error} ({keep_input(target, each.data)})")
        failures += len(found)
        print(f"{target}: {tried} inputs")
    print(f"failures: {failures}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
