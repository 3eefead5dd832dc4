"""System calls that fail, or kill, at a chosen one: a child does some work while strace stands between it and the kernel.

Not a test and no imitation: the program, SQLite in it and the files are real, only the answer of one call (and, on a
full disk, of all that follow) is another. Its one rule: what a child has to say goes over a socket, whose calls are
never touched.
"""

from __future__ import annotations

import json
import multiprocessing
import re
import socket
import subprocess
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldbook.errors import FieldbookError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

PATIENCE_S = 60
WRITING = ("write", "pwrite64", "writev", "pwritev", "fallocate", "ftruncate", "mkdir", "rename", "link", "symlink")
OTHERS = ("openat", "fsync", "fdatasync", "unlink", "unlinkat", "rmdir", "fchmod", "chmod", "utimensat")
GROWING = ("write", "pwrite64", "writev", "pwritev", "fallocate", "mkdir")  # what a full disk refuses
_CALL = re.compile(r"^(?:\d+ +)?([a-z0-9]+)\((.*)$")


@dataclass(frozen=True)
class Call:
    """One call that changes something on a disk: its name, which of that name it is (from 1), and its line."""

    name: str
    number: int
    line: str


@dataclass(frozen=True)
class Outcome:
    """What became of the work: what it acknowledged, or the refusal, or neither where the child was killed."""

    told: str | None
    refused: str | None
    hint: str
    calls: tuple[Call, ...]

    @property
    def killed(self) -> bool:
        """True where nothing was said any more."""
        return self.told is None and self.refused is None


@dataclass(frozen=True)
class Fault:
    """What happens at a call: ``cut`` kills there, ``full`` refuses it and all that grow after it, ``once`` refuses it."""

    kind: str
    calls: Sequence[Call] = ()
    at: int = 0

    def orders(self) -> list[str]:
        """The words for strace."""
        if not self.calls:
            return []
        call = self.calls[self.at]
        if self.kind == "cut":
            return [f"inject={call.name}:signal=KILL:when={call.number}"]
        if self.kind == "once":
            return [f"inject={call.name}:error=EIO:when={call.number}"]
        before = [one.name for one in self.calls[: self.at]]
        # strace counts each name by itself; of `openat`, most only read, so just the one is refused
        orders = [f"inject={name}:error=ENOSPC:when={before.count(name) + 1}+" for name in GROWING]
        return orders if call.name in GROWING else [*orders, f"inject={call.name}:error=ENOSPC:when={call.number}"]


def _serve(address: str, work: Callable[..., str], arguments: Sequence[Any]) -> None:
    """The child: wait until strace looks on, work, and say how it went."""
    with socket.socket(socket.AF_UNIX) as line:
        line.connect(address)
        line.recv(1)
        try:
            answer = {"told": work(*arguments)}
        except FieldbookError as error:
            answer = {"refused": error.message, "hint": error.hint}
        line.sendall(json.dumps(answer).encode())


def run_under(fault: Fault, folder: Path, work: Callable[..., str], *arguments: Any) -> Outcome:
    """Let a child of its own do some work while a fault waits for it.

    Args:
        fault: what goes wrong; one without calls only watches.
        folder: for the notes of strace, where nothing else lies.
        work: a function of a module; it returns what it acknowledges.
        arguments: for it.
    """
    address, notes = folder / "line", folder / "calls"
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.faults.work"])
    with socket.socket(socket.AF_UNIX) as door:
        address.unlink(missing_ok=True)
        door.bind(str(address))
        door.listen(1)
        door.settimeout(PATIENCE_S)
        child = context.Process(target=_serve, args=(str(address), work, arguments))
        child.start()
        line, _ = door.accept()
    assert child.pid is not None
    with line, _watched(child.pid, notes, fault.orders()) as watcher:
        line.settimeout(PATIENCE_S)
        line.sendall(b".")
        said = _all_of(line)
        child.join(PATIENCE_S)
        watcher.wait(PATIENCE_S)
    answer = json.loads(said) if said else {}
    assert answer or child.exitcode == -9, f"the child ended with {child.exitcode} and without a word"
    return Outcome(answer.get("told"), answer.get("refused"), answer.get("hint", ""), _changing(notes))


def _watched(pid: int, notes: Path, orders: Iterable[str]) -> subprocess.Popen[str]:
    words = ["strace", "-f", "-s", "0", "-o", str(notes), "-e", f"trace={','.join((*WRITING, *OTHERS))}"]
    for order in orders:
        words += ["-e", order]
    watcher = subprocess.Popen([*words, "-p", str(pid)], stderr=subprocess.PIPE, text=True)
    assert watcher.stderr is not None
    said = watcher.stderr.readline()
    assert "attached" in said, f"strace may not look on here: {said}"
    return watcher


def _all_of(line: socket.socket) -> bytes:
    parts = []
    try:
        while part := line.recv(65536):
            parts.append(part)
    except ConnectionResetError:
        pass
    return b"".join(parts)


def _changing(notes: Path) -> tuple[Call, ...]:
    """The calls that changed something, in order, each numbered among all calls of its name."""
    counts: dict[str, int] = {}
    found = []
    for text in notes.read_text(encoding="utf-8", errors="replace").splitlines():
        match = _CALL.match(text)
        if match is None:
            continue
        name = match[1]
        counts[name] = counts.get(name, 0) + 1
        if name != "openat" or "O_CREAT" in text:
            found.append(Call(name, counts[name], text))
    return tuple(found)
