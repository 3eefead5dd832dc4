"""How many bytes carry what is new: our bundles against git, rsync, and bodies packed by xz with 64 bytes each.

The floor is what nobody who signs each statement can go below by much: its body packed as well as a common packer can,
all of them together, and one Ed25519 signature. ``git bundle`` and ``rsync -z`` carry the same lines, one a statement
(header, body, salt and signature), appended to one file: their best case.
"""

from __future__ import annotations

import json
import lzma
import re
import shutil
import subprocess
from typing import TYPE_CHECKING

from sync.shape import to_base64
from tests.bench.figures import Figure, Size, number
from tests.bench.history import Speakers, keep_and_seal, visit
from tests.sync.camps import circle, new_stick

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from sync import Statement

SIGNATURE_BYTES = 64
_RECOMPUTED = ("body", "size")
_WHO = ("-c", "user.name=C1", "-c", "user.email=c1@invalid", "-c", "gc.auto=0")


def measure(place: Path, size: Size) -> Iterator[Figure]:
    """Let one site say so much more, each time to a stick that holds all that came before."""
    site = circle(place / "sites", "C")["C"]
    speakers = Speakers(site)
    stick = new_stick(place)
    base = speakers.say(size.base)
    keep_and_seal(site, base)
    visit(site, stick)
    log = _Log(place / "log", base)
    for count in size.changes:
        said = speakers.say(count)
        bundles = keep_and_seal(site, said)
        before = _bundle_bytes(stick)
        files = len(list(stick.rglob("*.bundle")))
        visit(site, stick)
        written = _bundle_bytes(stick) - before
        if sum(len(bundle.to_bytes()) for bundle in bundles) != written:
            raise AssertionError("the stick holds other bundles than were sealed")
        yield _figure(count, written, len(list(stick.rglob("*.bundle"))) - files, said, log)
    site.store.close()


def _figure(count: int, written: int, files: int, said: list[Statement], log: _Log) -> Figure:
    packed = log.append(said)
    if not count:
        return Figure("bytes where nothing is new", f"0; {packed}", f"{written} in {files} files", "")
    bodies = b"\n".join(each.body_bytes or b"" for each in said)
    floor = len(lzma.compress(bodies, preset=9)) + SIGNATURE_BYTES * count
    least = f"{number(floor)}: xz of bodies + {SIGNATURE_BYTES} each; {packed}"
    return Figure(f"bytes of {number(count)} changes", least, number(written), f"{written / floor:.2f} times xz + 64")


def _bundle_bytes(stick: Path) -> int:
    return sum(path.stat().st_size for path in stick.rglob("*.bundle"))


class _Log:
    """The same statements as lines of one file, kept in git and copied by rsync."""

    def __init__(self, folder: Path, said: Iterable[Statement]) -> None:
        self._folder = folder
        self._copy = folder.with_name("copy")
        for each in (folder, self._copy):
            each.mkdir()
        self._git("init", "-q")
        self._write(said)
        self._git("commit", "-q", "-m", "base")
        shutil.copyfile(folder / "lines", self._copy / "lines")

    def append(self, said: Iterable[Statement]) -> str:
        """What git and rsync need for so much more."""
        base = self._git("rev-parse", "HEAD").strip()
        self._write(said)
        return f"git {self._bundled(base)}; rsync {self._copied()}"

    def _write(self, said: Iterable[Statement]) -> None:
        with (self._folder / "lines").open("a", encoding="utf-8") as file:
            file.writelines(f"{_line(each)}\n" for each in said)
        self._git("add", "lines")

    def _bundled(self, base: str) -> str:
        if not self._git("status", "--porcelain"):
            return "refuses"
        self._git("commit", "-q", "-m", "more")
        self._git("bundle", "create", "-q", "../more.bundle", f"{base}..HEAD")
        return number((self._folder.parent / "more.bundle").stat().st_size)

    def _copied(self) -> str:
        if shutil.which("rsync") is None:
            return "is not here"
        line = ("rsync", "-z", "--no-whole-file", "--ignore-times", "--stats", self._folder / "lines", self._copy)
        said = subprocess.run(line, check=True, capture_output=True, text=True, env={"LC_ALL": "C"}).stdout
        sent = re.findall(r"Total bytes (?:sent|received): ([\d,]+)", said)
        return number(sum(int(each.replace(",", "")) for each in sent))

    def _git(self, *words: str) -> str:
        line = ["git", *_WHO, "-C", str(self._folder), *words]
        return str(subprocess.run(line, check=True, capture_output=True, text=True).stdout)


def _line(statement: Statement) -> str:
    header = {name: value for name, value in statement.header.items() if name not in _RECOMPUTED}
    proof = [to_base64(statement.salt or b""), to_base64(statement.signature)]
    return json.dumps([header, statement.body, proof], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
