"""The demonstration as a command builds it, built once for all tests; never to be changed, but copied.

Not a test. Its one rule: nothing is set up beside what `run_demo` does.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from fieldbook.demo import run_demo
from tests.orrendal import fast_folder

if TYPE_CHECKING:
    from pathlib import Path

SAID_PASSPHRASE = "Everybody's passphrase in this demonstration: "
FOLDERS = {"C": "cloudstep", "T": "thornpan", "L": "longshade", "S": "saltreed"}


@dataclass(frozen=True)
class Demonstration:
    """The folder in which it lies, and the lines that it said."""

    folder: Path
    lines: tuple[str, ...]

    @property
    def passphrase(self) -> str:
        """What opens everybody's key, as it was said."""
        (line,) = (line for line in self.lines if line.startswith(SAID_PASSPHRASE))
        return line.removeprefix(SAID_PASSPHRASE)

    def copy(self) -> Path:
        """A copy that may be changed."""
        return shutil.copytree(self.folder, fast_folder() / "copy")


@cache
def demonstration() -> Demonstration:
    """The four sites and the stick, as `demo --no-serve` leaves them."""
    lines: list[str] = []
    folder = fast_folder() / "demo"
    run_demo(folder, port=None, passphrase=None, say=lines.append)
    return Demonstration(folder, tuple(lines))
