"""How soon the command answers, and how much memory it takes, in a process of its own.

The floor is Python that imports the libraries that the pages need, and nothing of ours.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
import time
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.figures import Figure, Size, number, seconds, times
from tests.bench.garden import garden

if TYPE_CHECKING:
    from collections.abc import Iterator

LIBRARIES = "flask, flask_wtf, flask_limiter, waitress, whoosh.index, whoosh.query, PIL.Image, segno, sqlite3"
KEYS = "cryptography.hazmat.primitives.asymmetric.ed25519, cryptography.hazmat.primitives.kdf.scrypt, snowballstemmer"
_WAIT = f"import {LIBRARIES}, {KEYS}; print('ready', flush=True); input()"
_PATIENCE_S = 60
_MIB = 1024  # KiB, the unit of /proc
_ASKED = ("/", "/practices", "/calendar", "/search?q=yellow+leaves", "/")


def measure(_place: Path, size: Size) -> Iterator[Figure]:
    """Begin it with few entries and with many."""
    floors = [_libraries() for _ in range(size.repeats)]
    least_s, least_kib = min(took for took, _ in floors), min(kib for _, kib in floors)
    for entries in (0, size.entries):
        with garden(entries) as circle:
            circle.shut("C")
            runs = [_serve(circle.place("C")) for _ in range(size.repeats)]
        took = min(run[0] for run in runs)
        at_start, used, peak = (min(run[place] for run in runs) for place in (1, 2, 3))
        what = f"{number(entries + 2)} entries"
        yield Figure(
            f"from the command to the first answer, {what}",
            f"{seconds(least_s)}: importing the libraries",
            seconds(took),
            times(took, least_s),
        )
        yield Figure(
            f"memory at start and after {len(_ASKED)} pages, {what}",
            f"{least_kib / _MIB:.0f} MiB: the libraries",
            f"{at_start / _MIB:.0f} MiB, {used / _MIB:.0f} MiB, peak {peak / _MIB:.0f} MiB",
            times(used, least_kib),
        )


def _libraries() -> tuple[float, int]:
    """How long importing takes [s], and the memory that is resident then [KiB]."""
    started = time.perf_counter()
    line = (sys.executable, "-c", _WAIT)
    with subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        process.stdout.readline()
        took = time.perf_counter() - started
        kib = _memory(process.pid, "VmRSS")
        process.communicate("\n")
    return took, kib


def _serve(folder: Path) -> tuple[float, int, int, int]:
    """Time until the first page is there [s], memory then and after some pages, and its peak [KiB]."""
    started = time.perf_counter()
    line = (sys.executable, "-m", "fieldbook", "--site", str(folder), "serve", "--port", "0")
    with subprocess.Popen(
        line, stdin=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"}
    ) as process:
        impatience = threading.Timer(_PATIENCE_S, process.kill)  # ends the reading where it says nothing
        impatience.start()
        try:
            assert process.stderr is not None
            said = (re.search(r"http://\S+?:\d+", each) for each in process.stderr)
            address = next((found for found in said if found is not None), None)
            if address is None:
                raise AssertionError("the server did not say its address")
            _get(address[0] + "/")
            took = time.perf_counter() - started
            at_start = _memory(process.pid, "VmRSS")
            for path in _ASKED:
                _get(address[0] + path)
            return took, at_start, _memory(process.pid, "VmRSS"), _memory(process.pid, "VmHWM")
        finally:
            impatience.cancel()
            process.terminate()


def _get(address: str) -> None:
    with urllib.request.urlopen(address, timeout=60) as answer:
        answer.read()


def _memory(process: int, name: str) -> int:
    """A line of the process's status [KiB]."""
    found = re.search(rf"{name}:\s+(\d+) kB", Path(f"/proc/{process}/status").read_text(encoding="utf-8"))
    if found is None:
        raise AssertionError(f"this system does not say {name}")
    return int(found[1])
