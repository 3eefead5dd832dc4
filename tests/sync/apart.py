"""What an exchange takes of time and memory, in a process of its own that has done nothing else before.

Not what wears a site down. One rule: memory which somebody else gave back is not taken for nothing.
"""

from __future__ import annotations

import gc
import json
import os
import sys
import time
import traceback
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from sync import FolderCarrier, exchange
from tests.sync.camps import Site, circle, folder_of, meet, new_stick

if TYPE_CHECKING:
    from collections.abc import Callable


def ready(place: Path, letters: str = "CT") -> tuple[dict[str, Site], Path, Path]:
    """Sites that know each other, a stick, and the network's folder on it."""
    sites = circle(place, letters)
    stick = new_stick(place)
    meet(stick, *sites.values())
    return sites, stick, folder_of(stick)


def lane_of(home: Path, site: str, *, log: int = 1, lane: str = "text") -> Path:
    """The folder on a stick where the bundles of a lane lie."""
    folder = home / "sites" / site[:26] / f"{log:016x}" / lane
    folder.mkdir(parents=True, exist_ok=True)
    return folder


class Measured(NamedTuple):
    """What one exchange took, and how many files it refused or left alone by name."""

    seconds: float
    mib: float
    refused: int
    left_alone: int


def _resident_peak_mib() -> float:
    """The most memory resident since the kernel was last told to forget it (proc(5): VmHWM)."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def apart(do: Callable[[], Any]) -> Any:
    """Do something in a process of its own that ends with it; what came of it, as JSON gives it back."""
    reading, writing = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            with os.fdopen(writing, "w", encoding="ascii") as told:
                json.dump(do(), told)
            os._exit(0)
        except BaseException:  # noqa: BLE001 - the child must end here, whatever it was
            traceback.print_exc()
            os._exit(1)
    os.close(writing)
    with os.fdopen(reading, encoding="ascii") as told:
        said = told.read()
    if os.waitpid(child, 0)[1]:
        raise AssertionError("what was done in a process of its own has failed")
    return json.loads(said)


def measured(site: Site, stick: Path, **parts: Any) -> Measured:
    """One exchange, from opening the store on."""
    site.store.close()
    took = Measured(*apart(lambda: exchanged(site, stick, **parts)))
    site.reopen()
    return took


def exchanged(site: Site, stick: Path, **parts: Any) -> Measured:
    """The same in this process."""
    gc.collect()
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before, start = _resident_peak_mib(), time.monotonic()
    site.reopen()
    report = exchange(
        site.store, FolderCarrier(stick), site_key=site.key, random=site.chance.randbytes,
        **{"state_lines": site.state_lines} | parts,
    )  # fmt: skip
    seconds, mib = time.monotonic() - start, _resident_peak_mib() - before
    site.store.close()
    return Measured(seconds, mib, len(report.refused), len(report.waiting_files))
