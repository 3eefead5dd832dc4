"""How much memory an exchange takes above its start, by how much is held, in a process of its own.

The floor is what it takes where next to nothing is held. What that process does is what a command does: open the store,
judge the whole, exchange with a stick on which there is nothing new.
"""

from __future__ import annotations

import gc
import subprocess
import sys
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from sync import FolderCarrier, Store, exchange
from tests.bench.figures import Figure, Size, number, times
from tests.bench.history import Speakers, keep_and_seal, visit
from tests.sync.camps import KINDS, circle, meet, new_stick
from tests.sync.scene import key_of

if TYPE_CHECKING:
    from collections.abc import Iterator

SITTING = 20_000  # statements said at a time: they lie in memory until they are kept


def measure(place: Path, size: Size) -> Iterator[Figure]:
    """Measure with next to nothing held, then with each number."""
    sites, stick = circle(place / "sites", "CT"), new_stick(place)
    meet(stick, *sites.values())
    site = sites["C"]
    least = _taken_mib(site.file, stick)
    speakers = Speakers(site)
    for held in size.held:
        while (more := held - site.store.count()) > 0:
            keep_and_seal(site, speakers.say(min(more, SITTING)))
        visit(site, stick)
        ours = _taken_mib(site.file, stick)
        what = f"memory of opening and exchanging, nothing new, {number(held)} held"
        yield Figure(what, f"{least:.1f} MiB above start: nothing held", f"{ours:.1f} MiB", times(ours, least))
    for each in sites.values():
        each.store.close()


def _taken_mib(store: Path, stick: Path) -> float:
    line = [sys.executable, "-m", "tests.bench.memory", str(store), str(stick)]
    return float(subprocess.run(line, check=True, capture_output=True, text=True).stdout)


def peak_mib() -> float:
    """The most memory resident since the kernel was last told to forget it (proc(5): VmHWM)."""
    return int(Path("/proc/self/status").read_text(encoding="ascii").partition("VmHWM:")[2].split()[0]) / 1024


def main(file: str, stick: str) -> None:
    """Open, exchange, and print what that took [MiB]."""
    gc.collect()
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before = peak_mib()
    store = Store.open(Path(file), KINDS)
    exchange(
        store,
        FolderCarrier(Path(stick)),
        site_key=key_of("site C"),
        random=Random(1).randbytes,
        state_lines=lambda: (),
    )
    print(peak_mib() - before)
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
